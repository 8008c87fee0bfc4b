import type { Lesson } from "../../lib/lesson/lesson.ts";
import { powerOfTen } from "../../lib/power.ts";
import { HOUR, MINUTE } from "../../lib/time.ts";
import { CUBIC_FOOT } from "../../lib/units/factors.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { co2Axis, timeAxis, timeUnit } from "../charts/axes.ts";
import type { CurvePlot, PlotAxis, PlotPoint } from "../charts/curveplot.ts";
import { formatPpm } from "../words/format.ts";
import type { Bucket } from "./bucket.ts";

/** Shapes of the marks of schedules, in turn. */
const SHAPES = ["circle", "square", "diamond", "triangle-up", "triangle-down", "cross"];
/** So many schedules are marked; more would hide one another. */
const MAX_MARKS = SHAPES.length;

const PERCENT = "format(100 * datum.value, '~r') + ' %'";
const DURATION = `datum.value < ${MINUTE} ? format(datum.value, '~r') + ' s' : datum.value < ${HOUR} ? format(datum.value / ${MINUTE}, '~r') + ' min' : format(datum.value / ${HOUR}, '~r') + ' h'`;
const TIMES = [
	...[0.1, 0.3, 1, 3, 10, 30],
	...[1, 3, 10, 30].map((minutes) => minutes * MINUTE),
	...[1, 3, 10, 24].map((hours) => hours * HOUR),
];

/** The schedules that are marked: evenly from the longest cycle to the shortest. */
export function marked({ schedules }: Lesson): Lesson["schedules"] {
	const last = schedules.length - 1;
	if (last < MAX_MARKS) return schedules;
	return Array.from({ length: MAX_MARKS }, (_, i) => schedules[Math.round((i * last) / (MAX_MARKS - 1))]!);
}

const mark = (name: string, place: number, point: PlotPoint) => ({ ...point, name, shape: SHAPES[place]! });

const points = (pairs: readonly (readonly [x: number, y: number])[]): PlotPoint[] =>
	pairs.map(([x, y]) => ({ x, y }));
const pointsOf = (curve: {
	readonly timesSeconds: Float64Array;
	readonly co2Ppm: Float64Array;
}): PlotPoint[] => Array.from(curve.timesSeconds, (x, i) => ({ x, y: curve.co2Ppm[i]! }));

/** Time from 0 in the unit that suits the window. */
function timeAxisOf(windowSeconds: number, title: string): PlotAxis {
	const unit = timeUnit(windowSeconds);
	return {
		title: `${title} (${unit.symbol})`,
		from: 0,
		to: windowSeconds,
		ticks: timeAxis(0, windowSeconds, unit).ticks.map((tick) => tick * unit.seconds),
		tickText: `format(datum.value / ${unit.seconds}, '~r')`,
	};
}

function ppmAxis(low: number, high: number): PlotAxis {
	const { from, to, ticks } = co2Axis([{ low, high }], low, null);
	return { title: "CO₂ (ppm)", from, to, ticks };
}

/** Times on a logarithmic axis. */
const logTime = (title: string, values: readonly number[]): PlotAxis => {
	const from = TIMES.findLast((t) => t <= Math.min(...values)) ?? TIMES[0]!;
	const to = TIMES.find((t) => t >= Math.max(...values)) ?? TIMES.at(-1)!;
	const ticks = TIMES.filter((t) => t >= from && t <= to);
	return { title, from, to, isLog: true, ticks, tickText: DURATION };
};

const decades = (from: number, to: number): number[] => {
	const first = Math.round(Math.log10(from));
	return Array.from({ length: Math.round(Math.log10(to)) - first + 1 }, (_, i) => powerOfTen(first + i));
};

/** The bucket three times: hole shut, a little open for ever, opened wide now and then. */
export function buckets({ bucket, model, schedules, equalAir }: Lesson, units: UnitSystem): Bucket[] {
	const { peakPpm, troughPpm, continuousPpm, risePpmPerS } = bucket;
	const level = (value: number) => ((value - model.intakePpm) / (peakPpm - model.intakePpm)) * 0.92;
	const { onSeconds, offSeconds } = schedules[0]!.schedule;
	const steady = { low: level(continuousPpm), high: level(continuousPpm), lowText: null };
	return [
		{
			...steady,
			title: "Fan off: the hole is shut",
			hole: "shut",
			highText: "",
			words: ["The level climbs, and climbs:", `${formatNumber(60 * risePpmPerS)} ppm a minute.`],
		},
		{
			...steady,
			title: "A little air, for ever",
			hole: "small",
			highText: formatPpm(continuousPpm),
			words: [
				"As much runs out as drips in:",
				`${formatQuantity(equalAir.airM3PerHour, "volume", units)} of air an hour.`,
			],
		},
		{
			title: "The same air, in bursts",
			hole: "wide",
			low: level(troughPpm),
			high: level(peakPpm),
			highText: formatPpm(peakPpm),
			lowText: formatPpm(troughPpm),
			words: [
				`Opened wide for ${formatDuration(onSeconds)}`,
				`in each cycle of ${formatDuration(onSeconds + offSeconds)}.`,
			],
		},
	];
}

