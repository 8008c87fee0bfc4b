import { moistureLoss } from "../../compare/moistureloss.ts";
import { computeGeneration } from "../../model/crop/respiration.ts";
import { continuousState } from "../../solve/continuous.ts";
import { maxOffSeconds } from "../../solve/cycles/maxofftime.ts";
import { simulate } from "../../solve/simulate.ts";
import {
	about,
	type CommissioningSheet,
	expectedValue,
	GAS,
	loggerWords,
	responseWords,
	runWords,
	type SheetFacts,
} from "./sheetfacts.ts";

const MINUTE = 60;
const HOUR = 3600;
/** A rise is stopped at this level, or this much above the intake [ppm], or after this time [s]: judgement. */
const MAX_RISE_PPM = 2000;
const MAX_RISE_EXCESS_PPM = 1500;
const MAX_RISE_SECONDS = HOUR;
const MIN_RISE_SECONDS = 15 * MINUTE;

const SPORES =
	"Spores inflame lungs: filter or duct the air that leaves the chamber, and wear a mask near a ripe crop.";

/** P6: CO2 given off, from the rise in the closed chamber. */
export function riseSheet(facts: SheetFacts): CommissioningSheet {
	const { model, say, file, waitSeconds, scenario, report } = facts;
	const start = continuousState(model, { kind: "continuous" }) ?? model.intakePpm;
	const perMinute = (source: number): number => (1e6 * source * MINUTE) / model.volumeM3;
	const rise = perMinute(model.generationM3PerS);
	const [low, high] = (["low", "high"] as const).map((end) => {
		const substrate = scenario.substrate.map((one) => ({
			...one,
			respirationRate: {
				...one.respirationRate,
				value: one.respirationRate[end] ?? one.respirationRate.value,
			},
		}));
		const source = computeGeneration({ ...scenario, substrate });
		return perMinute(typeof source === "number" ? source : source.m3PerS(0, model.intakePpm));
	});
	const stop = Math.round(Math.max(MAX_RISE_PPM, model.intakePpm + MAX_RISE_EXCESS_PPM) / 100) * 100;
	const reach = maxOffSeconds(model, stop);
	const record = Math.min(MAX_RISE_SECONDS, Math.max(MIN_RISE_SECONDS, reach ?? MAX_RISE_SECONDS));
	const purge = (3 * model.volumeM3) / Math.max((model.mixingEfficiency ?? 1) * model.deliveredM3PerS, 1e-9);
	const readAt = [0.25, 0.5, 0.75, 1].map((part) => part * record);
	const readings = simulate(
		model,
		{ kind: "off" },
		{ startPpm: start, durationSeconds: record, sampleTimes: readAt },
	);
	return {
		id: "P6",
		title: "Rise in the closed chamber",
		reason:
			"How much CO2 the crop gives off is the least certain of all inputs, and it grows through a flush. This is the test to repeat, by day and by night.",
		duration: `${about(MIN_RISE_SECONDS)} to ${about(MAX_RISE_SECONDS)}; about ${about(record)} here`,
		tools: [loggerWords(facts), "thermometer"],
		steps: [
			"Load the chamber as it will be used, at its usual temperature. Note stage and day of the flush.",
			report.fan !== null && !report.fan.operatingPoint.exists
				? "Open the door until the reading is near the intake's, for by its curve this fan moves nothing; then shut it."
				: `Run the fan without a stop until the reading no longer falls: ${about(Math.max(purge, 5 * MINUTE))} or more. It comes down to about ${say(start, "concentration")}.`,
			"Switch the fan off, leave flaps and vents as in use, the door shut. Stay out.",
			`Discard the first ${about(waitSeconds)}, in which the sensor catches up (3 to 5 × its response, ${responseWords(facts)}). By hand: slope in ppm per minute from there on; the command does it with all of the curve.`,
			`Log on until ${say(stop, "concentration")} or ${about(MAX_RISE_SECONDS)}, whichever comes first, but ${about(MIN_RISE_SECONDS)} at least. Then switch the fan on again.`,
			"Save the log as rise.csv. Once more at night, and each week of the flush.",
		],
		expected: [
			expectedValue("start", start, "concentration"),
			expectedValue("rise in a minute", rise, "concentration difference"),
			...(low !== high
				? [
						expectedValue("rise in a minute, low end of the range", low!, "concentration difference"),
						expectedValue("rise in a minute, high end of the range", high!, "concentration difference"),
					]
				: []),
			...(reach === null ? [] : [expectedValue(`time to ${say(stop, "concentration")}`, reach, "duration")]),
		],
		record: {
			columns: ["fan off for", "expected, ppm", "reading, ppm", "temperature"],
			rows: readAt.map((at, k) => [about(at), String(Math.round(readings.co2Ppm[k]!)), "", ""]),
		},
		acceptance: [
			"Residuals below 20 ppm, and day and night both known.",
			low === high
				? `About ${say(rise, "concentration difference")} a minute at first.`
				: `At first between ${say(low!, "concentration difference")} and ${say(high!, "concentration difference")} a minute, which is all that the file's range promises.`,
		],
		troubles: [
			{ sign: "slope falls along the curve", cause: "leak: give it (P4), the fit then allows for it" },
			{ sign: "a spike", cause: "someone breathed in: cut it out" },
			{
				sign: "far less than expected",
				cause: "crop not yet in its flush, cold, or the reading is of a dead corner",
			},
			{ sign: "flat at a round number", cause: "the sensor is at its ceiling: stop earlier" },
		],
		cautions: [
			`Do not leave a crop closed for longer; stop at ${say(stop, "concentration")}. Switch the timer on again and see it run.`,
			GAS,
			SPORES,
		],
		command: `lullgust fit rise.csv --test rise --scenario ${file}`,
		enter: "substrate: { rate: … mg/(kg h) }; the command prints the line.",
	};
}

