import type { CleanSeries } from "../../logs/log.ts";
import type { Model } from "../../model/chamber.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { studentQuantile } from "../../statistics/student.ts";
import { formatDuration } from "../../units/format.ts";
import { confidenceEllipse } from "../estimate/confidenceregions.ts";
import { addInputs, correlationOf, type ErrorBudget } from "../estimate/errorbudget.ts";
import { derivedFigures, figureOf, intervalOf } from "../estimate/figures.ts";
import { LABELS } from "../estimate/fitplan.ts";
import type { HeldValues } from "../estimate/heldvalues.ts";
import { isIdentifiable } from "../estimate/identifiability.ts";
import type { FitName } from "../fitoptions.ts";
import type { DerivedFigure, Fit, FittedParameter } from "../fittypes.ts";
import { findBurstErrors } from "./bursterrors.ts";
import type { BurstScreening } from "./burstoutliers.ts";
import type { LogBursts } from "./burstsoflog.ts";
import { type BurstCount, SHARED } from "./countedbursts.ts";

/** Covariance of two parameters of a count, NaN where the log does not tell them. */
export const burstCovariance = ({ estimate }: BurstCount, i: number, j: number): number =>
	estimate.least.covariance[i]![j]! * estimate.varianceInflation;

/** Places of the law's values. */
const OF_REGRESSION: readonly number[] = [0, 1, 2];

/** A figure that follows from the law and the shared parameters. */
interface Reported {
	readonly name: FitName;
	readonly label: string;
	readonly dimension: FittedParameter["dimension"];
	readonly value: number;
	/** Slopes over [air changes a second, loss of a long burst, zero of the sensor, shared parameters]. */
	readonly jacobian: readonly number[];
	readonly initial: number;
	readonly status: FittedParameter["status"];
	readonly lower: number;
	readonly upper: number;
	readonly isAtBound: boolean;
	readonly prior?: Parameter["prior"];
}

/** How the test was done. */
interface BurstOutcome {
	/** Shortest of the lengths [s]. */
	readonly firstSeconds: number;
	/** The flow was given. */
	readonly isFlowFixed: boolean;
	/** The log can part flow and loss. */
	readonly isLostOnSought: boolean;
	/** On-time of each burst as it was named [s]; null where a fan column has it. */
	readonly lengths: readonly (number | null)[] | null;
	readonly scenario: Scenario;
	/** Mean temperature of the log [°C]. */
	readonly celsius: number;
	/** The model follows the log. */
	readonly isAdequate: boolean;
}

