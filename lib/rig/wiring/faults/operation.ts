import { type Circuit, groupPins, loadOf, namesOfKind, TIMER_KINDS } from "../circuit/circuit.ts";
import { solveCircuit } from "../circuit/circuitsolution.ts";
import {
	type Feed,
	feedOf,
	MIN_CONDUCTING_V,
	voltsAcross,
	voltsAt,
	type WiringStates,
} from "../circuit/state.ts";
import { type FaultData, faultOf, type WiringCode, type WiringFault } from "./faults.ts";

/** What goes wrong when the circuit is used as it is wired. */
export function operatingFaults(circuit: Circuit, states: WiringStates, supplyV: number): WiringFault[] {
	const feeds = (names: readonly string[]) =>
		names.map((name) => ({
			name,
			rest: feedOf(states.deenergised.partVolts[name]!, supplyV),
			on: feedOf(states.energised.partVolts[name]!, supplyV),
		}));
	const timers = timerFaults(circuit, feeds(namesOfKind(circuit, ...TIMER_KINDS)));
	const isReversed = timers.some(({ code }) => code === "timer-reversed");
	const deadTimers = timers.flatMap(({ code, parts }) => (code === "timer-dead" ? parts : []));
	return [
		...timers,
		...(isReversed ? [] : fanFaults(circuit, feeds(namesOfKind(circuit, "fan")), deadTimers)),
		...diodeFaults(circuit, states),
		...fuseFaults(circuit, states, supplyV),
	];
}

const netsOf = ({ terminals }: Circuit, parts: readonly string[]): string[] => [
	...new Set(terminals.flatMap(({ part, net }) => (net !== null && parts.includes(part) ? [net] : []))),
];

interface Fed {
	readonly name: string;
	readonly rest: Feed;
	readonly on: Feed;
}

const namesWhere = (fed: readonly Fed[], holds: (one: Fed) => boolean): string[] =>
	fed.filter(holds).map(({ name }) => name);

/** One fault for all parts of a code, if there are any. */
const faultsFor =
	(circuit: Circuit) =>
	<Code extends WiringCode>(code: Code, parts: readonly string[], data: FaultData[Code]): WiringFault[] =>
		parts.length === 0 ? [] : [faultOf(code, "stop", parts, data, netsOf(circuit, parts))];

function timerFaults(circuit: Circuit, timers: readonly Fed[]): WiringFault[] {
	const faultFor = faultsFor(circuit);
	const isReversed = ({ rest, on }: Fed): boolean => rest === "reversed" || on === "reversed";
	const right = timers.filter((one) => !isReversed(one));
	const reversed = namesWhere(timers, isReversed);
	const dead = namesWhere(right, ({ rest }) => rest === "off");
	const selfCut = namesWhere(right, ({ rest, on }) => rest !== "off" && on === "off");
	const low = namesWhere(right, ({ rest }) => rest === "low");
	const fans = namesOfKind(circuit, "fan");
	const inSeries = (parts: readonly string[]) => seriesPartners(circuit, fans, parts).fans;
	const openPins = circuit.terminals
		.filter(({ part, name, isAlone }) => isAlone && dead.includes(part) && (name === "V+" || name === "V-"))
		.map(({ pin }) => pin);
	return [
		...faultFor("timer-reversed", reversed, {}),
		...faultFor("timer-dead", dead, { openPins, inSeries: inSeries(dead) }),
		...faultFor("timer-self-cut", selfCut, {}),
		...faultFor("timer-undervoltage", low, { inSeries: inSeries(low) }),
	];
}

function fanFaults(circuit: Circuit, fans: readonly Fed[], deadTimers: readonly string[]): WiringFault[] {
	const faultFor = faultsFor(circuit);
	const is = (feed: Feed, { rest, on }: Fed): boolean => rest === feed || on === feed;
	const right = fans.filter((fan) => !is("reversed", fan) && !is("low", fan));
	const reversed = namesWhere(fans, (fan) => is("reversed", fan));
	const low = namesWhere(fans, (fan) => is("low", fan));
	const always = namesWhere(right, ({ rest, on }) => rest === "full" && on === "full");
	const inverted = namesWhere(right, ({ rest, on }) => rest === "full" && on !== "full");
	const never = namesWhere(right, ({ rest, on }) => rest !== "full" && on === "off");
	const timers = namesOfKind(circuit, ...TIMER_KINDS);
	const inSeries = (parts: readonly string[]) => seriesPartners(circuit, parts, timers).timers;
	const isLowSide = namesOfKind(circuit, "lowside_timer").length > 0;
	const neverData = { inSeries: inSeries(never), deadTimers };
	return [
		...faultFor("fan-reversed", reversed, {}),
		...faultFor("fan-undervoltage", low, { inSeries: inSeries(low) }),
		...faultFor("always-on", always, { isLowSide }),
		...faultFor("inverted", inverted, {}),
		...faultFor("never-on", never, neverData),
	];
}

