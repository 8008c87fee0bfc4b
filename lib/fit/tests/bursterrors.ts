import type { Scenario } from "../../scenario/scenario.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { budgetErrors } from "../estimate/errorbudget.ts";
import { type HeldInput, type HeldValues, onTimeSd } from "../estimate/heldvalues.ts";
import type { BurstRegression } from "./burstregression.ts";
import { type BurstCount, SHARED } from "./countedbursts.ts";

/** Place of the background among the law's three values. */
const ZERO = 2;

/** Errors of the law's three values and, behind them, of the shared parameters. */
export interface BurstErrors {
	/** Covariance by the noise, and the errors over those of the inputs. */
	readonly noise: readonly (readonly number[])[];
	readonly byInput: readonly (readonly number[])[];
	/** What was held, the on-times with it. */
	readonly held: HeldValues;
}

/**
 * The law v is found from the air changes n of all bursts, v̂ - v = G δn + P w (k δψ) - G q δt: G the gain, P w the covariance of the background times the
 * weight of what is known of it, k δψ how far that is off, and q δt the air of on-times that are not quite what was keyed in. The air changes err by
 * the noise of the log, and by what the count holds (leak, response); the background is left to the law.
 */
export function findBurstErrors(
	{ estimate, parameters, changesAt }: BurstCount,
	held: HeldValues,
	regression: BurstRegression,
	counted: readonly number[],
	prior: Parameter["prior"],
	onSeconds: readonly (number | null)[] | null,
	scenario: Pick<Scenario, "timer">,
): BurstErrors {
	// The flow in a count only draws its bursts.
	const without = (kinds: readonly string[]): HeldValues => ({
		...held,
		knowledge: (kind, value) =>
			held.knowledge(kind, value).map((slope) => (kinds.includes(kind) ? 0 : slope)),
	});
	const unit = (place: number) => ({
		parameters: parameters.map((_, k) => (k === place ? 1 : 0)),
		inputs: held.inputs.map(() => 0),
	});
	const figures = [...SHARED.map((_, k) => unit(k)), ...counted.map((b) => unit(changesAt + b))];
	const all = budgetErrors(estimate, parameters, without(["flow"]), figures);
	const ofAir = budgetErrors(estimate, parameters, without(["flow", "offset"]), figures);
	const first = SHARED.length;
	const lengths = [...new Set(onSeconds ?? [])].filter((length) => length !== null);
	const onTimes = lengths.flatMap((length): (HeldInput & { readonly length: number })[] => {
		const standardDeviation = onTimeSd(scenario, length);
		return standardDeviation > 0
			? [{ source: "on-time", path: null, isStated: true, standardDeviation, length }]
			: [];
	});
	const weight = prior === undefined ? 0 : 1 / prior.standardDeviation ** 2;
	const known = held.knowledge("offset", 0);
	const lawInputs = regression.gain.map((gain, i) => [
		...held.inputs.map(
			(_, j) =>
				regression.covariance[i]![ZERO]! * weight * known[j]! +
				gain.reduce((sum, by, b) => sum + by * ofAir.byInput[first + b]![j]!, 0),
		),
		...onTimes.map(({ length }) =>
			gain.reduce(
				(sum, by, b) => (onSeconds?.[counted[b]!] === length ? sum - by * regression.perSecond : sum),
				0,
			),
		),
	]);
	const finite = (value: number): number => (Number.isFinite(value) ? value : 0);
	const lawNoise = regression.covariance.map((row, i) =>
		row.map(
			(value, j) => value - weight * regression.covariance[i]![ZERO]! * regression.covariance[j]![ZERO]!,
		),
	);
	const crossed = (i: number, k: number): number =>
		regression.gain[i]!.reduce((sum, by, b) => sum + by * finite(all.noise[first + b]![k]!), 0);
	return {
		noise: [
			...lawNoise.map((row, i) => [...row, ...SHARED.map((_, k) => crossed(i, k))]),
			...SHARED.map((_, k) => [
				...lawNoise.map((_, i) => crossed(i, k)),
				...SHARED.map((_, other) => all.noise[k]![other]!),
			]),
		],
		byInput: [
			...lawInputs,
			...SHARED.map((_, k) => [...all.byInput[k]!.map(finite), ...onTimes.map(() => 0)]),
		],
		held: {
			inputs: [...held.inputs, ...onTimes],
			covariance: [
				...held.covariance.map((row) => [...row, ...onTimes.map(() => 0)]),
				...onTimes.map(({ standardDeviation }, k) => [
					...held.inputs.map(() => 0),
					...onTimes.map((_, l) => (k === l ? standardDeviation ** 2 : 0)),
				]),
			],
			knowledge: (kind, value) => [...held.knowledge(kind, value), ...onTimes.map(() => 0)],
		},
	};
}
