import { powerOfTen } from "../../../lib/power.ts";
import { type Html, html } from "../../page/html.ts";
import { boxPath, type Point, tenth } from "./path.ts";
import type { PpmScale } from "./scale.ts";

// The parts of a section drawing: a room between its ceiling and the intake air.

export const mark = (className: string, d: string): Html =>
	d === "" ? html`` : html`<path class="${className}" d="${d}"/>`;

/** Words in a drawing; `classes`: n number, l plain, i ink, b b2 b3 bold, th td tf tl in the colour of a state, hal haloed. */
export const words = (
	classes: string,
	[x, y]: Point,
	text: string,
	anchor: "start" | "middle" | "end" = "start",
): Html =>
	html`<text class="${classes}" x="${tenth(x)}" y="${tenth(y)}"${anchor !== "start" && html` text-anchor="${anchor}"`}>${text}</text>`;

/** A drawing with its name and what it says. */
export const drawing = (
	{
		id,
		className,
		width,
		height,
		title,
		desc,
	}: {
		readonly id: string;
		readonly className: "wide" | "narrow" | "tile" | "dial24";
		readonly width: number;
		readonly height: number;
		readonly title: string;
		readonly desc?: string;
	},
	...parts: readonly (Html | readonly Html[] | null | false)[]
): Html =>
	html`<svg class="${className}" viewBox="0 0 ${width} ${height}" role="img" aria-labelledby="${id}-t${desc !== undefined && ` ${id}-d`}"><title id="${id}-t">${title}</title>${desc !== undefined && html`<desc id="${id}-d">${desc}</desc>`}${parts}</svg>`;

/** The limit: the lower edge of the bar is the exact value. */
export const lintel = (scale: PpmScale, left: number, right: number, thickness: number): Html => {
	const y = scale.y(scale.ceilingPpm);
	return mark("lintel", boxPath(left, y - thickness, right, y));
};

/** The intake air, which CO2 never falls below. */
export const ground = (y: number, left: number, right: number, depth = 8): Html =>
	html`${mark("ground", boxPath(left, y, right, y + depth))}${mark("floor", `M${tenth(left)} ${tenth(y)}H${tenth(right)}`)}`;

/** Rules at round concentrations, their numbers above them at the left; `clear` keeps them off the words at these heights [px]. */
export function ppmRules(
	scale: PpmScale,
	left: number,
	right: number,
	clear: readonly number[] = [],
): readonly Html[] {
	const step = niceStep(((scale.topPpm - scale.floorPpm) * 36) / (scale.bottom - scale.top));
	const marks: Html[] = [];
	for (let ppm = Math.ceil(scale.floorPpm / step) * step; ppm < scale.topPpm; ppm += step) {
		const y = scale.y(ppm);
		const isFree = [scale.y(scale.ceilingPpm), scale.bottom + 8, ...clear].every(
			(at) => Math.abs(at - y) > 24,
		);
		if (isFree && y > scale.top + 8)
			marks.push(
				html`${mark("rule", `M${tenth(left)} ${tenth(y)}H${tenth(right)}`)}${words("n hal", [left + 2, y - 4], String(ppm))}`,
			);
	}
	return marks;
}

/** The round step (1, 2 or 5 times a power of ten) next above a size. */
export const niceStep = (size: number): number => {
	const power = powerOfTen(Math.floor(Math.log10(size)));
	return power * ([1, 2, 5, 10].find((factor) => factor * power >= size * 0.999) ?? 10);
};

const HALF = 4.5;

/** A distance to be read between two heights, with slashed ends; classes: dim in ink, dimh to spare, dimf above. */
export const uprightMeasure = (x: number, from: number, to: number, className = "dim"): Html =>
	mark(
		className,
		`M${tenth(x)} ${tenth(from)}V${tenth(to)}${[from, to].map((y) => `M${tenth(x - HALF)} ${tenth(y + HALF)}L${tenth(x + HALF)} ${tenth(y - HALF)}`).join("")}`,
	);
/** The same between two places side by side. */
export const levelMeasure = (y: number, from: number, to: number, className = "dim"): Html =>
	mark(
		className,
		`M${tenth(from)} ${tenth(y)}H${tenth(to)}${[from, to].map((x) => `M${tenth(x - HALF)} ${tenth(y + HALF)}L${tenth(x + HALF)} ${tenth(y - HALF)}`).join("")}`,
	);
/** The distance of a value to the ceiling: blue to spare, red above. */
export const measure = (scale: PpmScale, x: number, ppm: number): Html =>
	uprightMeasure(x, scale.y(scale.ceilingPpm), scale.y(ppm), ppm > scale.ceilingPpm ? "dimf" : "dimh");

/** A zigzag: the scale does not begin at the floor. */
export const cutLine = (y: number, left: number, right: number): Html => {
	const count = Math.max(2, Math.round((right - left) / 8));
	const step = (right - left) / count;
	return mark(
		"brk",
		`M${tenth(left)} ${tenth(y)}${Array.from({ length: count }, (_, k) => `L${tenth(left + (k + 0.5) * step)} ${tenth(y + (k % 2 === 0 ? -4 : 4))}`).join("")}L${tenth(right)} ${tenth(y)}`,
	);
};
