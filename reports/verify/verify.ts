import type { Verification } from "../../lib/fit/fittypes.ts";
import { listInputs } from "../../lib/scenario/inputs.ts";
import { CARD_STYLE, type CardOptions } from "../choose/card.ts";
import { ppmWords } from "../fit/fitvalues.ts";
import { closeUpFigure, overlayFigure, residualFigure } from "../fit/logfigures.ts";
import { readSection } from "../fit/logsection.ts";
import { temperatureWords } from "../fit/temperaturewords.ts";
import { type Html, html } from "../page/html.ts";
import { page, scrollBox, section } from "../page/page.ts";
import {
	assumptionsSection,
	cautionsSection,
	footerLine,
	inputsSection,
	scenarioSection,
	verdictBlock,
} from "../page/sections.ts";
import { seriesWarningWords } from "../words/logremarks.ts";
import { formatPpm } from "../words/verdict.ts";
import { retuneCard } from "./retunecard.ts";
import {
	checkWords,
	dayNightWords,
	generationWords,
	noRetuneWords,
	peakWords,
	verificationVerdict,
} from "./verifywords.ts";

export { logSvg } from "../fit/logfigures.ts";

/** What every verification rests on. */
const PREMISES = [
	"The prediction is that of the scenario as it stands; only the start of the log and, unless they were told, the phase and the drift of the timer are fitted to it.",
	"The prediction is seen through the sensor's lag and offset as the scenario has them, and held against the accuracy that the sensor's maker states.",
	"What the chamber truly went through, between the samples too, comes from the same model with CO2 given off and delivered flow fitted to this log.",
	"The air is well mixed at every moment, in the whole chamber or in each of its two zones, and enters with the CO2 of the intake that the scenario has.",
];

const checksTable = (verification: Verification): Html =>
	scrollBox(
		"Checks",
		html`<table class="judged">
<thead><tr><th scope="col">what was held against what</th><th scope="col">within</th><th scope="col" class="number">found</th><th scope="col" class="number">allowed</th></tr></thead>
<tbody>${verification.checks.map(
			(check) =>
				html`<tr><th scope="row">${check.name}<span class="words">${checkWords(check, verification)}</span></th><td class="${check.isWithin ? "yes" : "no"}">${check.isWithin ? "✓ yes" : "✗ no"}</td><td class="number">${ppmWords(check.value)}</td><td class="number">${check.name === "peak" || check.name === "agreement" ? "" : "± "}${ppmWords(check.allowed)}</td></tr>\n`,
		)}</tbody>
</table>
<p class="key">The sensor's accuracy at the mean reading is ${ppmWords(verification.accuracyPpm)}; no log can prove more than its sensor can show.</p>`,
	);

const ppmTable = (label: string, rows: readonly (readonly [what: string, ppm: number])[]): Html =>
	scrollBox(
		label,
		html`<table class="small">
<tbody>${rows.map(([what, value]) => html`<tr><th scope="row">${what}</th><td class="number">${formatPpm(value)}</td></tr>\n`)}</tbody>
</table>`,
	);

const peakSection = (verification: Verification): Html => {
	const {
		loggedPeakPpm,
		predictedReadingPeakPpm,
		estimatedPeakPpm,
		loggedMeanPpm,
		predictedMeanPpm,
		predictedPpm,
	} = verification;
	const { on } = verification.scenario.target;
	return section(
		"peak",
		"The peak as logged, and as it was",
		html`<p>${peakWords(verification)} A sensor that takes a minute to follow sees a burst coming only when it is over; so a log is held against the prediction as the sensor would show it, and the ceiling against the CO2 that the crop met.</p>`,
		ppmTable("Peaks", [
			["highest reading", loggedPeakPpm],
			["highest reading predicted", predictedReadingPeakPpm],
			["highest CO2 in the chamber", estimatedPeakPpm],
			["mean reading", loggedMeanPpm],
			["mean reading predicted", predictedMeanPpm],
			...(predictedPpm === null ? [] : [[`${on} that the scenario promises`, predictedPpm] as const]),
		]),
	);
};

async function leftOverSection(verification: Verification, { units }: CardOptions): Promise<Html> {
	const { accuracyPpm } = verification;
	const dayNight = dayNightWords(verification);
	const temperature = temperatureWords(verification, units);
	return section(
		"left",
		"What is left over, by day and by night",
		...(dayNight === null ? [] : [html`<p>${dayNight}</p>`]),
		...(temperature === null ? [] : [html`<p>${temperature}</p>`]),
		await residualFigure(verification, {
			ppm: accuracyPpm,
			text: "accuracy of the sensor at the mean reading",
		}),
	);
}

function todaySection(verification: Verification, options: CardOptions): Html {
	const { generation, noRetune, scenario } = verification;
	const card = retuneCard(verification, options);
	const crop =
		generation === null
			? html`<p>This log does not tell what the crop gives off now.</p>`
			: html`<p>${generationWords(verification).join(" ")} This was refitted from the log with all else as in the scenario.</p>`;
	return section(
		"today",
		"What the crop gives off now, and the setting for it",
		crop,
		card ??
			(noRetune === null
				? html`<p>The setting that ran still serves.</p>`
				: html`<p><strong>No setting for today:</strong> ${noRetuneWords(noRetune, options.units)}</p>`),
		html`<p class="note">For the odds, the map of all settings and a card to print, write the values back with lullgust fit --update ${scenario.fileName}, then lullgust choose ${scenario.fileName}.</p>`,
	);
}

/** The report of a verification as one HTML file. */
export async function verifyReport(verification: Verification, options: CardOptions): Promise<string> {
	const { scenario, series, fanFrom, scheduleName, warnings } = verification;
	const close = await closeUpFigure(verification, "predicted");
	const { on, ceiling } = scenario.target;
	return page({
		title: scenario.name,
		kind: "Verification by a log",
		lead: `${scheduleName === "" ? "" : `“${scheduleName}”: `}${series.log.fileName}. Fan: ${fanFrom}.`,
		body: [
			section(
				"verdict",
				"Verdict",
				verdictBlock(verificationVerdict(verification)),
				checksTable(verification),
			),
			section(
				"log",
				"The log and the prediction",
				await overlayFigure(verification, {
					word: "predicted",
					chamber: true,
					rules: [{ name: `ceiling on the ${on}`, ppm: ceiling.value }],
				}),
				...(close === null ? [] : [html`<h3>A few cycles</h3>`, close]),
			),
			peakSection(verification),
			await leftOverSection(verification, options),
			todaySection(verification, options),
			readSection(series),
			inputsSection(listInputs(scenario), options.units),
			assumptionsSection([...series.warnings.map(seriesWarningWords), ...warnings], PREMISES),
			cautionsSection(),
			scenarioSection(scenario),
		],
		footer: footerLine(options),
		style: CARD_STYLE,
	});
}
