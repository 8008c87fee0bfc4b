import type { SensorCase, SensorSwitchResult } from "../../lib/compare/sensorswitch.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { orNone, roughTime, short, whole } from "./format.ts";

const CASES: Readonly<Record<SensorCase, string>> = {
	"as it is": "as in the file",
	"respiration low": "respiration at its low end",
	"respiration high": "respiration at its high end",
	"sensor reads high": "sensor reads high by its accuracy",
	"sensor reads low": "sensor reads low by its accuracy",
	"stuck on": "sensor stuck high: fan always on",
	"stuck off": "sensor stuck low: fan never on",
};

export const SWITCH_HEADS = ["true CO₂", "peak", "mean", "trough", "fresh air", "starts", "on", "off"];

/** A line of figures for each case; air and starts per day. */
export const switchRows = ({ outcomes }: SensorSwitchResult, units: UnitSystem): string[][] =>
	outcomes.map((one) => [
		CASES[one.case],
		...[one.peakPpm, one.meanPpm, one.troughPpm].map(whole),
		formatQuantity(one.freshAirM3PerDay, "volume", units),
		whole(one.startsPerDay),
		orNone(one.onSeconds, roughTime),
		orNone(one.offSeconds, roughTime),
	]);

/** Whether it keeps the ceiling, and what its lag costs against a timer. */
export function switchWords(result: SensorSwitchResult, units: UnitSystem): string {
	const { isMet, isPeriodic, isStoppedByClock, lagAirChanges, timerM3PerDay } = result;
	const starts = result.outcomes[0]!.startsPerDay;
	const lag =
		lagAirChanges > 1
			? "so each burst purges the chamber before the sensor sees it: stop the fan by the clock instead (leave out until, give shortest on)"
			: lagAirChanges > 0.2
				? "so narrow the band, or set the level lower"
				: "so its lag hardly counts";
	return [
		`The true peak is ${isMet ? "under" : "above"} the ceiling.`,
		...(starts === 0
			? ["The fan never switches: its levels lie outside what the CO₂ reaches."]
			: isStoppedByClock
				? []
				: [`In the lag of the sensor the fan changes the air ${short(lagAirChanges)} times, ${lag}.`]),
		...(timerM3PerDay === null
			? []
			: [
					`A timer with the shortest useful bursts has the same peak as the file’s switch with ${formatQuantity(timerM3PerDay, "volume", units)} of fresh air per day.`,
				]),
		...(isPeriodic ? [] : ["No pattern repeats; the figures are those of the third day."]),
		"A sensor that fails must not leave people or crop without air: keep a CO₂ alarm of its own in the room.",
	].join(" ");
}
