import { type Html, html } from "../../page/html.ts";
import { truncateText } from "../textwidth.ts";
import { drawing, mark, words } from "./marks.ts";
import { tenth } from "./path.ts";

/** A value beside what was expected of it, as factors of the latter. */
export interface Dumbbell {
	readonly name: string;
	/** null: not determined. */
	readonly factor: number | null;
	/** 95 % interval; null where there is none. */
	readonly low: number | null;
	readonly high: number | null;
	readonly foundWords: string;
	readonly expectedWords: string;
}

const TICKS = [0.1, 0.2, 0.5, 1, 2, 5, 10];
/** The scale ends at a factor of ten at most: what is beyond stands at its edge. */
const MAX_FACTOR = 10;

/** Dot: found, with its 95 % interval; ring: the expected value, on a scale of factors. */
export function dumbbells(id: string, rows: readonly Dumbbell[], expected: string): Html {
	const values = rows.flatMap(({ factor, low, high }) =>
		[factor, low, high].filter((one) => one !== null && one > 0),
	);
	const reach = Math.min(MAX_FACTOR, Math.max(1.5, ...values.map((one) => Math.max(one!, 1 / one!))) * 1.12);
	const scale = (left: number, right: number) => (factor: number) => {
		const share = 0.5 + (0.5 * Math.log(Math.max(factor, 1e-9))) / Math.log(reach);
		return left + (right - left) * Math.min(1, Math.max(0, share));
	};
	const ticks = (reach < 2.3 ? [0.5, 0.7, 1, 1.4, 2] : TICKS).filter(
		(tick) => tick <= reach && tick >= 1 / reach,
	);
	const title = `Found, as a factor of what the ${expected} gives`;
	const desc = rows
		.map(
			({ name, factor, foundWords, expectedWords }) =>
				`${name}: ${factor === null ? "not determined" : `${foundWords}, ${Number(factor.toPrecision(3))} times`}; ${expectedWords}`,
		)
		.join(". ");
	const body = (x: (factor: number) => number, y: number, { factor, low, high }: Dumbbell): Html => {
		const ring = html`<circle class="hollow" cx="${tenth(x(1))}" cy="${y}" r="6"/>`;
		if (factor === null) return ring;
		const whisker =
			low === null || high === null
				? null
				: mark(
						"whisk",
						`M${tenth(x(low))} ${y}H${tenth(x(high))}M${tenth(x(low))} ${y - 6}v12M${tenth(x(high))} ${y - 6}v12`,
					);
		return html`${mark("lead-l", `M${tenth(x(1))} ${y}H${tenth(x(factor))}`)}${ring}${whisker}<circle class="found" cx="${tenth(x(factor))}" cy="${y}" r="7"/>`;
	};
	const axis = (x: (factor: number) => number, top: number, bottom: number): Html[] =>
		// The word in the middle keeps its room.
		ticks
			.filter((tick) => tick === 1 || Math.abs(x(tick) - x(1)) > 72)
			.map(
				(tick) =>
					html`${mark(tick === 1 ? "cu2" : "rule", `M${tenth(x(tick))} ${top}V${bottom}`)}${words(tick === 1 ? "b" : "n", [x(tick), top - 8], tick === 1 ? "as given" : `× ${tick}`, "middle")}`,
			);
	const [wide, narrow] = [scale(216, 596), scale(30, 328)];
	const [step, tall] = [48, 70];
	return html`<figure>${drawing(
		{ id: `${id}-w`, className: "wide", width: 834, height: 34 + step * rows.length, title, desc },
		axis(wide, 28, 30 + step * rows.length),
		rows.map((row, k) => {
			const y = 54 + step * k;
			return html`${words("b", [0, y + 5], truncateText(row.name, 13.5, true, 205))}${body(wide, y, row)}${words(row.factor === null ? "td" : "tl", [624, y - 2], truncateText(row.foundWords, 13.5, true, 190))}${words("l", [624, y + 15], truncateText(row.expectedWords, 13.5, false, 214))}`;
		}),
	)}${drawing(
		{ id: `${id}-n`, className: "narrow", width: 358, height: 30 + tall * rows.length, title, desc },
		axis(narrow, 24, 26 + tall * rows.length),
		rows.map((row, k) => {
			const y = 44 + tall * k;
			return html`${words("b hal", [0, y], truncateText(row.name, 13.5, true, 150))}${words(`${row.factor === null ? "td" : "tl"} hal`, [358, y], truncateText(row.foundWords, 13.5, true, 170), "end")}${body(narrow, y + 24, row)}`;
		}),
	)}</figure>`;
}
