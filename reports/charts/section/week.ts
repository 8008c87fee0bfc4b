import { type Html, html } from "../../page/html.ts";
import { drawing, mark, words } from "./marks.ts";
import { boxPath } from "./path.ts";

/** Length of a field [s]. */
export const FIELD_SECONDS = 1800;
const FIELDS = 48;

/** Peaks of each half hour of some days, and what stands at the end of each row. */
export interface Week {
	readonly id: string;
	readonly title: string;
	readonly desc: string;
	readonly days: readonly {
		readonly name: string;
		readonly peaks: readonly number[];
		readonly above: string;
	}[];
	readonly intakePpm: number;
	readonly ceilingPpm: number;
}

/** Class of a peak: three steps of blue up to the ceiling, four of red above it. */
const stepOf = (ppm: number, { intakePpm, ceilingPpm }: Week): string => {
	const room = ceilingPpm - intakePpm;
	if (ppm <= ceilingPpm)
		return ppm > ceilingPpm - 0.2 * room ? "m-h1" : ppm > ceilingPpm - 0.5 * room ? "m-h2" : "m-h3";
	const over = (ppm - ceilingPpm) / room;
	return over > 1 ? "m-f4" : over > 0.3 ? "m-f3" : over > 0.1 ? "m-f2" : "m-f1";
};

const ROW = 28;

function week(of: Week, isWide: boolean): Html {
	const [left, right] = isWide ? [50, 700] : [50, 268];
	const pitch = (right - left) / FIELDS;
	const shapes = new Map<string, string>();
	of.days.forEach(({ peaks }, row) => {
		peaks.forEach((ppm, place) => {
			const name = stepOf(ppm, of);
			const [x, y] = [left + place * pitch, row * (ROW + 3)];
			const box = boxPath(x, y, x + pitch + 0.2, y + ROW);
			shapes.set(name, (shapes.get(name) ?? "") + box);
			if (ppm > of.ceilingPpm) shapes.set("overhatch", (shapes.get("overhatch") ?? "") + box);
		});
	});
	const bottom = of.days.length * (ROW + 3);
	const room = of.ceilingPpm - of.intakePpm;
	const limits = [-0.5, -0.2, 0, 0.1, 0.3, 1].map((share) => Math.round(of.ceilingPpm + share * room));
	const names = ["m-h3", "m-h2", "m-h1", "m-f1", "m-f2", "m-f3", "m-f4"];
	const key = (right - left) / (isWide ? 7 : 4.2);
	const perRow = isWide ? 7 : 4;
	return drawing(
		{
			id: `${of.id}-${isWide ? "w" : "n"}`,
			className: isWide ? "wide" : "narrow",
			width: isWide ? 834 : 358,
			height: bottom + (isWide ? 82 : 124),
			title: of.title,
			desc: of.desc,
		},
		[...shapes].map(([name, path]) => mark(name, path)),
		of.days.map(({ name, above }, row) => {
			const y = row * (ROW + 3) + 19;
			return html`${words("l", [0, y], name)}${words(above === "–" ? "l" : "tf", [right + 10, y], above)}`;
		}),
		[0, 6, 12, 18, 24].map((hour) =>
			words(
				"l",
				[left + (hour / 24) * (right - left), bottom + 15],
				isWide ? `${hour}:00` : `${hour} h`,
				hour === 0 ? "start" : hour === 24 ? "end" : "middle",
			),
		),
		names.map((name, place) => {
			const x = left + (place % perRow) * key;
			const y = bottom + 34 + Math.floor(place / perRow) * 42;
			const path = boxPath(x, y, x + key - 2, y + 14);
			return html`${mark(name, path)}${place >= 3 && mark("overhatch", path)}${words("l", [x, y + 30], place === 6 ? "over" : `${isWide ? "to " : ""}${limits[place]}`)}`;
		}),
	);
}

/** Days as rows of half hours, coloured by their peak and hatched above the ceiling. */
export const weekDrawings = (of: Week): Html => html`${week(of, true)}${week(of, false)}`;
