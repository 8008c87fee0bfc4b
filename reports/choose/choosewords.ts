import type {
	Choice,
	ComplianceProbability,
	EntryError,
	EvaluatedSetting,
	FeasibilityLimits,
	FeasibleChoice,
	LimitName,
	QuietHours,
	TimerSetting,
} from "../../lib/choose/choosetypes.ts";
import { findFirstTest } from "../../lib/choose/firsttest.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { wantedContactMonths } from "../../lib/model/schedule/contactlife.ts";
import { clock } from "../../lib/model/schedule/inwords.ts";
import type { DisturbanceKey, Scenario } from "../../lib/scenario/scenario.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { formatGrams, inRow, upperFirst } from "../words/format.ts";
import { airPhrase, judgedPhrase, keepsTarget, targetPhrase, type Verdict } from "../words/verdict.ts";
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

/** What the settings offered have in common: "hold with a 90 % chance". */
export const holdWords = ({ chanceConstrained }: FeasibleChoice): string =>
	chanceConstrained?.evaluated == null
		? "hold with central values"
		: `hold with a ${chanceConstrained.reliabilityPercent} % chance`;

/** "04.0 s on and 236 s off" */
export const settingWords = ({ on, off }: TimerSetting): string =>
	`${on.display} ${on.unit} on and ${off.display} ${off.unit} off`;

/** "87 %"; none is a dash. */
export const wholePercent = (value: number | null): string =>
	value === null ? "–" : `${Math.round(100 * value)} %`;

/** "90.4 %"; none is a dash. */
export const chanceShare = (chance: number | null): string => (chance === null ? "–" : share(chance));

const share = (x: number): string => {
	const percent = 100 * x;
	if (x > 0 && percent < 0.1) return "under 0.1 %";
	if (x < 1 && percent > 99.9) return "over 99.9 %";
	return `${Number(percent.toFixed(1))} %`;
};

/** The answer in a word: a chance below the one asked for has a word of its own. */
export const STATUS_ANSWERS = {
	holds: "Yes",
	likely: "Likely",
	"even chance": "Even chance",
	unlikely: "Unlikely",
	fails: "No",
} as const;

const setTimer = ({ setting, summary }: EvaluatedSetting, units: UnitSystem): string =>
	`Set the timer to ${settingWords(setting)}. It ${keepsTarget(summary.criterion)}, with ${airPhrase(summary, units)}.`;

/** The answer to the question which setting to use: it has the chance asked for, or holds for central values only, or none does. */
export function choiceVerdict(choice: Choice, units: UnitSystem): Verdict {
	if (!choice.isFeasible) return { answer: "No", grounds: constraintReason(choice.bindingConstraint, units) };
	const { best, chanceConstrained } = choice;
	if (chanceConstrained === null) {
		const chance = choice.complianceProbability?.probability ?? null;
		const more = chance === null ? [] : [`The chance of meeting the target is ${share(chance)}.`];
		return {
			answer: "Yes",
			grounds: setTimer(best, units),
			more: [...more, ...shortContactWords(choice.scenario, best)],
		};
	}
	const { reliabilityPercent, evaluated, probability, bestProbability } = chanceConstrained;
	const test = testGainWords(choice, units);
	const narrowed = test === null ? [] : [test];
	if (evaluated === null)
		return {
			answer: STATUS_ANSWERS[choice.status],
			grounds: `No setting within the limits has a ${reliabilityPercent} % chance of meeting the target. The highest is ${share(probability)}.`,
			more: [
				`With central input values: ${setTimer(best, units)}`,
				`Its chance is ${share(bestProbability)}.`,
				...narrowed,
			],
		};
	const { summary } = evaluated;
	return {
		answer: "Yes",
		grounds: `Set the timer to ${settingWords(evaluated.setting)}. The chance that ${staysWords(summary.criterion)} is ${share(probability)} (asked: ${reliabilityPercent} %).`,
		more: [
			`With central input values, it gives ${judgedPhrase(summary)}, with ${airPhrase(summary, units)}.`,
			bestComplianceWords(choice, units),
			...shortContactWords(choice.scenario, evaluated),
			...narrowed,
		],
	};
}

/** "the peak stays under 1000 ppm" */
const staysWords = (criterion: Summary["criterion"]): string => {
	const { statistic, ceilingPpm, floorPpm, floorStatistic, further } = criterion;
	if (floorStatistic !== undefined || further !== undefined || criterion.humidity !== undefined)
		return `the schedule keeps ${targetPhrase({ criterion })}`;
	return floorPpm === null
		? `the ${statistic} stays under ${Math.round(ceilingPpm)} ppm`
		: `CO₂ stays in the band of ${Math.round(floorPpm)} to ${Math.round(ceilingPpm)} ppm`;
};

/** The chance of a setting, and what the draws give. */
export function complianceWords(
	{ draws, probability, standardError, p05Ppm, medianPpm, p95Ppm }: ComplianceProbability,
	{ criterion }: Summary,
): string {
	const [low, median, high] = [p05Ppm, medianPpm, p95Ppm].map(Math.round);
	const count = draws.toLocaleString("en-US");
	const error = Number((100 * standardError).toPrecision(2));
	return `${upperFirst(staysWords(criterion))} in ${share(probability)} of ${count} random draws of the uncertain inputs (SE ${error} percentage points). The median ${criterion.statistic} is ${median} ppm; 90 % of draws lie between ${low} and ${high} ppm.`;
}