/** A dashed line across, or down, with its name. */
const rule = (along: "x" | "y", at: number, name: string) => ({ along, at, name, dash: [5, 4] });

/** Air changes of one burst, from decade to decade. */
const logAxis = (title: string, from: number, to: number): PlotAxis => ({
	title,
	from,
	to,
	isLog: true,
	ticks: decades(from, to),
});

/** At most three significant digits. */
export const formatNumber = (value: number): string => String(Number(value.toPrecision(3)));

/** What a burst leaves of the excess, by its air changes. */
export function washoutPlot(lesson: Lesson): CurvePlot {
	const own = marked(lesson);
	const most = Math.ceil(Math.max(...own.map(({ airChangesPerBurst }) => airChangesPerBurst)));
	const to = Math.min(8, Math.max(5, most));
	return {
		x: { title: "air changes of the burst", from: 0, to, ticks: Array.from({ length: to + 1 }, (_, i) => i) },
		y: { title: "excess that is left", from: 0, to: 1, ticks: [0, 0.25, 0.5, 0.75, 1], tickText: PERCENT },
		curves: [
			{
				name: "well-mixed air",
				place: 0,
				points: points(Array.from({ length: 101 }, (_, i) => [(to * i) / 100, Math.exp((-to * i) / 100)])),
			},
			{
				name: "one might think: new air drives out the old",
				place: 1,
				points: points([
					[0, 1],
					[1, 0],
					[to, 0],
				]),
			},
		],
		marks: own.map(({ name, airChangesPerBurst }, place) =>
			mark(name, place, { x: airChangesPerBurst, y: Math.exp(-airChangesPerBurst) }),
		),
	};
}

const ordinal = (parts: number): string => (parts === 1 ? "as it is" : `cut into ${parts}`);

/** The same air in ever shorter cycles, and the flat line. */
export function equalAirPlot({ equalAir }: Lesson): CurvePlot {
	const { cycles, continuousPpm, windowSeconds } = equalAir;
	return {
		x: timeAxisOf(windowSeconds, "time"),
		y: ppmAxis(
			Math.min(...cycles.map(({ stats }) => stats.troughPpm)),
			Math.max(...cycles.map(({ stats }) => stats.peakPpm)),
		),
		curves: cycles.map(({ parts, schedule, curve, stats }, place) => ({
			name: `${ordinal(parts)}: ${formatNumber(schedule.onSeconds)} s in ${formatDuration(Math.round(10 * (schedule.onSeconds + schedule.offSeconds)) / 10)}, peak ${formatPpm(stats.peakPpm)}`,
			place,
			points: pointsOf(curve),
		})),
		rules: [rule("x", continuousPpm, `continuous flow with the same air: ${formatPpm(continuousPpm)}`)],
	};
}

/** Penalties of all chambers on two lines. */
export function collapsePlot(lesson: Lesson): CurvePlot {
	const { lines, chambers, schedules } = lesson.collapse;
	const names = marked(lesson).map(({ name }) => name);
	const of = (rows: typeof lines, key: "mean" | "peak") =>
		rows.map((row) => ({ x: row.airChangesPerBurst, y: row[key] }));
	const [first, last] = [lines[0]!, lines.at(-1)!];
	const from = powerOfTen(Math.floor(Math.log10(first.mean) + 1e-9));
	const to = powerOfTen(Math.ceil(Math.log10(last.peak)));
	const slopeAt = first.airChangesPerBurst * 3;
	const near = lines.find(({ airChangesPerBurst }) => airChangesPerBurst >= slopeAt) ?? first;
	return {
		x: logAxis("air changes of one burst", first.airChangesPerBurst, last.airChangesPerBurst),
		y: { ...logAxis("penalty, % of the excess of continuous flow", from, to), tickText: PERCENT },
		curves: [
			{ name: "peak", place: 1, points: of(lines, "peak") },
			{ name: "mean", place: 0, points: of(lines, "mean") },
			{
				name: `${chambers.length} invented chambers, mean and peak`,
				place: 6,
				isDotted: true,
				points: [...of(chambers, "peak"), ...of(chambers, "mean")],
			},
		],
		marks: schedules.flatMap(({ name, airChangesPerBurst, mean, peak }) => {
			const place = names.indexOf(name);
			if (place < 0) return [];
			return [
				mark(name, place, { x: airChangesPerBurst, y: peak }),
				// The name stands at the peak; a mean so small is off the plot or mere rounding.
				...(mean > 0 ? [mark("", place, { x: airChangesPerBurst, y: mean })] : []),
			];
		}),
		words: [
			{ x: slopeAt, y: near.peak * 2.6, text: "slope 1", align: "right" },
			{ x: slopeAt, y: near.mean * 0.35, text: "slope 2", align: "left" },
		],
	};
}

