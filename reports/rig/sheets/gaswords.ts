import type { SheetOf } from "../../../lib/rig/commissioning/commissioning.ts";
import {
	about,
	BREATH,
	blankRows,
	type CommissioningSheet,
	expectedValue,
	GAS,
	loggerWords,
	responseWords,
	type SheetContext,
	troubles,
} from "./sheet.ts";

/** How the air is brought to its level. */
export function doseWords({ plan: { dosing }, say }: SheetContext): string {
	const level = say(dosing.targetPpm, "concentration");
	if (dosing.dose === null)
		return `Nobody doses a chamber of this size by hand. Stay in it with the door shut and the reading in sight until it shows ${level}; then leave and shut it.`;
	const { breaths, bakingSodaKg } = dosing.dose;
	const grams = Number((1000 * bakingSodaKg).toPrecision(2));
	return `Bring it to about ${level}: some ${Math.max(1, Math.round(breaths))} breaths through a hose, or ${grams} g of baking soda in an open cup with more vinegar than it needs. Stir the air with a small fan inside, guarded.`;
}

/** What doses the chamber by hand. */
export const dosingTools = ({ plan: { dosing } }: SheetContext): string[] =>
	dosing.dose === null ? [] : ["hose, or cup, soda and vinegar"];

/** The chamber while it is tested without a crop. */
export const EMPTY =
	"Take crop and substrate out: nothing in the chamber may give off CO₂. The fit counts the air of the whole chamber.";

/** P3: the sensor's offset, outdoors. */
export function zeroSheet(sheet: SheetOf<"P3">, context: SheetContext): CommissioningSheet {
	const { say } = context;
	const outdoors = String(Math.round(sheet.outdoorPpm));
	return {
		id: "P3",
		title: "Outdoor zero of the sensor",
		reason:
			"All later tests use the CO₂ above the intake air. A sensor that is 50 ppm off makes all of them wrong.",
		duration: "20 to 30 min",
		tools: [loggerWords(context), "a dry, shaded place outdoors or an open window"],
		steps: [
			"Switch the automatic baseline of the sensor off; in a chamber it never sees outdoor air.",
			"Put it outdoors, dry, in the shade, away from roads, chimneys and people, or out of an open window with the wind on it.",
			`Wait ${about(sheet.settleSeconds)} (its response time is ${responseWords(context)}). Stand back: no breath.`,
			`Take the mean of the last 5 min. Outdoor air has about ${outdoors} ppm (global mean ${sheet.year}), more near a town or on a still night.`,
			"Then put it for ten minutes where the fan draws its air, and note that reading too. Minus the offset, it is intake.co2.",
		],
		expected: [
			...expectedValue(`outdoor air, global mean ${sheet.year}`, sheet.outdoorPpm, "concentration"),
			...expectedValue("intake air, as in the file", sheet.intakePpm, "concentration"),
		],
		record: {
			columns: ["place", "expected, ppm", "mean of 5 min, ppm", "temperature", "time"],
			rows: [
				["outdoors", "420 to 450", "", "", ""],
				["at the intake", String(Math.round(sheet.intakePpm)), "", "", ""],
				[`offset = outdoors − ${outdoors}`, "within ± 50", "", "", ""],
			],
		},
		acceptance: [
			"Between 420 and 450 ppm, ± 50 ppm.",
			"If not: calibrate it outdoors as its maker says, or write the offset into the file.",
		],
		troubles: troubles({
			"steps down each week or night; lowest value fixed at 400":
				"automatic baseline: switch it off and calibrate again",
			"low in the mountains": "many sensors count molecules: set altitude or pressure",
			"drifts in the sun": "warm housing: shade it and wait",
			"humidity reads high for days": "a sensor long in damp air recovers slowly",
		}),
		cautions: ["Keep rain off the sensor and its supply.", BREATH],
		command: null,
		enter: `sensor: { offset: … ppm }, and intake: { co2: … ppm }; the file has ${say(sheet.intakePpm, "concentration")}.`,
	};
}

/** P4: leakage, from the decay of CO₂ with the fan off. */
export function leakSheet(sheet: SheetOf<"P4">, context: SheetContext): CommissioningSheet {
	const { say, file, plan } = context;
	const percent = 100 * sheet.decayShare;
	const byFile = sheet.isTight
		? ". By the file that takes more than 3 h: stop then, and the leakage is as small as the log can determine"
		: `, about ${about(sheet.decaySeconds!)} by the file`;
	return {
		id: "P4",
		title: "Leak test (CO₂ decay)",
		reason:
			"Leakage airs the chamber all the time, also when the timer fails. It decides how high the CO₂ climbs in long pauses.",
		duration: sheet.isTight
			? "3 h"
			: `${about(sheet.logSeconds)}, until the excess has fallen by ${percent} %`,
		tools: [loggerWords(context), ...dosingTools(context), "small guarded stirring fan"],
		steps: [
			EMPTY,
			"Unplug the rig's fan; leave flaps and vents as in use. Hang the sensor at crop height, away from the inlet.",
			doseWords(context),
			`Shut the door, stir for two minutes, wait ${about(plan.sensor.waitSeconds)} (5 × the response time of the sensor, ${responseWords(context)}).`,
			`Log without opening until the excess over the intake has fallen by ${percent} %: from ${say(sheet.startPpm, "concentration")} to ${say(sheet.endPpm, "concentration")}${byFile}.`,
			"Save the log as decay.csv.",
		],
		expected: [
			...expectedValue("start of the log", sheet.startPpm, "concentration"),
			...expectedValue("end of the log", sheet.endPpm, "concentration"),
			...expectedValue("leakage", sheet.leakageAirChangesPerS, "air changes"),
			...expectedValue(`time until the excess fell by ${percent} %`, sheet.decaySeconds, "duration"),
		],
		record: {
			columns: ["", "time", "reading, ppm", "intake, ppm"],
			rows: blankRows(["start", "after a third", "after two thirds", "end"], 4),
		},
		acceptance: [
			`The excess has fallen by ${percent} % or more, or 3 h are over.`,
			"The model fits the log: R² above 0.98, residuals without a bend.",
		],
		troubles: troubles({
			"falls in steps": "door, draught, or the fan ran: repeat the test",
			"fast first, then slow": "not stirred: a part of the air was not mixed yet",
			rises: "something in the chamber gives off CO₂, or the intake has more than in the file",
			"falls far faster than expected": "a flap that stands open, or the stack effect through two openings",
		}),
		cautions: [
			GAS,
			...(plan.dosing.dose === null
				? []
				: ["Soda in vinegar makes gas: open cup only, never a closed vessel; goggles on."]),
			BREATH,
		],
		command: `lullgust fit decay.csv --test decay --scenario ${file}`,
		enter: "chamber: { leak: … /h }; the command prints the line.",
	};
}