/** P7: the schedule as it will run, with a logger. */
export function acceptanceSheet(facts: SheetFacts): CommissioningSheet {
	const { scenario, model, comparedSchedule, say, file, scheduleOption, maxSampleIntervalSeconds } = facts;
	const { ceiling, on } = scenario.target;
	const accuracy = scenario.sensor?.accuracy;
	const tolerance = `± (${Math.round(accuracy?.ppm.value ?? 50)} ppm + ${Number((100 * (accuracy?.share.value ?? 0.03)).toPrecision(3))} %)`;
	const summary = comparedSchedule?.summary ?? null;
	const moisture =
		comparedSchedule === null ? null : moistureLoss(scenario, model, comparedSchedule.schedule);
	const dip = moisture?.relativeHumidityAfterBurst ?? null;
	const settle = summary?.settlingSeconds ?? null;
	const ppm = (value: number) => say(value, "concentration");
	const row = (label: string, truth: string, logged: string) => [label, truth, logged, ""];
	return {
		id: "P7",
		title: "Proving run",
		reason: "The proof of all the sums: the programmed schedule, the real crop, a logger at crop height.",
		duration: `24 to 48 h${settle !== null && settle > HOUR ? `, the first ${about(settle)} of them to settle` : ""}`,
		tools: [loggerWords(facts), "a second sensor at the intake if there is one", "hygrometer at crop height"],
		steps: [
			`Program ${runWords(facts)}. Write the digits down.`,
			"Hang the sensor at crop height, out of the inlet's jet, of mist and of breath.",
			`Start the log before the timer. Log every ${say(maxSampleIntervalSeconds, "duration")}; a logger slower than that needs a step of which the cycle is no whole multiple, or each reading falls on the same moment of it.`,
			"Keep working as usual, but note each opening of the door. Mist after a burst, not during it.",
			"Look after the first hour, and again after a day: the sawtooth must be there, and the humidity must hold.",
			"Save the log as week.csv.",
		],
		expected:
			summary === null
				? []
				: [
						expectedValue("peak, as it truly is", summary.peakPpm, "concentration"),
						...(summary.sensor === null
							? []
							: [expectedValue("peak, as logged", summary.sensor.peakPpm, "concentration")]),
						expectedValue("mean", summary.meanPpm, "concentration"),
						expectedValue("trough, as it truly is", summary.troughPpm, "concentration"),
						...(summary.sensor === null
							? []
							: [expectedValue("trough, as logged", summary.sensor.troughPpm, "concentration")]),
						expectedValue(`ceiling, on ${on}`, ceiling.value, "concentration"),
						...(dip === null
							? []
							: [expectedValue("humidity after a burst, before anything evaporates", dip, "fraction")]),
					],
		record: {
			columns: ["", "truly, expected", "as logged, expected", "logged"],
			rows: [
				...(["peak", "mean", "trough"] as const).map((key) => {
					const field = `${key}Ppm` as const;
					return row(
						key,
						summary === null ? "" : ppm(summary[field]),
						summary?.sensor == null ? "" : ppm(summary.sensor[field]),
					);
				}),
				row("lowest humidity", dip === null ? "" : say(dip, "fraction"), ""),
				row("door opened at", "", ""),
			],
		},
		acceptance: [
			`The ${on}, corrected for the sensor's lag, is at most ${ppm(ceiling.value)}.${summary !== null && !summary.criterion.isMet ? ` By the model it is not: ${ppm(summary.criterion.valuePpm)}. Choose another setting first.` : ""}`,
			`The mean is within ${tolerance} of the model.`,
			"The lowest humidity is one that the crop bears.",
		],
		troubles: [
			{ sign: "logged peak below the model's", cause: "lag of the sensor: compare as logged with as logged" },
			{
				sign: "curve is flat or wanders slowly",
				cause: "the step of the log fits the cycle a whole number of times, or is longer: take a shorter one",
			},
			{ sign: "all of it too high or too low", cause: "offset (P3), or another intake than was written" },
			{ sign: "climbs from day to day", cause: "the flush grows: rise test again (P6), schedule by stage" },
			{ sign: "an hour is missing or there twice", cause: "summer time: keep the logger on UTC" },
		],
		cautions: [
			"Bursts carry moisture out: watch the crop, not only the curve. Damp air that leaks into walls grows mould; lead it outdoors.",
			SPORES,
			GAS,
		],
		command: `lullgust verify week.csv --scenario ${file}${scheduleOption}`,
		enter: null,
	};
}
