import { type Html, html } from "../../page/html.ts";
import { drawing, mark, niceStep, words } from "../section/marks.ts";
import { linePath, type Point, tenth, thinCurve } from "../section/path.ts";
import { LINE, makePlacing, roomOf } from "./placing.ts";

/** Fresh air against bursts of the settings that no other beats, as one line, with a few of them named. */
export interface Frontier {
	readonly id: string;
	readonly title: string;
	readonly desc: string;
	readonly points: readonly { readonly bursts: number; readonly air: number }[];
	readonly marks: readonly {
		readonly name: string;
		readonly note: string;
		readonly bursts: number;
		readonly air: number;
	}[];
	/** "m³" */
	readonly unit: string;
}

/** The least air by bursts per day: the lowest point of each stretch of the axis. */
function lowest(
	points: Frontier["points"],
	from: number,
	to: number,
): { readonly bursts: number; readonly air: number }[] {
	const bins = new Map<number, { bursts: number; air: number }>();
	for (const point of points) {
		const bin = Math.round((60 * (point.bursts - from)) / Math.max(to - from, 1e-9));
		const known = bins.get(bin);
		if (known === undefined || point.air < known.air) bins.set(bin, point);
	}
	return [...bins.values()].sort((a, b) => a.bursts - b.bursts);
}

function draw(of: Frontier, isWide: boolean): Html {
	const [left, right, top, bottom] = isWide ? [60, 800, 44, 240] : [52, 350, 44, 200];
	const all = [...of.points, ...of.marks];
	const bursts = all.map((point) => point.bursts);
	const air = all.map((point) => point.air);
	const [fewest, most] = [Math.min(...bursts), Math.max(...bursts)];
	const [least, highest] = [Math.min(...air), Math.max(...air)];
	const pad = 0.06 * (most - fewest) || 1;
	const [x0, x1] = [Math.max(0, fewest - pad), most + pad];
	const room = Math.max(highest - least, 0.02 * highest);
	const [y0, y1] = [least - 0.5 * room, highest + 0.1 * room];
	const x = (value: number): number => left + ((value - x0) / (x1 - x0)) * (right - left);
	const y = (value: number): number => bottom - ((value - y0) / (y1 - y0)) * (bottom - top);
	const line = lowest(all, fewest, most).map((point): Point => [x(point.bursts), y(point.air)]);
	const placing = makePlacing(isWide ? 834 : 358, bottom - 26);
	placing.take({ left: 0, right: 200, top: 0, bottom: 20 });
	for (const [px, py] of line) placing.take({ left: px - 3, right: px + 3, top: py - 3, bottom: py + 3 });
	for (const point of of.marks)
		placing.take({
			left: x(point.bursts) - 9,
			right: x(point.bursts) + 9,
			top: y(point.air) - 9,
			bottom: y(point.air) + 9,
		});
	const rules = (from: number, to: number, count: number): number[] => {
		const step = niceStep((to - from) / count);
		const first = Math.ceil(from / step) * step;
		return Array.from({ length: Math.floor((to - first) / step) + 1 }, (_, k) =>
			Number((first + k * step).toPrecision(6)),
		);
	};
	const airRules = rules(y0, y1, 4);
	for (const value of airRules)
		placing.take({ left: left - 36, right: left - 4, top: y(value) - 10, bottom: y(value) + 8 });
	const said: Html[] = [];
	for (const { name, note, ...point } of of.marks) {
		const [px, py] = [x(point.bursts), y(point.air)];
		const wide = Math.max(roomOf(name, 16), roomOf(note, 13.5));
		const edge = (isWide ? 834 : 358) - wide;
		const spots = [-34, 24, -60, 50, -86, 76].flatMap((dy): Point[] => [
			[px + 14, py + dy],
			[px - wide - 12, py + dy],
			[px - wide / 2, py + dy],
			[Math.max(2, Math.min(px - wide / 2, edge)), py + dy],
		]);
		const spot = placing.place(
			[
				[name, 16],
				[note, 13.5],
			],
			spots,
		);
		if (spot !== null)
			said.push(words("b2 hal", spot, name), words("l hal", [spot[0], spot[1] + LINE], note));
	}
	const land =
		line.length > 1
			? `${linePath(thinCurve(line))}L${tenth(line.at(-1)![0])} ${bottom}L${tenth(line[0]![0])} ${bottom}Z`
			: "";
	return drawing(
		{
			id: `${of.id}-${isWide ? "w" : "n"}`,
			className: isWide ? "wide" : "narrow",
			width: isWide ? 834 : 358,
			height: bottom + 48,
			title: of.title,
			desc: of.desc,
		},
		airRules.map(
			(value) =>
				html`${mark("rule", `M${left} ${tenth(y(value))}H${right}`)}${words("l", [left - 8, y(value) + 4], String(value), "end")}`,
		),
		mark("over", land),
		mark("overhatch", land),
		mark("cu3", linePath(thinCurve(line))),
		words(
			"tf hal3",
			[isWide ? left + 120 : left + 8, bottom - 10],
			isWide ? "with less air the ceiling fails" : "less air: the ceiling fails",
		),
		rules(x0, x1, isWide ? 6 : 3).map((value) =>
			words("l", [x(value), bottom + 20], String(value), "middle"),
		),
		words("b", [0, 14], `fresh air, ${of.unit} per day ↑`),
		words("b", [right, bottom + 42], "bursts per day →", "end"),
		of.marks.map(
			(point) => html`<circle class="dot" cx="${tenth(x(point.bursts))}" cy="${tenth(y(point.air))}" r="7"/>`,
		),
		said,
	);
}

export const frontierDrawings = (of: Frontier): Html => html`${draw(of, true)}${draw(of, false)}`;
