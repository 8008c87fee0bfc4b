import type { CleanSeries } from "../../logs/log.ts";
import { quantile } from "../../statistics/quantile.ts";

/** What a chamber does between two disturbances. */
export interface ChamberPace {
	/** Mean air changes, fan and leak [1/s]. */
	readonly airChangesPerS: number;
	readonly responseSeconds: number;
}

/** A stretch of time [s since the first sample]. */
type Stretch = CleanSeries["exclusions"][number]["intervals"][number];

/** A door moves the readings away from the model by so many ppm and spreads of what it differs by elsewhere, within this time and the sensor's response [s]. */
const MIN_JUMP_PPM = 30;
const JUMP_SPREADS = 8;
const DOOR_SECONDS = 120;
/** The chamber has recovered when so small a share of the spread is left of the jump; the sensor follows some responses later. */
const RECOVERED_SHARE = 0.25;
const RESPONSES = 3;
/** What stays of a jump once the chamber has recovered is no door. */
const MAX_LASTING_SHARE = 0.4;
/** More doors, or a larger share of the log, is a model that does not follow. */
const MAX_DOORS = 12;
const MAX_SHARE = 0.4;

/**
 * Doors and lids: from where the readings leave the model until the chamber has recovered from it, by its own air changes. Those that
 * cleaning saw are among them.
 * @param readingPpm what the model says at all samples
 */
export function findRecoveries(
	{ timesSeconds, co2Ppm, excluded, exclusions, log }: CleanSeries,
	readingPpm: Float64Array,
	{ airChangesPerS, responseSeconds }: ChamberPace,
): readonly Stretch[] {
	const step = log.sampleIntervalSeconds;
	const known = exclusions.flatMap((one) => (one.reason === "door opening" ? one.intervals : []));
	const isDoor = (time: number) =>
		known.some(({ fromSeconds, toSeconds }) => time >= fromSeconds && time <= toSeconds);
	const at: number[] = [];
	for (let i = 0; i < timesSeconds.length; i++) if (excluded[i] === 0 || isDoor(timesSeconds[i]!)) at.push(i);
	const off = Float64Array.from(at, (i) => co2Ppm[i]! - readingPpm[i]!);
	const reach = Math.max(1, Math.round((DOOR_SECONDS + responseSeconds) / step));
	const jumps = off.map((ppm, k) => (k < reach ? 0 : ppm - off[k - reach]!));
	const spread = Math.max(quantile(jumps.map(Math.abs).sort(), 0.5) / 0.6745, 1);
	const least = Math.max(MIN_JUMP_PPM, JUMP_SPREADS * spread);
	const level = (from: number, to: number): number =>
		quantile(off.filter((_, k) => timesSeconds[at[k]!]! >= from && timesSeconds[at[k]!]! <= to).sort(), 0.5);
	const found: Stretch[] = [];
	for (let k = reach; k < at.length; k++) {
		const time = timesSeconds[at[k]!]!;
		const seen = known.find(({ fromSeconds, toSeconds }) => time >= fromSeconds && time <= toSeconds);
		if (seen === undefined && !(Math.abs(jumps[k]!) > least)) continue;
		const fromSeconds = seen?.fromSeconds ?? timesSeconds[at[k - reach]!]!;
		// The farthest that the readings get while they still run away.
		const before = level(fromSeconds - (2 * reach + 4) * step, fromSeconds - step) || 0;
		let last = k;
		while (
			last + 1 < at.length &&
			(isDoor(timesSeconds[at[last + 1]!]!) || Math.abs(jumps[last + 1]!) > least)
		)
			last++;
		let farthest = k;
		for (let j = k; j <= last; j++)
			if (Math.abs(off[j]! - before) > Math.abs(off[farthest]! - before)) farthest = j;
		const jump = Math.abs(off[farthest]! - before);
		const lasts = Math.log(Math.max(jump / (RECOVERED_SHARE * spread), 1)) / airChangesPerS;
		const toSeconds = timesSeconds[at[farthest]!]! + lasts + RESPONSES * responseSeconds;
		const after = level(toSeconds, toSeconds + Math.max(lasts, 10 * step));
		if (seen !== undefined || !(Math.abs(after - before) > MAX_LASTING_SHARE * jump)) {
			const previous = found.at(-1);
			if (previous !== undefined && fromSeconds <= previous.toSeconds)
				found[found.length - 1] = { ...previous, toSeconds: Math.max(previous.toSeconds, toSeconds) };
			else found.push({ fromSeconds, toSeconds });
			while (k + 1 < at.length && timesSeconds[at[k + 1]!]! <= toSeconds) k++;
		}
		k = Math.max(k, last);
	}
	const total = found.reduce((sum, { fromSeconds, toSeconds }) => sum + toSeconds - fromSeconds, 0);
	return found.length > MAX_DOORS || total > MAX_SHARE * (timesSeconds.at(-1)! - timesSeconds[0]!)
		? known
		: found;
}