/** The parameters of a test of counted bursts; errors of what follows from others by their slopes. */
export function reportParameters(
	model: Model,
	{ log }: CleanSeries,
	{ count, offset, isOffsetHeld, held }: LogBursts,
	{ regression, counted }: BurstScreening,
	{ firstSeconds, isFlowFixed, isLostOnSought, isAdequate, lengths, scenario, celsius }: BurstOutcome,
): Pick<Fit, "parameters" | "free" | "correlation" | "mostCorrelatedPair"> & {
	readonly budget: ErrorBudget;
	readonly names: readonly string[];
	readonly held: HeldValues;
} {
	const { estimate, parameters: planned } = count;
	const { least, lag1Autocorrelation, used } = estimate;
	const { volumeM3, mixingEfficiency = 1 } = model;
	const errors = findBurstErrors(count, held, regression, counted, offset.prior, lengths, scenario);
	const shared = SHARED.map((name, k) => ({ name, k, planned: planned[k]! })).filter(
		({ name, planned: { fixed } }) =>
			name !== "flow" && name !== "offset" && !(name === "generation" && fixed === true),
	);
	// The law's three values, and the shared ones.
	const places = [...OF_REGRESSION, ...shared.map(({ k }) => OF_REGRESSION.length + k)];
	const covariance = places.map((i) => places.map((j) => orZero(errors.noise[i]![j]!, i === j)));
	const byInput = places.map((i) => errors.byInput[i]!);
	const unit = (place: number) => covariance.map((_, i) => (i === place ? 1 : 0));
	const over = (jacobian: readonly number[]) => covariance.map((_, i) => jacobian[i] ?? 0);

	// Neighbours that are alike tell less of the noise as well.
	const independent =
		(Math.max(used - planned.filter(({ fixed }) => fixed !== true).length, 1) * (1 - lag1Autocorrelation)) /
		(1 + lag1Autocorrelation);
	/** Those of a variance of which a share is scatter from burst to burst, and the rest noise (Welch and Satterthwaite, from memory). */
	const degreesOf = (jacobian: readonly number[], variance: number): number => {
		const byBurst = counted.map((_, b) =>
			OF_REGRESSION.reduce((sum, i) => sum + jacobian[i]! * regression.gain[i]![b]!, 0),
		);
		const share = (regression.betweenBurstSd ** 2 * byBurst.reduce((sum, by) => sum + by * by, 0)) / variance;
		return share > 0
			? 1 / (share ** 2 / Math.max(regression.degreesOfFreedom, 1) + (1 - share) ** 2 / independent)
			: independent;
	};
	const air = regression.predictAir(firstSeconds);
	const before = {
		perSecond: (mixingEfficiency * model.deliveredM3PerS) / volumeM3,
		lostOnSeconds: regression.lostOnSeconds(
			(model.spinUpTauSeconds ?? 0) - (model.coastDownTauSeconds ?? 0),
			firstSeconds,
		),
	};
	const open = {
		lower: Number.NEGATIVE_INFINITY,
		upper: Number.POSITIVE_INFINITY,
		isAtBound: false,
	};
	const perM3 = mixingEfficiency / volumeM3;
	const scale = { volumeM3, stepSeconds: log.sampleIntervalSeconds };
	const rows: readonly Reported[] = [
		{
			...open,
			name: "per burst",
			label: `air changes per burst of ${formatDuration(firstSeconds)}`,
			dimension: "number",
			value: air.airChanges,
			jacobian: over(air.jacobian),
			initial: before.perSecond * (firstSeconds - before.lostOnSeconds),
			status: "free",
		},
		{
			...open,
			name: "flow",
			label: LABELS.flow![0],
			dimension: "flow",
			value: regression.perSecond / perM3,
			jacobian: over([1 / perM3]),
			initial: model.deliveredM3PerS,
			status: isFlowFixed ? "fixed" : "free",
		},
		{
			...open,
			name: "lost on-time",
			label: "on-time lost to spin-up",
			dimension: "duration",
			value: air.lostOnSeconds,
			jacobian: over([0, -air.jacobian[1] / regression.perSecond]),
			initial: before.lostOnSeconds,
			status: isLostOnSought ? "free" : "fixed",
		},
		{
			...open,
			name: "offset",
			label: LABELS.offset![0],
			dimension: LABELS.offset![1],
			value: offset.initial + regression.zeroPpm,
			jacobian: unit(2),
			initial: offset.initial,
			status: offset.fixed === true || isOffsetHeld ? "fixed" : offset.prior === undefined ? "free" : "prior",
			prior: offset.prior,
		},
		...shared.map(({ name, k, planned: { fixed, prior, lower, upper, initial } }, place): Reported => {
			const [label, dimension] = LABELS[name]!;
			return {
				name,
				label,
				dimension,
				value: least.values[k]!,
				jacobian: unit(OF_REGRESSION.length + place),
				initial: name === "response" ? (model.responseSeconds ?? 0) : initial,
				status: fixed === true ? "fixed" : prior === undefined ? "free" : "prior",
				lower: lower ?? open.lower,
				upper: upper ?? open.upper,
				isAtBound: fixed !== true && least.isAtBound[k]!,
				prior,
			};
		}),
	];
	const times = (a: readonly number[], b: readonly number[]) =>
		a.reduce(
			(sum, left, i) =>
				left === 0
					? sum
					: sum +
						b.reduce((part, right, j) => (right === 0 ? part : part + left * right * covariance[i]![j]!), 0),
			0,
		);
	const figures = rows.map(({ name, value, jacobian, prior }) => {
		const kind = name === "per burst" || name === "lost on-time" ? "response" : name;
		const figure = figureOf(kind, 0, value, 1, errors.held, prior);
		const scale = figure.reported.parameters[0]!;
		return {
			...figure,
			reported: {
				parameters: jacobian.map((slope) => slope * scale),
				inputs: figure.reported.inputs.map(
					(direct, j) =>
						direct + scale * jacobian.reduce((sum, slope, i) => sum + slope * byInput[i]![j]!, 0),
				),
			},
		};
	});
	const derived = rows.flatMap(({ name, status, initial }, k) =>
		derivedFigures(name, figures[k]!, { status, initial }, scenario, model, celsius, errors.held).map(
			(one) => ({
				...one,
				of: k,
			}),
		),
	);
	const all = [...figures, ...derived].map(({ reported }) => reported);
	const budget = addInputs(
		all.map((a) => all.map((b) => times(a.parameters, b.parameters))),
		all.map((one) => one.inputs),
		errors.held,
	);
	const blank = { standardError: null, ci95Low: null, ci95High: null, shares: [] };
	const parameters = rows.map((row, k): FittedParameter => {
		const { name, label, dimension, initial, lower, upper, status, isAtBound } = row;
		const { value, priorSd } = figures[k]!;
		const isKnown = status !== "fixed" && (name !== "response" || count.isResponseIdentifiable);
		const interval = (place: number, of: number) =>
			isKnown
				? intervalOf(
						budget,
						place,
						of,
						degreesOf(row.jacobian, Math.max(budget.noise[k]![k]!, Number.MIN_VALUE)),
					)
				: blank;
		const own = interval(k, value);
		return {
			name,
			label,
			dimension,
			value,
			...own,
			ci95Low: own.ci95Low === null ? null : Math.max(own.ci95Low, lower),
			initial,
			lower,
			upper,
			status,
			isAtBound,
			isIdentifiable:
				isAdequate &&
				isIdentifiable(name, value, own.standardError, status === "prior" ? priorSd : undefined, scale),
			alsoAs: derived.flatMap(({ of, quantity, value }, place): DerivedFigure[] =>
				of === k ? [{ quantity, value, ...interval(rows.length + place, value) }] : [],
			),
		};
	});
	const free = parameters.flatMap(({ status }, k) => (status === "fixed" ? [] : [k]));
	const correlation = correlationOf(budget.covariance);
	return {
		parameters,
		free: free.map((k) => parameters[k]!.name),
		correlation: free.map((i) => free.map((j) => correlation[i]![j]!)),
		mostCorrelatedPair:
			isLostOnSought && !isFlowFixed
				? confidenceEllipse(
						parameters,
						[1, 2],
						budget.covariance,
						studentQuantile(0.975, Math.max(degreesOf(rows[1]!.jacobian, budget.noise[1]![1]!), 1)),
					)
				: null,
		budget,
		names: [
			...rows.map(({ name }) => name),
			...derived.map(({ of, quantity }) => `${rows[of]!.name} ${quantity}`),
		],
		held: errors.held,
	};
}

/** What the log leaves open goes with nothing. */
const orZero = (value: number, isOwn: boolean): number => (isOwn || Number.isFinite(value) ? value : 0);
