import type { Verification } from "../../lib/fit/verification.ts";
import type { Piece } from "../../lib/logs/pieces/piece.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { type Dumbbell, dumbbells } from "../charts/section/dumbbells.ts";
import { glyph } from "../charts/section/states.ts";
import { CARD_STYLE, type CardOptions } from "../choose/card.ts";
import { foldedFigure } from "../fit/drawings/folded.ts";
import { closeUpFigure, overlayFigure, residualFigure } from "../fit/drawings/logfigures.ts";
import { fanWords, fitWarningWords } from "../fit/fitremarks.ts";
import { ppmWords } from "../fit/fitvalues.ts";
import { readDetails } from "../fit/logsection.ts";
import { failureWords } from "../fit/pieces/fitpieces.ts";
import { piecesPage } from "../fit/pieces/piecespage.ts";
import { temperatureWords } from "../fit/temperaturewords.ts";
import type { Head } from "../page/head.ts";
import { type Html, html } from "../page/html.ts";
import { scenarioReport } from "../page/report.ts";
import type { Details, Section } from "../page/section.ts";
import { keepTogether, nameOf, type ReportOptions } from "../page/sections.ts";
import { below, stackTable } from "../page/table.ts";
import { formatPpm } from "../words/format.ts";
import { humidityFitWords } from "../words/humidity.ts";
import { seriesWarningWords } from "../words/logremarks.ts";
import { retuneCard } from "./retunecard.ts";
import { verifiedPiecesWords, verifyPieceTable } from "./verifypieces.ts";
import {
	checkWords,
	dayNightWords,
	factorWords,
	generationWords,
	noRetuneWords,
	smallWords,
	verificationVerdict,
} from "./verifywords.ts";

export { logSvg } from "../fit/drawings/logfigures.ts";

/** Assumptions of every verification. */
const PREMISES = [
	"The prediction uses the scenario as it is. Only the initial conditions and, unless given, the start of the cycle and the timer's rate error are fitted to the log.",
	"The prediction includes the sensor's lag and offset from the scenario. Differences are judged by the stated sensor accuracy.",
	"The estimated CO₂ in the chamber, between the readings too, comes from the same model with CO₂ output and delivered flow fitted to this log.",
	"The air is well mixed at every moment, in the whole chamber or in each of its two zones, and enters with the CO₂ concentration that the scenario gives for the intake.",
];

const checksTable = (verification: Verification): readonly Html[] => [
	stackTable(
		["check", "passed", "found", "allowed"],
		verification.checks.map((check) => [
			below(check.name, checkWords(check, verification)),
			glyph(check.isWithin ? "holds" : "fails", check.isWithin ? "yes" : "no"),
			smallWords(check.value),
			`${["peak", "agreement", "pattern"].includes(check.name) ? "at most " : "within ±"}${ppmWords(check.allowed)}`,
		]),
	),
	html`<p class="say">The sensor's accuracy at the mean reading is ${ppmWords(verification.accuracyPpm)}; a log cannot resolve less than that.</p>`,
];

function peakDetails(verification: Verification): Details {
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
	return {
		summary: "Logged and estimated peak",
		count: "with the predicted values",
		body: [
			html`<p>A sensor that needs a minute to respond shows a burst only after its end. So the log is compared with the prediction as the sensor would show it, and the ceiling with the CO₂ around the crop.</p>`,
			stackTable(
				["value", "CO₂"],
				rows.map(([what, ppm]) => [what, ppm === null ? "–" : formatPpm(ppm)]),
			),
		],
	};
}

async function residualSection(verification: Verification, { units }: CardOptions): Promise<Section> {
	const { accuracyPpm } = verification;
	const temperature = temperatureWords(verification, units);
	return {
		id: "residuals",
		heading: "Residuals, by day and by night",
		words: "Residuals",
		sentence: dayNightWords(verification),
		body: [
			temperature !== null && html`<p>${temperature}</p>`,
			verification.humidity !== undefined && html`<p>${humidityFitWords(verification.humidity, units)}</p>`,
			await residualFigure(verification, { ppm: accuracyPpm, text: "sensor accuracy at the mean reading" }),
		],
	};
}

/** CO2 output and flow now, as factors of what the scenario gives. */
function factorsOf({ generation, flow }: Verification): readonly Dumbbell[] {
	const of = (name: string, found: Verification["flow"]): readonly Dumbbell[] =>
		found === null
			? []
			: [
					{
						name,
						factor: found.factor,
						low: found.standardError === null ? null : found.factor - 1.96 * found.standardError,
						high: found.standardError === null ? null : found.factor + 1.96 * found.standardError,
						foundWords: `× ${factorWords(found)}`,
						expectedWords: "now; scenario: × 1",
					},
				];
	return [...of("CO₂ output", generation), ...of("delivered flow", flow)];
}

