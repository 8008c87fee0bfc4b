import { InputError } from "../../errors.ts";
import { formatDuration } from "../../units/format.ts";
import { readFanColumn, type TimerSetting } from "../columns/fancolumn.ts";
import {
	type Channel,
	type CleanSeries,
	type Exclusion,
	type ExclusionReason,
	exclusionReasons,
	type Log,
} from "../log.ts";
import { findPeriod } from "../times/period.ts";
import { findBaselineSteps, firstAtOrAfter, STEP_PPM } from "./baseline.ts";
import { clippedAt, MIN_CLIPPED } from "./clipping.ts";
import {
	findOffPattern,
	findSpikes,
	type Interval,
	OFF_PPM,
	OFF_SHARE,
	OFF_SIGMAS,
	OUTLIER_SAMPLES,
	SPIKE_PPM,
	SPIKE_SIGMAS,
} from "./disturbances.ts";
import { findResolution, findStuckRuns, MIN_STUCK, MIN_STUCK_SECONDS, STUCK_JUMP_PPM } from "./flatruns.ts";

/** What cleaning may be told. */
export interface CleanOptions {
	/** CO2 channel by its name or a part of it. Default: the chamber's. */
	readonly column?: string;
	/** Reasons for which nothing is left out; values that are missing stay so. */
	readonly keep?: readonly ExclusionReason[];
	/** First stretch to leave out [s]. */
	readonly warmUpSeconds?: number;
	/** The timer's setting, by which bursts and a fan column are judged; else the pattern of the log itself. */
	readonly schedule?: TimerSetting;
}

/** No air is as poor in CO2: readings below it at the start are a sensor that warms up [ppm]. */
const MIN_AIR_PPM = 300;

/**
 * Makes one CO2 channel of a log ready for a fit: marks what is no measurement of the chamber's pattern, each for a stated reason.
 * Nothing is changed or filled in. Throws InputError for a column that is not there.
 */
export function cleanSeries(log: Log, options: CleanOptions = {}): CleanSeries {
	const { timesSeconds, sampleIntervalSeconds } = log;
	const channel = findChannel(log, options.column);
	const co2Ppm = channel.values;
	const excluded = new Uint8Array(co2Ppm.length);
	/** What no rule has left out so far, NaN for the rest. */
	const usable = co2Ppm.slice();
	const rules = new Map<ExclusionReason, string>();
	const keep = new Set(options.keep ?? []);
	const mark = (reason: ExclusionReason, from: number, to: number): void => {
		const code = exclusionReasons.indexOf(reason) + 1;
		for (let i = from; i < to; i++) {
			if (excluded[i] === 0) excluded[i] = code;
			usable[i] = Number.NaN;
		}
	};
	const rule = (reason: ExclusionReason, words: string, find: () => void): void => {
		rules.set(reason, words);
		if (!keep.has(reason)) find();
	};

	rules.set("missing", "no usable value in the file");
	for (let i = 0; i < co2Ppm.length; i++) if (Number.isNaN(co2Ppm[i]!)) mark("missing", i, i + 1);

	const resolutionPpm = findResolution(co2Ppm);
	const clipped = clippedAt(co2Ppm);
	if (clipped !== null) {
		const { ceilingPpm, above } = clipped;
		const exceeded =
			above === 0
				? "never exceeds"
				: `exceeds in ${above === 1 ? "one stray reading" : `${above} stray readings`} only`;
		rule(
			"clipped",
			`at the ceiling of ${ceilingPpm} ppm, which the log ${exceeded} and reaches in flat runs of ${MIN_CLIPPED} samples or more`,
			() => {
				for (let i = 0; i < co2Ppm.length; i++) if (co2Ppm[i]! >= ceilingPpm) mark("clipped", i, i + 1);
			},
		);
	}

	const { warmUpSeconds } = options;
	rule(
		"warm-up",
		warmUpSeconds === undefined
			? `below ${MIN_AIR_PPM} ppm at the start and never again: no air has so little CO2`
			: `in the first ${formatDuration(warmUpSeconds)}, as asked`,
		() =>
			mark(
				"warm-up",
				0,
				warmUpSeconds === undefined ? findLowStart(co2Ppm) : firstAtOrAfter(timesSeconds, warmUpSeconds),
			),
	);

	const { schedule } = options;
	const nominal = schedule === undefined ? null : schedule.onSeconds + schedule.offSeconds;
	const periodSeconds = findPeriod(timesSeconds, usable, sampleIntervalSeconds, nominal);

	rule(
		"stuck",
		`the same value in ${MIN_STUCK} samples and ${periodSeconds === null ? formatDuration(MIN_STUCK_SECONDS) : "one and a half cycles"} or more, far longer than elsewhere, and left or entered with a jump of over ${STUCK_JUMP_PPM} ppm`,
		() => {
			for (const { from, to } of findStuckRuns(timesSeconds, usable, periodSeconds, resolutionPpm))
				mark("stuck", from, to);
		},
	);

	let isolated: readonly Interval[] = [];
	if (periodSeconds !== null) {
		rule(
			"baseline step",
			`beyond a step of all readings by over ${STEP_PPM} ppm at once and for good, as sensors take that set their own baseline; the longest stretch between such steps is kept`,
			() => {
				const steps = findBaselineSteps(
					timesSeconds,
					usable,
					periodSeconds,
					sampleIntervalSeconds,
					resolutionPpm,
				);
				const boundaries = [0, ...steps, co2Ppm.length];
				const lengths = boundaries.slice(1).map((edge, k) => edge - boundaries[k]!);
				const longest = lengths.indexOf(Math.max(...lengths));
				mark("baseline step", 0, boundaries[longest]!);
				mark("baseline step", boundaries[longest + 1]!, co2Ppm.length);
			},
		);
		const events = findOffPattern(timesSeconds, usable, periodSeconds, sampleIntervalSeconds, resolutionPpm);
		const away = `by over ${OFF_PPM} ppm, ${OFF_SHARE * 100} % and ${OFF_SIGMAS} standard deviations outside what the three cycles before and after have at that phase`;
		rule("door opening", `${OUTLIER_SAMPLES + 1} samples or more ${away}: a door, or breath`, () => {
			for (const { from, to } of events) if (to - from >= OUTLIER_SAMPLES) mark("door opening", from, to + 1);
		});
		isolated = events.filter(({ from, to }) => to - from < OUTLIER_SAMPLES);
	}
	const outOfCycle =
		isolated.length === 0 ? "" : ", or lie as far outside the neighbouring cycles as a door opening";
	rule(
		"outlier",
		`one or two samples that leave both neighbours by over ${SPIKE_PPM} ppm and ${SPIKE_SIGMAS} standard deviations, far more than elsewhere in the log${outOfCycle}`,
		() => {
			for (const { from, to } of [
				...isolated,
				...findSpikes(timesSeconds, usable, sampleIntervalSeconds, resolutionPpm),
			])
				mark("outlier", from, to + 1);
		},
	);

	const warnings: string[] = [];
	const fan = readFan(log, schedule ?? null, periodSeconds, warnings);
	warnPinned(co2Ppm, warnings);
	return {
		log,
		channel,
		timesSeconds,
		co2Ppm,
		excluded,
		exclusions: exclusionReasons.flatMap((reason) => listExclusion(reason, rules, excluded, timesSeconds)),
		fan,
		warnings,
	};
}

