import { simulate } from "../../solve/simulate.ts";
import { burstSeconds } from "../air/delivery.ts";
import type { Facts } from "./sheetfacts.ts";

/** Bursts of one length. */
export interface BurstGroup {
	readonly onSeconds: number;
	readonly count: number;
	/** Mixed air of one burst over the air of the chamber [-]. */
	readonly airChanges: number;
	/** What is left after each of them [ppm]. */
	readonly readings: readonly number[];
}

/** Air changes of a burst that are seen and leave enough for the next: least, most and what is aimed at [-]: judgement. */
const LEAST = 0.08;
const MOST = 0.25;
const AIM = 0.15;
/** Excess that must be left before the last burst [ppm], and bursts of each length: judgement. */
const LEFT_PPM = 120;
const COUNT = 5;
const FEWEST = 3;
/** A burst shorter than this is anyone's guess, longer than this is not counted by hand [s]. */
const SHORTEST = 3;
const LONGEST = 600;

/** After each burst the sensor comes to rest, then some samples are taken for the plateau [s]. */
export const burstPauseSeconds = ({ waitSeconds, stepSeconds }: Facts): number =>
	Math.ceil((waitSeconds + 8 * stepSeconds) / 30) * 30;

/**
 * Bursts to be counted in the empty, dosed chamber: some of a short length, then some of one about three times as long where enough is
 * left for them. One of the two lengths is the schedule's own wherever it can be counted.
 * @returns null when the fan moves nothing, or so much that three bursts leave nothing to count
 */
export function planBursts(facts: Facts): readonly BurstGroup[] | null {
	const { emptyModel, cycle, dosing } = facts;
	const { volumeM3, fanM3PerS, mixing = 1, supplyPpm } = emptyModel;
	if (!(fanM3PerS > 0)) return null;
	const pause = burstPauseSeconds(facts);
	const changes = (onSeconds: number): number =>
		(mixing * fanM3PerS * burstSeconds(emptyModel, onSeconds, pause)) / volumeM3;
	const countable = (onSeconds: number): boolean =>
		onSeconds >= SHORTEST && changes(onSeconds) >= LEAST && changes(onSeconds) <= MOST;
	const own = cycle?.onSeconds ?? 0;
	const third = Math.round(own / 3);
	const made = Math.round((AIM * volumeM3) / (mixing * fanM3PerS) + (emptyModel.spinUpSeconds ?? 0));
	const short = countable(own) ? own : countable(third) ? third : Math.min(LONGEST, Math.max(SHORTEST, made));
	const long = short === third ? own : 3 * short;

	const room = Math.log((dosing.levelPpm - supplyPpm) / LEFT_PPM);
	const one = changes(short);
	const count = Math.min(COUNT, Math.floor(room / one) + 1);
	if (count < FEWEST) return null;
	const more =
		count < COUNT ? 0 : Math.min(COUNT, Math.max(0, Math.floor((room - count * one) / changes(long)) + 1));
	const groups = [
		{ onSeconds: short, count, airChanges: one },
		...(more > 0 ? [{ onSeconds: long, count: more, airChanges: changes(long) }] : []),
	];
	return withReadings(groups, facts, pause);
}

function withReadings(
	groups: readonly Omit<BurstGroup, "readings">[],
	{ emptyModel, dosing }: Facts,
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
		{ startPpm: dosing.levelPpm, durationSeconds: afterSeconds.at(-1)!, sampleTimes: afterSeconds },
	);
	const first = groups[0]!.count;
	return groups.map((group, place) => ({
		...group,
		readings: Array.from(place === 0 ? co2Ppm.slice(0, first) : co2Ppm.slice(first)),
	}));
}
