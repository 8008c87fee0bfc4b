import type {
	ChanceConstrained,
	Choice,
	ComplianceProbability,
	EntryError,
	EvaluatedSetting,
	FeasibilityLimits,
	FeasibleChoice,
	InfeasibleChoice,
	QuietHours,
	TimerSetting,
} from "../../lib/choose/choosetypes.ts";
import { clock } from "../../lib/model/schedule/inwords.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { airPhrase, judgedPhrase, targetPhrase, type Verdict } from "../words/verdict.ts";

/** The three picks: how each is called, why one would take it, its shape in the charts. */
export const ALTERNATIVES = [
	{
		key: "leastAir",
		name: "driest-sparing",
		short: "driest-sparing",
		why: "least fresh air, so least drying",
		shape: "diamond",
	},
	{
		key: "fewestSwitchings",
		name: "gentlest on the relay",
		short: "gentlest",
		why: "fewest switches",
		shape: "square",
	},
	{ key: "smallestRipple", name: "smoothest", short: "smoothest", why: "smallest ripple", shape: "circle" },
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

/** Odds below which a reader is told of a surer setting: judgement. */
const UNSURE = 0.9;

/** The answer to the question which setting to key in. */
export function choiceVerdict(choice: Choice, units: UnitSystem): Verdict {
	if (!choice.isFeasible) return { answer: "No", grounds: choice.reason };
	const { setting, summary } = choice.best;
	const { complianceProbability, chanceConstrained } = choice;
	const chosen = `Key in ${settingWords(setting)}. It holds ${targetPhrase(summary)}: ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`;
	const sure =
		complianceProbability === null
			? []
			: [
					`The odds that it holds are ${share(complianceProbability.probability)}${chanceConstrained === null && complianceProbability.probability < UNSURE ? "; --confidence 90 asks for a setting that holds more surely" : ""}.`,
				];
	if (chanceConstrained === null) return { answer: "Yes", grounds: chosen, more: sure };
	return chanceConstrained.evaluated === null
		? {
				answer: "No",
				grounds: chanceConstrainedWords(chanceConstrained, units),
				more: [`Without that demand: ${chosen}`, ...sure],
			}
		: {
				answer: "Yes",
				grounds: chanceConstrainedWords(chanceConstrained, units),
				more: [bestComplianceWords(choice)],
			};
}

/** The odds of the chosen setting. */
export function complianceWords(
	{ draws, probability, standardError, p05Ppm, medianPpm, p95Ppm }: ComplianceProbability,
	{ criterion }: Summary,
): string {
	const goal = criterion.floorPpm === null ? "the ceiling holds" : "the band holds";
	return `Over ${draws.toLocaleString("en-US")} draws of what is only roughly known, ${goal} in ${share(probability)} (standard error ${share(standardError)}). Nine in ten draws have a ${criterion.statistic} between ${Math.round(p05Ppm)} and ${Math.round(p95Ppm)} ppm; the middle one has ${Math.round(medianPpm)} ppm.`;
}

/** Which inputs are drawn together; null when each is drawn by itself. */
export function togetherWords({ complianceProbability, scenario }: FeasibleChoice): string | null {
	const groups = scenario.correlations.flatMap(({ between, fitted }) => {
		const labels =
			complianceProbability?.inputs.filter(({ path }) => between.includes(path)).map(({ label }) => label) ??
			[];
		return labels.length < 2
			? []
			: [`${inRow(labels)}${fitted === undefined ? "" : `, fitted to ${fitted},`}`];
	});
	return groups.length === 0
		? null
		: groups.map((words) => `The errors of ${words} go together, and are drawn so.`).join(" ");
}

const inRow = (words: readonly string[]): string =>
	words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;

/** The setting for the confidence that was asked for. */
const chanceConstrainedWords = (
	{ reliabilityPercent, evaluated, probability }: ChanceConstrained,
	units: UnitSystem,
): string =>
	evaluated === null
		? `No setting within the limits holds it with ${reliabilityPercent} % confidence; the surest reaches ${share(probability)}.`
		: `Key in ${settingWords(evaluated.setting)}. It holds ${targetPhrase(evaluated.summary)} in ${share(probability)} of what the inputs may be, where ${reliabilityPercent} % were asked for; with their central values ${judgedPhrase(evaluated.summary)}, for ${airPhrase(evaluated.summary, units)}.`;

/** What the setting for the central values alone would be worth, beside the one for a confidence. */
const bestComplianceWords = ({ best, recommended, chanceConstrained }: FeasibleChoice): string =>
	chanceConstrained === null || sameSetting(best, recommended)
		? "The setting for the central values is the same."
		: `With the central values alone ${settingWords(best.setting)} would do, but it holds in only ${share(chanceConstrained.bestProbability)}.`;

const sameSetting = (a: EvaluatedSetting, b: EvaluatedSetting): boolean =>
	a.schedule.onSeconds === b.schedule.onSeconds && a.schedule.offSeconds === b.schedule.offSeconds;

/** The odds on the card; null when nothing can be said. */
export function cardCompliance({ complianceProbability, chanceConstrained }: FeasibleChoice): string | null {
	if (complianceProbability === null) return null;
	const missed =
		chanceConstrained !== null && chanceConstrained.evaluated === null
			? `, short of the ${chanceConstrained.reliabilityPercent} % asked for`
			: "";
	return `Odds that it holds, by how well the inputs are known: ${share(complianceProbability.probability)}${missed}.`;
}

/** The input that matters most, and the test that would narrow it; null when nothing is uncertain. */
export function firstTestWords({ inputs }: ComplianceProbability): string | null {
	const first = inputs[0];
	if (first === undefined) return null;
	return `What matters most is the ${first.label}, ${first.text}, with ${share(first.varianceShare)} of the spread. So do this field test first. ${first.test.charAt(0).toUpperCase()}${first.test.slice(1)}.`;
}

/** What physics, timer and limits allow: a line each. */
export function feasibilityLimitRows(
	limits: FeasibilityLimits,
	units: UnitSystem,
): readonly (readonly [string, string])[] {
	const { maxOffSeconds, flowNeededM3PerS, flowM3PerS } = limits;
	const flow = (m3PerS: number): string => formatQuantity(m3PerS, "flow", units);
	const time = (seconds: number): string => (Number.isFinite(seconds) ? formatDuration(seconds) : "no limit");
	return [
		[
			"longest off-time, whatever the fan does",
			maxOffSeconds === null ? "no limit: the leak alone holds the ceiling" : time(maxOffSeconds),
		],
		[
			"flow needed if the fan never stopped",
			flowNeededM3PerS === null
				? "no flow is enough"
				: flowNeededM3PerS === 0
					? "none: the leak alone holds the ceiling"
					: flow(flowNeededM3PerS),
		],
		["flow of the fan", flow(flowM3PerS)],
		["shortest on-time considered", time(limits.minOnSeconds)],
		["shortest off-time considered", time(limits.minOffSeconds)],
		["longest cycle considered", time(limits.maxCycleSeconds)],
		["settings within these limits", limits.candidateCount.toLocaleString("en-US")],
		["of them hold", limits.feasibleCount.toLocaleString("en-US")],
	];
}

/** "flow: needed 80 m3/h, here 70 m3/h" */
export const bindingConstraintWords = ({
	quantity,
	required,
	available,
	unit,
}: InfeasibleChoice["constraint"]): string => {
	const figure = (x: number): string =>
		Number.isFinite(x) ? `${Number(x.toPrecision(4))} ${unit}`.trim() : "none";
	return `${quantity}: needed ${figure(required)}, here ${figure(available)}`;
};

const REMEDIES: Readonly<Record<InfeasibleChoice["bindingConstraint"], readonly string[]>> = {
	"intake air": [
		"Draw the air from outdoors or from a better aired room.",
		"Reconsider the ceiling: see what lullgust species says of the crop.",
	],
	"delivered flow": [
		"A fan or a filter area with more flow, measured as delivered.",
		"Less substrate in this chamber, or a cooler one: both lower the respiration.",
	],
	"off-time range": [
		"A timer that can show shorter off-times, or a fan that runs all the time at a lower speed.",
		"A larger chamber for the same substrate, which makes the CO2 rise more slowly.",
	],
	"on-time range": ["A timer that can show longer on-times, or a stronger fan."],
	"minimum on-time": ["A timer that can show longer on-times, or a fan that reaches its speed sooner."],
	"cycle limits": [
		"Loosen the limits of the file: a longer cycle, shorter bursts and pauses, or a shorter life of the contact.",
	],
	"stagnant zone": [
		"Break up the dead corner: a small stirring fan, or an inlet and an outlet in opposite corners.",
	],
	floor: ["Lower the floor, or bring it nearer by shorter cycles, whose ripple is smaller."],
};

/** What would help where nothing holds. */
export const remedies = ({ bindingConstraint }: InfeasibleChoice): readonly string[] =>
	REMEDIES[bindingConstraint];

/** What the timer does when power returns. */
export function powerUpWords(powerUp: "on" | "off" | null, { on, off }: TimerSetting): string {
	const start = (state: string, first: string) =>
		`At power-up, and after every power cut, it begins with ${state} (${first}); the cycle starts anew.`;
	if (powerUp === "on")
		return start("ON", `${on.display} ${on.unit} of air at once: keep hands off the blades`);
	if (powerUp === "off") return start("OFF", `${off.display} ${off.unit} without air on top of the cut`);
	return "How it begins at power-up is not known. Find out with a guard on the fan and hands away: unplug for 10 s, plug in, watch which period comes first and whether it starts by itself; do it three times.";
}

/** What was done wrong; `SLIPS_WORDS` says what the factors are. */
export const entryErrorName = ({ kind }: EntryError): string =>
	({
		swapped: "ON and OFF swapped",
		"on ×10": "ON × 10",
		"on ÷10": "ON ÷ 10",
		"off ×10": "OFF × 10",
		"off ÷10": "OFF ÷ 10",
	})[kind];

export const ENTRY_ERROR_WORDS =
	"If you see the times of one of these slips, key in again; × 10 and ÷ 10 are a decimal point one place off.";

/** What one sees of it within a cycle. */
export const entryErrorSign = ({ onSeconds, offSeconds }: EntryError): string =>
	`on ${formatDuration(onSeconds)}, off ${formatDuration(offSeconds)}`;

/** How long the contact lasts. */
export const contactLifeWords = (months: number): string => {
	if (!Number.isFinite(months)) return "no limit known";
	return months < 24
		? `${Number(months.toPrecision(2))} months`
		: `${Number((months / 12).toPrecision(2))} years`;
};

export const formatGrams = (value: number): string => {
	const whole = Math.round(value);
	return `${Math.abs(whole) >= 10_000 ? whole.toLocaleString("en-US") : whole} g`;
};

/** What the air of one setting costs in moisture. */
export function moistureWords({ moisture, summary }: EvaluatedSetting, units: UnitSystem): string {
	const {
		moistureLossGPerDay,
		metabolicWaterGPerDay,
		humidificationGPerDay,
		humidificationShare,
		relativeHumidityAfterBurst,
	} = moisture;
	const back =
		humidificationGPerDay <= 0
			? "that is enough, and nothing need be given back."
			: `a humidifier, or the blocks themselves, must give ${formatGrams(humidificationGPerDay)}, ${wholePercent(humidificationShare)} of what goes out.`;
	const balance =
		moistureLossGPerDay <= 0
			? `The intake air is the moister: it brings in ${formatGrams(-moistureLossGPerDay)} of water a day, and nothing need be given back.`
			: `${airPhrase(summary, units)} and the leak carry out ${formatGrams(moistureLossGPerDay)} of water. Respiration makes ${formatGrams(metabolicWaterGPerDay)} a day; ${back}`;
	const after =
		relativeHumidityAfterBurst === null
			? ""
			: ` Right after a burst the mixed chamber stands at ${wholePercent(relativeHumidityAfterBurst)} relative humidity, before it at ${wholePercent(moisture.relativeHumidityBefore)}.`;
	return balance + after;
}

/** Another cycle in quiet hours. */
export function quietWords(
	{ fromSeconds, toSeconds, evaluated, summary }: QuietHours,
	units: UnitSystem,
): string {
	const hours = `From ${clock(fromSeconds)} to ${clock(toSeconds)}`;
	if (evaluated === null || summary === null)
		return `${hours} no gentler cycle holds the target: keep the setting of the day, or loosen the limit.`;
	return `${hours} key in ${settingWords(evaluated.setting)} (${evaluated.inWords}). Day and night together: ${judgedPhrase(summary)} for ${airPhrase(summary, units)}; the target ${summary.criterion.isMet ? "holds" : "does not hold"}.`;
}
