import { quantile } from "../../statistics/quantile.ts";

import type { CleanSeries, FanColumnFault } from "../log.ts";

/** Fewest samples of a burst by which its length can be told. */
const MIN_SAMPLES = 3;
/** How far duty and number of bursts may be off the schedule. */
const MAX_DUTY_ERROR = 0.3;
const MAX_BURSTS_ERROR = 0.15;

type LoggedSwitches = NonNullable<CleanSeries["fan"]>;

/** A timer's setting, by which a fan column is judged. */
export interface TimerSetting {
	readonly onSeconds: number;
	readonly offSeconds: number;
}

/**
 * Switch instants of a fan column, each in the middle between two samples; or why the column cannot have caught the bursts.
 */
export function readFanColumn(
	times: Float64Array,
	states: Float64Array,
	setting: TimerSetting | null,
	periodSeconds: number | null,
): LoggedSwitches | FanColumnFault {
	const known: number[] = [];
	for (let i = 0; i < states.length; i++) if (!Number.isNaN(states[i]!)) known.push(i);
	if (known.length < 2) return { fault: "no states" };
	const steps = Float64Array.from(known.slice(1), (i, k) => times[i]! - times[known[k]!]!).sort();
	const step = quantile(steps, 0.5);
	const switches: number[] = [];
	for (let k = 1; k < known.length; k++) {
		const [a, b] = [known[k - 1]!, known[k]!];
		if (states[a] !== states[b]) switches.push((times[a]! + times[b]!) / 2);
	}
	const onAtStart = states[known[0]!] === 1;
	if (switches.length === 0) {
		if (!onAtStart) return { fault: "never on", everySeconds: step };
		if (setting !== null || periodSeconds !== null) return { fault: "always on" };
		return { onAtStart, switchesSeconds: [] };
	}
	const { on, off } = measureOnOff(switches, onAtStart);
	if (on.length === 0) return { fault: "no whole burst" };
	const usualOn = median(on);
	if (usualOn < (MIN_SAMPLES - 0.5) * step)
		return { fault: "bursts too short for its steps", everySeconds: step };
	const shortest = Math.min(usualOn, off.length === 0 ? usualOn : median(off));
	const longestStep = steps.at(-1)!;
	if (longestStep > Math.max(1.5 * step, 0.5 * shortest)) return { fault: "gap", gapSeconds: longestStep };
	const span = times[known.at(-1)!]! - times[known[0]!]!;
	const expected = setting === null ? periodSeconds : setting.onSeconds + setting.offSeconds;
	const cycles = expected === null ? null : span / expected;
	if (cycles !== null && Math.abs(on.length - cycles) > Math.max(1.5, MAX_BURSTS_ERROR * cycles))
		return {
			fault: "number of bursts",
			bursts: on.length,
			expectedBursts: Math.round(cycles),
			expectedBy: setting === null ? "CO2" : "schedule",
		};
	if (setting !== null) {
		const slack = MAX_DUTY_ERROR * setting.onSeconds + step;
		if (Math.abs(usualOn - setting.onSeconds) > slack)
			return { fault: "on-time", onSeconds: usualOn, scheduledSeconds: setting.onSeconds };
	}
	return { onAtStart, switchesSeconds: switches };
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
