import { clock } from "../../../lib/model/schedule/inwords.ts";
import { DAY } from "../../../lib/time.ts";
import { co2Axis, timeAxis, timeUnit } from "../../charts/axes.ts";
import { textWidth } from "../../charts/textwidth.ts";
import { PAGE, strokeOf } from "../../charts/theme.ts";
import type { Explored } from "../explored.ts";
import type { ScheduleTrace } from "../traces.ts";
import { draw, pool, say, set, watchWidth } from "./dom.ts";

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

const extremes = (values: ArrayLike<number>) => {
	let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
	for (let i = 0; i < values.length; i++) {
		low = Math.min(low, values[i]!);
		high = Math.max(high, values[i]!);
	}
	return { low, high };
};

/** Line of a trace, again and again up to the window's end; a band where its cycles are too narrow. */
function linePath(
	{ curve, repeatsSeconds }: ScheduleTrace,
	values: ArrayLike<number>,
	windowSeconds: number,
	x: (seconds: number) => number,
	y: (ppm: number) => number,
): { readonly d: string; readonly band: boolean } {
	const { low, high } = extremes(values);
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

/** The sawtooth of the schedules with the ceiling, over the strip that shows when each fan runs. */
export function sawtoothPlot(box: HTMLElement): (explored: Explored) => void {
	const svg = draw(box, "svg", { role: "img" });
	const clip = draw(draw(draw(svg, "defs"), "clipPath", { id: "plot-area" }), "rect");
	const title = draw(svg, "text", { class: "axis", x: 6, y: 14 });
	const gridY = pool(svg, "line", "grid");
	const labelsY = pool(svg, "text", "axis end");
	const gridX = pool(svg, "line", "grid");
	const labelsX = pool(svg, "text", "axis middle");
	const timeTitle = draw(svg, "text", { class: "axis middle" });
	const bands = pool(svg, "path", "band");
	const limits = pool(svg, "line", "limit");
	const limitNames = pool(svg, "text", "name");
	const sensed = pool(svg, "path", "sensed");
	const lines = pool(svg, "path", "line");
	const tracks = pool(svg, "line", "track");
	const bars = pool(svg, "path", "bar");
	const swatches = pool(svg, "line", "swatch");
	const names = pool(svg, "text", "name");

	let last: Explored | undefined;
	const room = watchWidth(box, () => last !== undefined && show(last));
	const show = (explored: Explored): void => {
		last = explored;
		const { comparison, scenario, state } = explored;
		const { traces, windowSeconds, isTimeOfDay } = explored.traces;
		const { ceiling, floor } = scenario.target;
		const width = Math.max(260, room());
		const right = width < 480 ? 72 : 84;
		const plot = width - LEFT - right;
		const strip = TOP + HEIGHT + 14;
		const height = strip + traces.length * ROW + FOOT;
		set(svg, { width, height, viewBox: `0 0 ${width} ${height}` });
		set(clip, { x: LEFT, y: TOP, width: plot, height: HEIGHT });

		const series = traces.map(({ curve }) => extremes(curve.co2Ppm));
		const axis = co2Axis(series, ceiling.value, floor?.value ?? null);
		const x = (seconds: number) => LEFT + (plot * seconds) / windowSeconds;
		const y = (ppm: number) =>
			TOP + HEIGHT * (1 - (Math.min(ppm, axis.to) - axis.from) / (axis.to - axis.from));
		const zone = comparison.schedules[0]?.summary.zone;
		say(
			title,
			(comparison.model.stagnantFraction ?? 0) > 0
				? `CO₂ where the crop stands: ${zone} zone (ppm)`
				: "CO₂ (ppm)",
		);

		gridY(axis.ticks.length).forEach((line, i) => {
			const at = y(axis.ticks[i]!);
			set(line, { x1: LEFT, x2: LEFT + plot, y1: at, y2: at });
		});
		labelsY(axis.ticks.length).forEach((label, i) => {
			const tick = axis.ticks[i]!;
			set(label, { x: LEFT - 8, y: y(tick) + 4 });
			say(label, tick >= 10_000 ? tick.toLocaleString("en-US") : String(Math.round(tick)));
		});
		const unit = timeUnit(windowSeconds);
		const { ticks } = timeAxis(0, windowSeconds, unit);
		const foot = strip + traces.length * ROW;
		gridX(ticks.length).forEach((line, i) => {
			const at = x(ticks[i]! * unit.seconds);
			set(line, { x1: at, x2: at, y1: TOP, y2: TOP + HEIGHT });
		});
		let taken = Number.NEGATIVE_INFINITY;
		labelsX(ticks.length).forEach((label, i) => {
			const seconds = ticks[i]! * unit.seconds;
			const text = isTimeOfDay ? clock(seconds % DAY) : String(ticks[i]);
			const half = textWidth(text, TEXT, false) / 2;
			const fits = x(seconds) - half > taken + 6;
			if (fits) taken = x(seconds) + half;
			set(label, { x: x(seconds), y: foot + 16 });
			say(label, fits ? text : "");
		});
		set(timeTitle, { x: LEFT + plot / 2, y: foot + 37 });
		say(timeTitle, isTimeOfDay ? "time of day" : `time (${unit.symbol})`);

		const held = [
			{ name: "ceiling", ppm: ceiling.value },
			...(floor === null ? [] : [{ name: "floor", ppm: floor.value }]),
		];
		limits(held.length).forEach((line, i) => {
			const at = y(held[i]!.ppm);
			set(line, { x1: LEFT, x2: LEFT + plot, y1: at, y2: at, "stroke-dasharray": i === 0 ? "none" : "4 3" });
		});
		limitNames(2 * held.length).forEach((label, i) => {
			const { name, ppm } = held[i >> 1]!;
			const at = y(ppm);
			const apart =
				held.length === 2 ? Math.max(0, (34 - Math.abs(y(held[1]!.ppm) - y(held[0]!.ppm))) / 2) : 0;
			const shift = i < 2 ? -apart : apart;
			// The lower line stays clear of the strip's words.
			const top = Math.min(at + shift, TOP + HEIGHT - 12);
			set(label, { x: LEFT + plot + 6, y: top + (i % 2 === 0 ? -2 : 13) });
			say(label, i % 2 === 0 ? name : `${Math.round(ppm)} ppm`);
		});

		const drawn = traces.map((trace) => linePath(trace, trace.curve.co2Ppm, windowSeconds, x, y));
		const style = (place: number, moved = state.activeSchedule) => {
			const { color, dash } = strokeOf(PAGE, place);
			return {
				stroke: color,
				"stroke-dasharray": dash.join(" "),
				class: moved === place ? "line now" : "line",
			};
		};
		lines(traces.length).forEach((path, i) => {
			const { curve, repeatsSeconds } = traces[i]!;
			// A day of cycles too narrow to be told apart is a veil, not a wall.
			const veiled = (x(repeatsSeconds) - LEFT) / Math.max(1, curve.bursts.length) < MIN_CYCLE_PX;
			set(path, {
				...style(i),
				opacity: veiled ? 0.5 : 1,
				d: drawn[i]!.band ? "" : drawn[i]!.d,
				"clip-path": "url(#plot-area)",
			});
		});
		bands(traces.length).forEach((path, i) => {
			const { stroke } = style(i);
			set(path, {
				stroke,
				fill: stroke,
				d: drawn[i]!.band ? drawn[i]!.d : "",
				"clip-path": "url(#plot-area)",
			});
		});
		const shown = state.isSensorShown ? traces.filter(({ curve }) => curve.sensorPpm !== null) : [];
		sensed(shown.length).forEach((path, i) => {
			const trace = shown[i]!;
			const { d } = linePath(trace, trace.curve.sensorPpm!, windowSeconds, x, y);
			set(path, { d, stroke: style(traces.indexOf(trace)).stroke, "clip-path": "url(#plot-area)" });
		});

		const row = (i: number) => strip + i * ROW;
		tracks(traces.length).forEach((line, i) => {
			const at = row(i) + 24;
			set(line, { x1: LEFT, x2: LEFT + plot, y1: at, y2: at, "stroke-width": BAR });
		});
		bars(traces.length).forEach((path, i) => {
			const { d, isMerged } = barPath(traces[i]!, windowSeconds, x);
			set(path, {
				d: d === "" ? "M0 0" : d,
				transform: `translate(0 ${row(i) + 24})`,
				stroke: style(i).stroke,
				"stroke-width": BAR,
				opacity: isMerged ? 0.6 : 1,
			});
		});
		swatches(traces.length).forEach((line, i) => {
			const { stroke, "stroke-dasharray": dash } = style(i);
			set(line, {
				x1: LEFT,
				x2: LEFT + 26,
				y1: row(i) + 8,
				y2: row(i) + 8,
				stroke,
				"stroke-dasharray": dash,
			});
		});
		names(traces.length).forEach((label, i) => {
			const { name, inWords } = comparison.schedules[i]!;
			set(label, { x: LEFT + 34, y: row(i) + 12 });
			const whole = `${name}: ${inWords}`;
			const fits = textWidth(whole, TEXT, false) <= width - LEFT - 34;
			say(label, fits ? whole : whole.replace(/, [^,]+ per day$/, ""));
		});
		set(svg, { "aria-label": wordsOf(comparison.schedules) });
	};
	return show;
}

const wordsOf = (schedules: Explored["comparison"]["schedules"]): string =>
	`Sawtooth of CO₂. ${schedules
		.map(
			({ name, inWords, summary }) =>
				`${name}, ${inWords}: from ${Math.round(summary.troughPpm)} to ${Math.round(summary.peakPpm)} ppm`,
		)
		.join("; ")}.`;
