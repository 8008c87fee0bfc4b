import { type Circuit, joinNodes, linkedNodes, loadOf, nodeOf } from "../circuit/circuit.ts";
import { type CircuitSolution, solveCircuit } from "../circuit/circuitsolution.ts";
import {
	type Feed,
	feedOf,
	MIN_CONDUCTING_V,
	partsOfKind,
	voltsAt,
	type WiringStates,
} from "../circuit/state.ts";
import type { PlainWiringCode, WiringFault } from "./faults.ts";

/** What is no fault and yet worth knowing. */
export interface WiringRemark {
	readonly code: "positive stays on the fan" | "switch taken as closed";
	readonly parts: readonly string[];
}

/** What goes wrong when the circuit is used as it is wired. */
export function operatingFaults(circuit: Circuit, states: WiringStates, supplyV: number): WiringFault[] {
	const timers = timerFaults(circuit, states, supplyV);
	const reversed = timers.some(({ code }) => code === "timer-reversed");
	return [
		...timers,
		...(reversed ? [] : fanFaults(circuit, states, supplyV)),
		...diodeFaults(circuit, states),
		...fuseFaults(circuit, states, supplyV),
	];
}

const netsOf = ({ terminals }: Circuit, parts: readonly string[]): string[] => {
	const named = new Set(parts);
	const nets = new Set<string>();
	for (const { part, net } of terminals) if (net !== null && named.has(part)) nets.add(net);
	return [...nets];
};

type FoundParts = Map<PlainWiringCode | "always-on", string[]>;

/** One fault a code, with all parts concerned. */
const gather = (circuit: Circuit, found: FoundParts): WiringFault[] => {
	const isLowSide = partsOfKind(circuit, "lowside_timer").length > 0;
	return [...found].map(([code, parts]): WiringFault => {
		const common = { severity: "stop", parts, nets: netsOf(circuit, parts) } as const;
		return code === "always-on" ? { code, ...common, isLowSide } : { code, ...common };
	});
};

const note = (found: FoundParts, code: PlainWiringCode | "always-on", part: string): void => {
	found.set(code, [...(found.get(code) ?? []), part]);
};

const feeds = (states: WiringStates, name: string, supplyV: number): readonly [rest: Feed, on: Feed] => [
	feedOf(states.deenergised.partVolts[name]!, supplyV),
	feedOf(states.energised.partVolts[name]!, supplyV),
];

function timerFaults(circuit: Circuit, states: WiringStates, supplyV: number): WiringFault[] {
	const found: FoundParts = new Map();
	for (const timer of partsOfKind(circuit, "relay_timer", "lowside_timer")) {
		const [rest, on] = feeds(states, timer, supplyV);
		if (rest === "reversed" || on === "reversed") note(found, "timer-reversed", timer);
		else {
			if (rest === "off") note(found, "timer-dead", timer);
			else if (on === "off") note(found, "timer-self-cut", timer);
			if (rest === "low") note(found, "timer-undervoltage", timer);
		}
	}
	return gather(circuit, found);
}

function fanFaults(circuit: Circuit, states: WiringStates, supplyV: number): WiringFault[] {
	const found: FoundParts = new Map();
	for (const fan of partsOfKind(circuit, "fan")) {
		const [rest, on] = feeds(states, fan, supplyV);
		const either = [rest, on];
		if (either.includes("reversed")) note(found, "fan-reversed", fan);
		if (either.includes("low")) note(found, "fan-undervoltage", fan);
		if (either.some((feed) => feed === "reversed" || feed === "low")) continue;
		if (rest === "full") note(found, on === "full" ? "always-on" : "inverted", fan);
		else if (on === "off") note(found, "never-on", fan);
	}
	return gather(circuit, found);
}

/** A diode is left out of the solution, so what conducts shows as a voltage from A to K. */
function diodeFaults(circuit: Circuit, states: WiringStates): WiringFault[] {
	return partsOfKind(circuit, "diode").flatMap((diode): WiringFault[] => {
		const conducting = [states.deenergised, states.energised].find(
			({ partVolts }) => partVolts[diode]! > MIN_CONDUCTING_V,
		);
		if (conducting === undefined) return [];
		const links = linkedNodes(circuit, { energisedTimers: new Set(conducting.energisedTimers) }).map(
			({ nodes }) => nodes,
		);
		const own = [nodeOf(circuit, `${diode}.A`), nodeOf(circuit, `${diode}.K`)] as const;
		const find = joinNodes(circuit.nodes, [...links, own]);
		const [supply] = partsOfKind(circuit, "supply");
		const shorts = find(nodeOf(circuit, `${supply}.+`)) === find(nodeOf(circuit, `${supply}.-`));
		const parts = [diode];
		return [
			{ code: "diode-reversed", severity: "stop", parts, nets: netsOf(circuit, parts), isInSeries: !shorts },
		];
	});
}

/** Where the fuses stand: with all of them out nothing may be fed, and no fan may have the supply's plus on it. */
function fuseFaults(circuit: Circuit, states: WiringStates, supplyV: number): WiringFault[] {
	const fuses = partsOfKind(circuit, "fuse");
	if (fuses.length === 0) return [];
	const open = [states.deenergised, states.energised].map(({ energisedTimers }) =>
		solveCircuit(circuit, { energisedTimers: new Set(energisedTimers), isFuseOpen: true }),
	);
	const fed = circuit.parts.filter(({ name, part }) => {
		const load = loadOf(part);
		if (load === null) return false;
		return open.some((solution) => {
			const high = voltsAt(circuit, solution, `${name}.${load.positive}`);
			const low = voltsAt(circuit, solution, `${name}.${load.negative}`);
			return high !== null && low !== null && feedOf(Math.abs(high - low), supplyV) !== "off";
		});
	});
	if (fed.length > 0) {
		const names = fed.map(({ name }) => name);
		return [
			{
				code: "fuse-bypassed",
				severity: "stop",
				parts: [...fuses, ...names],
				nets: netsOf(circuit, fuses),
				fuses,
				energised: names,
			},
		];
	}
	const live = partsOfKind(circuit, "fan").filter((fan) =>
		open.some((solution) => (voltsAt(circuit, solution, `${fan}.+`) ?? 0) > supplyV / 2),
	);
	if (live.length === 0) return [];
	return [
		{
			code: "fuse-in-return",
			severity: "stop",
			parts: [...fuses, ...live],
			nets: netsOf(circuit, fuses),
			fuses,
			energised: live,
		},
	];
}

/** Fans whose plus keeps the supply's voltage while they are off, and a switch that the check takes as closed. */
export function remarksOf(
	circuit: Circuit,
	deenergised: CircuitSolution,
	states: WiringStates,
	supplyV: number,
): WiringRemark[] {
	const remarks: WiringRemark[] = [];
	const live = partsOfKind(circuit, "fan").filter(
		(fan) =>
			feedOf(states.deenergised.partVolts[fan]!, supplyV) === "off" &&
			(voltsAt(circuit, deenergised, `${fan}.+`) ?? 0) > supplyV / 2,
	);
	if (live.length > 0) remarks.push({ code: "positive stays on the fan", parts: live });
	const switches = partsOfKind(circuit, "switch");
	if (switches.length > 0) remarks.push({ code: "switch taken as closed", parts: switches });
	return remarks;
}
