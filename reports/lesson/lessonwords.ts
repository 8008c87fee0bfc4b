import type { Lesson } from "../../lib/lesson/lesson.ts";
import { HOUR } from "../../lib/time.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { formatPpm, formatTime, inRow } from "../words/format.ts";
import { formatNumber } from "./lessoncharts.ts";
import { infeasibleWords } from "./noteswords.ts";

/** A panel in words: its heading, two or three sentences, and what its picture shows. */
export interface PanelWords {
	readonly id: "bucket" | "washout" | "equal-air" | "collapse" | "penalty" | "max-off-time" | "sensor";
	readonly heading: string;
	readonly text: string;
	readonly picture: string;
	/** How to read the picture. */
	readonly caption: string;
}

/** A share as a percentage of at most three digits, two from ten per cent on. */
export const formatPercent = (share: number): string => {
	const value = 100 * share;
	const digits = Math.abs(value) >= 99 ? 3 : 2;
	return `${Number(value.toPrecision(digits))} %`;
};

/** Pure CO2 given off, in litres or millilitres an hour. */
export const co2Flow = (m3PerS: number): string => {
	const litres = m3PerS * HOUR * 1000;
	return litres < 0.1 ? `${formatNumber(1000 * litres)} mL/h` : `${formatNumber(litres)} L/h`;
};

/** The title of the lesson. */
export const LESSON_TITLE = "Why short bursts can stand in for continuous flow";

/** What chamber the lesson speaks of. */
export function leadOf(lesson: Lesson, units: UnitSystem): string {
	const { model, isInvented, name, ceilingPpm } = lesson;
	const what = `${formatQuantity(model.volumeM3, "volume", units)} of air, a crop that gives off ${co2Flow(model.generationM3PerS)} of CO₂, a fan of ${formatQuantity(model.deliveredM3PerS, "flow", units)}, and intake air at ${formatPpm(model.intakePpm)}; the ceiling is ${formatPpm(ceilingPpm)}`;
	return isInvented
		? `A chamber invented for this lesson, with round values: ${what}. No real chamber was measured.`
		: `All values are those of “${name}”: ${what}.`;
}

/** The seven panels in words, in their order. */
export const panelWords = (lesson: Lesson, units: UnitSystem): readonly PanelWords[] => [
	bucketWords(lesson),
	washoutWords(lesson),
	equalAirWords(lesson, units),
	collapseWords(lesson),
	penaltyWords(lesson, units),
	maxOffTimeWords(lesson),
	sensorPanelWords(lesson),
];

function bucketWords({ bucket, schedules, model }: Lesson): PanelWords {
	const { schedule } = schedules[0]!;
	return {
		id: "bucket",
		heading: "The bucket with a leak",
		text: [
			`The crop fills the chamber with CO₂ as a steady drip fills a bucket: by ${formatNumber(60 * bucket.risePpmPerS)} ppm per minute here, ${model.infiltrationM3PerS > 0 ? "with every leak stopped" : "while the fan is off"}.`,
			`The moved air is the hole. If it is always open a little, the level settles at ${formatPpm(bucket.continuousPpm)}, where as much runs out as drips in. If it opens wide for ${formatTime(schedule.onSeconds)} in each cycle of ${formatTime(schedule.onSeconds + schedule.offSeconds)}, the same air lets the level vary between ${formatPpm(bucket.troughPpm)} and ${formatPpm(bucket.peakPpm)}.`,
			`The empty bucket is the intake air, ${formatPpm(model.intakePpm)}: no fan gets below that.`,
		].join(" "),
		picture: `Three buckets under the same drip of ${co2Flow(model.generationM3PerS)} of CO₂: with the hole shut, with a small hole always open, with a wide hole opened in bursts.`,
		caption: "The height of the water is the CO₂ above the intake air.",
	};
}

