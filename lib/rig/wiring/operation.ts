import { type Circuit, groupsOf, linkedNodes, loadOf, nodeOf } from "./circuit.ts";
import { type Solution, solveCircuit } from "./circuitsolution.ts";
import type { Finding, WiringCode } from "./faults.ts";
import { CONDUCTS_ABOVE, type Feed, feedOf, ofKind, voltsAt, type WiringStates } from "./state.ts";

/** What is no fault and yet worth knowing. */
export interface WiringRemark {
	readonly parts: readonly string[];
	readonly text: string;
}

/** What goes wrong when the circuit is used as it is wired. */
export function operatingFindings(circuit: Circuit, states: WiringStates, supplyV: number): Finding[] {
	const timers = timerFindings(circuit, states, supplyV);
	const reversed = timers.some(({ code }) => code === "timer-reversed");
	return [
		...timers,
		...(reversed ? [] : fanFindings(circuit, states, supplyV)),
		...diodeFindings(circuit, states),
		...fuseFindings(circuit, states, supplyV),
	];
}

const netsOf = ({ terminals }: Circuit, parts: readonly string[]): string[] => {
	const named = new Set(parts);
	const nets = new Set<string>();
	for (const { part, net } of terminals) if (net !== null && named.has(part)) nets.add(net);
	return [...nets];
};

/** One finding a code, with all parts that it befalls. */
const gather = (circuit: Circuit, found: ReadonlyMap<WiringCode, readonly string[]>): Finding[] =>
	[...found].map(([code, parts]) => ({ code, parts, nets: netsOf(circuit, parts) }));

const note = (found: Map<WiringCode, string[]>, code: WiringCode, part: string): void => {
	found.set(code, [...(found.get(code) ?? []), part]);
};

const feeds = (states: WiringStates, name: string, supplyV: number): readonly [rest: Feed, on: Feed] => [
	feedOf(states.rest.partVolts[name]!, supplyV),
	feedOf(states.on.partVolts[name]!, supplyV),
];

function timerFindings(circuit: Circuit, states: WiringStates, supplyV: number): Finding[] {
	const found = new Map<WiringCode, string[]>();
	for (const timer of ofKind(circuit, "relay_timer", "lowside_timer")) {
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

function fanFindings(circuit: Circuit, states: WiringStates, supplyV: number): Finding[] {
	const found = new Map<WiringCode, string[]>();
	for (const fan of ofKind(circuit, "fan")) {
		const [rest, on] = feeds(states, fan, supplyV);
		const either = [rest, on];
		if (either.includes("reversed")) note(found, "fan-reversed", fan);
		if (either.includes("low")) note(found, "fan-undervoltage", fan);
		if (either.some((feed) => feed === "reversed" || feed === "low")) continue;
		if (rest === "full") note(found, on === "full" ? "always-on" : "inverted", fan);
		else if (on === "off") note(found, "never-on", fan);
	}
	const lowside = ofKind(circuit, "lowside_timer").length > 0;
	return gather(circuit, found).map((finding) => ({ ...finding, lowside }));
}

/** A diode is left out of the solution, so what conducts shows as a voltage from A to K. */
function diodeFindings(circuit: Circuit, states: WiringStates): Finding[] {
	return ofKind(circuit, "diode").flatMap((diode): Finding[] => {
		const conducting = [states.rest, states.on].find(({ partVolts }) => partVolts[diode]! > CONDUCTS_ABOVE);
		if (conducting === undefined) return [];
		const links = linkedNodes(circuit, { energised: new Set(conducting.energised) }).map(
			({ nodes }) => nodes,
		);
		const own = [nodeOf(circuit, `${diode}.A`), nodeOf(circuit, `${diode}.K`)] as const;
		const find = groupsOf(circuit.nodes, [...links, own]);
		const [supply] = ofKind(circuit, "supply");
		const shorts = find(nodeOf(circuit, `${supply}.+`)) === find(nodeOf(circuit, `${supply}.-`));
		const parts = [diode];
		return [{ code: "diode-reversed", parts, nets: netsOf(circuit, parts), inSeries: !shorts }];
	});
}

/** Where the fuses stand: with all of them out nothing may be fed, and no fan may have the supply's plus on it. */
function fuseFindings(circuit: Circuit, states: WiringStates, supplyV: number): Finding[] {
	const fuses = ofKind(circuit, "fuse");
	if (fuses.length === 0) return [];
	const open = [states.rest, states.on].map(({ energised }) =>
		solveCircuit(circuit, { energised: new Set(energised), fusesOpen: true }),
	);
	const fed = circuit.parts.filter(({ name, part }) => {
		const load = loadOf(part);
		if (load === null) return false;
		return open.some((solution) => {
			const high = voltsAt(circuit, solution, `${name}.${load.plus}`);
			const low = voltsAt(circuit, solution, `${name}.${load.minus}`);
			return high !== null && low !== null && feedOf(Math.abs(high - low), supplyV) !== "off";
		});
	});
	if (fed.length > 0) {
		const names = fed.map(({ name }) => name);
		return [
			{ code: "fuse-bypassed", parts: [...fuses, ...names], nets: netsOf(circuit, fuses), fuses, fed: names },
		];
	}
	const live = ofKind(circuit, "fan").filter((fan) =>
		open.some((solution) => (voltsAt(circuit, solution, `${fan}.+`) ?? 0) > supplyV / 2),
	);
	if (live.length === 0) return [];
	return [
		{ code: "fuse-in-return", parts: [...fuses, ...live], nets: netsOf(circuit, fuses), fuses, fed: live },
	];
}

/** Fans whose plus keeps the supply's voltage while they are off, and a switch that the check takes as closed. */
export function remarksOf(
	circuit: Circuit,
	rest: Solution,
	states: WiringStates,
	supplyV: number,
): WiringRemark[] {
	const remarks: WiringRemark[] = [];
	const live = ofKind(circuit, "fan").filter(
		(fan) =>
			feedOf(states.rest.partVolts[fan]!, supplyV) === "off" &&
			(voltsAt(circuit, rest, `${fan}.+`) ?? 0) > supplyV / 2,
	);
	if (live.length > 0)
		remarks.push({
			parts: live,
			text: `The contact switches the minus: + of ${live.join(", ")} keeps the full voltage while the fan is off. It works; unplug the adapter before you touch a fan lead.`,
		});
	const switches = ofKind(circuit, "switch");
	if (switches.length > 0)
		remarks.push({
			parts: switches,
			text: `${switches.join(", ")} is taken as closed; open, it must stop everything.`,
		});
	return remarks;
}