/** Fans and timers of which the supply of one runs through the other: they share an end that is no pole, and not the other end. */
function seriesPartners(circuit: Circuit, fans: readonly string[], timers: readonly string[]) {
	const groupOf = groupPins(circuit, { energisedTimers: new Set() });
	const [supply] = namesOfKind(circuit, "supply");
	const poles = ["+", "-"].map((end) => groupOf(`${supply}.${end}`));
	const areInSeries = (fan: string, timer: string): boolean => {
		const [plus, minus, vPlus, vMinus] = [`${fan}.+`, `${fan}.-`, `${timer}.V+`, `${timer}.V-`].map(groupOf);
		const joins = (a: number, b: number, c: number, d: number): boolean =>
			a === b && !poles.includes(a) && c !== d;
		return joins(minus!, vPlus!, plus!, vMinus!) || joins(plus!, vMinus!, minus!, vPlus!);
	};
	return {
		fans: fans.filter((fan) => timers.some((timer) => areInSeries(fan, timer))),
		timers: timers.filter((timer) => fans.some((fan) => areInSeries(fan, timer))),
	};
}

/** A diode is left out of the solution, so what conducts shows as a voltage from A to K. */
function diodeFaults(circuit: Circuit, states: WiringStates): WiringFault[] {
	const [supply] = namesOfKind(circuit, "supply");
	return namesOfKind(circuit, "diode").flatMap((diode): WiringFault[] => {
		const conducting = [states.deenergised, states.energised].find(
			({ partVolts }) => partVolts[diode]! > MIN_CONDUCTING_V,
		);
		if (conducting === undefined) return [];
		const groupOf = groupPins(circuit, { energisedTimers: new Set(conducting.energisedTimers) });
		// Across the diode the supply is shorted where its ends are those of the supply.
		const ends = new Set([groupOf(`${diode}.A`), groupOf(`${diode}.K`)]);
		const isAcross = ends.has(groupOf(`${supply}.+`)) && ends.has(groupOf(`${supply}.-`));
		return [faultOf("diode-reversed", "stop", [diode], { isInSeries: !isAcross }, netsOf(circuit, [diode]))];
	});
}

/** Where the fuses stand: with all of them out nothing may be fed, and no fan may have the supply's plus on it. */
function fuseFaults(circuit: Circuit, states: WiringStates, supplyV: number): WiringFault[] {
	const fuses = namesOfKind(circuit, "fuse");
	if (fuses.length === 0) return [];
	const open = [states.deenergised, states.energised].map(({ energisedTimers }) =>
		solveCircuit(circuit, { energisedTimers: new Set(energisedTimers), isFuseOpen: true }),
	);
	const fed = circuit.parts.filter(({ name, part }) => {
		const load = loadOf(part);
		const across = open.map((solution) =>
			load === null ? 0 : voltsAcross(circuit, solution, name, load.positive, load.negative),
		);
		return across.some((volts) => feedOf(Math.abs(volts), supplyV) !== "off");
	});
	const live = namesOfKind(circuit, "fan").filter((fan) =>
		open.some((solution) => (voltsAt(circuit, solution, `${fan}.+`) ?? 0) > supplyV / 2),
	);
	const fault = (code: "fuse-bypassed" | "fuse-in-return", energised: readonly string[]) =>
		faultOf(code, "stop", [...fuses, ...energised], { fuses, energised }, netsOf(circuit, fuses));
	if (fed.length > 0)
		return [
			fault(
				"fuse-bypassed",
				fed.map(({ name }) => name),
			),
		];
	return live.length > 0 ? [fault("fuse-in-return", live)] : [];
}
