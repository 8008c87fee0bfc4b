import type { ContourGrid } from "../../../lib/solve/cycles/contour.ts";
import { formatDuration } from "../../../lib/units/format.ts";
import { formatPpm } from "../../words/format.ts";
import { unitModel } from "../contours.ts";
import type { Explored } from "../explored.ts";
import { gridFiller } from "../gridfiller.ts";
import type { Scale } from "../scale.ts";
import { SCHEDULE_NAMES } from "../state.ts";
import { draw, hide, pool, roomyLabels, say, set, watchWidth } from "./dom.ts";
import { clamp, handle, type OnOffTimes } from "./handle.ts";
import { drawColours, haloedPath } from "./mapcolours.ts";
import { MAP, type MapScales, mapScales, TICKS } from "./mapscales.ts";

/** What the map shows: a state, and the on- and off-time of each of its schedules. */
interface Shown {
	readonly explored: Explored;
	readonly periods: readonly OnOffTimes[];
}

/** The map of all settings, with a point for each schedule; the point of the active one can be dragged. */
export function settingPlot(
	box: HTMLElement,
	legend: HTMLElement,
	on: Scale,
	off: Scale,
	move: (onSeconds: number, offSeconds: number) => void,
): (explored: Explored, periods: readonly OnOffTimes[]) => void {
	const svg = draw(box, "svg", { role: "group" });
	const clip = draw(draw(draw(svg, "defs"), "clipPath", { id: "map-area" }), "rect");
	const over = draw(svg, "g", { "aria-hidden": "true" });
	const inside = draw(over, "g", { "clip-path": "url(#map-area)" });
	const colours = drawColours(svg, inside, legend);
	const showAir = sameAirLine(inside);
	const showLimit = offTimeLimit(inside, over);
	const showAxes = timeAxes(over);
	const points = drawPoints(svg);

	let shown: Shown | undefined;
	let grid: ContourGrid | undefined;
	let scales = mapScales(on, off, 300);
	/** What the colours were painted for; to paint them takes most of the time. */
	let painted = "";
	const paint = (): void => {
		if (grid === undefined || shown === undefined) return;
		const { comparison, scenario } = shown.explored;
		const levels = {
			intakePpm: comparison.model.intakePpm,
			ceilingPpm: scenario.target.ceiling.value,
			scale: unitModel(comparison.model).scale,
		};
		const asked = [levels.intakePpm, levels.ceilingPpm, levels.scale, scales.plot].join(" ");
		if (asked === painted) return;
		painted = asked;
		colours.paint(grid, scales, levels);
	};
	const fill = gridFiller(on, off, (done) => {
		grid = done;
		painted = "";
		paint();
	});

	const moveTo = (clientX: number, clientY: number): void => {
		const { left, top, width } = svg.getBoundingClientRect();
		const zoom = svg.viewBox.baseVal.width / width;
		const { onSeconds, offSeconds } = scales.settingAt((clientX - left) * zoom, (clientY - top) * zoom);
		move(onSeconds, offSeconds);
	};
	for (const point of points)
		handle(point, on, off, {
			now: () => shown?.periods[shown.explored.state.activeSchedule] ?? null,
			move,
			moveTo,
		});
	colours.area.addEventListener("click", ({ clientX, clientY }) => moveTo(clientX, clientY));

	const room = watchWidth(box, () => shown !== undefined && show(shown.explored, shown.periods));
	const show = (explored: Explored, periods: readonly OnOffTimes[]): void => {
		shown = { explored, periods };
		const { comparison, scenario, state } = explored;
		const width = Math.max(260, room());
		const height = MAP.top + MAP.height + MAP.foot;
		scales = mapScales(on, off, width - MAP.left - MAP.right);
		set(svg, { width, height, viewBox: `0 0 ${width} ${height}` });
		set(clip, { x: MAP.left, y: MAP.top, width: scales.plot, height: MAP.height });
		showAxes(scales, width, height);
		showLimit(scales, comparison.maxOffSeconds);
		showAir(scales, periods[state.activeSchedule] ?? null);
		placePoints(points, scales, shown);
		set(svg, { "aria-label": `Map of all settings by ${scenario.target.on}` });
		paint();
		fill(unitModel(comparison.model).unit, scenario.target.on);
	};
	return show;
}

