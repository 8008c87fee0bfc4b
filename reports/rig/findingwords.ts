import type { RigFinding } from "../../lib/rig/findings.ts";
import type { RigReport } from "../../lib/rig/rigtypes.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import {
	burstWords,
	ceilingWords,
	fanWords,
	filterWords,
	measuredFlowWords,
	openDuctWords,
} from "./airwords.ts";
import { contactLifeWords, contactWords, powerUpWords, pulseWords } from "./contactwords.ts";
import type { FindingWords } from "./findingnames.ts";
import {
	class2Words,
	fuseWords,
	startWords,
	supplyWords,
	voltageDropWords,
	voltageWords,
	wireWords,
} from "./powerwords.ts";
import { type SayValue, sayIn } from "./rounding.ts";
import { differenceWords, wiringFindingWords } from "./wiringwords.ts";

/** A finding of a report in sentences. */
export const findingWords = (found: RigFinding, report: RigReport, units: UnitSystem): FindingWords =>
	wordsOf(found, report, sayIn(units));

function wordsOf(found: RigFinding, report: RigReport, say: SayValue): FindingWords {
	switch (found.code) {
		case "fan":
			return fanWords(found, report, say);
		case "measured flow":
			return measuredFlowWords(found, report, say);
		case "filter":
			return filterWords(found, report, say);
		case "open duct":
			return openDuctWords(found, say);
		case "burst":
			return burstWords(found, say);
		case "ceiling":
			return ceilingWords(found, say);
		case "voltage":
			return voltageWords(found, say);
		case "supply":
			return supplyWords(found, say);
		case "start":
			return startWords(found, say);
		case "class 2":
			return class2Words(found, say);
		case "wire":
			return wireWords(found, say);
		case "drop":
			return voltageDropWords(found, say);
		case "fuse":
			return fuseWords(found, say);
		case "contact":
			return contactWords(found, say);
		case "contact life":
			return contactLifeWords(found);
		case "pulse":
			return pulseWords(found, say);
		case "power-up":
			return powerUpWords(found, say);
		case "wiring":
			return wiringFindingWords(found);
		case "wiring and file":
			return differenceWords(found, say);
	}
}
