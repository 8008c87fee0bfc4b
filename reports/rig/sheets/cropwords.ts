import type { SheetOf } from "../../../lib/rig/commissioning/commissioning.ts";
import { HOUR } from "../../../lib/time.ts";
import {
	about,
	type CommissioningSheet,
	expectedValue,
	GAS,
	loggerWords,
	responseWords,
	runWords,
	type SheetContext,
	SPORES,
	troubles,
} from "./sheet.ts";

/** P6: CO₂ output, from the rise in the closed chamber. */
export function riseSheet(sheet: SheetOf<"P6">, context: SheetContext): CommissioningSheet {
	const { say, file, plan, report } = context;
	const ppm = (value: number): string => say(value, "concentration");
	const difference = (value: number): string => say(value, "concentration difference");
	const { startPpm, risePpmPerMinute, lowPpmPerMinute, highPpmPerMinute, stopPpm } = sheet;
	const isRange = lowPpmPerMinute !== highPpmPerMinute;
	const [least, most] = [about(sheet.minSeconds), about(sheet.maxSeconds)];
	return {
		id: "P6",
		title: "Rise test in the closed chamber",
		reason:
			"The CO₂ output of the crop is the least certain of all inputs, and it grows through a flush. Repeat this test, by day and by night.",
		duration: `${least} to ${most}; about ${about(sheet.logSeconds)} here`,
		tools: [loggerWords(context), "thermometer"],
		steps: [
			"Load the chamber as you will use it, at its usual temperature. Note stage and day of the flush.",
			report.fan !== null && !report.fan.operatingPoint.exists
				? "Open the door until the reading is near the intake's, because by its curve this fan moves nothing; then shut it."
				: `Run the fan without a stop until the reading no longer falls: ${about(sheet.purgeSeconds)} or more. It comes down to about ${ppm(startPpm)}.`,
			"Switch the fan off, leave flaps and vents as in use, the door shut. Stay out.",
			`Discard the first ${about(plan.sensor.waitSeconds)}, in which the sensor catches up (3 to 5 × its response time, ${responseWords(context)}). By hand: slope in ppm per minute from there on. The command uses all of the curve.`,
			`Log on until ${ppm(stopPpm)} or ${most}, whichever comes first, but ${least} at least. Then switch the fan on again.`,
			"Save the log as rise.csv. Repeat it at night, and each week of the flush.",
		],
		expected: [
			...expectedValue("start", startPpm, "concentration"),
			...expectedValue("rise per minute", risePpmPerMinute, "concentration difference"),
			...(isRange
				? [
						...expectedValue(
							"rise per minute, low end of the range",
							lowPpmPerMinute,
							"concentration difference",
						),
						...expectedValue(
							"rise per minute, high end of the range",
							highPpmPerMinute,
							"concentration difference",
						),
					]
				: []),
			...expectedValue(`time to ${ppm(stopPpm)}`, sheet.stopSeconds, "duration"),
		],
		record: {
			columns: ["fan off for", "expected, ppm", "reading, ppm", "temperature"],
			rows: sheet.readings.map((one) => [about(one.seconds), String(Math.round(one.ppm)), "", ""]),
		},
		acceptance: [
			"Residuals below 20 ppm, and day and night both known.",
			isRange
				? `At first between ${difference(lowPpmPerMinute)} and ${difference(highPpmPerMinute)} per minute, the whole range of the file.`
				: `About ${difference(risePpmPerMinute)} per minute at first.`,
		],
		troubles: troubles({
			"slope falls along the curve": "leakage: give it (P4), and the fit allows for it",
			"a spike": "someone breathed in: cut it out",
			"far less than expected":
				"the crop is not yet in its flush, it is cold, or the sensor hangs in a stagnant zone",
			"flat at a round number": "the sensor is at its limit: stop earlier",
		}),
		cautions: [
			`Do not leave a crop closed for longer; stop at ${ppm(stopPpm)}. Switch the timer on again and see it run.`,
			GAS,
			SPORES,
		],
		command: `lullgust fit rise.csv --test rise --scenario ${file}`,
		enter: "substrate: { rate: … mg/(kg h) }; the command prints the line.",
	};
}