function washoutWords(lesson: Lesson): PanelWords {
	const { replaced, nominalTimeConstantSeconds } = lesson.washout;
	const at = (n: number) =>
		formatPercent(replaced.find(({ airChanges }) => airChanges === n)!.replacedFraction);
	const first = lesson.schedules[0]!;
	const last = lesson.schedules.at(-1)!;
	const of = ({ name, airChangesPerBurst, replacedFraction }: typeof first) =>
		`“${name}” makes ${formatNumber(airChangesPerBurst)} air changes per burst and replaces ${formatPercent(replacedFraction)}`;
	return {
		id: "washout",
		heading: "Washout: the share that one burst replaces",
		text: [
			`Fresh air mixes with the old while it comes in, so some of it leaves again at once. One air change, ${formatTime(nominalTimeConstantSeconds)} of this fan, replaces ${at(1)} of the excess, not all of it. Two replace ${at(2)}, three ${at(3)}.`,
			first === last
				? `${of(first)}.`
				: `${of(first)}, ${of(last)}. The first seconds of a burst do the most; a long burst mostly replaces air that is fresh already.`,
		].join(" "),
		picture: "Share of the excess CO₂ that a burst leaves, by its air changes.",
		caption: "Excess is the CO₂ above the intake air. The marks are the schedules of this lesson.",
	};
}

function equalAirWords({ equalAir }: Lesson, units: UnitSystem): PanelWords {
	const { cycles, airM3PerHour, continuousPpm, windowSeconds } = equalAir;
	const [whole, ...cut] = cycles;
	const peaks = cut.map(({ parts, stats }) => `into ${parts} at ${formatPpm(stats.peakPpm)}`);
	const peaksWords =
		peaks.length === 0 ? "" : `; with the cycle cut ${peaks.join(", ").replace(" at", " it peaks at")}`;
	const means = inRow(cycles.map(({ stats }) => `${Math.round(stats.meanPpm)}`));
	const coasting =
		equalAir.leftOut === 0
			? ""
			: " Shorter cycles are left out: the fan coasts so long that even the shortest bursts move more air.";
	return {
		id: "equal-air",
		heading: "The same air in ever shorter cycles",
		text: [
			`Every line here moves the same ${formatQuantity(airM3PerHour, "volume", units)} of air per hour. Continuous flow gives ${formatPpm(continuousPpm)} with it. In cycles of ${formatTime(windowSeconds)} the CO₂ peaks at ${formatPpm(whole!.stats.peakPpm)}${peaksWords}.${coasting}`,
			`The mean approaches the flat line faster still: ${means} ppm. That is why short bursts can stand in for continuous flow.`,
		].join(" "),
		picture: "CO₂ over one long cycle, when the same air comes in ever shorter cycles.",
		caption: "The dashed line across is continuous flow with the same air.",
	};
}

function collapseWords({ collapse, model }: Lesson): PanelWords {
	return {
		id: "collapse",
		heading: "Two laws for every chamber",
		text: [
			"Measure a burst in air changes, and its penalty as a share of the excess of continuous flow. Then tub, cabinet and hall fall on the same two lines.",
			`While bursts are short, the penalty of the peak grows with their air changes (slope 1), that of the mean with the square (slope 2). Half the cycle gives half the one and a quarter of the other.`,
			`At one air change per burst, the excess of rare bursts peaks ${formatPercent(collapse.atOne.peak)} above that of continuous flow, and its mean lies only ${formatPercent(collapse.atOne.mean)} above.`,
		].join(" "),
		picture: `Penalty of mean and peak against air changes per burst, for ${collapse.chambers.length} invented chambers and the schedules of this lesson.`,
		caption: `Both axes are logarithmic. The penalty is divided by the share of pauses, that of the mean by its square. The dots come from the solver, the lines from the formulas.${plainChamber(model) ? "" : " Leakage, a fan that coasts and a stagnant zone air the crop in the pauses too: the schedules of such a chamber lie off the lines."}`,
	};
}

/** One zone without leak under an instant fan, of which the two laws are exact. */
const plainChamber = ({
	infiltrationM3PerS,
	spinUpTauSeconds = 0,
	coastDownTauSeconds = 0,
	stagnantFraction = 0,
}: Lesson["model"]) =>
	infiltrationM3PerS === 0 && spinUpTauSeconds === 0 && coastDownTauSeconds === 0 && stagnantFraction === 0;

