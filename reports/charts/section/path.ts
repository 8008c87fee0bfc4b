/** A place in a drawing [px]. */
export type Point = readonly [x: number, y: number];

/** To a tenth of a pixel. */
export const tenth = (value: number): number => Math.round(10 * value) / 10 || 0;

/** Farthest that a drawn curve strays from the real one [px]. */
const TOLERANCE = 0.35;

/** The points that a curve needs to look the same, switches and peaks among them. */
export function thinCurve(points: readonly Point[]): readonly Point[] {
	if (points.length < 3) return points;
	const kept = new Uint8Array(points.length);
	kept[0] = kept[points.length - 1] = 1;
	const open: [number, number][] = [[0, points.length - 1]];
	for (let span = open.pop(); span !== undefined; span = open.pop()) {
		const [from, to] = span;
		const [[ax, ay], [bx, by]] = [points[from]!, points[to]!];
		const length = Math.hypot(bx - ax, by - ay) || 1;
		let [farthest, place] = [TOLERANCE, -1];
		for (let i = from + 1; i < to; i++) {
			const [x, y] = points[i]!;
			const off =
				length === 1
					? Math.hypot(x - ax, y - ay)
					: Math.abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length;
			if (off > farthest) [farthest, place] = [off, i];
		}
		if (place > 0) {
			kept[place] = 1;
			open.push([from, place], [place, to]);
		}
	}
	return points.filter((_, place) => kept[place] === 1);
}

/** A line through points, as the data of a path. */
export const linePath = (points: readonly Point[]): string =>
	points.map(([x, y], place) => `${place === 0 ? "M" : "L"}${tenth(x)} ${tenth(y)}`).join("");

/** A closed shape between two lines that run the same way. */
export const bandPath = (upper: readonly Point[], lower: readonly Point[]): string =>
	`${linePath([...upper, ...lower.toReversed()])}Z`;

export const boxPath = (left: number, top: number, right: number, bottom: number): string =>
	`M${tenth(left)} ${tenth(top)}H${tenth(right)}V${tenth(bottom)}H${tenth(left)}Z`;
