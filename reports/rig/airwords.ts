import { deliveredFlow, fanVolts, flowConditionsOf } from "../../lib/model/fan/deliveredflow.ts";
import { powerOfTen } from "../../lib/power.ts";
import type { FindingOf, RigReport } from "../../lib/rig/check.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { MIN_USEFUL_BURST, MIN_USEFUL_SPIN_UPS, SOUND_SHARE } from "../../lib/sources/fans.ts";
import type { WordsOf } from "./findingnames.ts";
import type { SayValue } from "./rounding.ts";

type Fan = FindingOf<"fan">;
type NoPointCause = Extract<Fan, { readonly outcome: "no operating point" }>["cause"];
type OperatingFan = Exclude<Fan, { readonly outcome: "flow given" | "no operating point" }>;

/** Why no air is delivered that one can rely on. */
export function noOperatingPointWords(
	cause: NoPointCause,
	{ scenario, fan }: RigReport,
	say: SayValue,
): string {
	switch (cause) {
		case "stall":
			return fan?.curve[0]?.flowM3PerS === 0
				? "the flap takes more pressure than the fan makes at zero flow, so no air passes"
				: "filter and duct take more pressure than the curve covers: the fan stalls, left of its curve";
		case "beyond the curve":
			return "filter and duct take less pressure than the last point of the curve; add a point at a greater flow";
		case "undervoltage": {
			const volts = fanVolts(flowConditionsOf(scenario))?.volts ?? 0;
			const least = scenario.fan.voltageRange?.low ?? null;
			return volts <= 0 || least === null
				? "no voltage reaches the fan"
				: `only ${say(volts, "voltage")} reach a fan that starts at ${say(least, "voltage")}`;
		}
	}
}

const FAN_REASON = `A fan works where its curve meets the resistance of filter and duct. It works soundly at ${SOUND_SHARE.low} to ${SOUND_SHARE.high} % of its flow at zero pressure.`;
/** How dusty the filter is that the file gives. */
const filterState = ({ fan }: Scenario): "clean" | "given" =>
	(fan.filter?.pressureDropRatio.value ?? 1) === 1 ? "clean" : "given";

const LOADED_SCHEDULE = "the schedule for the loaded filter (fan.filter.load: 2)";

const NO_POINT_REMEDIES: Readonly<Record<NoPointCause, string>> = {
	undervoltage: "Feed it at its rated voltage, with a shorter or thicker cable.",
	"beyond the curve": "Give the curve up to its flow at zero pressure.",
	stall:
		"Take more filter area, a wider or shorter duct, a lighter flap, or a fan with more static pressure.",
};

/** Where a fan works, beside its flow and pressure. */
const PLACES: Readonly<Record<OperatingFan["outcome"], string>> = {
	"near shut-off": "",
	"near stall": " It works near stall, where real fans surge and the curve is least certain.",
	sound: "",
	"near free delivery": " It works near the free end of its curve.",
};

/** What helps a fan that delivers too little; null where it does not. */
function fanRemedy(found: OperatingFan, { scenario: { fan } }: RigReport, say: SayValue): string | null {
	const { outcome, soundFilterFactor, soundFilterAreaM2, doubleFilterAreaM3PerS } = found;
	const larger =
		doubleFilterAreaM3PerS === null
			? ""
			: ` Twice the filter area gives ${say(doubleFilterAreaM3PerS, "flow")}, the cheapest remedy.`;
	if (outcome === "near stall")
		return `Reduce the resistance of filter and duct, or take a fan with more static pressure.${larger}`;
	if (outcome !== "near shut-off") return null;
	const stronger = `${fan.count > 1 ? "fans" : "a fan"} with more static pressure`;
	if (fan.filter === null) return `Take a wider or shorter duct, a lighter flap, or ${stronger}.`;
	if (soundFilterFactor === null)
		return `Take ${stronger}, a wider or shorter duct, or a lighter flap: a larger filter alone does not help.`;
	const area =
		soundFilterAreaM2 === null
			? `${roundUp(soundFilterFactor)} times the filter area`
			: `a filter of ${say(roundUp(soundFilterAreaM2), "area")} or more`;
	return `Take ${area}, with which the fan works soundly, or ${stronger}. Check the filter area in the file, too.`;
}

/** Rounded up to two digits. */
function roundUp(value: number): number {
	const step = powerOfTen(Math.floor(Math.log10(value)) - 1);
	return Number((Math.ceil(value / step) * step).toPrecision(2));
}

