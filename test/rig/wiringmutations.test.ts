import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Wiring } from "../../lib/rig/wiring/netlist/netlist.ts";
import { standardWiring } from "../../lib/rig/wiring/netlist/standardwiring.ts";
import { checkWiring } from "../../lib/rig/wiring/wiring.ts";
import { bridge, change, fans, merge, move, netOf, swap, withPart } from "./mutate.ts";
import { LOWSIDE, RELAY, soundParts, standard } from "./wirings.ts";

const codes = (wiring: Wiring): string[] => [...checkWiring(wiring).codes].sort();
const seeded = { seed: 1, numRuns: 60 };

describe("the standard wiring", () => {
	test("is right for all parts whose ratings suit each other", () => {
		fc.assert(
			fc.property(soundParts, (parts) => {
				const { codes, states, faults } = checkWiring(standardWiring(parts));
				expect(faults).toEqual([]);
				expect(codes).toEqual(["ok"]);
				expect(states!.deenergised.running).toEqual([]);
				expect(states!.energised.running).toHaveLength(parts.fans.length);
			}),
			seeded,
		);
	});

	type Mutation = readonly [what: string, mutate: (wiring: Wiring) => Wiring, expected: readonly string[]];
	const plus = (w: Wiring): string => netOf(w, "TIMER.V+");
	const both: readonly Mutation[] = [
		["without its fuse", (w) => bridge(w, "FUSE"), ["no-fuse"]],
		["with a fan's leads swapped", (w) => swap(w, "FAN1.+", "FAN1.-"), ["fan-reversed"]],
		["with the timer's supply leads swapped", (w) => swap(w, "TIMER.V+", "TIMER.V-"), ["timer-reversed"]],
		[
			"with the timer's plus left open",
			(w) => move(w, "TIMER.V+", null),
			["floating", "never-on", "timer-dead"],
		],
		[
			"with the timer's minus left open",
			(w) => move(w, "TIMER.V-", null),
			["floating", "never-on", "timer-dead"],
		],
		["with a fan's minus left open", (w) => move(w, "FAN1.-", null), ["floating", "never-on"]],
		[
			"with both leads of a fan on the supply",
			(w) => move(move(w, "FAN1.-", "minus"), "FAN1.+", plus(w)),
			["always-on"],
		],
		[
			"with plus and minus of the supply joined",
			(w) => merge(w, "supply plus", "minus"),
			["short-at-rest", "short-when-on"],
		],
		["with a fuse too small", (w) => change(w, "FUSE", { a: 0.3 }), ["fuse-small"]],
		["with a fuse too large for its wire", (w) => change(w, "FUSE", { wireA: 1 }), ["fuse-above-wire"]],
		["on a supply without a margin", (w) => change(w, "SUPPLY", { maxA: 0.4 }), ["supply-margin"]],
		["on a supply too small", (w) => change(w, "SUPPLY", { maxA: 0.3 }), ["supply-overload"]],
		["with a contact too weak", (w) => change(w, "TIMER", { contactA: 0.2 }), ["contact-overload"]],
		["on a supply of 24 V", (w) => change(w, "SUPPLY", { v: 24 }), ["fan-voltage", "timer-voltage"]],
		["with a fan for 24 V", (w) => change(w, "FAN1", { v: 24, vmin: 18, vmax: 28 }), ["fan-voltage"]],
		["with a timer for 5 V", (w) => change(w, "TIMER", { v: 5 }), ["timer-voltage"]],
		[
			"with a second supply",
			(w) => withPart(w, "SPARE", { kind: "supply", v: 12, maxA: 1 }),
			["two-supplies"],
		],
		[
			"with the fuse's far end on the supply too",
			(w) => move(move(w, "FUSE.2", "supply plus"), "SUPPLY.+", plus(w)),
			["fuse-bypassed"],
		],
		["with a part that is on no net", (w) => withPart(w, "SPARE", { kind: "diode" }), ["floating"]],
		[
			"with a terminal that no part has",
			(w) => ({ ...w, nets: { ...w.nets, minus: [...w.nets.minus!, "FAN9.-"] } }),
			["unknown-pin"],
		],
		[
			"with a terminal in two nets",
			(w) => ({ ...w, nets: { ...w.nets, minus: [...w.nets.minus!, "FUSE.1"] } }),
			["pin-on-two-nets"],
		],
	];
	const relay: readonly Mutation[] = [
		[
			"with the fans on NC",
			(w) => swap({ ...w, nets: { ...w.nets, spare: ["TIMER.NC"] } }, "TIMER.NC", "TIMER.NO"),
			["inverted"],
		],
		["with the common left open", (w) => move(w, "TIMER.COM", null), ["floating", "never-on"]],
		["with NO on the minus", (w) => move(w, "TIMER.NO", "minus"), ["short-when-on"]],
		[
			"with NC on the minus",
			(w) => ({ ...w, nets: { ...w.nets, minus: [...w.nets.minus!, "TIMER.NC"] } }),
			["short-at-rest"],
		],
		["with a fan on the plus in front of the contact", (w) => move(w, "FAN1.+", plus(w)), ["always-on"]],
		[
			"with the fuse in front of the contact only",
			(w) => move(w, "TIMER.V+", "supply plus"),
			["fuse-bypassed"],
		],
		[
			"with a diode the wrong way round",
			(w) => ({
				parts: { ...w.parts, D: { kind: "diode" } },
				nets: {
					...w.nets,
					"switched plus": [...w.nets["switched plus"]!, "D.A"],
					minus: [...w.nets.minus!, "D.K"],
				},
			}),
			["diode-reversed"],
		],
		["with the fuse moved to the minus", (w) => fuseInReturn(w), ["fuse-in-return"]],
		[
			"with the timer behind its own NC contact",
			(w) => move({ ...w, nets: { ...w.nets, own: ["TIMER.NC"] } }, "TIMER.V+", "own"),
			["timer-self-cut"],
		],
		[
			"with the timer behind its own NO contact",
			(w) => move(w, "TIMER.V+", "switched plus"),
			["never-on", "timer-dead"],
		],
	];
	const lowside: readonly Mutation[] = [
		["with all minus leads joined", (w) => merge(w, "switched minus", "minus"), ["always-on"]],
		["with one fan's minus on the common minus", (w) => move(w, "FAN1.-", "minus"), ["always-on"]],
		["with OUT+ on the minus", (w) => move(w, "TIMER.OUT+", "minus"), ["short-at-rest", "short-when-on"]],
		["with OUT- on the plus", (w) => move(w, "TIMER.OUT-", plus(w)), ["short-when-on"]],
	];
	const fuseInReturn = (w: Wiring): Wiring => {
		const direct = bridge(w, "FUSE");
		const minus = direct.nets.minus!.filter((pin) => pin !== "SUPPLY.-");
		return {
			parts: { ...direct.parts, FUSE: w.parts.FUSE! },
			nets: { ...direct.nets, minus: [...minus, "FUSE.1"], back: ["FUSE.2", "SUPPLY.-"] },
		};
	};

	test.each([
		...both.map((m) => ({ board: "relay", timer: RELAY, what: m[0], mutate: m[1], expected: m[2] })),
		...relay.map((m) => ({ board: "relay", timer: RELAY, what: m[0], mutate: m[1], expected: m[2] })),
		...both.map((m) => ({
			board: "negative-switching",
			timer: LOWSIDE,
			what: m[0],
			mutate: m[1],
			expected: m[2],
		})),
		...lowside.map((m) => ({
			board: "negative-switching",
			timer: LOWSIDE,
			what: m[0],
			mutate: m[1],
			expected: m[2],
		})),
	])("of a $board timer $what", ({ timer, mutate, expected }) => {
		const wiring = mutate(standard(2, { timer, fuse: { a: 1.6, wireA: 3 } }));
		expect(codes(wiring)).toEqual([...expected].sort());
	});

	test("of a relay timer feeds every fan through the contact, and the contact is in no other way", () => {
		const wiring = standard(6);
		const { states } = checkWiring(wiring);
		expect(states!.energised.leavingAmps["TIMER.NO"]).toBeCloseTo(6 * 0.15, 12);
		expect(states!.energised.amps.SUPPLY).toBeCloseTo(6 * 0.15 + 0.05, 12);
		expect(states!.deenergised.amps.SUPPLY).toBeCloseTo(0.05, 12);
		for (const fan of fans(wiring)) expect(states!.energised.partVolts[fan]).toBeCloseTo(12, 12);
	});

	test("of a board that switches the minus is said to leave the plus on the fan", () => {
		const noDiode = { code: "no flyback diode", parts: ["FAN"] };
		expect(checkWiring(standard(1, { timer: LOWSIDE })).remarks).toEqual([
			{ code: "positive stays on the fan", parts: ["FAN"] },
			noDiode,
		]);
		expect(checkWiring(standard(1)).remarks).toEqual([noDiode]);
	});
});
