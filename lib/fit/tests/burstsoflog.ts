import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { planParameters } from "../estimate/fitplan.ts";
import type { HeldValues } from "../estimate/heldvalues.ts";
import { findStep, withRounding } from "../estimate/rounding.ts";
import type { FitName, FitOptions } from "../fitoptions.ts";
import { findFanHistory } from "../model/fitrun.ts";
import type { LoggedChamber } from "../model/loggedchamber.ts";
import {
	assignLengths,
	type ColumnBurst,
	checkLengths,
	findColumnBursts,
	groupLengths,
} from "./burstlengths.ts";
import { type BurstCount, countBursts, SHARED } from "./countedbursts.ts";
import { type ConcentrationStep, detectSteps } from "./stepdetection.ts";

/** Bursts that are needed, whatever their lengths, and samples after the last of them. */
const MIN_BURSTS = 3;
const MIN_SAMPLES_AFTER = 4;
/** What is found beside the bursts unless `free` says otherwise. */
const SOUGHT: readonly FitName[] = ["flow", "leak", "response", "offset"];
/** A fall that is no more than so many of its errors is none. */
const MIN_STANDARD_ERRORS = 3;
/** CO2 that rises by so many air changes backwards, and so many ppm, was dosed or breathed. */
const MIN_DOSE_AIR_CHANGES = 0.2;
const MIN_DOSE_PPM = 100;
/** A fall that no burst of the fan column explains is worth a line from so many air changes on. */
const MIN_UNEXPLAINED_AIR_CHANGES = 0.1;
/** A dose is over after some time, and so many time constants of the sensor. */
const DOSE_SECONDS = 60;
const RESPONSES_AFTER_DOSE = 2;

/** A part of a log [s since the first sample]. */
export interface LogPart {
	readonly fromSeconds: number;
	readonly toSeconds: number;
}

/** The bursts of a log, counted. */
export interface LogBursts {
	readonly count: BurstCount;
	/** On-times [s]; null for a fall that was no burst. */
	readonly onSeconds: readonly (number | null)[];
	/** What is used of the log: between two doses, without a fall that comes too late. */
	readonly used: LogPart;
	/** CO2 rises somewhere in the log. */
	readonly hasDose: boolean;
	/** Falls after that part, too late to be counted [s since the first sample]. */
	readonly late: readonly number[];
	/** Delivered flow [m3/s] and offset of the sensor [ppm] as they are known or said. */
	readonly flow: Parameter;
	readonly offset: Parameter;
	readonly isOffsetHeld: boolean;
	/** What the count rests on; the flow in it only draws the bursts as square ones. */
	readonly held: HeldValues;
}

type Options = FitOptions & { readonly burstSeconds: readonly number[] };
/** A fall, and the on-time that a fan column has for it. */
interface FoundBurst {
	readonly step: ConcentrationStep;
	readonly onSeconds: number | null;
}

/**
 * Finds the bursts of a log, in its fan column where that can be trusted, else as falls of its CO2, and counts them.
 * @throws InputError when fewer than three are to be seen, or they do not have the lengths that were named
 */