/** Air per day that just meets the ceiling, by length of the cycle; null where that makes no sense. */
export function penaltyPlot(lesson: Lesson, units: UnitSystem): CurvePlot | null {
	const { penalty, maxOffTime } = lesson;
	if (!penalty.isFeasible) return null;
	const perM3 = units === "us" ? 1 / CUBIC_FOOT : 1;
	const most = 3 * penalty.continuousM3PerDay * perM3;
	const end = maxOffTime.isFeasible ? 1.15 * maxOffTime.maxOffSeconds : 3 * penalty.example.cycleSeconds;
	const line = (rows: typeof penalty.peak): PlotPoint[] => [
		{ x: 0, y: penalty.continuousM3PerDay * perM3 },
		...rows
			.map(({ onSeconds, offSeconds, airM3PerDay }) => ({
				x: onSeconds + offSeconds,
				y: airM3PerDay * perM3,
			}))
			.filter(
				({ x, y }, place, all) =>
					(all[place - 1]?.x ?? 0) <= end && (all[place - 1]?.y ?? 0) <= most && x > 0 && y > 0,
			),
	];
	const { ticks } = co2Axis([{ low: 0, high: most }], most, null);
	return {
		x: timeAxisOf(end, "length of the cycle"),
		y: {
			title: `fresh air (${units === "us" ? "ft³" : "m³"} per day)`,
			from: 0,
			to: most,
			ticks: ticks.filter((tick) => tick <= most),
		},
		curves: [
			{ name: `peak at ${formatPpm(lesson.ceilingPpm)}`, place: 1, points: line(penalty.peak) },
			{ name: `mean at ${formatPpm(lesson.ceilingPpm)}`, place: 0, points: line(penalty.mean) },
		],
		rules: [
			rule(
				"x",
				penalty.continuousM3PerDay * perM3,
				`continuous flow: ${formatQuantity(penalty.continuousM3PerDay, "volume", units)} per day`,
			),
		],
		marks: marked(lesson).map(({ name, schedule, summary }, place) =>
			mark(name, place, {
				x: schedule.onSeconds + schedule.offSeconds,
				y: summary.freshAirM3PerDay * perM3,
			}),
		),
	};
}

/** The burst that a pause needs, and the longest possible off-time; null where there is none. */
export function maxOffTimePlot(lesson: Lesson): CurvePlot | null {
	const { maxOffTime } = lesson;
	if (!maxOffTime.isFeasible) return null;
	const { maxOffSeconds: longest, fans } = maxOffTime;
	const own = marked(lesson);
	const settings = fans.flatMap((fan) => fan.settings);
	const reaching = settings.filter(({ offSeconds }) => offSeconds >= longest / 50);
	const ons = [...reaching, ...own.map(({ schedule }) => schedule)].map(({ onSeconds }) => onSeconds);
	return {
		x: logTime("off-time", [longest / 40, 1.3 * longest, ...own.map(({ schedule }) => schedule.offSeconds)]),
		y: logTime("shortest on-time for the peak", ons),
		curves: fans.map(({ times, settings: line }, place) => ({
			name: times === 1 ? "this fan" : `a fan ${times === 2 ? "twice" : `${times} times`} as strong`,
			place,
			points: line.map(({ onSeconds, offSeconds }) => ({ x: offSeconds, y: onSeconds })),
		})),
		rules: [rule("y", longest, `longest off-time: ${formatDuration(Math.floor(longest))}`)],
		marks: own.map(({ name, schedule }, place) =>
			mark(name, place, { x: schedule.offSeconds, y: schedule.onSeconds }),
		),
	};
}

/** The air, and what sensors of different response times show. */
export function sensorPlot({ sensor }: Lesson): CurvePlot {
	const { windowSeconds, air, curve, sensors, shownCurves } = sensor;
	return {
		x: timeAxisOf(windowSeconds, "time from the start of a burst"),
		y: ppmAxis(air.troughPpm, air.peakPpm),
		curves: [
			{ name: `the air: peak ${formatPpm(air.peakPpm)}`, place: 0, points: pointsOf(curve) },
			...sensors.map(({ responseSeconds, shown }, i) => ({
				name: `a sensor of ${formatDuration(responseSeconds)}: peak ${formatPpm(shown.peakPpm)}`,
				place: i + 1,
				points: pointsOf(shownCurves[i]!),
			})),
		],
	};
}
