import type { ChoiceWarning } from "../../lib/choose/choosetypes.ts";
import type { ComparisonWarning } from "../../lib/compare/warnings.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { noSettledPatternWords, windowWords } from "./steadystate.ts";

/** A warning as a sentence that begins with the parameter it is about. */
export const warningMessage = (warning: ComparisonWarning | ChoiceWarning): string =>
	warning.code === "central values"
		? `Uncertain inputs enter with their central values: ${warning.inputs.map(({ path, text }) => `${path} (${text})`).join(", ")}.`
		: `${warning.path}: ${doubt(warning)}`;

function doubt(warning: Exclude<ComparisonWarning | ChoiceWarning, { code: "central values" }>): string {
	switch (warning.code) {
		case "published respiration":
			return `respiration comes from published values, ${warning.text}; yours may lie anywhere in that range. Measure it with a rise test: fan off, log the rise.`;
		case "substrate volume unknown":
			return 'not known, so the whole chamber counts as free air; give "density" or "volume" to subtract the substrate.';
		case "humidity left out":
			return "this page follows CO₂ alone; `lullgust compare` and `lullgust choose` judge the humidity as well.";
		case "flow taken as delivered":
			return "taken as the delivered flow, through filter and duct, from the first moment; a catalogue flow is always higher.";
		case "flow calculated":
			return `calculated from the fan curve${filterWords(warning.filterLoad)}. All of it counts as fresh air; chamber air that warmth drives into an open duct in a pause comes back first. \`lullgust rig\` says how much.`;
		case "fan delivers nothing":
			return `${warning.reason}; the flow counts as zero.`;
		case "fan near shut-off":
			return `works at ${warning.freeDeliveryPercent} % of its flow at zero pressure, below the sound range of ${soundRange(warning)}. The fan is almost blocked and the real flow may be much lower. Use more filter area or a fan with more pressure.`;
		case "fan near free delivery":
			return `works at ${warning.freeDeliveryPercent} % of its flow at zero pressure, above the sound range of ${soundRange(warning)}. Check that filter, duct and openings are all given.`;
		case "little free air":
			return `fills ${Math.round(100 * warning.filledShare)} % of the chamber, so the free air volume is a rough estimate.`;
		case "timer cannot show":
			return `the timer cannot show ${warning.seconds.length > 0 ? warning.seconds.map(formatDuration).join(" and ") : "both times in one range"}.`;
		case "no settled pattern":
			return `${noSettledPatternWords(warning.cause)} The values describe ${windowWords(warning)}.`;
		case "timer assumed":
			return "not given; a three-digit display of 1 to 999 s is assumed for on- and off-time.";
		case "filter load not counted":
			return "the flow is given without a curve, so what a loaded filter leaves of it is not counted in the chance; give fan.curve beside the flow, or measure the flow with a loaded filter.";
		case "maximum source":
			return "respiration changes over time. The search uses its highest rate; each setting found is then evaluated with the full model.";
	}
}

const filterWords = (load: string | null): string =>
	load === null
		? ""
		: load === "clean"
			? ", for a clean filter (`fan.filter.load`, such as 1..2, counts a dusty one)"
			: `, for a filter with ${load} times its clean pressure drop`;

const soundRange = (sound: { readonly soundLowPercent: number; readonly soundHighPercent: number }): string =>
	`${sound.soundLowPercent} to ${sound.soundHighPercent} %`;
