import { type ContourGrid, traceContour } from "../../../lib/solve/cycles/contour.ts";
import { mapFrame, settingMapDrawing } from "../../charts/choose/map.ts";
import { formatPpm } from "../../words/format.ts";
import { unitModel } from "../contours.ts";
import type { Explored } from "../explored.ts";
import { gridFiller } from "../gridfiller.ts";
import { roundSeconds, type Scale } from "../scale.ts";
import { SCHEDULE_NAMES } from "../state.ts";
import { draw, hide, PHONE, set } from "./dom.ts";
import { handle, type OnOffTimes } from "./handle.ts";

/** What the map shows: a state, and the on- and off-time of each of its schedules. */
interface Shown {
	readonly explored: Explored;
	readonly periods: readonly OnOffTimes[];
}

/** The map of all settings, with a point for each schedule over it; the point of the active one can be dragged. */
export function settingPlot(
	box: HTMLElement,
	on: Scale,
	off: Scale,
	move: (onSeconds: number, offSeconds: number) => void,
): (explored: Explored, periods: readonly OnOffTimes[]) => void {
	const fields = document.createElement("div");
	box.append(fields);
	const over = draw(box, "svg", { role: "group" });
	const air = [draw(over, "path", { class: "halo" }), draw(over, "path", { class: "dash" })];
	const points = SCHEDULE_NAMES.map((name) => {
		const point = draw(over, "g", { class: "point", role: "slider" });
		draw(point, "circle", { class: "reach", r: 22 });
		draw(point, "path", { class: "ring", d: "M0 -10L10 0L0 10L-10 0Z" });
		draw(point, "text", { class: "b2 hal", x: 13, y: 6 }, name);
		return point;
	});
	let shown: Shown | undefined;
	let grid: ContourGrid | undefined;
	let painted = "";
	const frameNow = () => mapFrame(!PHONE.matches, [on.low, on.high], [off.low, off.high]);
	const paint = (): void => {
		if (grid === undefined || shown === undefined) return;
		const { comparison, scenario } = shown.explored;
		const { intakePpm } = comparison.model;
		const ceilingPpm = scenario.target.ceiling.value;
		const { scale } = unitModel(comparison.model);
		const asked = [intakePpm, ceilingPpm, scale, comparison.maxOffSeconds, PHONE.matches].join(" ");
		if (asked === painted) return;
		painted = asked;
		const own = grid;
		const excessOf = (ppm: number): number =>
			scale > 0 ? (ppm - intakePpm) / scale : ppm >= intakePpm ? Number.MAX_VALUE : -1;
		fields.innerHTML = settingMapDrawing(
			{
				id: "map-d",
				title: `All settings by ${scenario.target.on}`,
				desc: "Left of and above the thick line the judged value stays under the ceiling.",
				onSeconds: own.onSeconds,
				offFromSeconds: off.low,
				offToSeconds: off.high,
				lineAt: (ppm) => traceContour(own, excessOf(ppm)),
				intakePpm,
				ceilingPpm,
				maxOffSeconds: comparison.maxOffSeconds,
				marks: [],
			},
			!PHONE.matches,
		).html;
	};
	const fill = gridFiller(on, off, (done) => {
		grid = done;
		painted = "";
		paint();
	});

	const moveTo = (clientX: number, clientY: number): void => {
		const { left, top, width } = over.getBoundingClientRect();
		const zoom = over.viewBox.baseVal.width / width;
		const { onSeconds, offSeconds } = frameNow().settingAt((clientX - left) * zoom, (clientY - top) * zoom);
		move(roundSeconds(onSeconds), roundSeconds(offSeconds));
	};
	for (const point of points)
		handle(point, on, off, {
			now: () => shown?.periods[shown.explored.state.activeSchedule] ?? null,
			move,
			moveTo,
		});
	fields.addEventListener("click", ({ clientX, clientY }) => moveTo(clientX, clientY));

	const show = (explored: Explored, periods: readonly OnOffTimes[]): void => {
		shown = { explored, periods };
		const { comparison, scenario, state } = explored;
		const frame = frameNow();
		const { width, height, left, right, x, y } = frame;
		set(over, {
			viewBox: `0 0 ${width} ${height}`,
			"aria-label": `Map of all settings by ${scenario.target.on}`,
		});
		const now = periods[state.activeSchedule] ?? null;
		const share = now === null ? 0 : now.onSeconds / now.offSeconds;
		// The line of the same air as far as it lies on the map.
		const [from, to] = [Math.max(off.low, on.low / share), Math.min(off.high, on.high / share)];
		const d =
			now === null || !(from < to)
				? "M0 0"
				: `M${x(from).toFixed(1)} ${y(from * share).toFixed(1)}L${x(to).toFixed(1)} ${y(to * share).toFixed(1)}`;
		for (const path of air) set(path, { d });
		placePoints(points, frame, off, shown, [left, right]);
		paint();
		fill(unitModel(comparison.model).unit, scenario.target.on);
	};
	PHONE.addEventListener("change", () => shown !== undefined && show(shown.explored, shown.periods));
	return show;
}

/** Puts the point of each schedule where its times stand. */
function placePoints(
	points: readonly SVGGElement[],
	{ x, y }: ReturnType<typeof mapFrame>,
	off: Scale,
	{ explored: { comparison, state }, periods }: Shown,
	[left, right]: readonly [number, number],
): void {
	points.forEach((point, place) => {
		const own = periods[place] ?? null;
		hide(point, own === null);
		if (own === null) return;
		const isActive = place === state.activeSchedule;
		const at = x(own.offSeconds);
		const { inWords, summary } = comparison.schedules[place]!;
		const { statistic, valuePpm, isMet } = summary.criterion;
		set(point.lastElementChild!, { x: at > right - 40 && at > left + 40 ? -26 : 13 });
		set(point, {
			transform: `translate(${at.toFixed(1)} ${y(own.onSeconds).toFixed(1)})`,
			class: `point ${place === 0 ? "a" : "b"}${isActive ? " now" : ""}`,
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