function nowSection(verification: Verification): Section {
	const factors = factorsOf(verification);
	return {
		id: "now",
		heading: "Now, and the scenario",
		words: "Now",
		sentence: "Dot: fitted to this log, with its 95 % interval. Ring: what the scenario gives.",
		body: [
			factors.length > 0 && dumbbells("now", factors, "scenario"),
			verification.generation === null
				? html`<p>This log does not determine the current CO₂ output.</p>`
				: html`<p>${generationWords(verification).join(" ")} It was fitted to this log, with all other values from the scenario.</p>`,
		],
	};
}

function todaySection(verification: Verification, options: CardOptions): Section {
	const { noRetune, scenario } = verification;
	const card = retuneCard(verification, options);
	return {
		id: "today",
		heading: "The setting for today",
		words: "Setting",
		body: [
			card ??
				(noRetune === null
					? html`<p>The present setting is still right.</p>`
					: html`<p><strong>No setting for today:</strong> ${noRetuneWords(noRetune, options.units)}</p>`),
			html`<p class="say">For the chance of meeting the target, the map of all settings and a card to print: write the values back with lullgust fit --update ${scenario.fileName}, then run lullgust choose ${scenario.fileName}.</p>`,
		],
	};
}

/** The answer in at most six words. */
function answerOf({ checks, isWithin }: Verification): string {
	if (isWithin) return "It works as predicted.";
	const isOff = (name: string): boolean => checks.some((check) => check.name === name && !check.isWithin);
	if (isOff("peak")) return "The peak exceeds the ceiling.";
	if (isOff("pattern")) return "The model does not follow.";
	if (isOff("mean")) return "The mean differs from the prediction.";
	return isOff("trend") ? "The readings leave the prediction." : "The log differs from the prediction.";
}

/** How many parts are within. */
function piecesHead(pieces: readonly Piece<Verification>[]): Omit<Head, "what"> {
	const within = pieces.filter(({ result }) => result?.isWithin === true).length;
	const peaks = pieces.flatMap(({ result }) =>
		result?.estimatedPeakPpm == null ? [] : [result.estimatedPeakPpm],
	);
	return {
		state: within === pieces.length ? "holds" : within > 0 ? "doubt" : "fails",
		word: within === pieces.length ? "WITHIN" : within > 0 ? "IN PART" : "OUTSIDE",
		answer: `${within} of ${pieces.length} parts within.`,
		figures:
			peaks.length === 0
				? []
				: [
						{
							value: String(Math.round(Math.max(...peaks))),
							unit: "ppm",
							name: "highest peak",
							note: "estimated in the chamber",
						},
					],
	};
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
			kind: "verify",
			head: piecesHead(pieces),
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
	const overlay = await overlayFigure(verification, {
		word: "predicted",
		chamber: true,
		rules: [{ name: `ceiling on the ${on}`, ppm: ceiling.value }],
	});
	const folded = foldedFigure({
		id: "folded",
		word: "predicted",
		held: verification,
		ceilingPpm: ceiling.value,
		intakePpm: scenario.intake.co2.value,
		responseSeconds: scenario.sensor?.response.value ?? 0,
		offsetPpm: scenario.sensor?.offset?.value ?? 0,
	});
	const { grounds, more } = verificationVerdict(verification);
	return scenarioReport(scenario, listInputs(scenario), options, {
		kind: "verify",
		head: {
			state: verification.isWithin ? "holds" : "fails",
			word: verification.isWithin ? "WITHIN" : "OUTSIDE",
			what: [
				scenario.name,
				`${scheduleName === "" ? "" : `“${scheduleName}”: `}${nameOf(series.log.fileName)}`,
			],
			answer: answerOf(verification),
			figures: [
				verification.estimatedPeakPpm === null
					? {
							value: String(Math.round(verification.loggedPeakPpm)),
							unit: "ppm",
							name: "highest reading",
							note: `ceiling ${formatPpm(ceiling.value)}`,
						}
					: {
							value: String(Math.round(verification.estimatedPeakPpm)),
							unit: "ppm",
							name: "estimated peak",
							note: `in the chamber; ceiling ${formatPpm(ceiling.value)}`,
						},
				{
					value: smallWords(verification.rmsPpm).replace(" ppm", ""),
					unit: "ppm",
					name: "RMS difference",
					note: `sensor accuracy ${ppmWords(verification.accuracyPpm)}`,
				},
			],
		},
		hero: folded ?? overlay,
		lead: [grounds, more.join(" "), `Fan: ${fanWords(fanFrom)}.`].map(keepTogether),
		sections: [
			{
				id: "checks",
				heading: "Checks",
				sentence: "What was found beside what is allowed.",
				body: checksTable(verification),
			},
			nowSection(verification),
			todaySection(verification, options),
			await residualSection(verification, options),
		],
		details: [
			folded !== null && {
				summary: "The log over time",
				count: "every reading, with the prediction",
				body: overlay,
			},
			close !== null && { summary: "A few cycles", count: "sample by sample", body: close },
			peakDetails(verification),
			readDetails(series),
		],
		warnings: [...series.warnings.map(seriesWarningWords), ...warnings.map(fitWarningWords)],
		premises: PREMISES,
		style: CARD_STYLE,
	});
}
