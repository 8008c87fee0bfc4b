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
import { CARD_STYLE, type CardOptions, cardPanel } from "./card.ts";
import { alternativesTable, closestTable, factsTable } from "./choosetables.ts";
import {
	ALTERNATIVES,
	bindingConstraintWords,
	choiceVerdict,
	complianceWords,
	feasibilityLimitRows,
	firstTestWords,
	moistureWords,
	quietWords,
	remedies,
	togetherWords,
} from "./choosewords.ts";

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

/** The picks and the robust setting; those that are one setting share a name. */
function named(choice: Choice): readonly Named[] {
	if (!choice.isFeasible)
		return choice.closest === null ? [] : [{ name: "nearest", shape: "diamond", evaluated: choice.closest }];
	const all: Named[] = ALTERNATIVES.map(({ key, short, shape }) => ({
		name: short,
		shape,
		evaluated: choice.alternatives[key],
	}));
	if (choice.chanceConstrained?.evaluated != null)
		all.push({
			name: `${choice.chanceConstrained.reliabilityPercent} % sure`,
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
		choice.model.source !== undefined && "Colours are those of the highest respiration of the run.",
		on === "worst hour" &&
			"Colour is the peak; the line is that of the worst hour, on which the ceiling is held.",
		`The line is the ceiling: ${
			choice.isFeasible
				? "settings above and left of it hold"
				: "no setting of this timer reaches it, unless a line is drawn"
		}.`,
		picture.maxOffSeconds !== null &&
			(picture.maxOffSeconds < picture.offEdges.at(-1)!
				? `Right of the dashed wall, at ${formatDuration(Math.floor(picture.maxOffSeconds))}, no burst makes up for the pause, whatever the fan.`
				: `The longest possible off, ${formatDuration(Math.floor(picture.maxOffSeconds))}, lies beyond what the timer can show.`),
		Number.isFinite(picture.longestCycleSeconds) &&
			"Settings whose cycle is longer than the limit are left blank.",
	];
	return section(
		"map",
		"The map of all settings",
		await stillFigure(
			"map",
			(width) => settingsSpec(picture, PAGE, width),
			`${picture.statistic === "peak" ? "Peak" : "Mean"} CO2 of every pair of on-time and off-time that the timer can show within the limits.`,
			caption.filter((sentence) => sentence !== false).join(" "),
		),
	);
}

/** Water a day as a straight line of the air a day through two picks; null when they need the same air. */
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
			? "One setting holds and is beaten by no other"
			: `${front.length.toLocaleString("en-US")} settings hold and are beaten by no other`;
	return section(
		"trade",
		"Air against switches",
		html`<p>${count} in fresh air, switches and ripple at once, among those that need at most a quarter more air than the best.</p>`,
		await stillFigure(
			"trade",
			(width) => tradeoffSpec(picture, PAGE, width),
			"Fresh air a day against bursts a day, of settings that hold.",
			`A larger dot has a larger ripple.${kept.length < front.length ? ` ${DOTS} of them are drawn.` : ""} ${ALTERNATIVES.map(({ name, why }) => `${name}: ${why}`).join("; ")}.`,
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
	const together = togetherWords(choice);
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
		"odds",
		"How sure that is",
		html`<p>${complianceWords(complianceProbability, recommended.summary)}${together !== null && ` ${together}`}</p>`,
		await stillFigure(
			"band",
			(width) => bandSpec(picture, PAGE, width),
			"Two cycles of the chosen setting when the inputs are only roughly known.",
			"At every moment nine of ten draws lie in the band between 5 % and 95 %; the line is the middle one.",
		),
		html`<p class="note">Drawn with seed ${complianceProbability.seed}; the same seed gives the same figures.</p>`,
	);
	const first = firstTestWords(complianceProbability);
	if (first === null) return [sure];
	const sensitivity = {
		inputs: inputs.map(({ label, peakAtLowPpm, peakAtHighPpm, varianceShare }) => ({
			label,
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
			"What matters most",
			html`<p>${first}</p>`,
			await stillFigure(
				"matters",
				// It has no axis at the left, whose room goes to the plot.
				(width) => sensitivitySpec(sensitivity, PAGE, width + 54),
				"Peak CO2 of the chosen setting when one input alone goes to its low and to its high end.",
				"The figure before each name is its share of the spread, from the rank correlations squared. Hollow: the input at its 5 % end; filled: at its 95 % end; those known together with it as it lets expect, all others central.",
			),
			...(inputs.length > 1
				? [
						factsTable(
							"Field tests",
							inputs.map(({ label, text, test }) => [`${label}, ${text}`, test] as const),
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
			"picks",
			"The picks",
			html`<p class="note">Each judged by the full model with the digits as keyed in${searchErrorPpm === 0 ? "" : `; the search, which is faster, was off by ${formatPpm(Math.abs(searchErrorPpm)).replace(/^0 /, "under 1 ")} at the best setting`}.</p>`,
			alternativesTable(choice, units),
		),
		...(complianceProbability === null
			? [
					section(
						"odds",
						"How sure that is",
						html`<p>No input is given as a range or a spread, or no draws were asked for: nothing can be said about the odds.</p>`,
					),
				]
			: await complianceSections(complianceProbability, choice)),
		section("moisture", "What the air costs in moisture", html`<p>${moistureWords(recommended, units)}</p>`),
		...(quiet === null
			? []
			: [
					section(
						"quiet",
						"Quiet hours",
						html`<p>${quietWords(quiet, units)}</p>`,
						html`<p class="note">This needs a timer that knows the time of day, or a hand that changes the setting each evening and morning.</p>`,
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
			"Why not, and what would help",
			html`<p><strong>${bindingConstraintWords(choice.constraint)}.</strong></p>`,
			html`<ul>${remedies(choice).map((remedy) => html`<li>${remedy}</li>\n`)}</ul>`,
		),
		...(choice.closest === null
			? []
			: [
					section(
						"nearest",
						"The setting that misses least",
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
		kind: "Choice of the setting",
		lead: scenario.notes,
		body: [
			...(choice.isFeasible ? await feasibleBody(choice, options) : await infeasibleBody(choice, options)),
			section(
				"bounds",
				"What is possible at all",
				factsTable("Bounds", feasibilityLimitRows(limits, options.units)),
			),
			inputsSection(listInputs(scenario), options.units),
			assumptionsSection(warnings),
			cautionsSection(),
			scenarioSection(scenario),
		],
		footer: footerLine(options),
		style: CARD_STYLE,
	});
}
