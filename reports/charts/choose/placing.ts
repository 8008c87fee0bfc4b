import type { Point } from "../section/path.ts";
import { textWidth } from "../textwidth.ts";

/** From one line to the next [px]. */
export const LINE = 20;

/** Room for a line of words, in a font of any make [px]. */
export const roomOf = (text: string, sizePx: number): number => textWidth(text, sizePx, true) * 1.12;

interface Box {
	readonly left: number;
	readonly right: number;
	readonly top: number;
	readonly bottom: number;
}

/** Keeps words of one drawing apart: takes a place for each, or none where all are taken. */
export function makePlacing(width: number, height: number, taken: readonly Box[] = []) {
	const boxes = [...taken];
	return {
		take: (box: Box): void => void boxes.push(box),
		/** The first of some places (left end and baseline of the first line) at which all lines are free; null when none is. */
		place(
			lines: readonly (readonly [text: string, sizePx: number])[],
			spots: readonly Point[],
		): Point | null {
			for (const spot of spots) {
				const own = lines.map(([text, sizePx], row) => {
					const [x, y] = [spot[0], spot[1] + row * LINE];
					return { left: x - 2, right: x + roomOf(text, sizePx), top: y - sizePx, bottom: y + 0.35 * sizePx };
				});
				const isFree = own.every(
					(box) =>
						box.left >= 0 &&
						box.right <= width &&
						box.top >= 0 &&
						box.bottom <= height &&
						!boxes.some(
							(b) => box.left < b.right && b.left < box.right && box.top < b.bottom && b.top < box.bottom,
						),
				);
				if (!isFree) continue;
				boxes.push(...own);
				return spot;
			}
			return null;
		},
	};
}
