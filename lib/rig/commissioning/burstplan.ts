import { simulate } from "../../solve/simulate.ts";
import { MINUTE } from "../../time.ts";
import { burstFullSpeedSeconds } from "../air/delivery.ts";
import type { SheetFacts } from "./sheetfacts.ts";

/** Bursts of one length. */
export interface BurstGroup {
	readonly onSeconds: number;
	readonly count: number;
	/** Mixed air of one burst over the air of the chamber [-]. */
	readonly airChanges: number;
	/** What is left after each of them [ppm]. */
	readonly readings: readonly number[];
}

/** P5: air changes of a burst, counted. */
export function planBurstsSheet(facts: SheetFacts) {
	const groups = planBursts(facts);
	const pauseSeconds = burstPauseSeconds(facts);
	const bursts = groups?.reduce((sum, { count }) => sum + count, 0) ?? 0;
	const isStill = facts.model.deliveredM3PerS === 0;
	return {
		id: "P5" as const,
		/** null: the bursts of this fan cannot be counted. */
		groups,
		/** Why not. */
		obstacle: groups !== null ? null : isStill ? ("no flow" as const) : ("flow too high" as const),
		pauseSeconds,
		/** One of the groups has the schedule's own on-time. */
		includesSchedule: groups?.some(({ onSeconds }) => onSeconds === facts.cycle?.onSeconds) ?? false,
		durationSeconds: (bursts + 1) * pauseSeconds + 10 * MINUTE,
	};
}

/** Air changes of a burst that are seen and leave enough for the next: least, most and what is aimed at [-]: judgement. */
const MIN_AIR_CHANGES = 0.08;
const MAX_AIR_CHANGES = 0.25;
const TARGET_AIR_CHANGES = 0.15;
/** Excess that must be left before the last burst [ppm], and bursts of each length: judgement. */
const MIN_LEFT_PPM = 120;
const BURSTS_PER_LENGTH = 5;
const MIN_BURSTS = 3;
/** The air of a burst shorter than this is very uncertain, longer than this is not counted by hand [s]. */
const MIN_BURST_SECONDS = 3;
const MAX_BURST_SECONDS = 600;

/** After each burst the sensor comes to rest, then some samples are taken for the plateau [s]. */
const burstPauseSeconds = ({ sensor: { waitSeconds, maxSampleIntervalSeconds } }: SheetFacts): number =>
	Math.ceil((waitSeconds + 8 * maxSampleIntervalSeconds) / 30) * 30;

/**
 * Bursts to be counted in the empty, dosed chamber: some of a short length, then some of one about three times as long where enough is
 * left for them. One of the two lengths is the schedule's own wherever it can be counted.
 * @returns null when the fan moves nothing, or so much that three bursts leave nothing to count
 */
function planBursts(facts: SheetFacts): readonly BurstGroup[] | null {
	const { emptyModel, cycle, dosing } = facts;
	const { volumeM3, deliveredM3PerS, mixingEfficiency = 1, intakePpm } = emptyModel;
	if (!(deliveredM3PerS > 0)) return null;
	const pause = burstPauseSeconds(facts);
	const changes = (onSeconds: number): number =>
		(mixingEfficiency * deliveredM3PerS * burstFullSpeedSeconds(emptyModel, onSeconds, pause)) / volumeM3;
	const isCountable = (onSeconds: number): boolean =>
		onSeconds >= MIN_BURST_SECONDS &&
		changes(onSeconds) >= MIN_AIR_CHANGES &&
		changes(onSeconds) <= MAX_AIR_CHANGES;
	const own = cycle?.onSeconds ?? 0;
	const third = Math.round(own / 3);
	const made = Math.round(
		(TARGET_AIR_CHANGES * volumeM3) / (mixingEfficiency * deliveredM3PerS) +
			(emptyModel.spinUpTauSeconds ?? 0),
	);
	const short = isCountable(own)
		? own
		: isCountable(third)
			? third
			: Math.min(MAX_BURST_SECONDS, Math.max(MIN_BURST_SECONDS, made));
	const long = short === third ? own : 3 * short;

	const room = Math.log((dosing.targetPpm - intakePpm) / MIN_LEFT_PPM);
	const one = changes(short);
	const count = Math.min(BURSTS_PER_LENGTH, Math.floor(room / one) + 1);
	if (count < MIN_BURSTS) return null;
	const more =
		count < BURSTS_PER_LENGTH
			? 0
			: Math.min(BURSTS_PER_LENGTH, Math.max(0, Math.floor((room - count * one) / changes(long)) + 1));
	const groups = [
		{ onSeconds: short, count, airChanges: one },
		...(more > 0 ? [{ onSeconds: long, count: more, airChanges: changes(long) }] : []),
	];
	return withReadings(groups, facts, pause);
}

function withReadings(
	groups: readonly Omit<BurstGroup, "readings">[],
	{ emptyModel, dosing }: SheetFacts,
	pause: number,
): readonly BurstGroup[] {
	const switchSeconds: number[] = [];
	const afterSeconds: number[] = [];
	for (const { onSeconds, count } of groups)
		for (let k = 0; k < count; k++) {
			const start = afterSeconds.at(-1) ?? pause;
			switchSeconds.push(start, start + onSeconds);
			afterSeconds.push(start + onSeconds + pause);
		}
	const { co2Ppm } = simulate(
		emptyModel,
		{ kind: "switches", switchSeconds, startsWith: "off" },
		{ startPpm: dosing.targetPpm, durationSeconds: afterSeconds.at(-1)!, sampleTimes: afterSeconds },
	);
	const first = groups[0]!.count;
	return groups.map((group, place) => ({
		...group,
		readings: Array.from(place === 0 ? co2Ppm.slice(0, first) : co2Ppm.slice(first)),
	}));
}