/** A measured flow against the curve. */
const MEASURED_REMEDIES: Readonly<Record<FindingOf<"measured flow">["outcome"], string | null>> = {
	agrees: null,
	"below the curve":
		"Look for leaks between fan and duct, a crushed duct, a clogged filter, a low voltage, or the wrong fan curve.",
	"above the curve":
		"Look for air that goes around the filter, for a filter, duct or fan other than in the file, or measure again.",
	"above the catalogue":
		"Look for air that goes around the filter, for a filter, duct or fan other than in the file, or measure again.",
};

export const AIR_WORDS: WordsOf<"fan" | "measured flow" | "filter" | "open duct" | "burst" | "ceiling"> = {
	fan(found, say, report) {
		const { fan } = report.scenario;
		if (found.outcome === "flow given")
			return {
				finding: `The file gives a delivered flow of ${say(found.flowM3PerS, "flow")}; it is used as it is.`,
				reason: "The flow through filter and duct is always less than the catalogue flow.",
				remedy:
					"If the value is from a box or a catalogue, measure it with the bag test, or give fan.curve instead.",
			};
		const fans = fan.count > 1 ? "fans deliver" : "fan delivers";
		const delivers = fan.flow === null ? `The ${fans}` : `By the curve, the ${fans}`;
		if (found.outcome === "no operating point")
			return {
				finding: `${delivers} no dependable flow: ${noOperatingPointWords(found.cause, report, say)}.`,
				reason: FAN_REASON,
				remedy: NO_POINT_REMEDIES[found.cause],
			};
		const { outcome, flowM3PerS, pressurePa, freeDeliveryShare } = found;
		const little = outcome === "near shut-off" ? "next to nothing, " : "";
		const share =
			freeDeliveryShare < 0.001 ? `less than ${say(0.001, "fraction")}` : say(freeDeliveryShare, "fraction");
		return {
			finding: `${delivers} ${little}${say(flowM3PerS, "flow")} at ${say(pressurePa, "pressure")}: ${share} of ${fan.count > 1 ? "their" : "its"} flow at zero pressure.${PLACES[outcome]}`,
			reason: FAN_REASON,
			remedy: fanRemedy(found, report, say),
		};
	},
	"measured flow"(found, say, { scenario }) {
		const { outcome, cleanM3PerS, loadedM3PerS, deviationShare, catalogueM3PerS, toleranceShare } = found;
		const clean = say(cleanM3PerS, "flow");
		const predicted =
			loadedM3PerS === null
				? clean
				: `${say(loadedM3PerS, "flow")} with the filter loaded and ${clean} with it clean`;
		const off = say(deviationShare, "fraction");
		const comparison = {
			agrees: "The two agree within their uncertainties.",
			"below the curve": `The measured flow is ${off} less than with the filter loaded.`,
			"above the curve": `The measured flow is ${off} more than with the filter clean.`,
			"above the catalogue": `The measured flow exceeds the ${say(catalogueM3PerS, "flow")} that the fans move against no resistance.`,
		}[outcome];
		return {
			finding: `The measured flow of the file, ${deliveredFlow(scenario).text}, counts. The curve predicts ${predicted}. ${comparison}`,
			reason: `A measured flow shows whether the air takes the path that the file describes. Where no uncertainty is given, ${say(toleranceShare, "fraction")} is allowed.`,
			remedy: MEASURED_REMEDIES[outcome],
		};
	},
	filter({ cause, loadedM3PerS, lossShare, verdict, pressureDropRatio }, say, report) {
		const times = pressureDropRatio === 2 ? "twice" : `${Number(pressureDropRatio.toPrecision(3))} times`;
		const effect =
			cause === null
				? `the flow is ${say(loadedM3PerS, "flow")}, ${say(lossShare, "fraction")} less`
				: `there is no dependable flow: ${noOperatingPointWords(cause, report, say)}`;
		return {
			finding: `With the filter at ${times} its clean pressure drop, ${effect}.`,
			reason: "Dust and spores load a filter. Replace it when its pressure drop has doubled.",
			remedy:
				verdict === "ok"
					? `Choose ${LOADED_SCHEDULE}, or replace the filter earlier.`
					: `Take more filter area, and choose ${LOADED_SCHEDULE}.`,
		};
	},
	"open duct"(found, say, { scenario }) {
		const { stackFlowM3PerS, openingDistanceM, temperatureDifferenceK: difference, leakageM3PerS } = found;
		const through = scenario.fan.filter === null ? "" : ` through the ${filterState(scenario)} filter`;
		const warmer = `${say(Math.abs(difference), "temperature difference")} ${difference > 0 ? "warmer" : "colder"}`;
		return {
			finding: `${scenario.fan.flap === null ? "No flap is given" : "The flap does not hold"}. With the fan off, two such openings ${say(openingDistanceM, "length")} apart in height leak ${say(stackFlowM3PerS, "flow")}${through}, because the chamber is ${warmer} than the intake air. The file counts ${say(leakageM3PerS, "flow")} (chamber.leak).`,
			reason: "Warm air rises through open holes all day. That can be more air than the timer delivers.",
			remedy:
				"Fit a flap, or run the leak test (CO₂ decay) with the duct open and the fan off, and enter the result as chamber.leak.",
		};
	},
	burst({ outcome, onSeconds, airM3, lossShare, freshM3, ductVolumeM3, minUsefulSeconds, because }, say) {
		const lost = say(Math.abs(lossShare), "fraction");
		const useful = say(minUsefulSeconds, "duration");
		const effect =
			Math.abs(lossShare) < 0.005
				? "as much as flow × on-time"
				: lossShare > 0
					? `${lost} less than flow × on-time, because the fan takes time to speed up`
					: `${lost} more than flow × on-time, because the fan runs on after switch-off`;
		const duct =
			ductVolumeM3 === null || ductVolumeM3 === 0
				? ""
				: freshM3 >= airM3
					? ` The ${say(ductVolumeM3, "volume")} in the duct are room air from the burst before.`
					: ` Warmth drives chamber air into the duct (${say(ductVolumeM3, "volume")}) in the pause. It comes back first: ${freshM3 === 0 ? "no fresh air arrives at all" : `${say(freshM3, "volume")} of fresh air arrive`}.`;
		const longer = "engthen on-time and off-time in the same ratio";
		const remedies = {
			practice: `L${longer}, so that the burst lasts ${useful} or more, or confirm it with a bag test or counted bursts (and set limits.burst). Below ${MIN_USEFUL_BURST.value} s the air of a burst is very uncertain.`,
			"spin-up": `L${longer}, so that the burst lasts ${useful} or more.`,
			"own limit": `L${longer}, so that the burst lasts ${useful} or more, or change limits.burst.`,
			"duct air": `Shorten the duct, fit a flap at its chamber end, or l${longer}, so that the burst lasts ${useful} or more.`,
		};
		const rules = {
			practice: `at least ${MIN_USEFUL_BURST.value} s (common practice, no source)`,
			"spin-up": `at least ${MIN_USEFUL_SPIN_UPS.value} time constants of the spin-up, so that its uncertainty matters little`,
			"own limit": "as limits.burst says",
			"duct air":
				"so long that half of its air is fresh although the duct fills with chamber air in a long pause",
		};
		return {
			finding: `A burst of ${say(onSeconds, "duration")} moves ${say(airM3, "volume")}, ${effect}.${duct}`,
			reason: `A useful burst lasts ${useful} or more: ${rules[because]}. The command lullgust choose goes by the same rule.`,
			remedy: outcome === "sound" ? null : remedies[because],
		};
	},
	ceiling({ statistic, cleanPpm, loadedPpm, ceilingPpm, isMet, isMetLoaded }, say, { scenario }) {
		const ppm = (value: number): string => say(Math.round(value), "concentration");
		const values =
			loadedPpm === null
				? ppm(cleanPpm)
				: `${ppm(cleanPpm)} with ${filterState(scenario) === "clean" ? "a clean filter" : "the filter as given"}, ${ppm(loadedPpm)} with a loaded one`;
		const stays = !isMet
			? "exceeds the ceiling"
			: isMetLoaded
				? "stays under the ceiling"
				: "stays under the ceiling only while the filter is clean";
		return {
			finding: `With this rig the ${statistic} ${stays}: ${values}; ceiling ${ppm(ceilingPpm)}.`,
			reason: "A schedule is judged by the flow that is delivered, and a loading filter reduces it.",
			remedy: !isMet
				? "Choose another schedule, or more flow. The command lullgust choose finds a schedule that meets the target, where there is one."
				: isMetLoaded
					? null
					: `Choose ${LOADED_SCHEDULE}, replace the filter earlier, or take more filter area.`,
		};
	},
};
