import { mayStayOpen } from "../../../lib/rig/wiring/faults/structure.ts";
import { textWidth, truncateText } from "../../charts/textwidth.ts";
import {
	LINE_PX,
	LINK_STEP_PX,
	NAME_INSET_PX,
	NAME_PX,
	NAME_ROOM_PX,
	type PlacedPart,
	type Point,
	type Rect,
	TEXT_PX,
} from "./layout.ts";
import type { DrawnLink } from "./links.ts";
import { type PartStatus, typeset } from "./partwords.ts";

export interface DrawnLabel {
	readonly text: string;
	/** Where the text starts, has its middle or ends, and its baseline [px]. */
	readonly x: number;
	readonly y: number;
	readonly anchor: "start" | "middle" | "end";
	readonly sizePx: number;
	readonly tone: "strong" | "plain" | "soft";
	/** Room that it takes at most. */
	readonly rect: Rect;
}

/** A text and the room it needs. */
export const label = (
	text: string,
	x: number,
	y: number,
	anchor: DrawnLabel["anchor"] = "start",
	tone: DrawnLabel["tone"] = "plain",
	sizePx = TEXT_PX,
): DrawnLabel => {
	const width = textWidth(text, sizePx, tone === "strong");
	const left = x - (anchor === "start" ? 0 : anchor === "middle" ? width / 2 : width);
	return { text, x, y, anchor, tone, sizePx, rect: { x: left, y: y - sizePx, width, height: sizePx + 3 } };
};

/** Name, kind, faults, terminals and what the part does; words that a line would cross are left out. */
export function partLabels(
	{ name, detail, isDetailBelow, rect, terminals }: PlacedPart,
	status: PartStatus,
	faults: readonly string[],
	links: readonly DrawnLink[],
): DrawnLabel[] {
	const [left, right] = [rect.x + 10, rect.x + rect.width - 10];
	const first = rect.y + 20;
	const room = rect.width - 20 - (isDetailBelow ? 0 : textWidth(detail, TEXT_PX, false) + 8);
	const labels = [label(truncateText(name, NAME_PX, true, room), left, first, "start", "strong", NAME_PX)];
	labels.push(
		isDetailBelow
			? label(truncateText(detail, TEXT_PX, false, rect.width - 20), left, first + LINE_PX, "start", "soft")
			: label(detail, right, first, "end", "soft"),
	);
	if (faults.length > 0) {
		const text = `▲ ${faults.join(", ").replaceAll("-", " ")}`;
		const y = first + (isDetailBelow ? 2 : 1) * LINE_PX;
		labels.push(label(truncateText(text, TEXT_PX, true, rect.width - 20), left, y, "start", "strong"));
	}
	let taken = false;
	for (const { name: terminal, side, row, y, isAlone } of terminals) {
		const at = side === "left" ? rect.x + NAME_INSET_PX : rect.x + rect.width - NAME_INSET_PX;
		labels.push(label(typeset(terminal), at, y + 4, side === "left" ? "start" : "end", "strong"));
		if (!isAlone) continue;
		const text = mayStayOpen(terminal) ? "not used" : "not connected";
		const inset = NAME_ROOM_PX + 3 * LINK_STEP_PX;
		const note =
			side === "left"
				? label(text, rect.x + inset, y + 4, "start", "soft")
				: label(text, rect.x + rect.width - inset, y + 4, "end", "soft");
		if (links.some(({ part, points }) => part === name && crosses(points, note.rect))) continue;
		labels.push(note);
		taken ||= row === 0;
	}
	const top = terminals.find(({ row }) => row === 0);
	if (!taken && status.text !== "" && top !== undefined) {
		const tone = status.isLoud ? "strong" : "plain";
		labels.push(label(status.text, rect.x + rect.width / 2, top.y + 4, "middle", tone));
	}
	return labels;
}

/** A line of horizontal and vertical pieces passes through a rectangle. */
const crosses = (points: readonly Point[], { x, y, width, height }: Rect): boolean =>
	points.slice(1).some((to, place) => {
		const from = points[place]!;
		return (
			Math.max(from.x, to.x) > x &&
			Math.min(from.x, to.x) < x + width &&
			Math.max(from.y, to.y) > y &&
			Math.min(from.y, to.y) < y + height
		);
	});
