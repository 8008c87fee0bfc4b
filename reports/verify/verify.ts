import type { Verification } from "../../lib/fit/verification.ts";
import type { Piece } from "../../lib/logs/pieces/piece.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { CARD_STYLE, type CardOptions } from "../choose/card.ts";
import { failureWords } from "../fit/fitpieces.ts";
import { fanWords, fitWarningWords } from "../fit/fitremarks.ts";
import { ppmWords } from "../fit/fitvalues.ts";
import { closeUpFigure, overlayFigure, residualFigure } from "../fit/logfigures.ts";
import { readSection } from "../fit/logsection.ts";
import { piecesPage } from "../fit/piecespage.ts";
import { temperatureWords } from "../fit/temperaturewords.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox, section } from "../page/page.ts";
import { type ReportOptions, scenarioPage, verdictBlock } from "../page/sections.ts";
import { below, htmlTable, yesNoCell } from "../page/table.ts";
import { formatPpm } from "../words/format.ts";
import { seriesWarningWords } from "../words/logremarks.ts";
import { retuneCard } from "./retunecard.ts";
import { verifiedPiecesWords, verifyPieceTable } from "./verifypieces.ts";
import {
	checkWords,
	dayNightWords,
	generationWords,
	noRetuneWords,
	peakWords,
	smallWords,
	verificationVerdict,
} from "./verifywords.ts";

export { logSvg } from "../fit/logfigures.ts";

/** Assumptions of every verification. */
const PREMISES = [
	"The prediction uses the scenario as it is. Only the initial conditions and, unless given, the start of the cycle and the timer's rate error are fitted to the log.",
	"The prediction includes the sensor's lag and offset from the scenario. Differences are judged by the stated sensor accuracy.",
	"The estimated CO₂ in the chamber, between the readings too, comes from the same model with CO₂ output and delivered flow fitted to this log.",
	"The air is well mixed at every moment, in the whole chamber or in each of its two zones, and enters with the CO₂ concentration that the scenario gives for the intake.",
];

const checksTable = (verification: Verification): Html =>
	scrollBox(
		"Checks",
		html`${htmlTable(
			"judged",
			["check", "passed", "found", "allowed"],
			verification.checks.map((check) => [
				below(check.name, checkWords(check, verification)),
				yesNoCell(check.isWithin),
				smallWords(check.value),
				`${["peak", "agreement", "pattern"].includes(check.name) ? "at most " : "within ±"}${ppmWords(check.allowed)}`,
			]),
			[2, 3],
		)}
<p class="key">The sensor's accuracy at the mean reading is ${ppmWords(verification.accuracyPpm)}; a log cannot resolve less than that.</p>`,
	);

const peakSection = (verification: Verification): Html => {
	const { predictedPpm, scenario } = verification;
	const rows: readonly (readonly [what: string, ppm: number | null])[] = [
		["highest reading", verification.loggedPeakPpm],
		["predicted highest reading", verification.predictedReadingPeakPpm],
		["estimated highest CO₂ in the chamber", verification.estimatedPeakPpm],
		["mean reading", verification.loggedMeanPpm],
		["predicted mean reading", verification.predictedMeanPpm],
		...(predictedPpm === null
			? []
			: [[`predicted ${scenario.target.on} of the settled pattern`, predictedPpm] as const]),
	];
	return section(
		"peak",
		"Logged and estimated peak",
		html`<p>${peakWords(verification)} A sensor that needs a minute to respond shows a burst only after its end. So the log is compared with the prediction as the sensor would show it, and the ceiling with the CO₂ around the crop.</p>`,
		scrollBox(
			"Peaks",
			htmlTable(
				"small",
				[],
				rows.map(([what, ppm]) => [what, ppm === null ? "–" : formatPpm(ppm)]),
				[1],
			),
		),
	);
};

async function residualSection(verification: Verification, { units }: CardOptions): Promise<Html> {
	const { accuracyPpm } = verification;
	const dayNight = dayNightWords(verification);
	const temperature = temperatureWords(verification, units);
	return section(
		"residuals",
		"Residuals, by day and by night",
		dayNight !== null && html`<p>${dayNight}</p>`,
		temperature !== null && html`<p>${temperature}</p>`,
		await residualFigure(verification, { ppm: accuracyPpm, text: "sensor accuracy at the mean reading" }),
	);
}

function todaySection(verification: Verification, options: CardOptions): Html {
	const { generation, noRetune, scenario } = verification;
	const card = retuneCard(verification, options);
	const crop =
		generation === null
			? html`<p>This log does not determine the current CO₂ output.</p>`
			: html`<p>${generationWords(verification).join(" ")} It was fitted to this log, with all other values from the scenario.</p>`;
	return section(
		"today",
		"Current CO₂ output, and the setting for it",
		crop,
		card ??
			(noRetune === null
				? html`<p>The present setting is still right.</p>`
				: html`<p><strong>No setting for today:</strong> ${noRetuneWords(noRetune, options.units)}</p>`),
		html`<p class="note">For the chance of meeting the target, the map of all settings and a card to print: write the values back with lullgust fit --update ${scenario.fileName}, then run lullgust choose ${scenario.fileName}.</p>`,
	);
}

/** The report of several verifications as one HTML file. */
export const verifyPiecesReport = (
	scenario: Scenario,
	pieces: readonly Piece<Verification>[],
	options: ReportOptions,
): string =>
	piecesPage(
		scenario,
		{
			kind: "Verification of several parts",
			verdict: verifiedPiecesWords(pieces),
			table: verifyPieceTable(pieces),
			key: null,
			figures: [],
			failures: failureWords(pieces),
			premises: PREMISES,
		},
		options,
	);

/** The report of a verification as one HTML file. */
export async function verifyReport(
	verification: Verification,
	options: CardOptions & ReportOptions,
): Promise<string> {
	const { scenario, series, fanFrom, scheduleName, warnings } = verification;
	const close = await closeUpFigure(verification, "predicted");
	const { on, ceiling } = scenario.target;
	return scenarioPage(scenario, options, {
		kind: "Verification with a log",
		lead: `${scheduleName === "" ? "" : `“${scheduleName}”: `}${series.log.fileName}. Fan: ${fanWords(fanFrom)}.`,
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
				close && html`<h3>A few cycles</h3>`,
				close,
			),
			peakSection(verification),
			await residualSection(verification, options),
			todaySection(verification, options),
			readSection(series),
		],
		warnings: [...series.warnings.map(seriesWarningWords), ...warnings.map(fitWarningWords)],
		premises: PREMISES,
		style: CARD_STYLE,
	});
}
