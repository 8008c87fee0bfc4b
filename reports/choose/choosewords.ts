import type {
	Choice,
	ComplianceProbability,
	EntryError,
	EvaluatedSetting,
	FeasibilityLimits,
	FeasibleChoice,
	QuietHours,
	TimerSetting,
} from "../../lib/choose/choosetypes.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { clock } from "../../lib/model/schedule/inwords.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { whole } from "../compare/cells.ts";
import { airPhrase, inRow, judgedPhrase, keepsTarget, type Verdict } from "../words/verdict.ts";
import { constraintReason } from "./constraintwords.ts";
import { fieldTestWords } from "./fieldtestwords.ts";

/** The three alternatives: name, reason, shape in the charts. */
export const ALTERNATIVES = [
	{ key: "leastAir", name: "least air", why: "least fresh air, so least drying", shape: "diamond" },
	{
		key: "fewestSwitchings",
		name: "fewest switchings",
		why: "fewest switching cycles of the contact",
		shape: "square",
	},
	{
		key: "smallestRipple",
		name: "smallest ripple",
		why: "smallest difference between peak and trough",
		shape: "circle",
	},
] as const;

/** "04.0 s on and 236 s off" */
export const settingWords = ({ on, off }: TimerSetting): string =>
	`${on.display} ${on.unit} on and ${off.display} ${off.unit} off`;

/** "87 %"; none is a dash. */
export const wholePercent = (value: number | null): string =>
	value === null ? "–" : `${Math.round(100 * value)} %`;

const share = (x: number): string => {
	const percent = 100 * x;
	if (x > 0 && percent < 0.1) return "under 0.1 %";
	if (x < 1 && percent > 99.9) return "over 99.9 %";
	return `${Number(percent.toFixed(1))} %`;
};

/** Chance below which a reader is told how to ask for more: judgement. */
const LOW_CHANCE = 0.9;

const setTimer = ({ setting, summary }: EvaluatedSetting, units: UnitSystem): string =>
	`Set the timer to ${settingWords(setting)}. It ${keepsTarget(summary.criterion)}, with ${airPhrase(summary, units)}.`;

/** The answer to the question which setting to use. */
export function choiceVerdict(choice: Choice, units: UnitSystem): Verdict {
	if (!choice.isFeasible) return { answer: "No", grounds: constraintReason(choice.bindingConstraint, units) };
	const { best, complianceProbability, chanceConstrained } = choice;
	const chosen = setTimer(best, units);
	const chance = complianceProbability === null ? null : complianceProbability.probability;
	if (chanceConstrained === null)
		return { answer: "Yes", grounds: chosen, more: chance === null ? [] : [chanceWords(chance)] };
	const { reliabilityPercent, evaluated, probability } = chanceConstrained;
	if (evaluated === null)
		return {
			answer: "No",
			grounds: `No setting within the limits has a ${reliabilityPercent} % chance of meeting the target. The highest is ${share(probability)}.`,
			more: [
				`Without that requirement: ${chosen}`,
				...(chance === null ? [] : [`The chance of meeting the target is ${share(chance)}.`]),
			],
		};
	const { summary } = evaluated;
	return {
		answer: "Yes",
		grounds: `Set the timer to ${settingWords(evaluated.setting)}. The chance that ${underCeilingWords(summary.criterion)} is ${share(probability)}; you asked for ${reliabilityPercent} %.`,
		more: [
			`With central input values, it gives ${judgedPhrase(summary)}, with ${airPhrase(summary, units)}.`,
			bestComplianceWords(choice),
		],
	};
}

const chanceWords = (chance: number): string =>
	`The chance of meeting the target is ${share(chance)}${chance < LOW_CHANCE ? "; --confidence 90 looks for a setting with a chance of at least 90 %" : ""}.`;

/** "the peak stays under 1000 ppm" */
const underCeilingWords = ({ statistic, ceilingPpm }: Summary["criterion"]): string =>
	`the ${statistic} stays under ${Math.round(ceilingPpm)} ppm`;

const staysWords = (criterion: Summary["criterion"]): string =>
	criterion.floorPpm === null
		? underCeilingWords(criterion)
		: `CO₂ stays in the band of ${Math.round(criterion.floorPpm)} to ${Math.round(criterion.ceilingPpm)} ppm`;