/** The two time axes with their names. */
function timeAxes(over: SVGElement): (scales: MapScales, width: number, height: number) => void {
	draw(over, "text", { class: "axis", x: 6, y: 14 }, "on-time");
	const titleOff = draw(over, "text", { class: "axis middle" }, "off-time");
	const labelsX = pool(over, "text", "axis middle");
	const labelsY = pool(over, "text", "axis end");
	return ({ on, off, plot, x, y }, width, height) => {
		set(titleOff, { x: MAP.left + plot / 2, y: height - 6 });
		const ticksOf = ({ low, high }: Scale) => TICKS.filter((seconds) => seconds >= low && seconds <= high);
		const across = ticksOf(off).map((seconds) => ({
			at: Math.min(x(seconds), width - 14),
			text: formatDuration(seconds),
		}));
		labelsX(
			roomyLabels(across, () => 0, 46),
			({ at }) => ({ x: at, y: MAP.top + MAP.height + 18 }),
			({ text }) => text,
		);
		labelsY(ticksOf(on), (seconds) => ({ x: MAP.left - 8, y: y(seconds) + 4 }), formatDuration);
	};
}

/** The longest possible off-time, as a dashed line with its name above. */
function offTimeLimit(
	inside: SVGElement,
	over: SVGElement,
): (scales: MapScales, maxOffSeconds: number | null) => void {
	const paths = haloedPath(inside, "off-limit");
	const name = draw(over, "text", { class: "name" });
	return ({ off, plot, x }, longest) => {
		const isShown = longest !== null && longest > off.low && longest < off.high;
		for (const path of paths)
			set(path, { d: isShown ? `M${x(longest).toFixed(1)} ${MAP.top}V${MAP.top + MAP.height}` : "M0 0" });
		const isOnRight = isShown && x(longest) > MAP.left + plot * 0.6;
		set(name, {
			x: isShown ? x(longest) + (isOnRight ? 5 : -5) : 0,
			y: MAP.top - 8,
			class: isOnRight ? "name end" : "name",
		});
		say(name, isShown ? (isOnRight ? "longest off-time ▼" : "▼ longest off-time") : "");
	};
}

/** The settings with the fresh air per day of the active schedule. */
function sameAirLine(inside: SVGElement): (scales: MapScales, now: OnOffTimes) => void {
	const paths = haloedPath(inside, "air", "halo thin");
	return ({ off, x, y }, now) => {
		const share = now === null ? 0 : now.onSeconds / now.offSeconds;
		const end = (seconds: number) => `${x(seconds).toFixed(1)} ${y(seconds * share).toFixed(1)}`;
		for (const path of paths) set(path, { d: now === null ? "M0 0" : `M${end(off.low)}L${end(off.high)}` });
	};
}

const drawPoints = (svg: SVGElement): readonly SVGGElement[] =>
	SCHEDULE_NAMES.map((name) => {
		const point = draw(svg, "g", { class: "point", role: "slider" });
		draw(point, "circle", { class: "reach", r: 22 });
		draw(point, "circle", { class: "ring", r: 11 });
		draw(point, "text", { class: "letter", y: 4 }, name);
		return point;
	});

/** Puts the point of each schedule where its times stand. */
function placePoints(
	points: readonly SVGGElement[],
	{ off, plot, x, y }: MapScales,
	{ explored: { comparison, state }, periods }: Shown,
): void {
	points.forEach((point, place) => {
		const own = periods[place] ?? null;
		hide(point, own === null);
		if (own === null) return;
		const isActive = place === state.activeSchedule;
		const [left, top] = [
			clamp(x(own.offSeconds), MAP.left, MAP.left + plot),
			clamp(y(own.onSeconds), MAP.top, MAP.top + MAP.height),
		];
		const { inWords, summary } = comparison.schedules[place]!;
		const { statistic, valuePpm, isMet } = summary.criterion;
		set(point, {
			transform: `translate(${left.toFixed(1)} ${top.toFixed(1)})`,
			class: isActive ? "point now" : "point",
			tabindex: isActive ? 0 : -1,
			"aria-disabled": String(!isActive),
			"aria-label": `schedule ${SCHEDULE_NAMES[place]} on the map: up and down on-time, left and right off-time`,
			"aria-valuenow": Math.round(own.offSeconds),
			"aria-valuemin": Math.round(Math.min(off.low, own.offSeconds)),
			"aria-valuemax": Math.round(Math.max(off.high, own.offSeconds)),
			"aria-valuetext": `${inWords}: ${statistic} ${formatPpm(valuePpm)}, ${isMet ? "meets the target" : "misses the target"}`,
		});
	});
}
