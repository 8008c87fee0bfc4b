import type { Verification } from "../../lib/fit/verification.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { ppmWords } from "../../reports/fit/fitvalues.ts";
import { temperatureWords } from "../../reports/fit/temperaturewords.ts";
import {
	checkWords,
	dayNightWords,
	noRetuneWords,
	retuneChance,
	smallWords,
	verificationVerdict,
} from "../../reports/verify/verifywords.ts";
import { formatPpm } from "../../reports/words/format.ts";
import { humidityFitWords } from "../../reports/words/humidity.ts";
import { leftOutText } from "./fitprint.ts";
import { table, wrap } from "./print.ts";

/** The verdict in a paragraph. */
export function verificationHeadline(verification: Verification): string {
	const { answer, grounds, more } = verificationVerdict(verification);
	return [`${answer}.`, grounds, ...more].join(" ");
}

/** All that follows the verdict. */
export function verificationText(verification: Verification, units: UnitSystem, columns: number): string {
	const { checks, retune, noRetune, loggedPeakPpm, predictedReadingPeakPpm, estimatedPeakPpm } = verification;
	const dayNight = dayNightWords(verification);
	const left = leftOutText(verification.series, columns);
	const temperature = temperatureWords(verification, units);
	return [
		`\n${table(
			["check", "passed", "found", "allowed", ""],
			checks.map((check) => [
				check.name,
				check.isWithin ? "✓ yes" : "✗ no",
				smallWords(check.value),
				ppmWords(check.allowed),
				checkWords(check, verification),
			]),
			[2, 3],
			columns,
		)}`,
		`\n${table(
			["peak", "ppm"],
			[
				["highest reading", String(Math.round(loggedPeakPpm))],
				["predicted highest reading", String(Math.round(predictedReadingPeakPpm))],
				[
					"estimated highest CO₂ in the chamber",
					estimatedPeakPpm === null ? "–" : String(Math.round(estimatedPeakPpm)),
				],
			],
			[1],
		)}`,
		...(dayNight === null ? [] : [`\n${wrap(dayNight, columns)}`]),
		...(temperature === null ? [] : [`\n${wrap(temperature, columns)}`]),
		...(verification.humidity === undefined
			? []
			: [`\n${wrap(humidityFitWords(verification.humidity, units), columns)}`]),
		...(retune === null
			? []
			: [
					`\n${wrap(`Setting for today: ${retune.inWords}. Predicted ${verification.scenario.target.on} with the crop as it is now: ${formatPpm(retune.criterionPpm)}. ${retuneChance(retune) ?? ""}`.trim(), columns)}`,
				]),
		...(noRetune === null
			? []
			: [`\n${wrap(`No setting for today: ${noRetuneWords(noRetune, "si")}`, columns)}`]),
		...(left === "" ? [] : [`\n${left}`]),
	].join("");
}
