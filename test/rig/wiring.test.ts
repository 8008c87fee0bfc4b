import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { InputError } from "../../lib/errors.ts";
import type { Wiring, WiringPart } from "../../lib/rig/wiring/netlist/netlist.ts";
import { checkWiring } from "../../lib/rig/wiring/wiring.ts";
import { faultWords, remarkWords } from "../../reports/rig/rig.ts";
import { change } from "./mutate.ts";
import { anyWiring, CASES, CODES, caseOf, RELAY, standard } from "./wirings.ts";

const codes = (wiring: Wiring): string[] => [...checkWiring(wiring).codes].sort();
const seeded = { seed: 1, numRuns: 60 };

test.each(CASES)("$id: $why", ({ parts, nets, expect: expected }) => {
	expect(codes({ parts, nets })).toEqual([...expected].sort());
});

test("each fault has a reason, a remedy and a known code", () => {
	for (const { parts, nets } of CASES)
		for (const fault of checkWiring({ parts, nets }).faults) {
			expect(CODES).toContain(fault.code);
			const { reason, remedy } = faultWords(fault);
			expect(reason).toMatch(/^\S.{20,}\.$/);
			expect(remedy).toMatch(/^\S.{15,}\.$/);
			for (const part of fault.parts) expect(Object.keys(parts)).toContain(part);
			for (const net of fault.nets) expect(Object.keys(nets)).toContain(net);
		}
});

describe("words", () => {
	const firstFault = (wiring: Wiring) => {
		const fault = checkWiring(wiring).faults[0]!;
		return { ...fault, ...faultWords(fault) };
	};

	test("joined negative leads on a negative-switching board are called by their name", () => {
		const fault = firstFault(caseOf("lowside-joined"));
		expect(fault.reason).toContain("This board switches the negative");
		expect(fault.remedy).toContain("nothing else to OUT−");
	});

	test("a short circuit names its way and the wire to look at", () => {
		const fault = firstFault(caseOf("short-on"));
		expect(fault.reason).toContain("SUP.+ → FUSE.1 → FUSE.2 → TMR.COM → TMR.NO → SUP.−");
		expect(fault.remedy).toContain("TMR.NO");
		expect(fault.parts).toEqual(["SUP", "FUSE", "TMR"]);
	});

	test("a relay in the negative lead works and is remarked on", () => {
		const { codes, remarks } = checkWiring(caseOf("low-side-relay"));
		expect(codes).toEqual(["ok"]);
		expect(remarkWords(remarks[0]!)).toContain("keeps the full voltage while the fan is off");
	});

	test("a load that the supply carries without a margin needs attention, not a stop", () => {
		const tight = change(standard(1), "FAN", { a: 0.92 });
		const { faults } = checkWiring(change(tight, "SUPPLY", { maxA: 1 }));
		expect(faults.map(({ code, severity }) => [code, severity])).toEqual([["supply-margin", "attention"]]);
	});

	test("what must stop comes before what needs attention", () => {
		const { faults } = checkWiring(caseOf("no-common"));
		expect(faults.map(({ severity }) => severity)).toEqual(["stop", "attention"]);
	});

	test("a mistyped terminal is shown the nearest one", () => {
		const wiring = standard(1);
		const nets = { ...wiring.nets, "switched plus": ["TIMER.N0", "FAN.+"] };
		const fault = firstFault({ parts: wiring.parts, nets });
		expect(fault.remedy).toContain("“TIMER.NO”");
	});

	test("a diode in series is told from one that shorts the supply", () => {
		const wiring = standard(1);
		const series: Wiring = {
			parts: { ...wiring.parts, D: { kind: "diode" } },
			nets: {
				...wiring.nets,
				"switched plus": ["TIMER.NO", "D.A"],
				guarded: ["D.K", "FAN.+"],
			},
		};
		const fault = checkWiring(series).faults.find(({ code }) => code === "diode-reversed");
		expect(faultWords(fault!).reason).toContain("in the path of a current");
		expect(firstFault(caseOf("diode-wrong")).reason).toContain("shorts the supply");
	});
});

