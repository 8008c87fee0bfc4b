import { readFileSync } from "node:fs";
import fc from "fast-check";
import { terminalsOf, type Wiring, type WiringPart } from "../../lib/rig/wiring/netlist/netlist.ts";
import { standardWiring, type WiringParts } from "../../lib/rig/wiring/netlist/standardwiring.ts";

interface Case extends Wiring {
	readonly id: string;
	readonly why: string;
	readonly expect: readonly string[];
}

const file = JSON.parse(
	readFileSync(new URL("../../fixtures/wirings/cases.json", import.meta.url), "utf8"),
) as { readonly codes: Readonly<Record<string, string>>; readonly cases: readonly Case[] };

/** Right and wrong wirings with the verdict expected. */
export const CASES = file.cases;
/** All codes, with their meaning. */
export const CODES = Object.keys(file.codes);
export const caseOf = (id: string): Wiring => {
	const found = CASES.find((c) => c.id === id)!;
	return { parts: found.parts, nets: found.nets };
};

export const FAN = { v: 12, a: 0.15, vmin: 7, vmax: 13.8 };
export const RELAY = { kind: "relay_timer", v: 12, a: 0.05, contactA: 3 } as const;
export const LOWSIDE = { kind: "lowside_timer", v: 12, a: 0.03, contactA: 5 } as const;

export const standard = (fans: number, change: Partial<WiringParts> = {}): Wiring =>
	standardWiring({
		supply: { v: 12, maxA: 2 },
		timer: RELAY,
		fans: Array.from({ length: fans }, () => FAN),
		fuse: { a: 1.6, wireA: 3 },
		...change,
	});

const amps = (min: number, max: number) => fc.integer({ min: min * 100, max: max * 100 }).map((x) => x / 100);

/** Parts whose ratings suit each other. */
export const soundParts: fc.Arbitrary<WiringParts> = fc
	.record({
		v: fc.constantFrom(5, 12, 24),
		fans: fc.array(amps(0.05, 0.5), { minLength: 1, maxLength: 6 }),
		kind: fc.constantFrom("relay_timer" as const, "lowside_timer" as const),
		own: amps(0.01, 0.08),
		spare: fc.double({ min: 1.3, max: 3, noNaN: true }),
		handSwitch: fc.boolean(),
		flybackDiode: fc.boolean(),
	})
	.map(({ v, fans, kind, own, spare, handSwitch, flybackDiode }) => {
		const load = own + fans.reduce((sum, a) => sum + a, 0);
		return {
			supply: { v, maxA: load * spare },
			timer: { kind, v, a: own, contactA: load * spare },
			fans: fans.map((a) => ({ v, a, vmin: 0.6 * v, vmax: 1.15 * v })),
			fuse: { a: load * spare, wireA: load * spare * 1.5 },
			handSwitch,
			flybackDiode,
		};
	});

const somePart: fc.Arbitrary<WiringPart> = fc.oneof(
	{ weight: 1, arbitrary: fc.constant<WiringPart>({ kind: "supply", v: 12, maxA: 2 }) },
	{ weight: 2, arbitrary: fc.constant<WiringPart>(RELAY) },
	{ weight: 2, arbitrary: fc.constant<WiringPart>(LOWSIDE) },
	{
		weight: 6,
		arbitrary: amps(0.05, 1).map((a): WiringPart => ({ kind: "fan", v: 12, a, vmin: 7, vmax: 13.8 })),
	},
	{ weight: 2, arbitrary: fc.constant<WiringPart>({ kind: "fuse", a: 2, wireA: 3 }) },
	{ weight: 1, arbitrary: fc.constant<WiringPart>({ kind: "diode" }) },
	{ weight: 1, arbitrary: fc.constant<WiringPart>({ kind: "switch" }) },
);

/** Any parts joined in any way, with one supply mostly; `most` parts and as many nets. */
export const anyWiring = (most: number): fc.Arbitrary<Wiring> =>
	fc
		.record({
			parts: fc.array(somePart, { minLength: 0, maxLength: most - 1 }),
			nets: fc.integer({ min: 1, max: most }),
			one: fc.boolean(),
			seeds: fc.array(fc.nat(), { minLength: 5 * most, maxLength: 5 * most }),
		})
		.map(({ parts: rest, nets: count, one, seeds }) => {
			const kept = one ? rest.filter(({ kind }) => kind !== "supply") : rest;
			const parts = [{ kind: "supply", v: 12, maxA: 2 } as WiringPart, ...kept];
			const nets = Array.from({ length: count }, (): string[] => []);
			let turn = 0;
			parts.forEach(({ kind }, place) => {
				for (const terminal of terminalsOf(kind)) {
					const seed = seeds[turn++ % seeds.length]!;
					// One terminal in ten is left out.
					if (seed % 10 !== 0) nets[Math.floor(seed / 10) % count]!.push(`P${place}.${terminal}`);
				}
			});
			return {
				parts: Object.fromEntries(parts.map((part, place) => [`P${place}`, part])),
				nets: Object.fromEntries(nets.map((pins, place) => [`N${place}`, pins])),
			};
		});