export function findLogBursts(
	scenario: Scenario,
	chamber: Pick<LoggedChamber, "model" | "temperature">,
	series: CleanSeries,
	options: Options,
): LogBursts {
	const { model } = chamber;
	const { timesSeconds, co2Ppm, log } = series;
	const stepSeconds = log.sampleIntervalSeconds;
	const column = findColumnBursts(series);
	const lengths =
		column === null
			? checkLengths(options.burstSeconds)
			: groupLengths(column, options.burstSeconds, stepSeconds);
	const longest = Math.max(...lengths, 0);
	const plan = planParameters(
		scenario,
		chamber,
		series,
		{ names: SHARED, assumedM3PerS: [model.generationM3PerS] },
		findFanHistory(scenario, series, { ...options, test: "decay" }),
		{
			...options,
			free: options.free ?? SOUGHT,
			prior: [...(options.prior ?? []), ...(options.free === undefined ? (["offset"] as const) : [])],
		},
		"decay",
	);
	const shared = plan.parameters;
	const of = (name: (typeof SHARED)[number]) => shared[SHARED.indexOf(name)]!;
	const good = [...timesSeconds.keys()].filter((i) => series.excluded[i] === 0);
	const search = ({ fromSeconds, toSeconds }: LogPart): ReturnType<typeof detectSteps> => {
		const within = good.filter((i) => timesSeconds[i]! >= fromSeconds && timesSeconds[i]! <= toSeconds);
		if (within.length < 2 * MIN_SAMPLES_AFTER || !(longest > 0)) return { steps: [], responseSeconds: 0 };
		return detectSteps(
			within.map((i) => timesSeconds[i]!),
			within.map((i) => co2Ppm[i]!),
			{
				intakePpm: model.intakePpm + of("offset").initial,
				responseSeconds: of("response").initial,
				lengthsSeconds: [...new Set(lengths)],
				infiltrationPerS: of("leak").initial / model.volumeM3,
			},
		);
	};

	const whole = { fromSeconds: 0, toSeconds: timesSeconds.at(-1) ?? 0 };
	const first = search(whole);
	const hasDose = first.steps.some(isDose);
	const follow = Math.max(
		DOSE_SECONDS,
		RESPONSES_AFTER_DOSE * Math.max(first.responseSeconds, of("response").initial),
	);
	const dosed = hasDose ? betweenDoses(first.steps, follow, whole) : whole;
	// A dose is no burst backwards, and spoils what is made of the falls beside it.
	const seen = hasDose ? search(dosed) : first;
	const inside = seen.steps.filter(({ airChanges }) => airChanges > 0);
	const enough = inside.filter(({ atSeconds }) => {
		const rested = atSeconds + longest + seen.responseSeconds;
		return (
			good.filter((i) => timesSeconds[i]! > rested && timesSeconds[i]! <= dosed.toSeconds).length >=
			MIN_SAMPLES_AFTER
		);
	});
	refuseTooFew(enough.length);
	const late = inside.slice(enough.length).map(({ atSeconds }) => atSeconds);
	const before = (longest + stepSeconds) / 2 + seen.responseSeconds / 4;
	const used = { ...dosed, toSeconds: late.length === 0 ? dosed.toSeconds : late[0]! - before };
	const excluded = series.excluded.slice();
	for (const [i, time] of timesSeconds.entries())
		if (time < used.fromSeconds || time > used.toSeconds) excluded[i] = 1;

	// Square bursts about as wide as the real ones.
	const height =
		(Math.max(...enough.map(({ airChanges }) => airChanges)) * model.volumeM3) /
		((model.mixingEfficiency ?? 1) * longest);
	const firstPpm = co2Ppm[excluded.indexOf(0)]!;
	const starts: Readonly<Partial<Record<string, number>>> = {
		flow: height,
		response: seen.responseSeconds,
		initialCo2: Math.max(firstPpm - of("offset").initial, 0),
		initialReading: firstPpm,
	};
	const asked = shared.map((one): Parameter => {
		const initial = starts[one.name];
		if (one.name === "offset") return { ...one, fixed: true };
		return initial === undefined || (one.fixed === true && one.name !== "flow") ? one : { ...one, initial };
	});
	const counted = (found: readonly FoundBurst[]): BurstCount =>
		countBursts(
			model,
			{ timesSeconds, co2Ppm, excluded, stepSeconds },
			asked,
			found.map(({ step }) => step),
			longest,
		);
	const stepPpm = options.exact === true ? 0 : findStep(series);
	const heldOf = ({ estimate }: BurstCount) => withRounding(plan.held, stepPpm, estimate.noisePpm);
	const { isOffsetHeld } = plan;
	const rest = { used, hasDose, late, flow: of("flow"), offset: of("offset"), isOffsetHeld };
	if (column !== null) {
		const found = matchSteps(enough, column, lengths, stepSeconds).filter(
			({ step }) => step.atSeconds > used.fromSeconds && step.atSeconds + longest < used.toSeconds,
		);
		const count = counted(found);
		return { ...rest, count, held: heldOf(count), onSeconds: found.map(({ onSeconds }) => onSeconds) };
	}
	let found: readonly FoundBurst[] = enough.map((step) => ({ step, onSeconds: null }));
	let count = counted(found);
	const air = (k: number) => count.estimate.least.values[count.changesAt + k]!;
	const real = found.filter((_, k) => {
		const error = count.estimate.standardErrors[count.changesAt + k];
		return error == null || air(k) > MIN_STANDARD_ERRORS * error;
	});
	if (real.length < found.length) {
		refuseTooFew(real.length);
		found = real;
		count = counted(found);
	}
	return {
		...rest,
		count,
		held: heldOf(count),
		onSeconds: assignLengths(
			found.map((_, k) => air(k)),
			lengths,
		),
	};
}