/** P7: the schedule as it will run, with a logger. */
export function acceptanceSheet(sheet: SheetOf<"P7">, context: SheetContext): CommissioningSheet {
	const { say, plan, file, scheduleOption } = context;
	const { air, logged, statistic, ceilingPpm, missedPpm, settlingSeconds } = sheet;
	const dip = sheet.relativeHumidityAfterBurst;
	const ppm = (value: number): string => say(value, "concentration");
	const missed =
		missedPpm === null ? "" : ` By the model it is ${ppm(missedPpm)}. Choose another setting first.`;
	const settling =
		settlingSeconds !== null && settlingSeconds > HOUR
			? `, the first ${about(settlingSeconds)} of them to settle`
			: "";
	return {
		id: "P7",
		title: "Acceptance run",
		reason: "This run tests the whole model: the timer setting, the real crop, a logger at crop height.",
		duration: `24 to 48 h${settling}`,
		tools: [
			loggerWords(context),
			"a second sensor at the intake if there is one",
			"hygrometer at crop height",
		],
		steps: [
			`Set the timer to ${runWords(context)}. Write the digits down.`,
			"Hang the sensor at crop height, out of the inlet's jet, of mist and of breath.",
			`Start the log before the timer. Log every ${say(plan.sensor.maxSampleIntervalSeconds, "duration")}. For a slower logger, choose a sampling interval of which the cycle is no whole multiple, or each reading falls on the same moment of it.`,
			"Keep working as usual, but note each opening of the door. Mist after a burst, not during it.",
			"Look after the first hour, and again after a day: the sawtooth must be there, and the humidity must not sink.",
			"Save the log as week.csv.",
		],
		expected: [
			...expectedValue("peak, in the air", air?.peakPpm ?? null, "concentration"),
			...expectedValue("peak, as logged", logged?.peakPpm ?? null, "concentration"),
			...expectedValue("mean", air?.meanPpm ?? null, "concentration"),
			...expectedValue("trough, in the air", air?.troughPpm ?? null, "concentration"),
			...expectedValue("trough, as logged", logged?.troughPpm ?? null, "concentration"),
			...(air === null ? [] : expectedValue(`ceiling, on the ${statistic}`, ceilingPpm, "concentration")),
			...(air === null
				? []
				: expectedValue("humidity after a burst, before anything evaporates", dip, "fraction")),
		],
		record: {
			columns: ["", "in the air, expected", "as logged, expected", "logged"],
			rows: [
				...(["peak", "mean", "trough"] as const).map((key) => {
					const field = `${key}Ppm` as const;
					return [key, air === null ? "" : ppm(air[field]), logged === null ? "" : ppm(logged[field]), ""];
				}),
				["lowest humidity", dip === null ? "" : say(dip, "fraction"), "", ""],
				["door opened at", "", "", ""],
			],
		},
		acceptance: [
			`The ${statistic}, corrected for the sensor's response time, is at most ${ppm(ceilingPpm)}.${missed}`,
			`The mean is within ± (${Math.round(sheet.accuracyPpm)} ppm + ${Number((100 * sheet.accuracyShare).toPrecision(3))} %) of the model.`,
			"The crop tolerates the lowest humidity.",
		],
		troubles: troubles({
			"logged peak below the model's": "response time of the sensor: compare the log with “as logged”",
			"curve is flat or changes slowly":
				"the cycle is a whole number of sampling intervals, or shorter than one: take a shorter interval",
			"all of it too high or too low": "offset (P3), or another intake than in the file",
			"climbs from day to day": "the flush grows: repeat the rise test (P6), choose a schedule by stage",
			"an hour is missing or there twice": "summer time: keep the logger on UTC",
		}),
		cautions: [
			"Bursts carry moisture out: watch the crop, not only the curve. Damp air that leaks into walls grows mould; lead it outdoors.",
			SPORES,
			GAS,
		],
		command: `lullgust verify week.csv --scenario ${file}${scheduleOption}`,
		enter: null,
	};
}
