import { circuitOf } from "../../../lib/rig/wiring/circuit/circuit.ts";
import type { WiringState } from "../../../lib/rig/wiring/circuit/state.ts";
import type { Wiring } from "../../../lib/rig/wiring/netlist/netlist.ts";
import { checkWiring, type WiringVerdict } from "../../../lib/rig/wiring/wiring.ts";
import { wrapText } from "../../charts/textwidth.ts";
import { label, partLabels } from "./labels.ts";
import {
	LINE_PX,
	layOutWiring,
	NAME_PX,
	type PlacedTerminal,
	type Point,
	TEXT_PX,
	type WiringLayout,
} from "./layout.ts";
import { linksOf } from "./links.ts";
import { type PartStatus, statusOf } from "./partwords.ts";

export type { DrawnLabel } from "./labels.ts";
export type { Point, Rect } from "./layout.ts";
export type { DrawnLink } from "./links.ts";

/** A drawing of a wiring in one state, as plain data. */
export type WiringDrawing = ReturnType<typeof paint>;
export type DrawnBox = WiringDrawing["boxes"][number];

/** A straight piece of wire, horizontal or vertical, in the direction of its current. */
export interface DrawnWire {
	readonly net: string;
	readonly from: Point;
	readonly to: Point;
	readonly isLive: boolean;
}

/** Smaller currents are rounding [A]. */
const NO_AMPS = 1e-9;
const HEADINGS = {
	deenergised: "Off-time: timer off",
	energised: "On-time: timer on",
	unsolved: "Wires as listed",
};

/**
 * Draws a wiring with the contact at rest and energised; once only, without currents, when it cannot be solved.
 * @throws InputError for parts that lack a rating
 */
export function drawWiring(
	wiring: Wiring,
	verdict: WiringVerdict = checkWiring(wiring),
): readonly WiringDrawing[] {
	const circuit = circuitOf(wiring);
	const faultsOf = (part: string): string[] => [
		...new Set(verdict.faults.flatMap(({ code, parts }) => (parts.includes(part) ? [code] : []))),
	];
	const layout = layOutWiring(circuit, (part) => (faultsOf(part).length > 0 ? 1 : 0));
	const supply = circuit.parts.flatMap(({ part }) => (part.kind === "supply" ? [part.v] : []))[0] ?? 0;
	const draw = (name: keyof typeof HEADINGS, state: WiringState | null) =>
		paint(layout, name, state, supply, faultsOf);
	if (verdict.states !== null)
		return [draw("deenergised", verdict.states.deenergised), draw("energised", verdict.states.energised)];
	const notes = [
		...circuit.unknown.map(({ pin, net }) => `Not drawn: “${pin}” in net “${net}”.`),
		...circuit.twice.map(({ pin, nets }) => `“${pin}” is drawn in net “${nets[0]}” only.`),
	];
	return [withNotes(draw("unsolved", null), notes)];
}

function paint(
	layout: WiringLayout,
	name: keyof typeof HEADINGS,
	state: WiringState | null,
	supplyV: number,
	faultsOf: (part: string) => readonly string[],
) {
	const leaving = leavingAmpsOf(state);
	const ampsAt = ({ pin }: PlacedTerminal): number => leaving.get(pin) ?? 0;
	const carries = (amps: number): boolean => Math.abs(amps) > NO_AMPS;
	const isLiveAt = (terminal: PlacedTerminal): boolean => carries(ampsAt(terminal));
	const status = new Map(
		layout.parts.map((part) => [part.name, statusOf(part.name, part.part, state, supplyV)]),
	);
	const wires: DrawnWire[] = [];
	const wire = (net: string, from: Point, to: Point, amps: number): void => {
		const [start, end] = amps < 0 ? [to, from] : [from, to];
		wires.push({ net, from: start, to: end, isLive: carries(amps) });
	};
	for (const { net, x, terminals } of layout.tracks) {
		let passing = 0;
		terminals.forEach((terminal, place) => {
			wire(net, { x: terminal.x, y: terminal.y }, { x, y: terminal.y }, ampsAt(terminal));
			passing += ampsAt(terminal);
			const next = terminals[place + 1];
			if (next !== undefined) wire(net, { x, y: terminal.y }, { x, y: next.y }, passing);
		});
	}
	const links = layout.parts.flatMap((part) => linksOf(part, new Set(state?.energisedTimers), isLiveAt));
	const labels = [
		label(HEADINGS[name], layout.width / 2, layout.headingY, "middle", "strong", NAME_PX),
		...layout.parts.flatMap((part) => partLabels(part, status.get(part.name)!, faultsOf(part.name), links)),
	];
	return {
		state: name,
		width: layout.width,
		height: layout.height,
		boxes: layout.parts.map(({ name, rect }) => ({
			part: name,
			rect,
			/** A fan that runs, a timer that is on. */
			isActive: status.get(name)!.isActive,
			/** A fault names it. */
			isFaulty: faultsOf(name).length > 0,
		})),
		wires,
		links,
		/** The current shown is that of a short circuit. */
		isShorted: state?.shortPath != null,
		/** Ends of wires at parts. */
		terminals: layout.tracks.flatMap(({ terminals }) => terminals.map(({ x, y }) => ({ x, y }))),
		/** Where wires are joined; those that merely cross have none. */
		joints: layout.tracks.flatMap(({ x, terminals }) => terminals.slice(1, -1).map(({ y }) => ({ x, y }))),
		labels,
		title: HEADINGS[name],
		/** What a reader who cannot see it should know. */
		description: describe(layout, status, state),
	};
}

/** Current by terminal; round a short circuit its direction only. */
const leavingAmpsOf = (state: WiringState | null): ReadonlyMap<string, number> =>
	state === null
		? new Map()
		: state.shortPath === null
			? new Map(Object.entries(state.leavingAmps))
			: new Map(state.shortPath.map((pin, place) => [pin, place % 2 === 0 ? 1 : -1]));

function describe(
	layout: WiringLayout,
	status: ReadonlyMap<string, PartStatus>,
	state: WiringState | null,
): string {
	const doing = layout.parts.flatMap(({ name }) => {
		const { text } = status.get(name)!;
		return text === "" ? [] : [`${name}: ${text}.`];
	});
	const nets = layout.tracks.map(({ terminals }) => `${terminals.map(({ pin }) => pin).join(", ")}.`);
	const short = state?.shortPath == null ? [] : [`Short circuit along ${state.shortPath.join(", ")}.`];
	return [...short, ...doing, "Joined:", ...nets].join(" ");
}

/** Room below for what cannot be drawn. */
function withNotes(drawing: WiringDrawing, notes: readonly string[]): WiringDrawing {
	const lines = notes.flatMap((note) => wrapText(note, TEXT_PX, drawing.width - 16));
	return {
		...drawing,
		height: drawing.height + lines.length * LINE_PX + (lines.length > 0 ? LINE_PX / 2 : 0),
		labels: [
			...drawing.labels,
			...lines.map((line, place) => label(line, 8, drawing.height + (place + 1) * LINE_PX)),
		],
		description: [...notes, drawing.description].join(" "),
	};
}
