import type { RigFinding, RigReport } from "../../lib/rig/check.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { AIR_WORDS } from "./airwords.ts";
import { CONTACT_WORDS } from "./contactwords.ts";
import type { FindingWords, WordsOf } from "./findingnames.ts";
import { POWER_WORDS } from "./powerwords.ts";
import { type SayValue, sayIn } from "./rounding.ts";
import { WIRING_WORDS } from "./wiringwords.ts";

const WORDS: WordsOf<RigFinding["code"]> = {
	...AIR_WORDS,
	...POWER_WORDS,
	...CONTACT_WORDS,
	...WIRING_WORDS,
};
type Say = (found: RigFinding, say: SayValue, report: RigReport) => FindingWords;

/** A finding of a report in sentences. */
export const findingWords = (found: RigFinding, report: RigReport, units: UnitSystem): FindingWords =>
	(WORDS[found.code] as Say)(found, sayIn(units), report);
