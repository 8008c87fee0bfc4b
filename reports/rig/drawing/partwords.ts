import { feedOf, MIN_CONDUCTING_V, type WiringState } from "../../../lib/rig/wiring/circuit/state.ts";
import type { WiringPart } from "../../../lib/rig/wiring/netlist/netlist.ts";

const amount = (x: number): string => String(Number(x.toFixed(3)));

/** Kind and ratings of a part in words. */
export const detailOf = (part: WiringPart): string => {
	switch (part.kind) {
		case "supply":
			return `adapter, ${amount(part.v)} V, up to ${amount(part.maxA)} A`;
		case "relay_timer":
			return `relay timer, ${amount(part.v)} V, contact ${amount(part.contactA)} A`;
		case "lowside_timer":
			return `timer, switches the negative, ${amount(part.v)} V`;
		case "fan":
			return `fan, ${amount(part.v)} V, ${amount(part.a)} A`;
		case "fuse":
			return `fuse, ${amount(part.a)} A`;
		case "diode":
			return "flyback diode, ring at K";
		case "switch":
			return "hand switch";
	}
};

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
		return part.kind === "supply" ? { text: "short circuit", isActive: false, isLoud: true } : quiet("");
	const volts = state.partVolts[name] ?? 0;
	const feed = feedOf(volts, supplyV);
	switch (part.kind) {
		case "supply":
			return quiet(`gives ${shown(state.amps[name] ?? 0)} A`);
		case "fan":
			if (feed === "full") return busy(`runs, ${shown(volts)} V`);
			return quiet(
				feed === "off" ? "off" : `${feed === "low" ? "low voltage" : "reversed"}, ${shown(volts)} V`,
			);
		case "relay_timer":
		case "lowside_timer": {
			if (feed === "off") return quiet("no power");
			if (feed === "reversed") return quiet(`reversed, ${shown(volts)} V`);
			return state.energisedTimers.includes(name)
				? busy(`on, ${shown(volts)} V`)
				: quiet(`off, ${shown(volts)} V`);
		}
		case "diode":
			return quiet(volts > MIN_CONDUCTING_V ? "conducts" : "blocks");
		default:
			return quiet("");
	}
}
