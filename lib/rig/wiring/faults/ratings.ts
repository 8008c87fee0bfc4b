import { FUSE_OVER_LOAD } from "../../../sources/fuses.ts";
import { MAX_SUPPLY_SHARE, VOLTAGE_MISMATCH } from "../../../sources/supplies.ts";
import {
	type Circuit,
	CONTACT_TERMINALS,
	joinNodes,
	linkedNodes,
	loadOf,
	nodeOf,
} from "../circuit/circuit.ts";
import type { FanPart, FusePart, SupplyPart, TimerPart } from "../netlist/netlist.ts";
import type { WiringFault } from "./faults.ts";

/** Slack for rounding in sums of ratings. */
const above = (x: number, limit: number): boolean => x > limit * (1 + 1e-9);

type Named<P> = { readonly name: string; readonly part: P };

const pick = <P>({ parts }: Circuit, ...kinds: readonly string[]) =>
	parts.filter(({ part }) => kinds.includes(part.kind)) as unknown as readonly Named<P>[];

/** Parts that are asked for more than they are rated for, whatever they are wired to. */
export function ratingFaults(circuit: Circuit): WiringFault[] {
	const supply = pick<SupplyPart>(circuit, "supply")[0]!;
	const timers = pick<TimerPart>(circuit, "relay_timer", "lowside_timer");
	const fans = pick<FanPart>(circuit, "fan");
	const loads = [...timers, ...fans];
	return [
		...fuseRatingFaults(circuit, loads),
		...supplyFaults(supply, loads),
		...timerRatingFaults(circuit, supply.part.v, timers, fans),
		...fanVoltageFaults(supply.part.v, fans),
	];
}

function fuseRatingFaults(circuit: Circuit, loads: readonly Named<TimerPart | FanPart>[]): WiringFault[] {
	const fuses = pick<FusePart>(circuit, "fuse");
	const behindFuse = loadsBehind(
		circuit,
		fuses.map(({ name }) => name),
		loads,
	);
	return fuses.flatMap(({ name, part: { a: fuseAmps, wireA: wireAmps } }): WiringFault[] => {
		const loadAmps = behindFuse.get(name)!;
		const common = { parts: [name], nets: [] };
		// Less than the rule asks for, yet not less than the load, wants a look only.
		const severity = above(loadAmps, fuseAmps) ? "stop" : "attention";
		return [
			...(above(FUSE_OVER_LOAD.value * loadAmps, fuseAmps)
				? [{ code: "fuse-small", severity, ...common, fuseAmps, loadAmps } as const]
				: []),
			...(above(fuseAmps, wireAmps)
				? [{ code: "fuse-above-wire", severity: "stop", ...common, fuseAmps, wireAmps } as const]
				: []),
		];
	});
}

function supplyFaults(
	{ name, part: { maxA: supplyAmps } }: Named<SupplyPart>,
	loads: readonly Named<TimerPart | FanPart>[],
): WiringFault[] {
	const common = { parts: [name], nets: [], loadAmps: sum(loads), supplyAmps };
	if (above(common.loadAmps, supplyAmps)) return [{ code: "supply-overload", severity: "stop", ...common }];
	return above(common.loadAmps, MAX_SUPPLY_SHARE.value * supplyAmps)
		? [{ code: "supply-margin", severity: "attention", ...common }]
		: [];
}

function timerRatingFaults(
	circuit: Circuit,
	supplyVolts: number,
	timers: readonly Named<TimerPart>[],
	fans: readonly Named<FanPart>[],
): WiringFault[] {
	const switched = fansByTimer(
		circuit,
		timers.map(({ name }) => name),
		fans,
	);
	return timers.flatMap(({ name, part: { v: timerVolts, contactA: contactAmps } }): WiringFault[] => {
		const common = { severity: "stop", parts: [name], nets: [] } as const;
		const loadAmps = sum(switched.get(name)!);
		return [
			...(above(loadAmps, contactAmps)
				? [{ code: "contact-overload", ...common, loadAmps, contactAmps } as const]
				: []),
			...(above(Math.abs(supplyVolts - timerVolts), (VOLTAGE_MISMATCH.value / 100) * timerVolts)
				? [{ code: "timer-voltage", ...common, timerVolts, supplyVolts } as const]
				: []),
		];
	});
}

