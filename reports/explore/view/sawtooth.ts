import { clock } from "../../../lib/model/schedule/inwords.ts";
import { DAY } from "../../../lib/time.ts";
import { type Axis, co2Axis, timeAxis, timeUnit } from "../../charts/axes.ts";
import { extremes } from "../../charts/section/scale.ts";
import { textWidth } from "../../charts/textwidth.ts";
import { PAGE, strokeOf } from "../../charts/theme.ts";
import { whole } from "../../words/format.ts";
import { cropZoneName } from "../../words/verdict.ts";
import type { Explored } from "../explored.ts";
import type { ScheduleTrace } from "../traces.ts";
import { draw, pool, roomyLabels, say, set, watchWidth } from "./dom.ts";

/** Heights [px]: above the plot, of the plot, of a row of the fan strip, and of its bar; below all. */
const TOP = 26;
const HEIGHT = 190;
const ROW = 38;
const BAR = 9;
const FOOT = 46;
const LEFT = 50;
/** Size of the letters [px]. */
const TEXT = 12;
/** Cycles narrower than this [px] are drawn as a band from trough to peak. */
const MIN_CYCLE_PX = 5;

/** Line of a trace, again and again up to the window's end; a band where its cycles are too narrow. */
function linePath(
	{ curve, repeatsSeconds }: ScheduleTrace,
	values: ArrayLike<number>,
	windowSeconds: number,
	x: (seconds: number) => number,
	y: (ppm: number) => number,
): { readonly d: string; readonly band: boolean } {
	const [low, high] = extremes(values);
	if (x(repeatsSeconds) - x(0) < MIN_CYCLE_PX) {
		const [from, to] = [x(0).toFixed(1), x(windowSeconds).toFixed(1)];
		return {
			d: `M${from} ${y(high).toFixed(1)}H${to}V${Math.max(y(low), y(high) + 1).toFixed(1)}H${from}Z`,
			band: true,
		};
	}
	// Of points that fall on one spot the eye needs but one; what holds in one cycle holds in all.
	const kept: { readonly dx: number; readonly up: string }[] = [];
	let [lastX, lastY] = [Number.NEGATIVE_INFINITY, 0];
	for (let i = 0; i < values.length; i++) {
		const [dx, py] = [x(curve.timesSeconds[i]!) - x(0), y(values[i]!)];
		if (i > 0 && i < values.length - 1 && Math.abs(dx - lastX) + Math.abs(py - lastY) < 1) continue;
		kept.push({ dx, up: py.toFixed(1) });
		[lastX, lastY] = [dx, py];
	}
	const points: string[] = [];
	for (let start = 0; start < windowSeconds; start += repeatsSeconds) {
		const from = x(start);
		for (const { dx, up } of kept) points.push(`${(from + dx).toFixed(1)} ${up}`);
	}
	return { d: `M${points.join("L")}`, band: false };
}

/** Bars of the fan strip as one path; bursts too close to be told apart run into one. */
function barPath(
	{ curve, repeatsSeconds }: ScheduleTrace,
	windowSeconds: number,
	x: (seconds: number) => number,
): { readonly d: string; readonly isMerged: boolean } {
	if (curve.bursts.length > 0 && x(repeatsSeconds) - x(0) < MIN_CYCLE_PX)
		return { d: `M${x(0).toFixed(1)} 0H${x(windowSeconds).toFixed(1)}`, isMerged: true };
	// Bars without a gap between them are one.
	const drawn: { from: number; to: number }[] = [];
	for (let start = 0; start < windowSeconds; start += repeatsSeconds)
		for (const { startSeconds, endSeconds } of curve.bursts) {
			if (start + startSeconds >= windowSeconds) break;
			const from = x(start + startSeconds);
			const to = Math.max(from + 1, x(Math.min(windowSeconds, start + endSeconds)));
			const before = drawn.at(-1);
			if (before !== undefined && from <= before.to) before.to = to;
			else drawn.push({ from, to });
		}
	return {
		d: drawn.map(({ from, to }) => `M${from.toFixed(1)} 0H${to.toFixed(1)}`).join(""),
		isMerged: drawn.length === 1 && curve.bursts.length > 1,
	};
}

/** Where things stand in a drawing of some width, for one state. */
interface Layout {
	readonly explored: Explored;
	readonly width: number;
	/** Width of the plot, and the top of the fan strip [px]. */
	readonly plot: number;
	readonly strip: number;
	readonly axis: Axis;
	readonly x: (seconds: number) => number;
	readonly y: (ppm: number) => number;
}

