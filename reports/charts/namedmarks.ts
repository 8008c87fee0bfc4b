import { ALONE, haloed, px, shape } from "./marks.ts";
import type { ChartTheme } from "./theme.ts";

/** A place in a plot [px]. */
export interface Spot {
	readonly x: number;
	readonly y: number;
}
/** A place that is marked by a shape and named. */
interface NamedMark extends Spot {
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

interface Box {
	readonly left: number;
	readonly right: number;
	readonly top: number;
	readonly bottom: number;
}
type Align = "left" | "right" | "center";
interface NamePlace {
	readonly nameX: number;
	readonly nameY: number;
	readonly align: Align;
}

/** Lines that a name may stand above or below its mark. */
const SHIFTS = [0, -1, 1, -1.5, 1.5, -2, 2, -2.6, 2.6, -3.3, 3.3, -4, 4];
/** What it costs a name to leave the plot, to cover another name, or a mark, or a spot of a line, and to stand a line farther off. */
const COST = { outside: 400, name: 200, mark: 60, spot: 4, line: 3, left: 1, center: 2 };

const overlap = (a: Box, b: Box): boolean =>
	a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
/** Box so many px around a spot. */
export const boxAround = ({ x, y }: Spot, half: number): Box => ({
	left: x - half,
	right: x + half,
	top: y - half,
	bottom: y + half,
});

function boxOf({ nameX, nameY, align }: NamePlace, length: number): Box {
	const left = align === "left" ? nameX : align === "right" ? nameX - length : nameX - length / 2;
	return { left, right: left + length, top: nameY - LINE / 2, bottom: nameY + LINE / 2 };
}

/** Each name where it costs least: beside its mark, or above or below it, clear of lines, marks and names. */
function placed(
	marks: readonly NamedMark[],
	width: number,
	height: number,
	lines: readonly Spot[],
	words: readonly Box[],
) {
	const taken = [...words];
	return marks
		.toSorted((a, b) => a.y - b.y)
		.map((mark) => {
			const length = mark.name.length * CHARACTER;
			const candidates = SHIFTS.flatMap((shift): (NamePlace & { readonly fixed: number })[] => {
				const nameY = mark.y + shift * LINE;
				const far = Math.abs(shift) * COST.line;
				return [
					{ nameX: mark.x + GAP, nameY, align: "left", fixed: far },
					{ nameX: mark.x - GAP, nameY, align: "right", fixed: far + COST.left },
					...(Math.abs(shift) < 1
						? []
						: [{ nameX: mark.x, nameY, align: "center" as const, fixed: far + COST.center }]),
				];
			});
			const costOf = (place: (typeof candidates)[number]): number => {
				const box = boxOf(place, length);
				const count = (spots: readonly Spot[], half: number): number =>
					spots.filter((spot) => overlap(box, boxAround(spot, half))).length;
				const out = box.left < 0 || box.right > width || box.top < 0 || box.bottom > height;
				return (
					place.fixed +
					(out ? COST.outside : 0) +
					COST.name * taken.filter((other) => overlap(box, other)).length +
					COST.mark *
						count(
							marks.filter((other) => other !== mark),
							6,
						) +
					COST.spot * count(lines, 1)
				);
			};
			const best = candidates.reduce((a, b) => (costOf(b) < costOf(a) ? b : a));
			taken.push(boxOf(best, length));
			const { fixed: _, ...place } = best;
			return { ...mark, ...place };
		});
}

/** Box of a word that starts or ends at a spot and stands in its height. */
export const wordBox = (text: string, { x, y }: Spot, align: Align): Box =>
	boxOf({ nameX: x, nameY: y, align }, text.length * CHARACTER);

/**
 * Layers that draw marks by shape and name, readable on any colour.
 * @param clear what names should not cover: spots of lines, some px apart, and boxes of words
 */
export function namedMarks(
	marks: readonly NamedMark[],
	theme: ChartTheme,
	width: number,
	height: number,
	clear: { readonly lines: readonly Spot[]; readonly words: readonly Box[] } = { lines: [], words: [] },
) {
	const all = placed(marks, width, height, clear.lines, clear.words);
	const from = { x: px("x"), y: px("y") };
	return [
		{
			data: { values: all.filter(({ y, nameY }) => Math.abs(y - nameY) > LINE / 3) },
			mark: { type: "rule", color: theme.ink, strokeWidth: 1 },
			encoding: { ...from, x2: { field: "nameX" }, y2: { field: "nameY" } },
		},
		...(["left", "right", "center"] as const).flatMap((align) => {
			const own = all.filter((mark) => mark.align === align).map(({ align: _, ...mark }) => mark);
			return own.length === 0
				? []
				: haloed(theme, { align, fontWeight: 600 }).map((mark) => ({
						data: { values: own },
						mark,
						encoding: { x: px("nameX"), y: px("nameY"), text: { field: "name" } },
					}));
		}),
		{ data: { values: all }, mark: ringMark(theme), encoding: { ...from, shape } },
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
export const haloWord = (text: string, x: number, y: number, theme: ChartTheme, align: "left" | "right") =>
	haloed(theme, { text, align }).map((mark) => ({
		data: ALONE,
		mark,
		encoding: { x: { value: x }, y: { value: y } },
	}));
