import { powerOfTen } from "../../power.ts";
/** A stretch of times that a timer can show, in steps. */
export interface TimerRange {
	readonly lowSeconds: number;
	readonly highSeconds: number;
	readonly stepSeconds: number;
	/** Unit that the display counts in; default: the largest of which the step is a whole number. */
	readonly unit?: "s" | "min" | "h";
}

export interface Timer {
	readonly ranges: readonly TimerRange[];
	/** Both periods are set in one range; else each has its own. */
	readonly isShared: boolean;
	/** Digits of its display. */
	readonly digits: number;
}

/** One period as keyed in. */
export interface DisplayValue {
	readonly seconds: number;
	/** Digits as the display shows them, decimal point included: "04.0". */
	readonly display: string;
	/** Unit that the display counts in. */
	readonly unit: "s" | "min" | "h";
	/** The range to select: "0.1 to 99.9 s in steps of 0.1 s". */
	readonly range: string;
}

/** On- and off-times of which every pair can be keyed in; each ascending. */
export interface DisplayGrid {
	readonly on: readonly DisplayValue[];
	readonly off: readonly DisplayValue[];
}

/** A three-digit display that counts seconds: common practice, no source. Taken where a scenario names no timer. */
export const DEFAULT_TIMER: Timer = {
	ranges: [{ lowSeconds: 1, highSeconds: 999, stepSeconds: 1 }],
	isShared: false,
	digits: 3,
};

const UNITS = [
	["h", 3600],
	["min", 60],
	["s", 1],
] as const;

/** All times of a range, each computed as count × step so that 0.3 s is 0.3 s. */
function listDisplayValues(range: TimerRange, digits: number): DisplayValue[] {
	const [unit, size] =
		UNITS.find(
			([name, size]) =>
				range.unit === name || (range.unit === undefined && isWhole(range.stepSeconds / size)),
		) ?? UNITS[2];
	const step = range.stepSeconds / size;
	let decimals = 0;
	while (decimals < 6 && !isWhole(step * powerOfTen(decimals))) decimals++;
	const ticks = Math.round(step * powerOfTen(decimals));
	const first = Math.round(range.lowSeconds / range.stepSeconds);
	const last = Math.floor(range.highSeconds / range.stepSeconds + 1e-9);
	const show = (seconds: number) => String(Number((seconds / size).toFixed(decimals)));
	const words = `${show(range.lowSeconds)} to ${show(range.highSeconds)} ${unit} in steps of ${show(range.stepSeconds)} ${unit}`;
	const values: DisplayValue[] = [];
	for (let count = Math.max(first, 1); count <= last; count++) {
		const shown = count * ticks;
		const figures = String(shown).padStart(digits, "0");
		values.push({
			seconds: (shown * size) / powerOfTen(decimals),
			display:
				decimals === 0
					? figures
					: `${figures.slice(0, figures.length - decimals)}.${figures.slice(figures.length - decimals)}`,
			unit,
			range: words,
		});
	}
	return values;
}

function isWhole(x: number): boolean {
	return Math.abs(x - Math.round(x)) < 1e-9 * Math.max(1, Math.abs(x)) && Math.round(x) > 0;
}

/**
 * Everything that a timer can show, as grids of which every pair can be set: one grid where each period has its own
 * range, one a range where both share it. A time that two ranges can show is taken from the one listed first.
 *
 * @param timer its ranges [s] and digits
 * @returns grids of on- and off-times [s]
 * @throws never
 *
 * Source: this project.
 * @example displayGrids({ ranges: [{ lowSeconds: 1, highSeconds: 9, stepSeconds: 1, unit: "s" }], isShared: false, digits: 1 })[0].on.length // => 9
 */
export function displayGrids(timer: Timer): DisplayGrid[] {
	const lists = timer.ranges.map((range) => listDisplayValues(range, timer.digits));
	if (timer.isShared) return lists.map((values) => ({ on: values, off: values }));
	const bySeconds = new Map<number, DisplayValue>();
	for (const value of lists.flat()) if (!bySeconds.has(value.seconds)) bySeconds.set(value.seconds, value);
	const all = [...bySeconds.values()].sort((a, b) => a.seconds - b.seconds);
	return [{ on: all, off: all }];
}