function layoutOf(explored: Explored, width: number): Layout {
	const { traces, windowSeconds } = explored.traces;
	const { ceiling, floor } = explored.scenario.target;
	const plot = width - LEFT - (width < 480 ? 72 : 84);
	const axis = co2Axis(
		traces.map(({ curve }) => {
			const [low, high] = extremes(curve.co2Ppm);
			return { low, high };
		}),
		ceiling.value,
		floor?.value ?? null,
	);
	return {
		explored,
		width,
		plot,
		strip: TOP + HEIGHT + 14,
		axis,
		x: (seconds) => LEFT + (plot * seconds) / windowSeconds,
		y: (ppm) => TOP + HEIGHT * (1 - (Math.min(ppm, axis.to) - axis.from) / (axis.to - axis.from)),
	};
}

const across = (plot: number, y: number) => ({ x1: LEFT, x2: LEFT + plot, y1: y, y2: y });
const CLIPPED = { "clip-path": "url(#plot-area)" };
/** Colour and dash of a schedule. */
const strokeAt = (place: number) => {
	const { color, dash } = strokeOf(PAGE, place);
	return { stroke: color, "stroke-dasharray": dash.join(" ") };
};

/** The sawtooth of the schedules with the ceiling, over the strip that shows when each fan runs. */
export function sawtoothPlot(box: HTMLElement): (explored: Explored) => void {
	const svg = draw(box, "svg", { role: "img" });
	const clip = draw(draw(draw(svg, "defs"), "clipPath", { id: "plot-area" }), "rect");
	const parts = [axes(svg), curves(svg), fanStrip(svg)];
	let last: Explored | undefined;
	const room = watchWidth(box, () => last !== undefined && show(last));
	const show = (explored: Explored): void => {
		last = explored;
		const layout = layoutOf(explored, Math.max(260, room()));
		const { width, plot, strip } = layout;
		const height = strip + explored.traces.traces.length * ROW + FOOT;
		set(svg, { width, height, viewBox: `0 0 ${width} ${height}` });
		set(clip, { x: LEFT, y: TOP, width: plot, height: HEIGHT });
		for (const part of parts) part(layout);
		set(svg, { "aria-label": wordsOf(explored.comparison.schedules) });
	};
	return show;
}

function axes(svg: SVGElement): (layout: Layout) => void {
	const title = draw(svg, "text", { class: "axis", x: 6, y: 14 });
	const gridY = pool(svg, "line", "grid");
	const labelsY = pool(svg, "text", "axis end");
	const gridX = pool(svg, "line", "grid");
	const labelsX = pool(svg, "text", "axis middle");
	const timeTitle = draw(svg, "text", { class: "axis middle" });
	return ({ explored, plot, strip, axis, x, y }) => {
		const { comparison, traces } = explored;
		const zone = cropZoneName(comparison);
		say(title, zone === null ? "CO₂ (ppm)" : `CO₂ where the crop stands: ${zone} (ppm)`);
		gridY(axis.ticks, (tick) => across(plot, y(tick)));
		labelsY(
			axis.ticks,
			(tick) => ({ x: LEFT - 8, y: y(tick) + 4 }),
			(tick) => whole(tick),
		);
		const unit = timeUnit(traces.windowSeconds);
		const { ticks } = timeAxis(0, traces.windowSeconds, unit);
		const foot = strip + traces.traces.length * ROW;
		const labels = ticks.map((tick) => {
			const seconds = tick * unit.seconds;
			return { at: x(seconds), text: traces.isTimeOfDay ? clock(seconds % DAY) : String(tick) };
		});
		gridX(labels, ({ at }) => ({ x1: at, x2: at, y1: TOP, y2: TOP + HEIGHT }));
		labelsX(
			roomyLabels(labels, ({ text }) => textWidth(text, TEXT, false), 6),
			({ at }) => ({ x: at, y: foot + 16 }),
			({ text }) => text,
		);
		set(timeTitle, { x: LEFT + plot / 2, y: foot + 37 });
		say(timeTitle, traces.isTimeOfDay ? "time of day" : `time (${unit.symbol})`);
	};
}