describe("what a beginner joins", () => {
	const wordsOf = (wiring: Wiring, code: string) => {
		const { faults } = checkWiring(wiring);
		const found = faults.find((fault) => fault.code === code);
		if (found === undefined) throw new Error(`no ${code} in ${faults.map((fault) => fault.code)}`);
		return faultWords(found);
	};
	const { parts, nets } = standard(1);

	test.each([
		[
			"its plus",
			{ fed: ["FUSE.2", "FAN.+", "TIMER.COM"], mid: ["FAN.-", "TIMER.V+"] },
			["SUPPLY.-", "TIMER.V-"],
		],
		[
			"its minus",
			{ fed: ["FUSE.2", "TIMER.V+", "TIMER.COM"], mid: ["TIMER.V-", "FAN.+"] },
			["SUPPLY.-", "FAN.-"],
		],
	])("a fan in the supply of the timer, on %s, is called so and not two fans in series", (_, way, minus) => {
		const wiring = (a: number): Wiring =>
			change({ parts, nets: { plus: nets["supply plus"]!, ...way, minus } }, "FAN", { a });
		// Strong, the fan gets hardly anything; weak, it starves the timer; stronger still, it stands.
		expect(wordsOf(wiring(0.3), "fan-undervoltage").reason).toContain("in series with the supply of TIMER");
		expect(wordsOf(wiring(0.05), "timer-undervoltage").reason).toContain(
			"in series with the supply of TIMER",
		);
		const still = change(wiring(2), "TIMER", { a: 0.02 });
		expect(wordsOf(still, "never-on").reason).toContain("in series with the supply of TIMER");
		expect(wordsOf(still, "never-on").remedy).toContain("V+ directly to the fused positive");
	});

	test("fans in series with each other are not said to starve the timer", () => {
		expect(wordsOf(caseOf("fans-in-series"), "fan-undervoltage").reason).toContain("as fans in series do");
	});

	test("two supplies are told apart by whether their negatives are joined", () => {
		const two = { ...parts, OTHER: { kind: "supply", v: 12, maxA: 1 } } as const;
		const fanOn = (minus: Record<string, readonly string[]>): Wiring => ({
			parts: two,
			nets: {
				plus: ["SUPPLY.+", "FUSE.1"],
				fed: ["FUSE.2", "TIMER.V+"],
				fan: ["OTHER.+", "TIMER.COM"],
				switched: ["TIMER.NO", "FAN.+"],
				...minus,
			},
		});
		const apart = fanOn({ minus: ["SUPPLY.-", "TIMER.V-"], other: ["OTHER.-", "FAN.-"] });
		expect(wordsOf(apart, "two-supplies").reason).toContain("Their negatives are not joined");
		const joined = fanOn({ minus: ["SUPPLY.-", "TIMER.V-", "OTHER.-", "FAN.-"] });
		expect(wordsOf(joined, "two-supplies").reason).toContain("One can drive current into the other");
	});

	test("a timer without its negative is what is pointed at, first and for the fan that stands too", () => {
		const wiring: Wiring = { parts, nets: { ...nets, minus: ["SUPPLY.-", "FAN.-"] } };
		const { faults } = checkWiring(wiring);
		expect(faults[0]).toMatchObject({ code: "timer-dead", parts: ["TIMER"], openPins: ["TIMER.V-"] });
		expect(wordsOf(wiring, "timer-dead").reason).toContain("because nothing is connected to TIMER.V−");
		expect(wordsOf(wiring, "never-on").remedy).toContain("Mend the supply of TIMER first");
		// With power on the timer the fan's own leads are at fault.
		expect(wordsOf(caseOf("no-common"), "never-on").remedy).toContain("Follow its leads");
	});

	test("one mistyped terminal hides no other fault, and is read as the free one that is nearest", () => {
		const typo = { ...nets, "switched plus": ["TIMER.N0", "FAN.+"] };
		expect(codes({ parts, nets: typo })).toEqual(["unknown-pin"]);
		const worse = change({ parts, nets: typo }, "FUSE", { a: 10 });
		expect(codes(worse)).toEqual(["fuse-above-wire", "unknown-pin"]);
		expect(checkWiring(worse).states).toBeNull();
		const noGuess = { parts, nets: { ...nets, "switched plus": ["WHATEVER.99", "FAN.+"] } };
		expect(codes(noGuess)).toEqual(["floating", "never-on", "unknown-pin"]);
	});

	test("the way of the motor's current when the contact opens is looked at", () => {
		const remarks = (wiring: Wiring) =>
			checkWiring(wiring).remarks.filter(({ code }) => code.endsWith("diode"));
		expect(remarks(standard(2))).toEqual([{ code: "no flyback diode", parts: ["FAN1", "FAN2"] }]);
		expect(remarks(standard(2, { flybackDiode: true }))).toEqual([
			{ code: "flyback diode", parts: ["FAN1", "FAN2"] },
		]);
		// A diode in front of the contact leaves the motor without a way.
		const early: Wiring = {
			parts: { ...parts, D: { kind: "diode" } },
			nets: { ...nets, "fused plus": [...nets["fused plus"]!, "D.K"], minus: [...nets.minus!, "D.A"] },
		};
		expect(remarks(early)).toEqual([{ code: "no flyback diode", parts: ["FAN"] }]);
		expect(remarkWords(remarks(early)[0]!)).toContain("draws an arc");
	});
});

