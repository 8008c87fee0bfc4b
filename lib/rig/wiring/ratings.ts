import { FUSE_OVER_LOAD } from "../../sources/fuses.ts";
import { MAX_SUPPLY_SHARE, VOLTAGE_MISMATCH } from "../../sources/supplies.ts";
import { type Circuit, CONTACT_TERMINALS, joinNodes, linkedNodes, loadOf, nodeOf } from "./circuit.ts";
import type { WiringFinding } from "./faults.ts";
import type { FanPart, FusePart, SupplyPart, TimerPart } from "./netlist.ts";

/** Slack for rounding in sums of ratings. */
const above = (x: number, limit: number): boolean => x > limit * (1 + 1e-9);

const amps = (x: number): string => `${Number(x.toFixed(3))} A`;
const volts = (x: number): string => `${Number(x.toFixed(2))} V`;

type Named<P> = { readonly name: string; readonly part: P };

/** Parts that are asked for more than they are rated for, whatever they are wired to. */
export function ratingFindings(circuit: Circuit): WiringFinding[] {
	const pick = <P>(...kinds: readonly string[]) =>
		circuit.parts.filter(({ part }) => kinds.includes(part.kind)) as unknown as readonly Named<P>[];
	const supply = pick<SupplyPart>("supply")[0]!;
	const timers = pick<TimerPart>("relay_timer", "lowside_timer");
	const fans = pick<FanPart>("fan");
	const loads = [...timers, ...fans];
	const total = sum(loads);
	const findings: WiringFinding[] = [];
	const find = (
		code: WiringFinding["code"],
		parts: readonly string[],
		what: string,
		extra: Partial<WiringFinding> = {},
	) => {
		findings.push({ code, parts, nets: [], what, ...extra });
	};

	const fuses = pick<FusePart>("fuse");
	const behindFuse = loadsBehind(
		circuit,
		fuses.map(({ name }) => name),
		loads,
	);
	for (const { name, part } of fuses) {
		const behind = behindFuse.get(name)!;
		if (above(FUSE_OVER_LOAD.value * behind, part.a))
			find("fuse-small", [name], `${amps(part.a)} for a load of ${amps(behind)}`, {
				isMild: !above(behind, part.a),
			});
		if (above(part.a, part.wireA))
			find("fuse-above-wire", [name], `${amps(part.a)} on wire for ${amps(part.wireA)}`);
	}
	const load = `${amps(total)} on a supply rated ${amps(supply.part.maxA)}`;
	if (above(total, supply.part.maxA)) find("supply-overload", [supply.name], load);
	else if (above(total, MAX_SUPPLY_SHARE.value * supply.part.maxA))
		find("supply-margin", [supply.name], load);

	const switched = fansByTimer(
		circuit,
		timers.map(({ name }) => name),
		fans,
	);
	for (const timer of timers) {
		const current = sum(switched.get(timer.name)!);
		if (above(current, timer.part.contactA))
			find(
				"contact-overload",
				[timer.name],
				`${amps(current)} on a contact for ${amps(timer.part.contactA)}`,
			);
		if (above(Math.abs(supply.part.v - timer.part.v), (VOLTAGE_MISMATCH.value / 100) * timer.part.v))
			find("timer-voltage", [timer.name], `a ${volts(timer.part.v)} timer on ${volts(supply.part.v)}`);
	}
	const strange = fans.filter(
		({ part }) => above(part.vmin, supply.part.v) || above(supply.part.v, part.vmax),
	);
	if (strange.length > 0)
		find(
			"fan-voltage",
			strange.map(({ name }) => name),
			strange
				.map(({ name, part }) => `${name} is for ${volts(part.vmin)} to ${volts(part.vmax)}`)
				.join(", ")
				.concat(`, the supply gives ${volts(supply.part.v)}`),
		);
	return findings;
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
