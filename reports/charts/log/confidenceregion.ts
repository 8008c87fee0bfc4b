import type { Profile } from "../../../lib/fit/fittypes.ts";
import { plainAxis } from "../axes.ts";
import type { CurvePlot } from "../curveplot.ts";

/** A value along one axis, in the reader's unit. */
interface RegionAxis {
	readonly title: string;
	readonly value: number;
	/** What the scenario has. */
	readonly expected: number;
	/** Below this no value is possible. */
	readonly lowest: number;
}

const ticks = 5;
/** Room for the outline and, unless it lies far off, for what the scenario has. */
function span(
	outline: readonly (readonly [number, number])[],
	place: 0 | 1,
	{ expected, lowest }: RegionAxis,
): { from: number; to: number } {
	const ends = outline.map((point) => point[place]);
	const [low, high] = [Math.min(...ends), Math.max(...ends)];
	const width = high - low || Math.abs(high) || 1;
	const near = expected >= low - width && expected <= high + width;
	return {
		from: Math.max(lowest, (near ? Math.min(low, expected) : low) - 0.08 * width),
		to: (near ? Math.max(high, expected) : high) + 0.08 * width,
	};
}

/** Two parameters at once: outline of the region that holds both in 95 of 100 logs, the values found, and what the scenario has. */
export function regionPlot(
	x: RegionAxis,
	y: RegionAxis,
	outline: readonly (readonly [number, number])[],
): CurvePlot {
	const [xs, ys] = [span(outline, 0, x), span(outline, 1, y)];
	return {
		x: { title: x.title, ...plainAxis(xs.from, xs.to, ticks) },
		y: { title: y.title, ...plainAxis(ys.from, ys.to, ticks) },
		curves: [
			{
				name: "holds both in 95 of 100 such logs",
				place: 0,
				points: outline.map(([a, b]) => ({ x: a, y: b })),
			},
		],
		marks: [
			{ x: x.value, y: y.value, name: "found", shape: "diamond" },
			{ x: x.expected, y: y.expected, name: "scenario", shape: "square" },
		],
	};
}

/** A profile with the value found and its error. */
interface DrawnProfile extends Profile {
	readonly label: string;
	readonly value: number;
	readonly standardError: number;
}

const MAX_STANDARD_ERRORS = 4;
const MAX_DELTA_COST = 12;

/** Rise at an end of the interval; null where it lies beyond what was tried. */
function deltaCostAtEnd({ values, deltaCost, ci95High }: Profile): number | null {
	if (ci95High === null) return null;
	const k = values.findIndex((value) => value >= ci95High);
	const [before, after] = [values[k - 1], values[k]];
	if (before === undefined || after === undefined) return null;
	const [a, b] = [Math.sqrt(deltaCost[k - 1]!), Math.sqrt(deltaCost[k]!)];
	return (a + ((b - a) * (ci95High - before)) / (after - before)) ** 2;
}

/** How fast the fit worsens when one parameter is held off its best value; a straight problem gives the same parabola for all. */
export function profilePlot(profiles: readonly DrawnProfile[]): CurvePlot {
	const level = profiles.map(deltaCostAtEnd).find((rise) => rise !== null) ?? 3.84;
	return {
		x: {
			title: "standard errors from the value found",
			from: -MAX_STANDARD_ERRORS,
			to: MAX_STANDARD_ERRORS,
			ticks: [-4, -3, -2, -1, 0, 1, 2, 3, 4],
		},
		y: {
			title: "rise of the sum of squares, in variances",
			from: 0,
			to: MAX_DELTA_COST,
			ticks: [0, 2, 4, 6, 8, 10, 12],
		},
		curves: profiles.map(({ label, value, standardError, values, deltaCost }, place) => ({
			name: label,
			place,
			points: values.map((each, k) => ({ x: (each - value) / standardError, y: deltaCost[k]! })),
		})),
		rules: [{ along: "x", at: level, name: "below this line: the 95 % interval", dash: [4, 3] }],
	};
}