function penaltyWords({ penalty, ceilingPpm }: Lesson, units: UnitSystem): PanelWords {
	const air = (m3: number) => formatQuantity(m3, "volume", units);
	const head = {
		id: "penalty",
		heading: "More air for a target on the peak than on the mean",
		picture: "Fresh air per day that just meets the ceiling, by the length of the cycle.",
		caption:
			"A schedule at or above a line meets the ceiling on that statistic; one outside the plot is not drawn.",
	} as const;
	if (!penalty.isFeasible) return { ...head, text: infeasibleWords(penalty) };
	const { example, continuousM3PerDay } = penalty;
	return {
		...head,
		text: [
			`Continuous flow keeps ${formatPpm(ceilingPpm)} with ${air(continuousM3PerDay)} of air per day. With a cycle of ${formatTime(example.cycleSeconds)}, the same on the mean takes ${formatPercent(example.meanPenalty)} more, with bursts of ${formatTime(example.mean.onSeconds)}. On the peak it takes ${formatPercent(example.peakPenalty)} more, with bursts of ${formatTime(example.peak.onSeconds)}.`,
			"The mean costs almost nothing; the peak costs air, and so water and heat. Before you make a burst longer, make the cycle shorter.",
		].join(" "),
	};
}

function maxOffTimeWords({ maxOffTime, misconceptions, model, ceilingPpm }: Lesson): PanelWords {
	const head = {
		id: "max-off-time",
		heading: "The longest possible off-time",
		picture: "Shortest burst that keeps the peak under the ceiling, by the length of the pause.",
		caption:
			"Both axes are logarithmic. A schedule meets the ceiling if it lies on the line of this fan or above it.",
	} as const;
	if (!maxOffTime.isFeasible) return { ...head, text: infeasibleWords(maxOffTime) };
	const [short, , long] = misconceptions.pauses;
	return {
		...head,
		text: [
			`Even after a complete purge to ${formatPpm(model.intakePpm)}, the closed chamber reaches ${formatPpm(ceilingPpm)} in ${formatTime(Math.floor(maxOffTime.maxOffSeconds))}. With any fan, the off-time must be shorter.`,
			short === undefined || long === undefined
				? "A stronger fan only needs shorter bursts; the limit stays where it is."
				: `Near this limit the burst grows fast: after a pause of ${formatTime(short.offSeconds)}, ${formatTime(short.onSeconds)} are enough. After ${formatTime(long.offSeconds)}, ${formatNumber(long.offSeconds / short.offSeconds)} times as long, it takes ${formatTime(long.onSeconds)}, ${formatNumber(long.onSeconds / short.onSeconds)} times as much. A stronger fan moves the line down; the limit stays.`,
		].join(" "),
	};
}

function sensorPanelWords({ sensor }: Lesson): PanelWords {
	const { air, sensors, schedule } = sensor;
	const [fast, slow] = [sensors[0]!, sensors.at(-1)!];
	const range = ({ troughPpm, peakPpm }: typeof air) => `${Math.round(troughPpm)} to ${formatPpm(peakPpm)}`;
	return {
		id: "sensor",
		heading: "How a slow sensor hides the peak",
		text: [
			`A sensor shows the air with a delay, smoothed by its response time. Under “${schedule.name}” the air goes from ${range(air)}. A sensor with a response time of ${formatTime(fast.responseSeconds)} shows ${range(fast.shown)}, one with ${formatTime(slow.responseSeconds)} shows ${range(slow.shown)}.`,
			`The mean is right, and the peak is ${formatPpm(air.peakPpm - slow.shown.peakPpm)} too low. Compare a logged peak with the model as that sensor shows it, never with a ceiling.`,
		].join(" "),
		picture: "Two cycles of the CO₂, and what sensors of different response times show.",
		caption: "The response time of a sensor is the time in which it shows 63 % of a step.",
	};
}