/** The CO2 channel that is asked for, or the chamber's. Throws InputError. */
function findChannel(log: Log, asked: string | undefined): Channel {
	const co2 = log.channels.filter(({ kind }) => kind === "co2");
	if (asked === undefined) return co2.find(({ place }) => place === "chamber") ?? co2[0]!;
	const wanted = asked.trim().toLowerCase();
	const found =
		co2.find(({ name, column }) => name.toLowerCase() === wanted || `column ${column + 1}` === wanted) ??
		co2.find(({ name }) => wanted !== "" && name.toLowerCase().includes(wanted));
	if (found !== undefined) return found;
	const list = co2.map(({ name }) => `"${name}"`).join(", ");
	throw new InputError([
		{ file: log.fileName, path: "column", message: `no CO2 column is called "${asked}"; there are ${list}` },
	]);
}

/** Samples at the start that are below any air, when none is later. */
function findLowStart(ppm: Float64Array): number {
	let end = 0;
	while (end < ppm.length && !(ppm[end]! >= MIN_AIR_PPM)) end++;
	for (let i = end; i < ppm.length; i++) if (ppm[i]! < MIN_AIR_PPM) return 0;
	return end === ppm.length ? 0 : end;
}

function readFan(
	log: Log,
	setting: TimerSetting | null,
	periodSeconds: number | null,
	warnings: string[],
): CleanSeries["fan"] {
	const channel = log.channels.find(({ kind }) => kind === "fan");
	if (channel === undefined) return null;
	const run = readFanColumn(log.timesSeconds, channel.values, setting, periodSeconds);
	if (!("refused" in run)) return run;
	warnings.push(run.refused);
	return null;
}

function warnPinned(ppm: Float64Array, warnings: string[]): void {
	let least = Number.POSITIVE_INFINITY;
	let count = 0;
	for (const value of ppm)
		if (value < least) [least, count] = [value, 1];
		else if (value === least) count++;
	if (least === 400 && count >= 3)
		warnings.push(
			`the lowest reading is 400 ppm, ${count} times: the mark of an automatic baseline, which is wrong in a chamber that never sees outdoor air; switch it off and recalibrate outdoors`,
		);
}

function listExclusion(
	reason: ExclusionReason,
	rules: ReadonlyMap<ExclusionReason, string>,
	excluded: Uint8Array,
	times: Float64Array,
): Exclusion[] {
	const code = exclusionReasons.indexOf(reason) + 1;
	const intervals: { fromSeconds: number; toSeconds: number }[] = [];
	let count = 0;
	for (let i = 0; i < excluded.length; i++) {
		if (excluded[i] !== code) continue;
		const from = i;
		while (i + 1 < excluded.length && excluded[i + 1] === code) i++;
		count += i - from + 1;
		intervals.push({ fromSeconds: times[from]!, toSeconds: times[i]! });
	}
	return count === 0 ? [] : [{ reason, rule: rules.get(reason) ?? reason, count, intervals }];
}
