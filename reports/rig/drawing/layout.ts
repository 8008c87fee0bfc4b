import type { Circuit, Terminal } from "../../../lib/rig/wiring/circuit/circuit.ts";
import { terminalsOf, type WiringPart } from "../../../lib/rig/wiring/netlist/netlist.ts";
import { textWidth } from "../../charts/textwidth.ts";
import { columnOrder, netSides, type Side } from "./order.ts";
import { detailOf } from "./partwords.ts";

export interface Rect {
	readonly x: number;
	readonly y: number;
	readonly width: number;
	readonly height: number;
}

export interface Point {
	readonly x: number;
	readonly y: number;
}

export const TEXT_PX = 12;
export const NAME_PX = 13;
export const LINE_PX = 17;
/** Room beside a terminal's name, measured from the edge of its box [px]. */
export const NAME_ROOM_PX = 56;
/** From the edge of a box to a terminal's name [px]. */
export const NAME_INSET_PX = 9;
/** From that room to the first line inside a box, and from line to line [px]. */
export const LINK_STEP_PX = 10;
const ROW_PX = 22;
const PAD_PX = 8;
const GAP_PX = 14;
const HEADING_PX = 30;
const MARGIN_PX = 8;
/** From a box to the first track of wires, and from track to track [px]. */
const STUB_PX = 18;
const PITCH_PX = 14;
/** A phone of 390 px shows this width whole. */
const WIDTH_PX = 344;
const MIN_BOX_PX = 236;

export type WiringLayout = ReturnType<typeof layOutWiring>;
export type PlacedPart = WiringLayout["parts"][number];
export type PlacedTerminal = PlacedPart["terminals"][number];

/**
 * Places parts in a column in the order in which the current reaches them, and the nets as tracks beside it: plus on the
 * left, minus on the right. All terminals of a net stand on one side, so that no wire crosses the column.
 * @param extraLines lines of text that a part's head is to have room for
 */
export function layOutWiring(circuit: Circuit, extraLines: (part: string) => number) {
	const order = columnOrder(circuit);
	const sideOf = netSides(circuit);
	const place = new Map(order.map((name, index) => [name, index]));
	let bottom = HEADING_PX;
	const boxes = order.map((name) => {
		const { part } = circuit.parts.find((p) => p.name === name)!;
		const rows = partRows(circuit, name, part, sideOf, place);
		/** Kind and ratings in words; they may have a line of their own. */
		const detail = detailOf(part);
		const needed = textWidth(name, NAME_PX, true) + textWidth(detail, TEXT_PX, false) + 32;
		const isDetailBelow = needed > MIN_BOX_PX;
		const head = PAD_PX + (1 + (isDetailBelow ? 1 : 0) + extraLines(name)) * LINE_PX + 2;
		const count = Math.max(...rows.map(({ row }) => row)) + 1;
		const height = head + count * ROW_PX + PAD_PX / 2;
		const top = bottom;
		bottom += height + GAP_PX;
		const placed = rows.map((row) => ({ ...row, y: top + head + (row.row + 0.5) * ROW_PX }));
		return { name, part, detail, isDetailBelow, rows: placed, top, height };
	});
	const rowY = new Map(
		boxes.flatMap(({ rows }) => rows.map(({ terminal, y }) => [terminal.pin, y] as const)),
	);
	const lanes = {
		left: lanesOf(circuit, sideOf, rowY, "left"),
		right: lanesOf(circuit, sideOf, rowY, "right"),
	};
	const channel = (side: Side): number =>
		lanes[side].count === 0 ? MARGIN_PX : MARGIN_PX + STUB_PX + (lanes[side].count - 1) * PITCH_PX;
	const boxWidth = Math.max(MIN_BOX_PX, WIDTH_PX - channel("left") - channel("right"));
	const edge = { left: channel("left"), right: channel("left") + boxWidth };
	const parts = boxes.map(({ rows, top, height, ...part }) => ({
		...part,
		rect: { x: edge.left, y: top, width: boxWidth, height },
		terminals: rows.map(({ terminal, side, row, y }) => ({ ...terminal, side, row, x: edge[side], y })),
	}));
	const all = parts.flatMap(({ terminals }) => terminals);
	/** A net as a vertical track beside the boxes, with a stub to each terminal, from top to bottom. */
	const tracks = (["left", "right"] as const).flatMap((side) =>
		[...lanes[side].laneOf].map(([net, lane]) => {
			const away = STUB_PX + lane * PITCH_PX;
			const terminals = all.filter((t) => t.net === net).toSorted((a, b) => a.y - b.y);
			return { net, x: edge[side] + (side === "left" ? -away : away), terminals };
		}),
	);
	const width = edge.right + channel("right");
	return { width, height: bottom - GAP_PX + MARGIN_PX, headingY: 18, parts, tracks };
}

