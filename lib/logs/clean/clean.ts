import { InputError } from "../../errors.ts";
import { type OnOffSeconds, readFanColumn } from "../columns/fancolumn.ts";
import {
	type Channel,
	type CleanSeries,
	type Exclusion,
	type ExclusionReason,
	type ExclusionRule,
	exclusionReasons,
	type FanState,
	type Log,
	type SeriesWarning,
} from "../log.ts";
import { findPeriod } from "../times/period.ts";
import { findBaselineSteps, firstAtOrAfter, STEP_PPM } from "./baseline.ts";
import { clippedAt, MIN_CLIPPED } from "./clipping.ts";
import {
	CYCLES,
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
import { findResolution, findStuckRuns, MIN_STUCK, minStuckSeconds, STUCK_JUMP_PPM } from "./flatruns.ts";

/** What cleaning may be told. */
export interface CleanOptions {
	/** CO2 channel by its name or a part of it. Default: the chamber's. */
	readonly column?: string;
	/** Reasons for which nothing is excluded; values that are missing stay so. */
	readonly keep?: readonly ExclusionReason[];
	/** First part of the log to exclude [s]. */
	readonly warmUpSeconds?: number;
	/** The timer's setting, by which bursts and a fan column are judged; else the pattern of the log itself. */
	readonly schedule?: OnOffSeconds;
	/** What the fan column tells, or that it is not used. Default: as it looks. */
	readonly fanState?: FanState | "ignore" | undefined;
	/** The fan ran by no single cycle, such as by another at night, so no reading stands out from a pattern. */
	readonly isAperiodic?: boolean;
}

/** No air is as poor in CO2: readings below it at the start are a sensor that warms up [ppm]. */
const MIN_AIR_PPM = 300;

/**
 * Makes one CO2 channel of a log ready for a fit: marks what is no measurement of the chamber's pattern, each for a stated reason.
 * Nothing is changed or filled in.
 *
 * @param log as `readLog` gives it
 * @param options which column, which reasons to keep, the schedule that ran
 * @returns times [s], CO2 [ppm] and what is excluded, with reasons
 * @throws InputError for a column that is not there
 *
 * Source: this project; rules by common practice, no source.
 * @example cleanSeries(readLog("minutes,CO2 (ppm)\n0,500\n1,510\n2,520\n3,531\n4,540")).excluded.length // => 5
 */
export function cleanSeries(log: Log, options: CleanOptions = {}): CleanSeries {
	const { timesSeconds, sampleIntervalSeconds } = log;
	const channel = findChannel(log, options.column);
	const co2Ppm = channel.values;
	const excluded = new Uint8Array(co2Ppm.length);
	/** What no rule has excluded so far, NaN for the rest. */
	const usable = co2Ppm.slice();
	const rules: ExclusionRule[] = [];
	const keep = new Set(options.keep ?? []);
	const mark = (reason: ExclusionReason, from: number, to: number): void => {
		const code = exclusionReasons.indexOf(reason) + 1;
		for (let i = from; i < to; i++) {
			if (excluded[i] === 0) excluded[i] = code;
			usable[i] = Number.NaN;
		}
	};
	const apply = (rule: ExclusionRule, find: () => void): void => {
		rules.push(rule);
		if (!keep.has(rule.reason)) find();
	};

	rules.push({ reason: "missing" });
	for (let i = 0; i < co2Ppm.length; i++) if (Number.isNaN(co2Ppm[i]!)) mark("missing", i, i + 1);

	const resolutionPpm = findResolution(co2Ppm);
	const clipped = clippedAt(co2Ppm);
	if (clipped !== null) {
		const { limitPpm, strayReadings } = clipped;
		apply({ reason: "clipped", limitPpm, strayReadings, minReadings: MIN_CLIPPED }, () => {
			for (let i = 0; i < co2Ppm.length; i++) if (co2Ppm[i]! >= limitPpm) mark("clipped", i, i + 1);
		});
	}

	const { warmUpSeconds } = options;
	apply({ reason: "warm-up", firstSeconds: warmUpSeconds ?? null, belowPpm: MIN_AIR_PPM }, () =>
		mark(
			"warm-up",
			0,
			warmUpSeconds === undefined ? findLowStart(co2Ppm) : firstAtOrAfter(timesSeconds, warmUpSeconds),
		),
	);

	const { schedule, isAperiodic = false } = options;
	const nominal = schedule === undefined ? null : schedule.onSeconds + schedule.offSeconds;
	const periodSeconds = isAperiodic ? null : findPeriod(timesSeconds, usable, sampleIntervalSeconds, nominal);

	const minSeconds = minStuckSeconds(periodSeconds);
	apply({ reason: "stuck", minReadings: MIN_STUCK, minSeconds, jumpPpm: STUCK_JUMP_PPM }, () => {
		for (const { from, to } of findStuckRuns(timesSeconds, usable, minSeconds, resolutionPpm))
			mark("stuck", from, to);
	});

	let isolated: readonly Interval[] = [];
	if (periodSeconds !== null) {
		apply({ reason: "baseline step", stepPpm: STEP_PPM }, () => {
			const steps = findBaselineSteps(
				timesSeconds,
				usable,
				periodSeconds,
				sampleIntervalSeconds,
				resolutionPpm,
			);
			// The longest stretch between such steps is kept.
			const boundaries = [0, ...steps, co2Ppm.length];
			const lengths = boundaries.slice(1).map((edge, k) => edge - boundaries[k]!);
			const longest = lengths.indexOf(Math.max(...lengths));
			mark("baseline step", 0, boundaries[longest]!);
			mark("baseline step", boundaries[longest + 1]!, co2Ppm.length);
		});
		const events = findOffPattern(timesSeconds, usable, periodSeconds, sampleIntervalSeconds, resolutionPpm);
		apply(DOOR_OPENING, () => {
			for (const { from, to } of events) if (to - from >= OUTLIER_SAMPLES) mark("door opening", from, to + 1);
		});
		isolated = events.filter(({ from, to }) => to - from < OUTLIER_SAMPLES);
	}
	apply(
		{
			reason: "outlier",
			maxReadings: OUTLIER_SAMPLES,
			offPpm: SPIKE_PPM,
			offSigmas: SPIKE_SIGMAS,
			isOutsideCycles: isolated.length > 0,
		},
		() => {
			for (const { from, to } of [
				...isolated,
				...findSpikes(timesSeconds, usable, sampleIntervalSeconds, resolutionPpm),
			])
				mark("outlier", from, to + 1);
		},
	);

	const fan =
		options.fanState === "ignore" ? null : readFan(log, schedule ?? null, periodSeconds, options.fanState);
	return {
		log,
		channel,
		timesSeconds,
		co2Ppm,
		excluded,
		exclusions: rules
			.sort((a, b) => exclusionReasons.indexOf(a.reason) - exclusionReasons.indexOf(b.reason))
			.flatMap((rule) => listExclusion(rule, excluded, timesSeconds)),
		fan: fan === null || "fault" in fan ? null : fan,
		warnings: [
			...(fan !== null && "fault" in fan ? [{ code: "fan column", ...fan } as const] : []),
			...findPinnedBaseline(co2Ppm),
		],
	};
}

const DOOR_OPENING = {
	reason: "door opening",
	minReadings: OUTLIER_SAMPLES + 1,
	offPpm: OFF_PPM,
	offShare: OFF_SHARE,
	offSigmas: OFF_SIGMAS,
	cycles: CYCLES,
} as const;

/** The series with these stretches excluded as door openings, and no others [s since the first sample]. */
export function excludeDoorOpenings(series: CleanSeries, stretches: Exclusion["intervals"]): CleanSeries {
	const { timesSeconds } = series;
	const code = exclusionReasons.indexOf("door opening") + 1;
	const excluded = series.excluded.map((one, i) => {
		if (one !== 0 && one !== code) return one;
		const time = timesSeconds[i]!;
		const isInside = stretches.some(({ fromSeconds, toSeconds }) => time >= fromSeconds && time <= toSeconds);
		return isInside ? code : 0;
	});
	const others = series.exclusions.filter(({ reason }) => reason !== "door opening");
	return {
		...series,
		excluded,
		exclusions: [...others, ...listExclusion(DOOR_OPENING, excluded, timesSeconds)].sort(
			(a, b) => exclusionReasons.indexOf(a.reason) - exclusionReasons.indexOf(b.reason),
		),
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

const readFan = (
	log: Log,
	setting: OnOffSeconds | null,
	periodSeconds: number | null,
	state: FanState | undefined,
): ReturnType<typeof readFanColumn> | null => {
	const channel = log.channels.find(({ kind }) => kind === "fan");
	return channel === undefined
		? null
		: readFanColumn(log.timesSeconds, channel.values, setting, periodSeconds, state);
};

/** An automatic baseline takes the lowest reading for outdoor air and shows that as 400 ppm; one such reading may be chance [ppm]. */
const BASELINE_PPM = 400;
const MIN_PINNED = 3;

function findPinnedBaseline(ppm: Float64Array): SeriesWarning[] {
	let least = Number.POSITIVE_INFINITY;
	let count = 0;
	for (const value of ppm)
		if (value < least) [least, count] = [value, 1];
		else if (value === least) count++;
	return least === BASELINE_PPM && count >= MIN_PINNED
		? [{ code: "automatic baseline", baselinePpm: BASELINE_PPM, count }]
		: [];
}

function listExclusion(rule: ExclusionRule, excluded: Uint8Array, times: Float64Array): Exclusion[] {
	const code = exclusionReasons.indexOf(rule.reason) + 1;
	const intervals: { fromSeconds: number; toSeconds: number }[] = [];
	let count = 0;
	for (let i = 0; i < excluded.length; i++) {
		if (excluded[i] !== code) continue;
		const from = i;
		while (i + 1 < excluded.length && excluded[i + 1] === code) i++;
		count += i - from + 1;
		intervals.push({ fromSeconds: times[from]!, toSeconds: times[i]! });
	}
	return count === 0 ? [] : [{ ...rule, count, intervals }];
}
