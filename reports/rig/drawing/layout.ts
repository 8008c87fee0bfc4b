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

export interface PlacedTerminal extends Terminal {
	readonly side: Side;
	readonly row: number;
	readonly x: number;
	readonly y: number;
}

export interface PlacedPart {
	readonly name: string;
	readonly part: WiringPart;
	/** Kind and ratings in words. */
	readonly detail: string;
	/** The detail has a line of its own. */
	readonly isDetailBelow: boolean;
	readonly rect: Rect;
	readonly terminals: readonly PlacedTerminal[];
}

/** A net as a vertical track beside the boxes, with a stub to each terminal. */
export interface Track {
	readonly net: string;
	readonly x: number;
	/** From top to bottom. */
	readonly terminals: readonly PlacedTerminal[];
}

export interface WiringLayout {
	readonly width: number;
	readonly height: number;
	readonly headingY: number;
	readonly parts: readonly PlacedPart[];
	readonly tracks: readonly Track[];
}

/**
 * Places parts in a column in the order in which the current reaches them, and the nets as tracks beside it: plus on the
 * left, minus on the right. All terminals of a net stand on one side, so that no wire crosses the column.
 * @param extraLines lines of text that a part's head is to have room for
 */
export function layOutWiring(circuit: Circuit, extraLines: (part: string) => number): WiringLayout {
	const order = columnOrder(circuit);
	const sideOf = netSides(circuit);
	const place = new Map(order.map((name, index) => [name, index]));
	const columns = order.map((name) => {
		const { part } = circuit.parts.find((p) => p.name === name)!;
		return { name, part, rows: partRows(circuit, name, part, sideOf, place) };
	});

	const boxless = columns.map(({ name, part, rows }) => {
		const detail = detailOf(part);
		const needed = textWidth(name, NAME_PX, true) + textWidth(detail, TEXT_PX, false) + 32;
		const detailBelow = needed > MIN_BOX_PX;
		const head = PAD_PX + (1 + (detailBelow ? 1 : 0) + extraLines(name)) * LINE_PX + 2;
		const count = Math.max(...rows.map(({ row }) => row)) + 1;
		return { name, part, rows, detail, detailBelow, head, height: head + count * ROW_PX + PAD_PX / 2 };
	});
	let y = HEADING_PX;
	const stacked = boxless.map((box) => {
		const top = y;
		y += box.height + GAP_PX;
		return { ...box, top };
	});
	const rowY = new Map(
		stacked.flatMap(({ top, head, rows }) =>
			rows.map(({ terminal, row }) => [terminal.pin, top + head + (row + 0.5) * ROW_PX] as const),
		),
	);
	const lanes = {
		left: lanesOf(circuit, sideOf, rowY, "left"),
		right: lanesOf(circuit, sideOf, rowY, "right"),
	};
	const channel = (side: Side): number =>
		lanes[side].count === 0 ? MARGIN_PX : MARGIN_PX + STUB_PX + (lanes[side].count - 1) * PITCH_PX;
	const boxWidth = Math.max(MIN_BOX_PX, WIDTH_PX - channel("left") - channel("right"));
	const boxX = channel("left");
	const width = channel("left") + boxWidth + channel("right");

	const parts = stacked.map(
		({ name, part, rows, detail, detailBelow: isDetailBelow, top, height }): PlacedPart => {
			const terminals = rows.map(({ terminal, side, row }) => ({
				...terminal,
				side,
				row,
				x: side === "left" ? boxX : boxX + boxWidth,
				y: rowY.get(terminal.pin)!,
			}));
			return {
				name,
				part,
				detail,
				isDetailBelow,
				rect: { x: boxX, y: top, width: boxWidth, height },
				terminals,
			};
		},
	);
	const all = parts.flatMap(({ terminals }) => terminals);
	const tracks = (["left", "right"] as const).flatMap((side) =>
		[...lanes[side].laneOf].map(([net, lane]): Track => {
			const away = STUB_PX + lane * PITCH_PX;
			const terminals = all.filter((t) => t.net === net).toSorted((a, b) => a.y - b.y);
			return { net, x: side === "left" ? boxX - away : boxX + boxWidth + away, terminals };
		}),
	);
	return { width, height: y - GAP_PX + MARGIN_PX, headingY: 18, parts, tracks };
}

interface PlacedRow {
	readonly terminal: Terminal;
	readonly side: Side;
	readonly row: number;
}

/** Rows of a box: a timer's own supply first, its contact below. */
function partRows(
	circuit: Circuit,
	name: string,
	part: WiringPart,
	sideOf: ReadonlyMap<string, Side>,
	place: ReadonlyMap<string, number>,
): PlacedRow[] {
	const own = terminalsOf(part.kind).map((t) => circuit.terminals[circuit.numberOf.get(`${name}.${t}`)!]!);
	const timer = part.kind === "relay_timer" || part.kind === "lowside_timer";
	// Ends of a simple part that share a side: the one whose net lies higher goes first.
	const height = ({ net }: Terminal): number => {
		const others = circuit.terminals.filter((t) => t.net !== null && t.net === net && t.part !== name);
		return others.reduce((sum, t) => sum + place.get(t.part)!, 0) / Math.max(1, others.length);
	};
	const groups = timer ? [own.slice(0, 2), own.slice(2)] : [own.toSorted((a, b) => height(a) - height(b))];
	const rows: PlacedRow[] = [];
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
	const contact = (name: string): boolean => ["COM", "NO", "NC"].includes(name);
	const connected = terminal.isAlone
		? own.find((other) => !other.isAlone && contact(other.name) && contact(terminal.name))
		: terminal;
	return sideOf.get(connected?.net ?? "") ?? "left";
}

/** Lanes beside the column: short nets nearest to it, and nets one below the other share a lane. */
function lanesOf(
	circuit: Circuit,
	sideOf: ReadonlyMap<string, Side>,
	rowY: ReadonlyMap<string, number>,
	side: Side,
): { readonly laneOf: ReadonlyMap<string, number>; readonly count: number } {
	const spans = new Map<string, { top: number; bottom: number }>();
	for (const { net, pin, isAlone } of circuit.terminals) {
		if (net === null || isAlone || sideOf.get(net) !== side) continue;
		const y = rowY.get(pin)!;
		const span = spans.get(net);
		spans.set(net, { top: Math.min(y, span?.top ?? y), bottom: Math.max(y, span?.bottom ?? y) });
	}
	const lanes: { top: number; bottom: number }[][] = [];
	const laneOf = new Map<string, number>();
	const byLength = [...spans].toSorted(
		([, a], [, b]) => a.bottom - a.top - (b.bottom - b.top) || a.top - b.top,
	);
	for (const [net, span] of byLength) {
		const fits = (lane: readonly { top: number; bottom: number }[]): boolean =>
			lane.every(({ top, bottom }) => span.top > bottom || span.bottom < top);
		const free = lanes.findIndex(fits);
		const lane = free < 0 ? lanes.length : free;
		lanes[lane] = [...(lanes[lane] ?? []), span];
		laneOf.set(net, lane);
	}
	return { laneOf, count: lanes.length };
}
