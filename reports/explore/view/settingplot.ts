import { colourLimits } from "../../charts/choose/settings.ts";
import { formatPpm } from "../../words/verdict.ts";
import { type ContourGrid, traceContour, unitModel } from "../contours.ts";
import type { Explored } from "../explored.ts";
import { gridFiller } from "../gridfiller.ts";
import { roundSeconds, type Scale } from "../scale.ts";
import { SCHEDULE_NAMES } from "../state.ts";
import { draw, hide, pool, say, set, watchWidth } from "./dom.ts";
import { clamp, handle, type OnOffTimes } from "./handle.ts";

const TOP = 28;
const HEIGHT = 260;
const FOOT = 44;
const LEFT = 50;
const RIGHT = 12;

const TICKS: readonly (readonly [seconds: number, text: string])[] = [
	[0.1, "0.1 s"],
	[1, "1 s"],
	[3, "3 s"],
	[10, "10 s"],
	[30, "30 s"],
	[60, "1 min"],
	[180, "3 min"],
	[600, "10 min"],
	[1800, "30 min"],
	[3600, "1 h"],
	[10_800, "3 h"],
	[21_600, "6 h"],
	[86_400, "1 d"],
	[604_800, "7 d"],
];

/** The map of all settings, with a point for each schedule; the point of the moved one can be dragged. */
export function settingPlot(
	box: HTMLElement,
	legend: HTMLElement,
	on: Scale,
	off: Scale,
	move: (onSeconds: number, offSeconds: number) => void,
): (explored: Explored, periods: readonly OnOffTimes[]) => void {
	const svg = draw(box, "svg", { role: "group" });
	const clip = draw(draw(draw(svg, "defs"), "clipPath", { id: "map-area" }), "rect");
	const colours = draw(svg, "g", { "clip-path": "url(#map-area)", "aria-hidden": "true" });
	const area = draw(colours, "rect", { class: "step" });
	const steps = pool(colours, "path", "step");
	const over = draw(svg, "g", { "aria-hidden": "true" });
	const inside = draw(over, "g", { "clip-path": "url(#map-area)" });
	const [contourHalo, contour] = [
		draw(inside, "path", { class: "halo" }),
		draw(inside, "path", { class: "contour" }),
	];
	const [airHalo, air] = [
		draw(inside, "path", { class: "halo thin" }),
		draw(inside, "path", { class: "air" }),
	];
	const [wallHalo, wall] = [draw(inside, "path", { class: "halo" }), draw(inside, "path", { class: "wall" })];
	const wallName = draw(over, "text", { class: "name" });
	draw(over, "text", { class: "axis", x: 6, y: 14 }, "on-time");
	const titleOff = draw(over, "text", { class: "axis middle" }, "off-time");
	const labelsX = pool(over, "text", "axis middle");
	const labelsY = pool(over, "text", "axis end");
	const points = SCHEDULE_NAMES.map((name) => {
		const point = draw(svg, "g", { class: "point", role: "slider" });
		draw(point, "circle", { class: "reach", r: 22 });
		draw(point, "circle", { class: "ring", r: 11 });
		draw(point, "text", { class: "letter", y: 4 }, name);
		return point;
	});
	const swatches = Array.from({ length: 9 }, () => {
		const item = document.createElement("li");
		const mark = draw(item, "svg", { width: 16, height: 12, "aria-hidden": "true" });
		const colour = draw(mark, "rect", { class: "step", width: 16, height: 12, rx: 2 });
		const words = document.createElement("span");
		item.append(words);
		legend.append(item);
		return { item, colour, words };
	});

	let shown:
		| { readonly explored: Explored; readonly periods: readonly OnOffTimes[]; readonly scale: number }
		| undefined;
	let grid: ContourGrid | undefined;
	let plot = 300;
	const x = (seconds: number) => LEFT + (plot * Math.log(seconds / off.low)) / Math.log(off.high / off.low);
	const y = (seconds: number) => TOP + HEIGHT * (1 - Math.log(seconds / on.low) / Math.log(on.high / on.low));

	const fill = gridFiller(on, off, (done) => {
		grid = done;
		painted = "";
		if (shown !== undefined) paint(shown.explored, shown.scale);
	});

	/** The colours, as regions of one colour under another: the figure rises with the off-time and falls with the on-time. */
	let painted = "";
	function paint({ comparison, scenario }: Explored, scale: number): void {
		if (grid === undefined) return;
		const { intakePpm } = comparison.model;
		const ceilingPpm = scenario.target.ceiling.value;
		const asked = [intakePpm, ceilingPpm, scale, plot].join(" ");
		if (asked === painted) return;
		painted = asked;
		const limits = colourLimits(intakePpm, ceilingPpm);
		const edge = LEFT + plot;
		const curveOf = (level: number) => {
			const excess = scale > 0 ? (level - intakePpm) / scale : level >= intakePpm ? Number.MAX_VALUE : -1;
			return traceContour(grid!, excess);
		};
		const ups = [...grid.onSeconds].map((seconds) => y(seconds).toFixed(1));
		set(area, { x: LEFT, y: TOP, width: plot, height: HEIGHT, fill: `var(--ramp-${limits.length})` });
		steps(limits.length).forEach((path, i) => {
			const place = limits.length - 1 - i;
			const curve = curveOf(limits[place]!);
			const line = ups.map((up, j) => `${clamp(x(Math.max(curve[j]!, 1e-9)), LEFT, edge).toFixed(1)} ${up}`);
			set(path, { d: `M${line.join("L")}H${LEFT}V${ups[0]}Z`, fill: `var(--ramp-${place})` });
		});
		const ceiling = curveOf(ceilingPpm);
		let d = "";
		let open = false;
		ups.forEach((up, j) => {
			const [own, next] = [ceiling[j]!, ceiling[j + 1] ?? 0];
			const inside = own > 0 && Number.isFinite(own);
			// Where it leaves the map, it goes on up to the edge.
			if (inside || (own === 0 && next > 0 && Number.isFinite(next) && next > off.low)) {
				d += `${open ? "L" : "M"}${clamp(x(Math.max(own, off.low)), LEFT, edge).toFixed(1)} ${up}`;
				open = true;
			} else open = false;
		});
		for (const path of [contourHalo, contour]) set(path, { d: d === "" ? "M0 0" : d });
		swatches.forEach(({ item, colour, words }, i) => {
			hide(item, i > limits.length);
			set(colour, { fill: `var(--ramp-${i})` });
			const limit = limits[i];
			say(words, limit === undefined ? `over ${limits.at(-1)}` : `to ${limit}`);
		});
	}

	for (const point of points)
		handle(point, on, off, {
			now: () => shown?.periods[shown.explored.state.activeSchedule] ?? null,
			move,
			moveTo,
		});
	colours.addEventListener("click", ({ clientX, clientY }) => moveTo(clientX, clientY));
	function moveTo(clientX: number, clientY: number): void {
		const { left, top, width } = svg.getBoundingClientRect();
		const zoom = svg.viewBox.baseVal.width / width;
		const right = clamp(((clientX - left) * zoom - LEFT) / plot, 0, 1);
		const up = clamp(1 - ((clientY - top) * zoom - TOP) / HEIGHT, 0, 1);
		move(
			roundSeconds(on.low * (on.high / on.low) ** up),
			roundSeconds(off.low * (off.high / off.low) ** right),
		);
	}

	const room = watchWidth(box, () => shown !== undefined && show(shown.explored, shown.periods));
	const show = (explored: Explored, periods: readonly OnOffTimes[]): void => {
		const { comparison, scenario, state } = explored;
		const { unit, scale } = unitModel(comparison.model);
		shown = { explored, periods, scale };
		const width = Math.max(260, room());
		plot = width - LEFT - RIGHT;
		const height = TOP + HEIGHT + FOOT;
		set(svg, { width, height, viewBox: `0 0 ${width} ${height}` });
		set(clip, { x: LEFT, y: TOP, width: plot, height: HEIGHT });
		set(titleOff, { x: LEFT + plot / 2, y: height - 6 });
		const across = TICKS.filter(([t]) => t >= off.low && t <= off.high);
		let taken = Number.NEGATIVE_INFINITY;
		labelsX(across.length).forEach((label, i) => {
			const [seconds, text] = across[i]!;
			const at = Math.min(x(seconds), width - 14);
			const fits = at - taken >= 46;
			if (fits) taken = at;
			set(label, { x: at, y: TOP + HEIGHT + 18 });
			say(label, fits ? text : "");
		});
		const upward = TICKS.filter(([t]) => t >= on.low && t <= on.high);
		labelsY(upward.length).forEach((label, i) => {
			const [seconds, text] = upward[i]!;
			set(label, { x: LEFT - 8, y: y(seconds) + 4 });
			say(label, text);
		});

		const { maxOffSeconds: longest } = comparison;
		const walled = longest !== null && longest > off.low && longest < off.high;
		for (const path of [wallHalo, wall])
			set(path, { d: walled ? `M${x(longest).toFixed(1)} ${TOP}V${TOP + HEIGHT}` : "M0 0" });
		const onRight = walled && x(longest) > LEFT + plot * 0.6;
		set(wallName, {
			x: walled ? x(longest) + (onRight ? 5 : -5) : 0,
			y: TOP - 8,
			class: onRight ? "name end" : "name",
		});
		say(wallName, walled ? (onRight ? "longest off-time ▼" : "▼ longest off-time") : "");

		const now = periods[state.activeSchedule] ?? null;
		const share = now === null ? 0 : now.onSeconds / now.offSeconds;
		for (const path of [airHalo, air])
			set(path, {
				d:
					now === null
						? "M0 0"
						: `M${x(off.low).toFixed(1)} ${y(off.low * share).toFixed(1)}L${x(off.high).toFixed(1)} ${y(off.high * share).toFixed(1)}`,
			});

		points.forEach((point, place) => {
			const own = periods[place] ?? null;
			hide(point, own === null);
			if (own === null) return;
			const moved = place === state.activeSchedule;
			const at = [
				clamp(x(own.offSeconds), LEFT, LEFT + plot),
				clamp(y(own.onSeconds), TOP, TOP + HEIGHT),
			] as const;
			const { criterion } = comparison.schedules[place]!.summary;
			set(point, {
				transform: `translate(${at[0].toFixed(1)} ${at[1].toFixed(1)})`,
				class: moved ? "point now" : "point",
				tabindex: moved ? 0 : -1,
				"aria-disabled": String(!moved),
				"aria-label": `schedule ${SCHEDULE_NAMES[place]} on the map: up and down on-time, left and right off-time`,
				"aria-valuenow": Math.round(own.offSeconds),
				"aria-valuemin": Math.round(Math.min(off.low, own.offSeconds)),
				"aria-valuemax": Math.round(Math.max(off.high, own.offSeconds)),
				"aria-valuetext": `${comparison.schedules[place]!.inWords}: ${criterion.statistic} ${formatPpm(criterion.valuePpm)}, ${criterion.isMet ? "meets the target" : "misses the target"}`,
			});
		});
		set(svg, { "aria-label": `Map of all settings by ${scenario.target.on}` });
		paint(explored, scale);
		fill(unit, scenario.target.on);
	};
	return show;
}