describe("several timers and fuses", () => {
	test("two chambers on one supply, each with its own timer and fuse, are right", () => {
		const parts: Wiring["parts"] = {
			SUPPLY: { kind: "supply", v: 12, maxA: 2 },
			MAIN: { kind: "fuse", a: 1.6, wireA: 3 },
			F1: { kind: "fuse", a: 0.5, wireA: 1 },
			F2: { kind: "fuse", a: 1, wireA: 1 },
			T1: { kind: "relay_timer", v: 12, a: 0.05, contactA: 0.4 },
			T2: { kind: "relay_timer", v: 12, a: 0.05, contactA: 0.8 },
			FAN1: { kind: "fan", v: 12, a: 0.3, vmin: 7, vmax: 13.8 },
			FAN2: { kind: "fan", v: 12, a: 0.7, vmin: 7, vmax: 13.8 },
		};
		const nets = {
			a: ["SUPPLY.+", "MAIN.1"],
			b: ["MAIN.2", "F1.1", "F2.1"],
			c: ["F1.2", "T1.V+", "T1.COM"],
			d: ["F2.2", "T2.V+", "T2.COM"],
			e: ["T1.NO", "FAN1.+"],
			f: ["T2.NO", "FAN2.+"],
			g: ["SUPPLY.-", "T1.V-", "T2.V-", "FAN1.-", "FAN2.-"],
		};
		expect(codes({ parts, nets })).toEqual(["ok"]);
		expect(codes({ parts: { ...parts, F2: { kind: "fuse", a: 0.8, wireA: 1 } }, nets })).toEqual([
			"fuse-small",
		]);
		const weak: WiringPart = { kind: "relay_timer", v: 12, a: 0.05, contactA: 0.6 };
		expect(codes({ parts: { ...parts, T2: weak }, nets })).toEqual(["contact-overload"]);
	});

	test("a timer without power stays at rest while the other one switches", () => {
		const one = standard(1);
		const wiring: Wiring = {
			parts: { ...one.parts, T2: RELAY, FAN2: one.parts.FAN! },
			nets: {
				...one.nets,
				"fused plus": [...one.nets["fused plus"]!, "T2.COM"],
				second: ["T2.NO", "FAN2.+"],
				minus: [...one.nets.minus!, "T2.V-", "FAN2.-"],
			},
		};
		const { codes, states } = checkWiring(wiring);
		expect([...codes].sort()).toEqual(["floating", "never-on", "timer-dead"]);
		expect(states!.energised.energisedTimers).toEqual(["TIMER"]);
		expect(states!.energised.running).toEqual(["FAN"]);
	});
});

