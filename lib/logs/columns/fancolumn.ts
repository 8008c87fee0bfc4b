import { formatDuration } from "../../units/format.ts";
import type { CleanSeries } from "../log.ts";
import { quantile } from "../times/period.ts";

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
 * Switch instants of a fan column, each in the middle between two samples; null with the reason when the column cannot have
 * caught the bursts.
 */
export function readFanColumn(
	times: Float64Array,
	states: Float64Array,
	setting: TimerSetting | null,
	periodSeconds: number | null,
): LoggedSwitches | { readonly refused: string } {
	const known: number[] = [];
	for (let i = 0; i < states.length; i++) if (!Number.isNaN(states[i]!)) known.push(i);
	const keep = "; the programmed schedule must say when it ran";
	if (known.length < 2) return { refused: `the fan column has no states${keep}` };
	const steps = Float64Array.from(known.slice(1), (i, k) => times[i]! - times[known[k]!]!).sort();
	const step = quantile(steps, 0.5);
	const every = `noted every ${formatDuration(step)}`;
	const switches: number[] = [];
	for (let k = 1; k < known.length; k++) {
		const [a, b] = [known[k - 1]!, known[k]!];
		if (states[a] !== states[b]) switches.push((times[a]! + times[b]!) / 2);
	}
	const onAtStart = states[known[0]!] === 1;
	if (switches.length === 0) {
		if (!onAtStart)
			return { refused: `the fan column, ${every}, never shows the fan on: it misses shorter bursts${keep}` };
		if (setting !== null || periodSeconds !== null)
			return { refused: `the fan column always shows the fan on, but the CO2 shows bursts${keep}` };
		return { onAtStart, switchesSeconds: [] };
	}
	const { on, off } = measureOnOff(switches, onAtStart);
	if (on.length === 0) return { refused: `the fan column shows no whole burst${keep}` };
	const usualOn = median(on);
	if (usualOn < (MIN_SAMPLES - 0.5) * step)
		return {
			refused: `the fan column, ${every}, shows bursts of one or two samples, too few to tell their length${keep}`,
		};
	const shortest = Math.min(usualOn, off.length === 0 ? usualOn : median(off));
	const longestStep = steps.at(-1)!;
	if (longestStep > Math.max(1.5 * step, 0.5 * shortest))
		return {
			refused: `the fan column has a gap of ${formatDuration(longestStep)}, in which bursts may have been${keep}`,
		};
	const span = times[known.at(-1)!]! - times[known[0]!]!;
	const expected = setting === null ? periodSeconds : setting.onSeconds + setting.offSeconds;
	const cycles = expected === null ? null : span / expected;
	if (cycles !== null && Math.abs(on.length - cycles) > Math.max(1.5, MAX_BURSTS_ERROR * cycles))
		return {
			refused: `the fan column shows ${on.length} bursts where ${setting === null ? "the CO2" : "the schedule"} has ${Math.round(cycles)}${keep}`,
		};
	if (setting !== null) {
		const slack = MAX_DUTY_ERROR * setting.onSeconds + step;
		if (Math.abs(usualOn - setting.onSeconds) > slack)
			return {
				refused: `the fan column shows bursts of ${formatDuration(usualOn)}, the schedule has ${formatDuration(setting.onSeconds)}${keep}`,
			};
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