/** The chance of a setting, and what the draws give. */
export function complianceWords(
	{ draws, probability, standardError, p05Ppm, medianPpm, p95Ppm }: ComplianceProbability,
	{ criterion }: Summary,
): string {
	const [low, median, high] = [p05Ppm, medianPpm, p95Ppm].map(Math.round);
	const count = draws.toLocaleString("en-US");
	const error = Number((100 * standardError).toPrecision(2));
	return `${sentence(staysWords(criterion))} in ${share(probability)} of ${count} random draws of the uncertain inputs (SE ${error} percentage points). The median ${criterion.statistic} is ${median} ppm; 90 % of draws lie between ${low} and ${high} ppm.`;
}

const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;

/** Label of an input, by its path. */
export const inputLabel = (scenario: Scenario, path: string): string =>
	listInputs(scenario).find((input) => input.path === path)?.label ?? path;

/** Which inputs are drawn together; null when each is drawn by itself. */
export function linkedInputsWords({ complianceProbability, scenario }: FeasibleChoice): string | null {
	const groups = scenario.correlations.flatMap(({ between, fitted }) => {
		const labels =
			complianceProbability?.inputs
				.filter(({ path }) => between.includes(path))
				.map(({ path }) => inputLabel(scenario, path)) ?? [];
		const source = fitted === undefined ? "" : ` (fitted to ${fitted})`;
		return labels.length < 2
			? []
			: [`The uncertainties of ${inRow(labels)} are linked${source}; they are drawn together.`];
	});
	return groups.length === 0 ? null : groups.join(" ");
}

/** What the setting for central input values would be worth, beside the one for a certainty. */
const bestComplianceWords = ({ best, recommended, chanceConstrained }: FeasibleChoice): string =>
	chanceConstrained === null || sameSetting(best, recommended)
		? "The best setting for central input values is the same."
		: `With central input values, ${settingWords(best.setting)} is enough. Its chance of ${best.summary.criterion.floorPpm === null ? "meeting the target" : "staying under the ceiling"} is only ${share(chanceConstrained.bestProbability)}.`;

const sameSetting = (a: EvaluatedSetting, b: EvaluatedSetting): boolean =>
	a.schedule.onSeconds === b.schedule.onSeconds && a.schedule.offSeconds === b.schedule.offSeconds;

/** The chance on the card; null when nothing can be said. */
export function cardCompliance({ complianceProbability, chanceConstrained }: FeasibleChoice): string | null {
	if (complianceProbability === null) return null;
	const missed =
		chanceConstrained !== null && chanceConstrained.evaluated === null
			? `, below the ${chanceConstrained.reliabilityPercent} % asked for`
			: "";
	return `Chance of meeting the target, given the uncertain inputs: ${share(complianceProbability.probability)}${missed}.`;
}

/** The input that causes most of the variation, and the test that narrows it; null when nothing is uncertain. */
export function firstTestWords({ inputs }: ComplianceProbability, scenario: Scenario): string | null {
	const first = inputs[0];
	if (first === undefined) return null;
	return `The ${inputLabel(scenario, first.path)}, ${first.text}, causes ${share(first.varianceShare)} of the variation. Measure it first. ${sentence(fieldTestWords(first.fieldTest))}.`;
}

/** The limits of chamber, timer and fan: a line each. */
export function feasibilityLimitRows(
	limits: FeasibilityLimits,
	units: UnitSystem,
): readonly (readonly [string, string])[] {
	const { maxOffSeconds, flowNeededM3PerS, flowM3PerS } = limits;
	const flow = (m3PerS: number): string => formatQuantity(m3PerS, "flow", units);
	const time = (seconds: number): string => (Number.isFinite(seconds) ? formatDuration(seconds) : "no limit");
	return [
		[
			"longest possible off-time, with any fan",
			maxOffSeconds === null ? "no limit: leakage alone keeps CO₂ under the ceiling" : time(maxOffSeconds),
		],
		[
			"continuous flow needed",
			flowNeededM3PerS === null
				? "no flow is enough"
				: flowNeededM3PerS === 0
					? "none: leakage alone keeps CO₂ under the ceiling"
					: flow(flowNeededM3PerS),
		],
		["delivered flow of the fan", flow(flowM3PerS)],
		["shortest on-time searched", time(limits.minOnSeconds)],
		["shortest off-time searched", time(limits.minOffSeconds)],
		["longest cycle searched", time(limits.maxCycleSeconds)],
		["settings searched", limits.candidateCount.toLocaleString("en-US")],
		["settings that work", limits.feasibleCount.toLocaleString("en-US")],
	];
}