/** Rows of a box: a timer's own supply first, its contact below. */
function partRows(
	circuit: Circuit,
	name: string,
	part: WiringPart,
	sideOf: ReadonlyMap<string, Side>,
	place: ReadonlyMap<string, number>,
) {
	const own = terminalsOf(part.kind).map((t) => circuit.terminals[circuit.numberOf.get(`${name}.${t}`)!]!);
	const timer = part.kind === "relay_timer" || part.kind === "lowside_timer";
	// Ends of a simple part that share a side: the one whose net lies higher goes first.
	const height = ({ net }: Terminal): number => {
		const others = circuit.terminals.filter((t) => t.net !== null && t.net === net && t.part !== name);
		return others.reduce((sum, t) => sum + place.get(t.part)!, 0) / Math.max(1, others.length);
	};
	const groups = timer ? [own.slice(0, 2), own.slice(2)] : [own.toSorted((a, b) => height(a) - height(b))];
	const rows: { terminal: Terminal; side: Side; row: number }[] = [];
	let first = 0;
	for (const group of groups) {
		const next = { left: first, right: first };
		for (const terminal of group) {
			const side = sideOfTerminal(terminal, own, sideOf);
			rows.push({ terminal, side, row: next[side] });
			next[side] += 1;
		}
		first = Math.max(next.left, next.right);
	}
	return rows;
}

/** The side of a terminal's net; one that is not connected stands beside the others of its kind (NC below COM). */
function sideOfTerminal(
	terminal: Terminal,
	own: readonly Terminal[],
	sideOf: ReadonlyMap<string, Side>,
): Side {
	const isContact = ({ name }: Terminal): boolean => ["COM", "NO", "NC"].includes(name);
	const connected = terminal.isAlone
		? own.find((other) => !other.isAlone && isContact(other) && isContact(terminal))
		: terminal;
	return sideOf.get(connected?.net ?? "") ?? "left";
}

/** Lanes beside the column: short nets nearest to it, and nets one below the other share a lane. */
function lanesOf(
	{ terminals }: Circuit,
	sideOf: ReadonlyMap<string, Side>,
	rowY: ReadonlyMap<string, number>,
	side: Side,
) {
	const spans = new Map<string, { top: number; bottom: number }>();
	for (const { net, pin, isAlone } of terminals) {
		if (net === null || isAlone || sideOf.get(net) !== side) continue;
		const y = rowY.get(pin)!;
		const { top, bottom } = spans.get(net) ?? { top: y, bottom: y };
		spans.set(net, { top: Math.min(y, top), bottom: Math.max(y, bottom) });
	}
	const length = ({ top, bottom }: { top: number; bottom: number }): number => bottom - top;
	const lanes: { top: number; bottom: number }[][] = [];
	const laneOf = new Map<string, number>();
	for (const [net, span] of [...spans].toSorted(([, a], [, b]) => length(a) - length(b) || a.top - b.top)) {
		const free = lanes.findIndex((lane) =>
			lane.every(({ top, bottom }) => span.top > bottom || span.bottom < top),
		);
		const lane = free < 0 ? lanes.push([]) - 1 : free;
		lanes[lane]!.push(span);
		laneOf.set(net, lane);
	}
	return { laneOf, count: lanes.length };
}
