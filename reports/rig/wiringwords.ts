import type { WiringDifference } from "../../lib/rig/wiring/agreement.ts";
import type { Connection, WireRole } from "../../lib/rig/wiring/connections.ts";
import type { WiringRemark } from "../../lib/rig/wiring/faults/remarks.ts";
import type { Wiring } from "../../lib/rig/wiring/netlist/netlist.ts";
import { typeset } from "./drawing/partwords.ts";
import { faultWords } from "./faultwords.ts";
import type { WordsOf } from "./findingnames.ts";
import type { SayValue } from "./rounding.ts";

const SOLVED =
	"The circuit is solved with the timer off and on. Wires, fuses and closed contacts count as having no resistance.";

const KEYS = {
	"fan current": "fan.current",
	"supply voltage": "supply.voltage",
	"supply current": "supply.current",
	fuse: "fuse",
} as const;

function oneDifference(one: WiringDifference, say: SayValue): string {
	if (one.what === "fan count")
		return `${one.wired} ${one.wired === 1 ? "fan" : "fans"} in the wiring, ${one.given} in fan.count`;
	if (one.what === "timer type")
		return `${one.wired.join(" and ")} in the wiring, ${one.given} in timer.type`;
	const dimension = one.what === "supply voltage" ? "voltage" : "current";
	const wired = one.wired.map((value) => say(value, dimension)).join(" and ");
	return `${one.what} ${wired} in the wiring, ${say(one.given, dimension)} in ${KEYS[one.what]}`;
}

export const WIRING_WORDS: WordsOf<"wiring" | "wiring and file"> = {
	wiring({ fault, line }) {
		if (fault === null)
			return {
				finding: "The wiring of the file runs the fan while the timer is on, and only then.",
				reason: SOLVED,
				remedy: null,
			};
		const { reason, remedy } = faultWords(fault);
		return { finding: `${reason}${line === null ? "" : ` (line ${line})`}`, reason: SOLVED, remedy };
	},
	"wiring and file": ({ differences }, say) => ({
		finding: `Wiring and file disagree: ${differences.map((one) => oneDifference(one, say)).join("; ")}.`,
		reason:
			"The wiring is judged by its own ratings and everything else by the keys of the file. One of the two is not your rig.",
		remedy: "Enter in both what the labels say.",
	}),
};

/** What is no fault and yet worth knowing. */
export function remarkWords({ code, parts }: WiringRemark): string {
	const names = parts.join(", ");
	return {
		"positive stays on the fan": `The contact switches the negative: + of ${names} keeps the full voltage while the fan is off. It works; unplug the adapter before you touch a fan lead.`,
		"flyback diode": `A diode lies across ${names}: when the contact opens, the motor's current runs on through it and draws no arc.`,
		"no flyback diode": `No diode lies across ${names}: when the contact opens, the motor's current draws an arc that wears it. A fan with its own electronics mostly needs none; across a plain motor fit one, ring (K) to + (common practice, no source).`,
		"switch taken as closed": `${names} is taken as closed; when open, it must stop everything.`,
	}[code];
}

/** Colours by common practice, no source: red for positive, black for negative, another for the switched lead. */
const WIRES: Readonly<Record<WireRole, string>> = {
	short: "do not connect; it joins positive and negative, a short circuit",
	positive: "red wire, positive",
	negative: "black wire, negative",
	switched: "yellow wire, switched by the timer",
	"switched negative": "yellow wire, negative, switched by the timer",
	between: "white wire, from one part to the next",
};

/** "From + of SUPPLY to end 1 of FUSE: red wire, positive." */
export const connectionWords = ({ from, to, role }: Connection, { parts }: Wiring): string =>
	`From ${terminalWords(from, parts)} to ${terminalWords(to, parts)}: ${WIRES[role]}.`;

function terminalWords(pin: string, parts: Wiring["parts"]): string {
	const dot = pin.lastIndexOf(".");
	const [part, terminal] = [pin.slice(0, dot), pin.slice(dot + 1)];
	const kind = parts[part]?.kind;
	if (kind === "fuse" || kind === "switch") return `end ${terminal} of ${part}`;
	if (kind === "diode") return `${terminal === "K" ? "the ring end (K)" : "the plain end (A)"} of ${part}`;
	return `${typeset(terminal)} of ${part}`;
}

/** Read out before a connection list. */
export const WIRING_CAUTIONS: readonly string[] = [
	"Unplug the adapter while you wire, and measure that the leads are dead.",
	"This is the low-voltage side only. Keep the adapter closed, and leave the mains side to a listed product and to licensed people; local codes stand above this list.",
	"Colours here are common practice, not a proof: measure the polarity of the adapter before you connect anything. The contact's terminals may be printed C, NO, NC or otherwise: go by the board's own sheet.",
	"Put at most two wires under one screw, with ferrules; join more than two in a lever connector. Keep joints out of the damp.",
];