/** What the timer does when power returns. */
export function powerUpWords(powerUp: "on" | "off" | null, { on, off }: TimerSetting): string {
	const starts = (state: string, first: string) =>
		`At power-up, and after every power cut, the cycle starts with ${state}: ${first}`;
	if (powerUp === "on")
		return starts("ON", `${on.display} ${on.unit} of air at once. Keep hands off the blades.`);
	if (powerUp === "off") return starts("OFF", `${off.display} ${off.unit} without air, after the power cut.`);
	return "The start of the cycle at power-up is not known. To find out, put a guard on the fan and keep hands away: unplug for 10 s, plug in, and watch which time comes first and whether it starts by itself. Do this three times.";
}

/** The mistake; `ENTRY_ERROR_WORDS` says what the factors are. */
export const entryErrorName = ({ kind }: EntryError): string =>
	({
		swapped: "ON and OFF swapped",
		"on ×10": "ON × 10",
		"on ÷10": "ON ÷ 10",
		"off ×10": "OFF × 10",
		"off ÷10": "OFF ÷ 10",
	})[kind];

export const ENTRY_ERROR_CHECK = "Time one full cycle.";
export const ENTRY_ERROR_WORDS =
	"If it matches a row below, the timer is set wrongly: set it again. × 10 and ÷ 10 mean a misplaced decimal point.";

/** What one sees within a cycle. */
export const entryErrorSign = ({ onSeconds, offSeconds }: EntryError): string =>
	`on ${formatDuration(onSeconds)}, off ${formatDuration(offSeconds)}`;

/** How long the contact lasts. */
export const contactLifeWords = (months: number): string => {
	if (!Number.isFinite(months)) return "no limit known";
	return months < 24
		? `${Number(months.toPrecision(2))} months`
		: `${Number((months / 12).toPrecision(2))} years`;
};

export const formatGrams = (value: number): string => `${whole(value)} g`;

/** The moisture loss of one setting. */
export function moistureWords({ moisture, summary }: EvaluatedSetting, units: UnitSystem): string {
	const {
		moistureLossGPerDay,
		metabolicWaterGPerDay,
		humidificationGPerDay,
		humidificationShare,
		relativeHumidityBefore,
		relativeHumidityAfterBurst,
	} = moisture;
	const balance =
		moistureLossGPerDay <= 0
			? [
					`The intake air is moister than the chamber: it brings in ${formatGrams(-moistureLossGPerDay)} of water per day. None must be added.`,
				]
			: [
					`${airPhrase(summary, units)}, with leakage, carries out ${formatGrams(moistureLossGPerDay)} of water.`,
					`Respiration supplies ${formatGrams(metabolicWaterGPerDay)} of water per day.`,
					humidificationGPerDay <= 0
						? "That is enough; none must be added."
						: `A humidifier or the blocks must supply ${formatGrams(humidificationGPerDay)} per day, ${wholePercent(humidificationShare)} of the loss.`,
				];
	const burst =
		relativeHumidityAfterBurst === null
			? []
			: [
					`A burst changes relative humidity in the mixed chamber from ${wholePercent(relativeHumidityBefore)} to ${wholePercent(relativeHumidityAfterBurst)}.`,
				];
	return [...balance, ...burst].join(" ");
}

/** A longer cycle in quiet hours. */
export function quietWords(
	{ fromSeconds, toSeconds, evaluated, summary }: QuietHours,
	units: UnitSystem,
): string {
	const hours = `From ${clock(fromSeconds)} to ${clock(toSeconds)},`;
	if (evaluated === null || summary === null)
		return `${hours} no longer cycle meets the target. Keep the day setting, or relax the limit.`;
	return `${hours} set the timer to ${settingWords(evaluated.setting)} (${evaluated.inWords}). Day and night together give ${judgedPhrase(summary)}, with ${airPhrase(summary, units)}; the target is ${summary.criterion.isMet ? "met" : "missed"}.`;
}
