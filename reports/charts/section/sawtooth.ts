import { type Html, html } from "../../page/html.ts";
import { mark } from "./marks.ts";
import { bandPath, boxPath, linePath, type Point, tenth, thinCurve } from "./path.ts";
import type { PpmScale, TimeScale } from "./scale.ts";

/** CO2 over time as a drawing needs it. */
export interface Trace {
	readonly timesSeconds: ArrayLike<number>;
	readonly co2Ppm: ArrayLike<number>;
}

/** Cycles shorter than this [px] are drawn as an envelope from trough to peak. */
const MIN_CYCLE_PX = 3.2;

const pointsOf = ({ timesSeconds, co2Ppm }: Trace, time: TimeScale, scale: PpmScale): Point[] => {
	const points: Point[] = [];
	for (let i = 0; i < timesSeconds.length; i++) {
		const t = timesSeconds[i]!;
		if (t >= time.fromSeconds && t <= time.toSeconds) points.push([time.x(t), scale.y(co2Ppm[i]!)]);
	}
	return points;
};

/** The highest and the lowest of each piece of the time axis, no piece shorter than the longest cycle in it, else they beat. */
function envelope(points: readonly Point[], time: TimeScale, cycleSeconds: number): [Point[], Point[]] {
	const bin = Math.max(2, time.x(time.fromSeconds + cycleSeconds) - time.left);
	const [upper, lower]: [Point[], Point[]] = [[], []];
	let i = 0;
	for (let left = time.left; left < time.right - 1e-6; left += bin) {
		let [low, high] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
		for (; i < points.length && points[i]![0] <= left + bin + 1e-6; i++) {
			low = Math.max(low, points[i]![1]);
			high = Math.min(high, points[i]![1]);
		}
		if (high > low) continue;
		const x = Math.min(left + bin / 2, time.right);
		upper.push([x, high]);
		lower.push([x, low]);
	}
	const stretch = (line: Point[]): Point[] =>
		line.length === 0 ? [] : [[time.left, line[0]![1]], ...line, [time.right, line.at(-1)![1]]];
	return [stretch(upper), stretch(lower)];
}

/** Stretches of a line that lie above the ceiling, with their crossings. */
export function overflowOf(points: readonly Point[], ceilingY: number): Point[][] {
	const shapes: Point[][] = [];
	let open: Point[] | null = null;
	points.forEach(([x, y], place) => {
		const before = points[place - 1];
		const isAbove = y < ceilingY;
		if (before !== undefined && before[1] < ceilingY !== isAbove) {
			const cross: Point = [
				before[0] + ((ceilingY - before[1]) / (y - before[1])) * (x - before[0]),
				ceilingY,
			];
			if (open === null) open = [cross];
			else {
				shapes.push([...open, cross]);
				open = null;
			}
		} else if (isAbove && open === null) open = [[x, ceilingY]];
		if (isAbove) open?.push([x, y]);
	});
	if (open !== null && points.length > 0) shapes.push([...(open as Point[]), [points.at(-1)![0], ceilingY]]);
	return shapes;
}

/** What lies above the ceiling: hatched, and the bar red over just these times. */
export function overflow(points: readonly Point[], scale: PpmScale, thickness: number): Html {
	const ceilingY = scale.y(scale.ceilingPpm);
	const shapes = overflowOf(points, ceilingY);
	if (shapes.length === 0) return html``;
	const outline = shapes.map((shape) => `${linePath(thinCurve(shape))}Z`).join("");
	const bar = shapes
		.map((shape) => boxPath(shape[0]![0], ceilingY - thickness, shape.at(-1)![0], ceilingY))
		.join("");
	return html`${mark("over", outline)}${mark("overhatch", outline)}${mark("broken", bar)}`;
}

/** A curve in a room: what is above the ceiling, then the line itself; an envelope where its cycles are too short for one. */
export function sawtooth(
	trace: Trace,
	time: TimeScale,
	scale: PpmScale,
	{
		className,
		thickness,
		cycleSeconds,
	}: {
		readonly className: "cu" | "cu2" | "thin";
		/** Of the lintel [px]. */
		readonly thickness: number;
		/** Longest cycle; null where there is none. */
		readonly cycleSeconds: number | null;
	},
): Html {
	const points = pointsOf(trace, time, scale);
	if (isBand(time, cycleSeconds)) {
		const [upper, lower] = envelope(points, time, cycleSeconds!);
		return html`${mark("envband", bandPath(upper, lower))}${overflow(upper, scale, thickness)}${mark(className, linePath(thinCurve(upper)))}${mark("thin2", linePath(thinCurve(lower)))}`;
	}
	const line = linePath(thinCurve(points));
	const breaks = points.some(([, y]) => y < scale.y(scale.ceilingPpm));
	return html`${overflow(points, scale, thickness)}${breaks && mark("halo", line)}${mark(className, line)}`;
}

/** What a sensor shows, in violet: a line, or both edges of its envelope. */
export function readingTrace(
	trace: Trace,
	time: TimeScale,
	scale: PpmScale,
	cycleSeconds: number | null,
): Html {
	const points = pointsOf(trace, time, scale);
	const lines = isBand(time, cycleSeconds) ? envelope(points, time, cycleSeconds!) : [points];
	return mark("whisk", lines.map((line) => linePath(thinCurve(line))).join(""));
}

/** Whether the cycles of a curve are too short on a time axis to be drawn one by one. */
export const isBand = (time: TimeScale, cycleSeconds: number | null): boolean =>
	cycleSeconds !== null && time.x(time.fromSeconds + cycleSeconds) - time.left < MIN_CYCLE_PX;

/** What is uncertain: from the curve at the low end to the curve at the high end, hatched red above the ceiling. */
export function doubtBand(
	{ low, high }: { readonly low: Trace; readonly high: Trace },
	time: TimeScale,
	scale: PpmScale,
	{ cycleSeconds, isSubject }: { readonly cycleSeconds: number | null; readonly isSubject: boolean },
): Html {
	const edge = (trace: Trace, place: 0 | 1): readonly Point[] => {
		const points = pointsOf(trace, time, scale);
		return thinCurve(isBand(time, cycleSeconds) ? envelope(points, time, cycleSeconds!)[place] : points);
	};
	const [upper, lower] = [edge(high, 0), edge(low, 1)];
	if (upper.length === 0 || lower.length === 0) return html``;
	const above = overflowOf(upper, scale.y(scale.ceilingPpm))
		.map((shape) => `${linePath(shape)}Z`)
		.join("");
	return html`${mark("doubtband", bandPath(upper, lower))}${isSubject && html`${mark("doubtedge", linePath(upper))}${mark("doubtedge", linePath(lower))}`}${mark("overhatch", above)}`;
}

/** A mark where a curve is cut because it rises beyond the attic. */
export const breakMark = (x: number, y: number): Html =>
	mark(
		"brk",
		`M${tenth(x - 7)} ${tenth(y + 4)}L${tenth(x + 7)} ${tenth(y - 2)}M${tenth(x - 7)} ${tenth(y + 9)}L${tenth(x + 7)} ${tenth(y + 3)}`,
	);
