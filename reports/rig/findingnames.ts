import type { FindingOf, RigFinding, RigReport } from "../../lib/rig/check.ts";
import type { RigVerdict } from "../../lib/rig/finding.ts";
import type { SayValue } from "./rounding.ts";

/** A finding in sentences. */
export interface FindingWords {
	/** What was found. */
	readonly finding: string;
	/** The rule, and why it matters. */
	readonly reason: string;
	/** What to do; null when nothing is to be done. */
	readonly remedy: string | null;
}

/** The sentences of some findings. */
export type WordsOf<Codes extends RigFinding["code"]> = {
	readonly [Code in Codes]: (found: FindingOf<Code>, say: SayValue, report: RigReport) => FindingWords;
};

/** What a verdict is called, with a sign that does not need colour. */
export const VERDICT_WORDS: Readonly<Record<RigVerdict, string>> = {
	ok: "✓ OK",
	attention: "◐ attention",
	stop: "✗ stop",
};

const NAMES: Readonly<Record<RigFinding["code"], string>> = {
	fan: "Delivered flow",
	"measured flow": "Measured flow",
	filter: "Loaded filter",
	"open duct": "Open duct",
	burst: "Burst",
	mains: "Mains voltage",
	voltage: "Voltage",
	supply: "Supply",
	start: "All fans starting",
	"class 2": "Size of the circuit",
	wire: "Current in the wire",
	drop: "Voltage drop",
	fuse: "Fuse",
	contact: "Contact rating",
	"contact life": "Contact life",
	pulse: "Short pulse",
	"power-up": "Power cut",
	wiring: "Wiring",
	"wiring and file": "Wiring and file disagree",
	ceiling: "Ceiling",
};

/** What was checked, as a heading: "Burst, “rare and long”". */
export const findingName = ({ code, about }: Pick<RigFinding, "code" | "about">): string =>
	about === null
		? NAMES[code]
		: `${NAMES[code]}, ${code === "wiring" ? about.replaceAll("-", " ") : `“${about}”`}`;
