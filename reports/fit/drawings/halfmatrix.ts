import { drawing, mark, words } from "../../charts/section/marks.ts";
import { boxPath } from "../../charts/section/path.ts";
import { truncateText } from "../../charts/textwidth.ts";
import { type Html, html } from "../../page/html.ts";

/** Correlations from this on have a number. */
const MIN_NUMBER = 0.5;

/** Half of a correlation matrix: a full square for two values that one log cannot separate, hatched where one rises as the other falls. */
export function halfMatrix(
	id: string,
	names: readonly string[],
	correlation: readonly (readonly number[])[],
): Html {
	const half = (size: number, left: number): Html =>
		html`${names.map((name, i) => {
			const y = 24 + size * i;
			return html`${names.slice(0, i).map((_, j) => {
				const r = correlation[i]?.[j] ?? 0;
				if (!Number.isFinite(r)) return null;
				const [x, side] = [left + size * j, (size - 2) * Math.sqrt(Math.min(1, Math.abs(r)))];
				const inset = (size - side) / 2;
				return html`${mark("cell", boxPath(x, y, x + size, y + size))}${Math.abs(r) > 0.02 && mark(r > 0 ? "pos" : "neg", boxPath(x + inset, y + inset, x + inset + side, y + inset + side))}`;
			})}${words("b", [left + size * i + 6, y + size / 2 + 5], truncateText(name, 13.5, true, 220))}`;
		})}`;
	const strong = names.flatMap((name, i) =>
		names.slice(0, i).flatMap((other, j) => {
			const r = correlation[i]?.[j] ?? 0;
			return Math.abs(r) >= MIN_NUMBER ? [{ r, text: `${other}, ${name}` }] : [];
		}),
	);
	const most = strong
		.toSorted((a, b) => Math.abs(b.r) - Math.abs(a.r))
		.slice(0, 8)
		.map(({ r, text }) => ({ text, r: r.toFixed(Math.abs(r) >= 0.95 ? 3 : 2).replace("-", "−") }));
	const title = "Correlations of what was fitted";
	const desc =
		most.length === 0
			? "No pair is correlated by 0.5 or more."
			: `${most.map(({ text, r }) => `${text}: ${r}`).join("; ")}.`;
	const list = (x: number, top: number, width: number): readonly Html[] =>
		most.map(
			({ text, r }, k) =>
				html`${words("b", [x, top + 22 * k], r)}${words("l", [x + 56, top + 22 * k], truncateText(text, 13.5, false, width - 98))}`,
		);
	const height = 34 + 34 * names.length;
	const small = Math.min(31, Math.floor(150 / names.length));
	return html`<figure>${drawing(
		{
			id: `${id}-w`,
			className: "wide",
			width: 834,
			height: Math.max(height, 40 + 22 * most.length),
			title,
			desc,
		},
		half(34, 0),
		words("b2", [510, 24], "strongest pairs"),
		list(510, 50, 324),
	)}${drawing(
		{
			id: `${id}-n`,
			className: "narrow",
			width: 358,
			height: 60 + Math.max(18, small) * names.length + 22 * most.length,
			title,
			desc,
		},
		half(Math.max(18, small), 0),
		list(0, 60 + Math.max(18, small) * names.length, 358),
	)}</figure>`;
}