function fanVoltageFaults(supplyVolts: number, fans: readonly Named<FanPart>[]): WiringFault[] {
	const unsuited = fans.filter(
		({ part: { vmin, vmax } }) => above(vmin, supplyVolts) || above(supplyVolts, vmax),
	);
	if (unsuited.length === 0) return [];
	return [
		{
			code: "fan-voltage",
			severity: "stop",
			parts: unsuited.map(({ name }) => name),
			nets: [],
			supplyVolts,
			fans: unsuited.map(({ name, part }) => ({ name, minVolts: part.vmin, maxVolts: part.vmax })),
		},
	];
}

const sum = (loads: readonly Named<{ readonly a: number }>[]): number =>
	loads.reduce((total, { part }) => total + part.a, 0);

interface Ends {
	readonly high: number;
	readonly low: number;
}

const poles = (circuit: Circuit): Ends => {
	const { name } = circuit.parts.find(({ part }) => part.kind === "supply")!;
	return { high: nodeOf(circuit, `${name}.+`), low: nodeOf(circuit, `${name}.-`) };
};

/**
 * Load that each fuse must carry [A]: everything where it is the only one, wherever it stands now; else what is not between
 * the supply's poles without it.
 */
function loadsBehind(
	circuit: Circuit,
	fuses: readonly string[],
	loads: readonly Named<TimerPart | FanPart>[],
): ReadonlyMap<string, number> {
	if (fuses.length === 1) return new Map([[fuses[0]!, sum(loads)]]);
	const timers = circuit.parts.filter(({ part }) => part.kind.endsWith("timer")).map(({ name }) => name);
	const links = linkedNodes(circuit, { energisedTimers: new Set(timers) });
	const supply = poles(circuit);
	const placed = loads.map(({ name, part }) => {
		const { positive, negative } = loadOf(part)!;
		return {
			a: part.a,
			high: nodeOf(circuit, `${name}.${positive}`),
			low: nodeOf(circuit, `${name}.${negative}`),
		};
	});
	return new Map(
		fuses.map((fuse) => {
			const find = joinNodes(
				circuit.nodes,
				links.filter(({ part }) => part !== fuse).map(({ nodes }) => nodes),
			);
			const [plus, minus] = [find(supply.high), find(supply.low)];
			const behind = placed.filter(({ high, low }) => find(high) !== plus || find(low) !== minus);
			return [fuse, behind.reduce((total, { a }) => total + a, 0)];
		}),
	);
}

/**
 * Fans that hang on each timer's contact: all of them where there is one timer; else those that touch the side of its contact
 * which is no pole of the supply.
 */
function fansByTimer(
	circuit: Circuit,
	timers: readonly string[],
	fans: readonly Named<FanPart>[],
): ReadonlyMap<string, readonly Named<FanPart>[]> {
	if (timers.length === 1) return new Map([[timers[0]!, fans]]);
	const kindOf = new Map(circuit.parts.map(({ name, part }) => [name, part.kind]));
	const solid = linkedNodes(circuit, { energisedTimers: new Set() }).filter(
		({ part }) => kindOf.get(part) === "fuse" || kindOf.get(part) === "switch",
	);
	const find = joinNodes(
		circuit.nodes,
		solid.map(({ nodes }) => nodes),
	);
	const supply = poles(circuit);
	const poleGroups = [find(supply.high), find(supply.low)];
	const contacts = new Map(timers.map((timer) => [timer, new Set<number>()]));
	for (const { part, name, node } of circuit.terminals)
		if (CONTACT_TERMINALS.has(name) && !poleGroups.includes(find(node))) contacts.get(part)?.add(find(node));
	const ends = fans.map((fan) => ({
		fan,
		groups: ["+", "-"].map((end) => find(nodeOf(circuit, `${fan.name}.${end}`))),
	}));
	return new Map(
		[...contacts].map(([timer, groups]) => [
			timer,
			ends.filter((end) => end.groups.some((group) => groups.has(group))).map(({ fan }) => fan),
		]),
	);
}
