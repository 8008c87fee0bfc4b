import { feedOf, MIN_CONDUCTING_V, type WiringState } from "../../../lib/rig/wiring/circuit/state.ts";
import type { PartKind, PartOf, WiringPart } from "../../../lib/rig/wiring/netlist/netlist.ts";

const amount = (x: number): string => String(Number(x.toFixed(3)));

const DETAILS: { readonly [Kind in PartKind]: (part: PartOf<Kind>) => string } = {
	supply: ({ v, maxA }) => `adapter, ${amount(v)} V, up to ${amount(maxA)} A`,
	relay_timer: ({ v, contactA }) => `relay timer, ${amount(v)} V, contact ${amount(contactA)} A`,
	lowside_timer: ({ v }) => `timer, switches the negative, ${amount(v)} V`,
	fan: ({ v, a }) => `fan, ${amount(v)} V, ${amount(a)} A`,
	fuse: ({ a }) => `fuse, ${amount(a)} A`,
	diode: () => "flyback diode, ring at K",
	switch: () => "hand switch",
};

/** Kind and ratings of a part in words. */
export const detailOf = (part: WiringPart): string =>
	(DETAILS[part.kind] as (part: WiringPart) => string)(part);

/** A terminal's name with a typographic minus sign. */
export const typeset = (terminal: string): string => terminal.replace("-", "−");

/** What a part does, in few words, and whether it runs or is on. */
export interface PartStatus {
	readonly text: string;
	readonly isActive: boolean;
	/** Said in bold. */
	readonly isLoud: boolean;
}

const shown = (x: number): string => String(Number(x.toFixed(2))).replace("-", "−");

/** What a part does in a state; without a state, nothing. */
export function statusOf(
	name: string,
	part: WiringPart,
	state: WiringState | null,
	supplyV: number,
): PartStatus {
	const quiet = (text: string): PartStatus => ({ text, isActive: false, isLoud: false });
	const busy = (text: string): PartStatus => ({ text, isActive: true, isLoud: true });
	if (state === null) return quiet("");
	if (state.shortPath !== null)
		return { ...quiet(part.kind === "supply" ? "short circuit" : ""), isLoud: part.kind === "supply" };
	const volts = state.partVolts[name] ?? 0;
	const at = `, ${shown(volts)} V`;
	const feed = feedOf(volts, supplyV);
	if (part.kind === "supply") return quiet(`gives ${shown(state.amps[name] ?? 0)} A`);
	if (part.kind === "diode") return quiet(volts > MIN_CONDUCTING_V ? "conducts" : "blocks");
	if (part.kind === "fan") {
		if (feed === "full") return busy(`runs${at}`);
		return quiet(feed === "off" ? "off" : `${feed === "low" ? "low voltage" : "reversed"}${at}`);
	}
	if (part.kind !== "relay_timer" && part.kind !== "lowside_timer") return quiet("");
	if (feed === "off") return quiet("no power");
	if (feed === "reversed") return quiet(`reversed${at}`);
	return state.energisedTimers.includes(name) ? busy(`on${at}`) : quiet(`off${at}`);
}