function refuseTooFew(bursts: number): void {
	if (bursts < MIN_BURSTS)
		throw new InputError(
			`${bursts === 0 ? "no burst is" : bursts === 1 ? "only one burst is" : `only ${bursts} bursts are`} to be seen in the log; dose the chamber to 3000 ppm, then give at least ${MIN_BURSTS} bursts and wait three to five times the sensor's response after each`,
		);
}

const isDose = ({ airChanges, dropPpm }: ConcentrationStep): boolean =>
	airChanges < -MIN_DOSE_AIR_CHANGES && dropPpm < -MIN_DOSE_PPM;

/** The part between two doses that holds most falls, some time after the first and before the next. */
function betweenDoses(steps: readonly ConcentrationStep[], followSeconds: number, whole: LogPart): LogPart {
	const doses = steps.filter(isDose).map(({ atSeconds }) => atSeconds);
	const parts = [...doses, null].map(
		(dose, k): LogPart => ({
			fromSeconds: k === 0 ? whole.fromSeconds : doses[k - 1]! + followSeconds,
			toSeconds: dose === null ? whole.toSeconds : dose - followSeconds / 2,
		}),
	);
	const holds = ({ fromSeconds, toSeconds }: LogPart) =>
		steps.filter(
			({ atSeconds, airChanges }) => airChanges > 0 && atSeconds > fromSeconds && atSeconds < toSeconds,
		).length;
	return parts.reduce((best, part) => (holds(part) > holds(best) ? part : best));
}

/** A column's bursts, each with the fall that it made, and falls that it does not explain. */
function matchSteps(
	steps: readonly ConcentrationStep[],
	column: readonly ColumnBurst[],
	lengths: readonly number[],
	stepSeconds: number,
): readonly FoundBurst[] {
	const own = column.map(({ fromSeconds, toSeconds }, k) => {
		const atSeconds = (fromSeconds + toSeconds) / 2;
		const made = steps.find(
			(one) => Math.abs(one.atSeconds - atSeconds) <= lengths[k]! + 2 * stepSeconds + 2 * one.offSeconds,
		);
		return {
			made,
			step: {
				atSeconds,
				offSeconds: stepSeconds / 3,
				airChanges: made?.airChanges ?? 0,
				dropPpm: made?.dropPpm ?? 0,
			},
			onSeconds: lengths[k]!,
		};
	});
	const unexplained = steps.filter(
		(step) => step.airChanges > MIN_UNEXPLAINED_AIR_CHANGES && !own.some(({ made }) => made === step),
	);
	return [...own, ...unexplained.map((step) => ({ step, onSeconds: null }))].sort(
		(a, b) => a.step.atSeconds - b.step.atSeconds,
	);
}