describe("whatever is wired", () => {
	const renamed = (wiring: Wiring): Wiring => {
		const nets = Object.entries(wiring.nets).toReversed();
		return {
			parts: wiring.parts,
			nets: Object.fromEntries(nets.map(([, pins], place) => [`x${place * 7}`, pins.toReversed()])),
		};
	};

	test("other names and another order of nets change no code", () => {
		for (const { parts, nets } of CASES)
			expect(codes(renamed({ parts, nets }))).toEqual(codes({ parts, nets }));
		fc.assert(
			fc.property(anyWiring(30), (wiring) => {
				expect(codes(renamed(wiring))).toEqual(codes(wiring));
			}),
			{ ...seeded, numRuns: 150 },
		);
	});

	test("the check ends with known codes, finite figures, and as much current into each net as out of it", () => {
		fc.assert(
			fc.property(fc.oneof(anyWiring(12), anyWiring(40), anyWiring(200)), (wiring) => {
				const verdict = checkWiring(wiring);
				for (const code of verdict.codes) expect(CODES).toContain(code);
				for (const state of Object.values(verdict.states ?? {})) {
					for (const x of [...Object.values(state.volts), ...Object.values(state.amps)])
						if (x !== null) expect(Number.isFinite(x)).toBe(true);
					if (state.shortPath !== null) continue;
					for (const pins of Object.values(wiring.nets)) {
						const sum = pins.reduce((total, pin) => total + state.leavingAmps[pin]!, 0);
						expect(Math.abs(sum)).toBeLessThan(1e-9 * (1 + state.amps.P0!));
					}
					for (const name of Object.keys(wiring.parts)) {
						const own = Object.keys(state.leavingAmps).filter((pin) => pin.startsWith(`${name}.`));
						const sum = own.reduce((total, pin) => total + state.leavingAmps[pin]!, 0);
						expect(Math.abs(sum)).toBeLessThan(1e-9 * (1 + state.amps.P0!));
					}
				}
			}),
			{ ...seeded, numRuns: 120 },
		);
	});

	test("fans in series share the voltage as their resistances do", () => {
		const { states } = checkWiring(change(caseOf("fans-in-series"), "FAN2", { a: 0.1 }));
		expect(states!.energised.partVolts.FAN).toBeCloseTo(3, 12);
		expect(states!.energised.partVolts.FAN2).toBeCloseTo(9, 12);
		expect(states!.energised.amps.FAN).toBeCloseTo(states!.energised.amps.FAN2!, 12);
	});
});

describe("input that is no wiring", () => {
	const faultsOf = (value: unknown): string[] => {
		try {
			checkWiring(value as Wiring);
		} catch (error) {
			if (error instanceof InputError) return error.faults.map(({ path, message }) => `${path}: ${message}`);
			throw error;
		}
		return [];
	};

	test("is refused with all its faults at once", () => {
		expect(
			faultsOf({
				parts: {
					FAN: { kind: "fan", a: 0.3, vmin: 7, vmax: 13 },
					SUP: { kind: "supply", v: "12", maxA: 0 },
					TMR: { kind: "relay-timer", v: 12 },
					FUSE: { kind: "fuse", a: 1, wireA: 3, wirA: 2 },
					X: 4,
				},
				nets: { a: "FAN.+", b: [1] },
			}),
		).toEqual([
			"parts.FAN.v: needs a voltage in volts, such as 12, got nothing",
			'parts.SUP.v: needs a voltage in volts, such as 12, got "12"',
			"parts.SUP.maxA: needs the rated current in amperes, such as 2, got 0",
			'parts.TMR.kind: needs one of supply, relay_timer, lowside_timer, fan, fuse, diode, switch, got "relay-timer"; did you mean "relay_timer"?',
			'parts.FUSE.wirA: is no known key; did you mean "wireA"?',
			"parts.X: needs a kind and ratings, got 4",
			'nets.a: needs a list of terminals such as ["SUPPLY.+", "FUSE.1"], got "FAN.+"',
			'nets.b: needs a list of terminals such as ["SUPPLY.+", "FUSE.1"], got [1]',
		]);
	});

	test("mains voltage is refused", () => {
		expect(faultsOf(change(standard(1), "SUPPLY", { v: 230 }))).toEqual([
			"parts.SUPPLY.v: must not be above 60 V: this is for extra-low direct voltage behind a plug-in adapter, never for mains; got 230",
		]);
	});

	test.each([
		[undefined],
		[null],
		[[]],
		["SUP"],
		[{}],
		[{ parts: [], nets: {} }],
		[{ parts: {}, nets: {}, net: {} }],
	])("%j is refused", (value) => {
		expect(faultsOf(value).length).toBeGreaterThan(0);
	});

	test("names that objects have by birth are names like any other", () => {
		const text = JSON.stringify(standard(1))
			.replaceAll("FAN", "__proto__")
			.replaceAll("TIMER", "constructor");
		expect(codes(JSON.parse(text))).toEqual(["ok"]);
	});

	test("no parts at all is a wiring without a supply", () => {
		expect(codes({ parts: {}, nets: {} })).toEqual(["no-supply"]);
	});
});
