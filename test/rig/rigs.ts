import type { RigFinding, RigReport } from "../../lib/index.ts";
import { checkRig, parseScenario } from "../../lib/index.ts";
import { type FindingWords, findingWords } from "../../reports/rig/rig.ts";

/** A rig of which every figure is given and nothing is wrong; invented. */
const sound = {
	chamber: "{ volume: 420 L, temperature: 20 C }",
	intake: "{ co2: 450 ppm, temperature: 20 C }",
	substrate: "{ species: oyster, mass: 5 kg }",
	fan: `{ curve: { free-flow: 114 cfm, shut-off: 84.9 Pa }, spin-up: 1 s, coast-down: 1 s, voltage: 12 V,
  window: 7.5..13.8 V, current: 0.5 A, start-current: 0.55 A, flap: 1 Pa,
  filter: { kind: MERV 13, area: 225 cm2 }, duct: { length: 2 m, diameter: 100 mm } }`,
	timer: `{ ranges: [1..999 s by 1 s], type: relay, voltage: 12 V, current: 50 mA, waiting: 20 mA,
  contact: 3 A, operations: 100000, power-up: on }`,
	supply: "{ voltage: 12 V, current: 2 A }",
	wire: "{ gauge: AWG 20, length: 3 m }",
	fuse: "0.8 A",
	schedules: "{ a: { on: 10 s, off: 590 s } }",
};
export type RigKeys = Partial<Record<keyof typeof sound | "limits" | "wiring", string>>;

/** The sound rig with some of its sections replaced, and without those that are "". */
export const rigText = (changes: RigKeys = {}): string =>
	Object.entries({ ...sound, ...changes })
		.filter(([, text]) => text !== "")
		.map(([key, text]) => `${key}: ${text}`)
		.join("\n");
export const rig = (changes: RigKeys = {}): RigReport =>
	checkRig(parseScenario(rigText(changes), "rig.yaml", { schedules: "optional" }));
/** The fan of the sound rig with some words replaced. */
export const fanWith = (...pairs: readonly (readonly [string, string])[]): { fan: string } => ({
	fan: pairs.reduce((text, [from, to]) => text.replace(from, to), sound.fan),
});
export const timerWith = (...pairs: readonly (readonly [string, string])[]): { timer: string } => ({
	timer: pairs.reduce((text, [from, to]) => text.replace(from, to), sound.timer),
});
/** A finding of a report with its sentences, in SI. */
export function item<Code extends RigFinding["code"]>(
	report: RigReport,
	code: Code,
	about: string | null = null,
): Extract<RigFinding, { readonly code: Code }> & FindingWords {
	const found = report.findings.find(
		(one): one is Extract<RigFinding, { readonly code: Code }> =>
			one.code === code && (about === null || one.about === about),
	);
	if (found === undefined)
		throw new Error(`no item ${code}; there are ${report.findings.map((one) => one.code)}`);
	return { ...found, ...findingWords(found, report, "si") };
}