function curves(svg: SVGElement): (layout: Layout) => void {
	const bands = pool(svg, "path", "band");
	const limits = pool(svg, "line", "limit");
	const limitNames = pool(svg, "text", "name");
	const sensed = pool(svg, "path", "sensed");
	const lines = pool(svg, "path", "line");
	return ({ explored, plot, x, y }) => {
		const { scenario, state } = explored;
		const { traces, windowSeconds } = explored.traces;
		const { ceiling, floor } = scenario.target;
		const held = [
			{ name: "ceiling", ppm: ceiling.value, dash: "none" },
			...(floor === null ? [] : [{ name: "floor", ppm: floor.value, dash: "4 3" }]),
		];
		limits(held, ({ ppm, dash }) => ({ ...across(plot, y(ppm)), "stroke-dasharray": dash }));
		// Names of two lines each stay apart, and the lower one stays clear of the strip's words.
		const apart = floor === null ? 0 : Math.max(0, (34 - Math.abs(y(floor.value) - y(ceiling.value))) / 2);
		limitNames(
			held.flatMap(({ name, ppm }, i) => {
				const top = Math.min(y(ppm) + (i === 0 ? -apart : apart), TOP + HEIGHT - 12);
				return [
					{ text: name, at: top - 2 },
					{ text: `${Math.round(ppm)} ppm`, at: top + 13 },
				];
			}),
			({ at }) => ({ x: LEFT + plot + 6, y: at }),
			({ text }) => text,
		);

		const drawn = traces.map((trace) => linePath(trace, trace.curve.co2Ppm, windowSeconds, x, y));
		lines(traces, ({ curve, repeatsSeconds }, i) => {
			// A day of cycles too narrow to be told apart is pale.
			const isPale = (x(repeatsSeconds) - LEFT) / Math.max(1, curve.bursts.length) < MIN_CYCLE_PX;
			return {
				...strokeAt(i),
				class: state.activeSchedule === i ? "line now" : "line",
				opacity: isPale ? 0.5 : 1,
				d: drawn[i]!.band ? "" : drawn[i]!.d,
				...CLIPPED,
			};
		});
		bands(drawn, ({ band, d }, i) => {
			const { stroke } = strokeAt(i);
			return { stroke, fill: stroke, d: band ? d : "", ...CLIPPED };
		});
		const shown = state.isSensorShown ? traces.filter(({ curve }) => curve.sensorPpm !== null) : [];
		sensed(shown, (trace) => ({
			d: linePath(trace, trace.curve.sensorPpm!, windowSeconds, x, y).d,
			stroke: strokeAt(traces.indexOf(trace)).stroke,
			...CLIPPED,
		}));
	};
}

/** When each fan runs, a row a schedule, with its name and the sign of its line. */
function fanStrip(svg: SVGElement): (layout: Layout) => void {
	const tracks = pool(svg, "line", "track");
	const bars = pool(svg, "path", "bar");
	const swatches = pool(svg, "line", "swatch");
	const names = pool(svg, "text", "name");
	return ({ explored, width, plot, strip, x }) => {
		const { traces, windowSeconds } = explored.traces;
		const row = (i: number) => strip + i * ROW;
		tracks(traces, (_, i) => ({ ...across(plot, row(i) + 24), "stroke-width": BAR }));
		bars(traces, (trace, i) => {
			const { d, isMerged } = barPath(trace, windowSeconds, x);
			return {
				d: d === "" ? "M0 0" : d,
				transform: `translate(0 ${row(i) + 24})`,
				stroke: strokeAt(i).stroke,
				"stroke-width": BAR,
				opacity: isMerged ? 0.6 : 1,
			};
		});
		swatches(traces, (_, i) => ({ ...across(26, row(i) + 8), ...strokeAt(i) }));
		names(
			explored.comparison.schedules,
			(_, i) => ({ x: LEFT + 34, y: row(i) + 12 }),
			({ name, inWords }) => {
				const words = `${name}: ${inWords}`;
				const fits = textWidth(words, TEXT, false) <= width - LEFT - 34;
				return fits ? words : words.replace(/, [^,]+ per day$/, "");
			},
		);
	};
}

const wordsOf = (schedules: Explored["comparison"]["schedules"]): string =>
	`Sawtooth of CO₂. ${schedules
		.map(
			({ name, inWords, summary }) =>
				`${name}, ${inWords}: from ${Math.round(summary.troughPpm)} to ${Math.round(summary.peakPpm)} ppm`,
		)
		.join("; ")}.`;