/** What may happen in service, by the key of the file. */
export const DISTURBANCE_NAMES: Readonly<Record<DisturbanceKey, string>> = {
	filter: "filter loading in service",
	"warm-day": "warm day",
	intake: "CO₂ that people add to the intake air",
	flush: "flush that is due (factor on respiration)",
	voltage: "supply voltage",
	fan: "fan tolerance",
	timer: "timer accuracy",
};

/** Label of an input, or of what may happen, by its path. */
export const inputLabel = (scenario: Scenario, path: string): string =>
	DISTURBANCE_NAMES[path.replace(/^disturbances\./, "") as DisturbanceKey] ??
	listInputs(scenario).find((input) => input.path === path)?.label ??
	path;

/** What may happen in service and is counted in; null when nothing is. */
export function disturbanceWords({ inputs }: ComplianceProbability): string | null {
	const listed = inputs.flatMap(({ disturbance, text }) =>
		disturbance === null ? [] : [`${DISTURBANCE_NAMES[disturbance]} ${text}`],
	);
	return listed.length === 0
		? null
		: `What may happen in service is counted in: ${listed.join("; ")}. --without leaves it out.`;
}

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

/** The setting for central input values beside the one for a chance, and what the chance costs. */
function bestComplianceWords(
	{ best, recommended, chanceConstrained }: FeasibleChoice,
	units: UnitSystem,
): string {
	if (chanceConstrained?.price == null || sameSetting(best, recommended))
		return "The best setting for central input values is the same.";
	const { bestProbability, price } = chanceConstrained;
	const air = formatQuantity(price.freshAirM3PerDay, "volume", units);
	return `With central values, ${settingWords(best.setting)} saves ${air} of air and ${formatGrams(price.moistureLossGPerDay)} of water per day; its chance is ${share(bestProbability)}.`;
}

/** The one field test that narrows the answer most, and by how much; null where none is worth while. */
function testGainWords(choice: FeasibleChoice, units: UnitSystem): string | null {
	const first = findFirstTest(choice);
	if (first === null) return null;
	const what = inputLabel(choice.scenario, first.path);
	if (!(first.savedM3PerDay > 0.01 * choice.recommended.summary.freshAirM3PerDay))
		return choice.status !== "holds" ? `Measure the ${what} first (${first.fieldTest}).` : null;
	// The quantity and its test share a name.
	const test = first.fieldTest === "delivered flow" ? "bag test or counted bursts" : first.fieldTest;
	return `Knowing ${what} (${test}) may save ${formatQuantity(first.savedM3PerDay, "volume", units)} per day.`;
}

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

/** The test to do first; null when nothing that can be measured is uncertain. */
export function firstTestWords(choice: FeasibleChoice): string | null {
	const first = findFirstTest(choice);
	if (first === null) return null;
	const isFitted =
		listInputs(choice.scenario).find(({ path }) => path === first.path)?.quantity.origin.kind === "fitted";
	const advice = isFitted
		? "It was fitted to a log: a longer log, or the test once more, narrows it further."
		: "Measure it first.";
	return `The ${inputLabel(choice.scenario, first.path)}, ${first.text}, causes ${share(first.varianceShare)} of the variation. ${advice} ${upperFirst(fieldTestWords(first.fieldTest))}.`;
}

const LIMIT_NAMES: Readonly<Record<LimitName, string>> = {
	burst: "shortest on-time",
	pause: "shortest off-time",
	cycle: "longest cycle",
	life: "contact life",
	quiet: "quiet hours",
	dial: "steps of the display",
};

export const limitNames = (names: readonly LimitName[]): string =>
	inRow(names.map((name) => LIMIT_NAMES[name]));

/** The limits of chamber, timer and fan: a line each. */
export function feasibilityLimitRows(
	limits: FeasibilityLimits,
	units: UnitSystem,
	activeLimits: readonly LimitName[] = [],
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
		["settings that hold with central values", limits.feasibleCount.toLocaleString("en-US")],
		...(activeLimits.length === 0
			? []
			: [["what keeps the setting from less air", limitNames(activeLimits)] as const]),
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
	kind === "swapped"
		? "ON and OFF swapped"
		: kind
				.replace("both", "ON and OFF")
				.replace(/^(on|off)/, (period) => period.toUpperCase())
				.replace(/(?=\d\d)/, " ");

export const ENTRY_ERROR_CHECK = "Time one full cycle.";
export const ENTRY_ERROR_WORDS =
	"If it matches a row below, the timer is set wrongly: set it again. × 10 and ÷ 10 mean a misplaced decimal point, × 60 and ÷ 60 minutes for seconds or seconds for minutes.";

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

/** The life of the contact, where it is shorter than is wanted, by the figure that `rig` tells. */
export const shortContactWords = (
	scenario: Scenario,
	{ contactMonths }: Pick<EvaluatedSetting, "contactMonths">,
): readonly string[] =>
	contactMonths < wantedContactMonths(scenario)
		? [`The timer's contact lasts ${contactLifeWords(contactMonths)}.`]
		: [];

/** The moisture loss of one setting. */
export function moistureWords(
	{ moisture, summary }: Pick<EvaluatedSetting, "moisture" | "summary">,
	units: UnitSystem,
): string {
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
					`${airPhrase(summary, units)} from the fan, and the leakage beside it, carry out ${formatGrams(moistureLossGPerDay)} of water.`,
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
