import { FUSE_OVER_LOAD } from "../../../sources/fuses.ts";
import { MAX_SUPPLY_SHARE, VOLTAGE_MISMATCH } from "../../../sources/supplies.ts";
import { isAbove } from "../../finding.ts";
import {
	type Circuit,
	CONTACT_TERMINALS,
	groupPins,
	loadOf,
	namesOfKind,
	partsOfKind,
	TIMER_KINDS,
} from "../circuit/circuit.ts";
import type { FanPart, SupplyPart, TimerPart } from "../netlist/netlist.ts";
import { faultOf, type WiringFault } from "./faults.ts";

type Named<P> = { readonly name: string; readonly part: P };
type Fans = readonly Named<FanPart>[];
type Timers = readonly Named<TimerPart>[];

/** Parts that are asked for more than they are rated for, whatever they are wired to. */
export function ratingFaults(circuit: Circuit): WiringFault[] {
	const supply = partsOfKind(circuit, "supply")[0]!;
	const timers = partsOfKind(circuit, ...TIMER_KINDS);
	const fans = partsOfKind(circuit, "fan");
	return [
		...fuseFaults(circuit, supply.name, [...timers, ...fans]),
		...supplyFaults(supply, sum([...timers, ...fans])),
		...timerFaults(circuit, supply, timers, fans),
		...fanVoltageFaults(supply.part.v, fans),
	];
}

const sum = (loads: readonly Named<{ readonly a: number }>[]): number =>
	loads.reduce((total, { part }) => total + part.a, 0);

function fuseFaults(circuit: Circuit, supply: string, loads: readonly Named<TimerPart | FanPart>[]) {
	const fuses = partsOfKind(circuit, "fuse");
	return fuses.flatMap(({ name, part: { a: fuseAmps, wireA: wireAmps } }): WiringFault[] => {
		const loadAmps = sum(fuses.length === 1 ? loads : loads.filter(isBehind(circuit, supply, name)));
		// Less than the rule asks for, yet not less than the load, wants a look only.
		const severity = isAbove(loadAmps, fuseAmps) ? "stop" : "attention";
		const isSmall = isAbove(FUSE_OVER_LOAD.value * loadAmps, fuseAmps);
		return [
			...(isSmall ? [faultOf("fuse-small", severity, [name], { fuseAmps, loadAmps })] : []),
			...(isAbove(fuseAmps, wireAmps)
				? [faultOf("fuse-above-wire", "stop", [name], { fuseAmps, wireAmps })]
				: []),
		];
	});
}

/** Whether a load is not between the supply's poles without a fuse, all contacts energised. */
function isBehind(circuit: Circuit, supply: string, fuse: string) {
	const energisedTimers = new Set(namesOfKind(circuit, ...TIMER_KINDS));
	const groupOf = groupPins(circuit, { energisedTimers }, (part) => part !== fuse);
	const [plus, minus] = [groupOf(`${supply}.+`), groupOf(`${supply}.-`)];
	return ({ name, part }: Named<TimerPart | FanPart>): boolean => {
		const { positive, negative } = loadOf(part)!;
		return groupOf(`${name}.${positive}`) !== plus || groupOf(`${name}.${negative}`) !== minus;
	};
}

function supplyFaults({ name, part: { maxA: supplyAmps } }: Named<SupplyPart>, loadAmps: number) {
	const data = { loadAmps, supplyAmps };
	if (isAbove(loadAmps, supplyAmps)) return [faultOf("supply-overload", "stop", [name], data)];
	const isFull = isAbove(loadAmps, MAX_SUPPLY_SHARE.value * supplyAmps);
	return isFull ? [faultOf("supply-margin", "attention", [name], data)] : [];
}

function timerFaults(circuit: Circuit, supply: Named<SupplyPart>, timers: Timers, fans: Fans) {
	const supplyVolts = supply.part.v;
	return timers.flatMap(({ name, part: { v: timerVolts, contactA: contactAmps } }): WiringFault[] => {
		const isSwitched = timers.length === 1 ? () => true : hangsOn(circuit, supply.name, name);
		const loadAmps = sum(fans.filter(isSwitched));
		const isOther = isAbove(Math.abs(supplyVolts - timerVolts), (VOLTAGE_MISMATCH.value / 100) * timerVolts);
		return [
			...(isAbove(loadAmps, contactAmps)
				? [faultOf("contact-overload", "stop", [name], { loadAmps, contactAmps })]
				: []),
			...(isOther ? [faultOf("timer-voltage", "stop", [name], { timerVolts, supplyVolts })] : []),
		];
	});
}

/** Whether a fan touches the side of a timer's contact which is no pole of the supply. */
function hangsOn(circuit: Circuit, supply: string, timer: string) {
	const solid = namesOfKind(circuit, "fuse", "switch");
	const groupOf = groupPins(circuit, { energisedTimers: new Set() }, (part) => solid.includes(part));
	const poles = [groupOf(`${supply}.+`), groupOf(`${supply}.-`)];
	const contacts = circuit.terminals
		.filter(({ part, name }) => part === timer && CONTACT_TERMINALS.has(name))
		.map(({ pin }) => groupOf(pin))
		.filter((group) => !poles.includes(group));
	return ({ name }: Named<FanPart>): boolean =>
		["+", "-"].some((end) => contacts.includes(groupOf(`${name}.${end}`)));
}

function fanVoltageFaults(supplyVolts: number, fans: Fans): WiringFault[] {
	const unsuited = fans
		.filter(({ part: { vmin, vmax } }) => isAbove(vmin, supplyVolts) || isAbove(supplyVolts, vmax))
		.map(({ name, part: { vmin: minVolts, vmax: maxVolts } }) => ({ name, minVolts, maxVolts }));
	if (unsuited.length === 0) return [];
	return [
		faultOf(
			"fan-voltage",
			"stop",
			unsuited.map(({ name }) => name),
			{ supplyVolts, fans: unsuited },
		),
	];
}
