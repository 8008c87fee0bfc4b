import type {
	Choice,
	ComplianceProbability,
	EvaluatedSetting,
	FeasibleChoice,
	InfeasibleChoice,
} from "../../lib/choose/choosetypes.ts";
import { thin } from "../../lib/compare/curves.ts";
import { DEFAULT_TIMER } from "../../lib/model/schedule/timer.ts";
import { listInputs } from "../../lib/scenario/inputs.ts";
import { withMaximumSource } from "../../lib/solve/cycles/maximumsource.ts";
import { settingMap } from "../../lib/solve/cycles/settingmap.ts";
import { CUBIC_FOOT } from "../../lib/units/factors.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { sensitivitySpec } from "../charts/choose/sensitivity.ts";
import { cellCentres, cellEdges, type SettingsChartData, settingsSpec } from "../charts/choose/settings.ts";
import { type TradeoffChartData, tradeoffSpec } from "../charts/choose/tradeoff.ts";
import { bandSpec } from "../charts/choose/uncertainband.ts";
import { PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import { type Html, html } from "../page/html.ts";
import { page, section } from "../page/page.ts";
import {
	assumptionsSection,
	cautionsSection,
	footerLine,
	inputsSection,
	scenarioSection,
	verdictBlock,
} from "../page/sections.ts";
import { formatPpm } from "../words/verdict.ts";
import { warningMessage } from "../words/warnings.ts";
import { CARD_STYLE, type CardOptions, cardPanel } from "./card.ts";
import { alternativesTable, closestTable, factsTable } from "./choosetables.ts";
import {
	ALTERNATIVES,
	choiceVerdict,
	complianceWords,
	feasibilityLimitRows,
	firstTestWords,
	inputLabel,
	linkedInputsWords,
	moistureWords,
	quietWords,
} from "./choosewords.ts";
import { constraintSummary, remedies } from "./constraintwords.ts";
import { fieldTestWords } from "./fieldtestwords.ts";

export { type CardOptions, cardPage } from "./card.ts";

/** Cells of the map each way. */
const CELLS = 60;
/** Dots of the trade-off; more stand on one another. */
const DOTS = 250;
/** Points of a quantile over two cycles. */
const BAND_POINTS = 400;

interface Named {
	readonly name: string;
	readonly shape: string;
	readonly evaluated: EvaluatedSetting;
}

/** The alternatives and the setting for a certainty; those that are one setting share a name. */
function named(choice: Choice): readonly Named[] {
	if (!choice.isFeasible)
		return choice.closest === null ? [] : [{ name: "closest", shape: "diamond", evaluated: choice.closest }];
	const all: Named[] = ALTERNATIVES.map(({ key, name, shape }) => ({
		name,
		shape,
		evaluated: choice.alternatives[key],
	}));
	if (choice.chanceConstrained?.evaluated != null)
		all.push({
			name: `${choice.chanceConstrained.reliabilityPercent} % chance`,
			shape: "triangle-up",
			evaluated: choice.chanceConstrained.evaluated,
		});
	const merged: Named[] = [];
	for (const one of all) {
		const same = merged.findIndex(
			({ evaluated: { schedule } }) =>
				schedule.onSeconds === one.evaluated.schedule.onSeconds &&
				schedule.offSeconds === one.evaluated.schedule.offSeconds,
		);
		if (same < 0) merged.push(one);
		else merged[same] = { ...merged[same]!, name: `${merged[same]!.name}, ${one.name}` };
	}
	return merged;
}

/** Every setting of the timer within the limits; null when these leave no room for a map. */
function settingsChartData(choice: Choice): SettingsChartData | null {
	const { scenario, model, feasibilityLimits: limits, feasibilityBoundary } = choice;
	const longest = limits.maxCycleSeconds;
	const { ranges } = scenario.timer ?? DEFAULT_TIMER;
	const highest = Math.min(longest, Math.max(...ranges.map((range) => range.highSeconds)));
	const lowest = Math.min(...ranges.map((range) => Math.max(range.lowSeconds, range.stepSeconds)));
	const onFrom = Math.max(limits.minOnSeconds, lowest);
	const offFrom = Math.max(limits.minOffSeconds, lowest);
	if (!(onFrom < highest && offFrom < highest)) return null;
	const onEdges = cellEdges(onFrom, highest, CELLS);
	const offEdges = cellEdges(offFrom, highest, CELLS);
	const { on } = scenario.target;
	const map = settingMap(withMaximumSource(model), {
		onSeconds: cellCentres(onEdges),
		offSeconds: cellCentres(offEdges),
	});
	return {
		onEdges,
		offEdges,
		ppm: on === "mean" ? map.meanPpm : map.peakPpm,
		statistic: on === "mean" ? "mean" : "peak",
		intakePpm: model.intakePpm,
		ceilingPpm: scenario.target.ceiling.value,
		longestCycleSeconds: longest,
		boundary: feasibilityBoundary,
		maxOffSeconds: limits.maxOffSeconds,
		marks: named(choice).map(({ name, shape, evaluated }) => ({
			name,
			shape,
			onSeconds: evaluated.schedule.onSeconds,
			offSeconds: evaluated.schedule.offSeconds,
		})),
	};
}

async function mapSection(choice: Choice): Promise<Html | null> {
	const picture = settingsChartData(choice);
	if (picture === null) return null;
	const { on } = choice.scenario.target;
	const caption = [
		choice.model.source !== undefined && "Colours show the highest respiration of the run.",
		on === "worst hour" && "Colour shows the peak; the line shows where the worst hour reaches the ceiling.",
		`The line is the ceiling: ${
			choice.isFeasible
				? "settings above and left of it stay under it"
				: "no setting of this timer stays under it, unless a line is drawn"
		}.`,
		picture.maxOffSeconds !== null &&
			(picture.maxOffSeconds < picture.offEdges.at(-1)!
				? `Right of the dashed line, at ${formatDuration(Math.floor(picture.maxOffSeconds))}, the off-time is too long for any fan.`
				: `The longest possible off-time, ${formatDuration(Math.floor(picture.maxOffSeconds))}, is beyond what the timer can show.`),
		Number.isFinite(picture.longestCycleSeconds) &&
			"Settings with a cycle longer than the limit are left blank.",
	];
	return section(
		"map",
		"The map of all settings",
		await stillFigure(
			"map",
			(width) => settingsSpec(picture, PAGE, width),
			`${picture.statistic === "peak" ? "Peak" : "Mean"} CO₂ of every pair of on-time and off-time that the timer can show within the limits.`,
			caption.filter((sentence) => sentence !== false).join(" "),
		),
	);
}

/** Water per day as a straight line of fresh air per day through two alternatives; null when they need the same air. */
function waterScale(settings: readonly EvaluatedSetting[], perM3: number): TradeoffChartData["water"] {
	const [low, high] = settings
		.toSorted((a, b) => a.summary.freshAirM3PerDay - b.summary.freshAirM3PerDay)
		.filter((_, place, all) => place === 0 || place === all.length - 1);
	if (low === undefined || high === undefined) return null;
	const air = high.summary.freshAirM3PerDay - low.summary.freshAirM3PerDay;
	const water = high.moisture.moistureLossGPerDay - low.moisture.moistureLossGPerDay;
	if (air < 1e-3 * high.summary.freshAirM3PerDay || water <= 0) return null;
	const slope = water / (air * perM3);
	return { slope, base: low.moisture.moistureLossGPerDay - slope * low.summary.freshAirM3PerDay * perM3 };
}

async function tradeoffSection(choice: FeasibleChoice, { units }: CardOptions): Promise<Html> {
	const perM3 = units === "us" ? 1 / CUBIC_FOOT : 1;
	const { front } = choice;
	const kept =
		front.length <= DOTS
			? front
			: Array.from({ length: DOTS }, (_, i) => front[Math.round((i * (front.length - 1)) / (DOTS - 1))]!);
	const alternatives = named({ ...choice, chanceConstrained: null });
	const picture: TradeoffChartData = {
		points: kept.map((point) => ({
			bursts: point.burstsPerDay,
			air: point.freshAirM3PerDay * perM3,
			ripplePpm: point.ripplePpm,
		})),
		marks: alternatives.map(({ name, shape, evaluated }) => ({
			name,
			shape,
			bursts: evaluated.summary.burstsPerDay,
			air: evaluated.summary.freshAirM3PerDay * perM3,
		})),
		airUnit: units === "us" ? "ft³" : "m³",
		water: waterScale(
			alternatives.map(({ evaluated }) => evaluated),
			perM3,
		),
	};
	const count =
		front.length === 1
			? "One setting forms the trade-off: no other is better in fresh air, switching or ripple without being worse in another."
			: `${front.length.toLocaleString("en-US")} settings form the trade-off: none can improve fresh air, switching or ripple without worsening another.`;
	return section(
		"trade",
		"Trade-off: fresh air, switching, ripple",
		html`<p>${count} All use at most 25 % more air than the best.</p>`,
		await stillFigure(
			"trade",
			(width) => tradeoffSpec(picture, PAGE, width),
			"Fresh air per day against bursts per day, of settings that meet the target.",
			`A larger dot has a larger ripple.${kept.length < front.length ? ` ${DOTS} of the settings are drawn.` : ""} ${ALTERNATIVES.map(({ name, why }) => `${name}: ${why}`).join("; ")}.`,
		),
	);
}

async function complianceSections(
	complianceProbability: ComplianceProbability,
	choice: FeasibleChoice,
): Promise<Html[]> {
	const { band, inputs } = complianceProbability;
	const { recommended, scenario } = choice;
	const { criterion } = recommended.summary;
	const linked = linkedInputsWords(choice);
	const kept = thin(band.timesSeconds, [band.p05Ppm, band.medianPpm, band.p95Ppm], BAND_POINTS);
	const pick = (values: Float64Array): number[] => kept.map((place) => values[place]!);
	const picture = {
		timesSeconds: pick(band.timesSeconds),
		p05Ppm: pick(band.p05Ppm),
		p50Ppm: pick(band.medianPpm),
		p95Ppm: pick(band.p95Ppm),
		ceilingPpm: scenario.target.ceiling.value,
		floorPpm: scenario.target.floor?.value ?? null,
	};
	const sure = section(
		"chance",
		"Chance of meeting the target",
		html`<p>${complianceWords(complianceProbability, recommended.summary)}${linked !== null && ` ${linked}`}</p>`,
		await stillFigure(
			"band",
			(width) => bandSpec(picture, PAGE, width),
			"Two cycles of the chosen setting, over random draws of the uncertain inputs.",
			"At every moment 90 % of the draws lie in the band between 5 % and 95 %; the line is the median.",
		),
		html`<p class="note">Drawn with seed ${complianceProbability.seed}; the same seed gives the same values.</p>`,
	);
	const first = firstTestWords(complianceProbability, scenario);
	if (first === null) return [sure];
	const sensitivity = {
		inputs: inputs.map(({ path, peakAtLowPpm, peakAtHighPpm, varianceShare }) => ({
			label: inputLabel(scenario, path),
			peakAtLowPpm,
			peakAtHighPpm,
			share: varianceShare,
		})),
		centralPpm: criterion.statistic === "peak" ? criterion.valuePpm : recommended.summary.peakPpm,
		ceilingPpm: criterion.ceilingPpm,
		statistic: "peak",
	};
	return [
		sure,
		section(
			"matters",
			"Which input matters most",
			html`<p>${first}</p>`,
			await stillFigure(
				"matters",
				// It has no axis at the left, whose room goes to the plot.
				(width) => sensitivitySpec(sensitivity, PAGE, width + 54),
				"Peak CO₂ of the chosen setting with one input at its low and at its high end.",
				"The percentage before each name is its share of the variation, from squared rank correlations. Hollow: the input at its 5 % end; filled: at its 95 % end. Linked inputs move as expected with it; all others stay central.",
			),
			...(inputs.length > 1
				? [
						factsTable(
							"Field tests",
							inputs.map(
								({ path, text, fieldTest }) =>
									[`${inputLabel(scenario, path)}, ${text}`, fieldTestWords(fieldTest)] as const,
							),
						),
					]
				: []),
		),
	];
}

async function feasibleBody(choice: FeasibleChoice, options: CardOptions): Promise<Html[]> {
	const { units } = options;
	const { recommended, complianceProbability, quiet, searchErrorPpm } = choice;
	const map = await mapSection(choice);
	return [
		section("verdict", "Verdict", verdictBlock(choiceVerdict(choice, units))),
		section(
			"card",
			"The setting card",
			cardPanel(choice, options),
			html`<p class="note">For an A6 sheet of its own: lullgust choose ${choice.scenario.fileName}${choice.chanceConstrained?.evaluated != null && ` --confidence ${choice.chanceConstrained.reliabilityPercent}`} --card card.html</p>`,
		),
		...(map === null ? [] : [map]),
		await tradeoffSection(choice, options),
		section(
			"alternatives",
			"Alternatives",
			html`<p class="note">Each is evaluated by the full model with exactly these digits.${searchErrorPpm === 0 ? "" : ` The faster search differs by ${formatPpm(Math.abs(searchErrorPpm)).replace(/^0 /, "under 1 ")} at the best setting.`}</p>`,
			alternativesTable(choice, units),
		),
		...(complianceProbability === null
			? [
					section(
						"chance",
						"Chance of meeting the target",
						html`<p>No input has a range or an uncertainty, or no random draws were asked for, so the chance is not known.</p>`,
					),
				]
			: await complianceSections(complianceProbability, choice)),
		section("moisture", "Moisture loss", html`<p>${moistureWords(recommended, units)}</p>`),
		...(quiet === null
			? []
			: [
					section(
						"quiet",
						"Quiet hours",
						html`<p>${quietWords(quiet, units)}</p>`,
						html`<p class="note">This needs a timer that knows the time of day, or someone who changes the setting each evening and morning.</p>`,
					),
				]),
	];
}

async function infeasibleBody(choice: InfeasibleChoice, { units }: CardOptions): Promise<Html[]> {
	const map = await mapSection(choice);
	return [
		section("verdict", "Verdict", verdictBlock(choiceVerdict(choice, units))),
		section(
			"why",
			"Why no setting works, and what helps",
			html`<p><strong>${constraintSummary(choice.bindingConstraint, units)}.</strong></p>`,
			html`<ul>${remedies(choice.bindingConstraint).map((remedy) => html`<li>${remedy}</li>\n`)}</ul>`,
		),
		...(choice.closest === null
			? []
			: [
					section(
						"closest",
						"The closest setting",
						closestTable(choice.closest, units),
						html`<p>${moistureWords(choice.closest, units)}</p>`,
					),
				]),
		...(map === null ? [] : [map]),
	];
}

/** The report of a choice as one HTML file. */
export async function chooseReport(choice: Choice, options: CardOptions): Promise<string> {
	const { scenario, feasibilityLimits: limits, warnings } = choice;
	return page({
		title: scenario.name,
		kind: "Choice of the timer setting",
		lead: scenario.notes,
		body: [
			...(choice.isFeasible ? await feasibleBody(choice, options) : await infeasibleBody(choice, options)),
			section(
				"limits",
				"Limits of chamber, timer and fan",
				factsTable("Limits", feasibilityLimitRows(limits, options.units)),
			),
			inputsSection(listInputs(scenario), options.units),
			assumptionsSection(warnings.map(warningMessage)),
			cautionsSection(),
			scenarioSection(scenario),
		],
		footer: footerLine(options),
		style: CARD_STYLE,
	});
}
