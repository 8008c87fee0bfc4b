import { quantile } from "../../statistics/quantile.ts";
import type { CleanSeries, FanColumnFault, FanState } from "../log.ts";
import { timeSwitchings } from "./fantiming.ts";
import { bracketFractions, bracketStates, fractionError, looksLikeFractions } from "./switchbrackets.ts";

/** Fewest samples of a burst by which its length can be told. */
const MIN_SAMPLES = 3;
/** How far duty and number of bursts may be off the schedule. */
const MAX_DUTY_ERROR = 0.3;
const MAX_BURSTS_ERROR = 0.15;

type LoggedSwitches = NonNullable<CleanSeries["fan"]>;

/** On- and off-time of the timer, by which a fan column is judged. */
export interface OnOffSeconds {
	readonly onSeconds: number;
	readonly offSeconds: number;
}

/**
 * Switch instants of a fan column and how far they may be off; or why the column cannot have caught the bursts.
 * @param asked what its states are; null: found where it can be
 */
export function readFanColumn(
	times: Float64Array,
	values: Float64Array,
	setting: OnOffSeconds | null,
	periodSeconds: number | null,
	asked: FanState | null = null,
): LoggedSwitches | FanColumnFault {
	const isKnown = (i: number): boolean => !Number.isNaN(values[i]!);
	const knownTimes = times.filter((_, i) => isKnown(i));
	const known = values.filter((value) => !Number.isNaN(value));
	if (known.length < 2) return { fault: "no states" };
	const steps = knownTimes
		.slice(1)
		.map((time, k) => time - knownTimes[k]!)
		.sort();
	const step = quantile(steps, 0.5);
	const state = asked ?? (looksLikeFractions(known) ? "fraction" : null);
	const isFraction = state === "fraction";
	const errorShare = isFraction ? fractionError([...known]) : 0;
	const { onAtStart, brackets } = isFraction
		? bracketFractions(knownTimes, known, errorShare)
		: { onAtStart: known[0]! > 0, brackets: bracketStates(knownTimes, known, state ?? "now") };
	if (brackets.length === 0) {
		if (!onAtStart) return { fault: "never on", everySeconds: step };
		if (setting !== null || periodSeconds !== null) return { fault: "always on" };
		return { onAtStart, switchesSeconds: [] };
	}
	const middles = brackets.map(({ fromSeconds, toSeconds }) => (fromSeconds + toSeconds) / 2);
	const { on, off } = measureOnOff(middles, onAtStart);
	if (on.length === 0) return { fault: "no whole burst" };
	const usualOn = median(on);
	const shownOn = usualOn + (state === "since" ? step : 0);
	if (!isFraction && shownOn < (MIN_SAMPLES - 0.5) * step)
		return { fault: "bursts too short for its steps", everySeconds: step };
	const shortest = Math.min(shownOn, off.length === 0 ? shownOn : median(off));
	const longestStep = steps.at(-1)!;
	if (longestStep > Math.max(1.5 * step, 0.5 * shortest)) return { fault: "gap", gapSeconds: longestStep };
	const span = knownTimes.at(-1)! - knownTimes[0]!;
	const expected = setting === null ? periodSeconds : setting.onSeconds + setting.offSeconds;
	const cycles = expected === null ? null : span / expected;
	if (cycles !== null && Math.abs(on.length - cycles) > Math.max(1.5, MAX_BURSTS_ERROR * cycles))
		return {
			fault: "number of bursts",
			bursts: on.length,
			expectedBursts: Math.round(cycles),
			expectedBy: setting === null ? "CO2" : "schedule",
		};
	const scheduled = setting?.onSeconds ?? null;
	if (scheduled !== null) {
		const slack = MAX_DUTY_ERROR * scheduled + step;
		// Of states of an unknown kind the fan may have run a step less.
		const least = state === null ? usualOn - step : usualOn;
		if (usualOn < scheduled - slack || least > scheduled + slack)
			return { fault: "on-time", onSeconds: usualOn, scheduledSeconds: scheduled };
	}
	// Fractions add up to an on-time of their own.
	const summed = on.reduce((sum, seconds) => sum + seconds, 0) / on.length;
	const isAsScheduled = scheduled !== null && Math.abs(summed - scheduled) <= 2 * errorShare * step;
	const onSeconds = isFraction && !isAsScheduled ? summed : scheduled;
	return { onAtStart, ...timeSwitchings(brackets, state, step, onSeconds) };
}

const median = (values: readonly number[]): number =>
	quantile(
		[...values].sort((a, b) => a - b),
		0.5,
	);

/** Lengths of the whole stretches on and off [s]. */
function measureOnOff(
	switches: readonly number[],
	onAtStart: boolean,
): { readonly on: readonly number[]; readonly off: readonly number[] } {
	const on: number[] = [];
	const off: number[] = [];
	for (let k = 1; k < switches.length; k++) {
		// The state before switch 0 is that at the start.
		const isOn = onAtStart === (k % 2 === 0);
		(isOn ? on : off).push(switches[k]! - switches[k - 1]!);
	}
	return { on, off };
}
