import type { ChartTheme } from "./theme.ts";

/** A place in a plot [px] that is marked by a shape and named. */
export interface NamedMark {
	readonly x: number;
	readonly y: number;
	readonly name: string;
	/** Path of the shape, in a square from -1 to 1, or a name that Vega knows. */
	readonly shape: string;
}

/** Height of a line of names [px]. */
const LINE = 17;
/** From a mark to its name [px]. */
const GAP = 13;
/** Typical width of a character [px]. */
const CHARACTER = 7.4;

/** Names that stand on one another are moved apart; each stands on the side of its mark where it covers no other and fits. */
function placed(marks: readonly NamedMark[], width: number, height: number) {
	const sorted = marks.toSorted((a, b) => a.y - b.y);
	const rows = sorted.map(({ y }) => Math.max(LINE / 2, y));
	for (let i = 1; i < rows.length; i++) rows[i] = Math.max(rows[i]!, rows[i - 1]! + LINE);
	const over = Math.max(0, (rows.at(-1) ?? 0) - (height - LINE / 2));
	for (let i = rows.length - 1; i >= 0; i--) {
		const below = rows[i + 1] ?? Number.POSITIVE_INFINITY;
		rows[i] = Math.min(rows[i]!, i === rows.length - 1 ? rows[i]! - over : below - LINE);
	}
	return sorted.map((mark, i) => {
		const length = GAP + mark.name.length * CHARACTER;
		const covers = (from: number, to: number): number =>
			sorted.filter(
				(other) => other !== mark && other.x > from && other.x < to && Math.abs(other.y - rows[i]!) < LINE,
			).length;
		const rightCost = covers(mark.x, mark.x + length) + (mark.x + length > width ? 10 : 0);
		const leftCost = covers(mark.x - length, mark.x) + (mark.x - length < 0 ? 10 : 0);
		const right = rightCost <= leftCost;
		return { ...mark, nameX: mark.x + (right ? GAP : -GAP), nameY: rows[i]!, right };
	});
}

/** Layers that draw marks by shape and name, readable on any colour. */
export function namedMarks(marks: readonly NamedMark[], theme: ChartTheme, width: number, height: number) {
	const all = placed(marks, width, height);
	const at = (channel: "x" | "y" | "x2" | "y2", field: string) => ({
		[channel]: { field, scale: null, type: "quantitative" },
	});
	const name = (right: boolean, halo: boolean) => ({
		data: { values: all.filter((mark) => mark.right === right) },
		mark: {
			type: "text",
			align: right ? "left" : "right",
			baseline: "middle",
			fontSize: 12,
			fontWeight: 600,
			color: theme.ink,
			...(halo ? { stroke: theme.halo, strokeWidth: 4, strokeJoin: "round", color: theme.halo } : {}),
		},
		encoding: { ...at("x", "nameX"), ...at("y", "nameY"), text: { field: "name" } },
	});
	return [
		{
			data: { values: all.filter(({ y, nameY }) => Math.abs(y - nameY) > LINE / 3) },
			mark: { type: "rule", color: theme.ink, strokeWidth: 1 },
			encoding: {
				...at("x", "x"),
				...at("y", "y"),
				x2: { field: "nameX" },
				y2: { field: "nameY" },
			},
		},
		...[true, false].flatMap((right) => [name(right, true), name(right, false)]),
		{
			data: { values: all },
			mark: ringMark(theme),
			encoding: { ...at("x", "x"), ...at("y", "y"), shape: { field: "shape", type: "nominal", scale: null } },
		},
	];
}

/** A mark of its own shape that stands out on any line or colour. */
export const ringMark = (theme: ChartTheme) =>
	({
		type: "point",
		filled: true,
		fill: theme.halo,
		stroke: theme.ink,
		strokeWidth: 2,
		size: 110,
		opacity: 1,
	}) as const;

/** A word in a plot that is readable on any colour; the position is in px. */
export const haloWord = (
	text: string,
	x: number,
	y: number,
	theme: ChartTheme,
	rest: { readonly align?: string; readonly baseline?: string } = {},
) =>
	[true, false].map((halo) => ({
		data: { values: [{}] },
		mark: {
			type: "text",
			text,
			fontSize: 12,
			align: "left",
			baseline: "middle",
			...rest,
			...(halo
				? { color: theme.halo, stroke: theme.halo, strokeWidth: 4, strokeJoin: "round" }
				: { color: theme.ink }),
		},
		encoding: { x: { value: x }, y: { value: y } },
	}));
