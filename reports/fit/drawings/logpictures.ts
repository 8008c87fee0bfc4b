import type { FitWarning } from "../../../lib/fit/findings.ts";
import type { FitCurve, FitResiduals } from "../../../lib/fit/fittypes.ts";
import { type CleanSeries, exclusionReasons } from "../../../lib/logs/log.ts";
import { fanTrace } from "../../charts/log/fan.ts";
import type { LogTrace } from "../../charts/log/logframe.ts";
import type { OverlayChartData } from "../../charts/log/logoverlay.ts";
import {
	countDrawn,
	indexAtTime,
	stripBars,
	traceBand,
	traceLine,
	type WindowSamples,
} from "../../charts/log/logseries.ts";
import type { ResidualChartData } from "../../charts/log/residuals.ts";
import type { ChartTheme } from "../../charts/theme.ts";
import { clockOf } from "../../words/logwords.ts";

/** A log with the model over it, as a fit or a verification has it. */
export interface Held {
	readonly series: CleanSeries;
	readonly curve: FitCurve;
	readonly residuals: FitResiduals;
	readonly warnings: readonly FitWarning[];
}

export interface TimeWindow {
	readonly fromSeconds: number;
	readonly toSeconds: number;
}

/** Cycles closer together than this are drawn as a band from trough to peak [px]. */
const APART = 6;
/** Steps without a sample from which on a line breaks. */
const GAP = 2.5;
/** Samples of one reason that are marked. */
const MARKED = 60;
/** Cycles of a close-up, and samples that it should have. */
const CYCLES = 3;
const SEEN = 40;
/** Share of the log from which on a close-up shows nothing new. */
const MAX_CLOSE_UP_SHARE = 0.5;

export const wholeLog = ({ curve }: Pick<Held, "curve">): TimeWindow => ({
	fromSeconds: 0,
	toSeconds: Math.max(curve.timesSeconds.at(-1) ?? 0, 1),
});

/** Some cycles in the middle of the log with few samples excluded; null where the log is hardly longer. */
export function closeUp({ curve, series }: Pick<Held, "curve" | "series">): TimeWindow | null {
	const { bursts, timesSeconds, excluded } = curve;
	const { toSeconds } = wholeLog({ curve });
	const { cycleSeconds } = fanTrace(bursts, toSeconds);
	if (cycleSeconds === null) return null;
	const step = series.log.sampleIntervalSeconds;
	const length = cycleSeconds * Math.max(CYCLES, Math.ceil((SEEN * step) / cycleSeconds));
	if (length > MAX_CLOSE_UP_SHARE * toSeconds) return null;
	const used = (fromSeconds: number): number => {
		let count = 0;
		const to = indexAtTime(timesSeconds, fromSeconds + length);
		for (let i = indexAtTime(timesSeconds, fromSeconds); i < to; i++) if (excluded[i] === 0) count++;
		return count;
	};
	const middle = (toSeconds - length) / 2;
	const starts = bursts
		.map(({ startSeconds }) => startSeconds - 0.1 * cycleSeconds)
		.filter((start) => start >= 0 && start + length <= toSeconds)
		.sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))
		.slice(0, 500);
	let best: { start: number; count: number } | null = null;
	for (const start of starts) {
		const count = used(start);
		if (best === null || count > best.count) best = { start, count };
		if (count >= (0.97 * length) / step) break;
	}
	return best === null || best.count === 0
		? null
		: { fromSeconds: best.start, toSeconds: best.start + length };
}

export interface OverlayOptions {
	/** What the lines are called: a model fitted to the log, or what was predicted without it. */
	readonly word: "model" | "predicted";
	/** Draw the CO2 in the chamber beside what the sensor shows, where cycles are not too close. */
	readonly chamber: boolean;
	readonly rules?: OverlayChartData["rules"];
}

/** The chamber's CO2 at the samples and, where no gap is, at the switches between them. */
function kinked(
	{ timesSeconds, chamberPpm, throughBursts }: FitCurve,
	gapSeconds: number,
): Pick<WindowSamples, "timesSeconds" | "values"> {
	if (throughBursts === undefined) return { timesSeconds, values: chamberPpm };
	const points: (readonly [seconds: number, ppm: number])[] = [];
	let next = 0;
	throughBursts.timesSeconds.forEach((seconds, i) => {
		for (; next < timesSeconds.length && timesSeconds[next]! <= seconds; next++)
			points.push([timesSeconds[next]!, chamberPpm[next]!]);
		if (next > 0 && next < timesSeconds.length && timesSeconds[next]! - timesSeconds[next - 1]! <= gapSeconds)
			points.push([seconds, throughBursts.chamberPpm[i]!]);
	});
	for (; next < timesSeconds.length; next++) points.push([timesSeconds[next]!, chamberPpm[next]!]);
	return {
		timesSeconds: Float64Array.from(points, ([seconds]) => seconds),
		values: Float64Array.from(points, ([, ppm]) => ppm),
	};
}

/** Series by series what is drawn of a window in a plot so wide. */
export function overlayPicture(
	held: Held,
	window: TimeWindow,
	theme: ChartTheme,
	width: number,
	options: OverlayOptions,
): OverlayChartData {
	const { series, curve } = held;
	const { timesSeconds, excluded, bursts } = curve;
	const step = series.log.sampleIntervalSeconds;
	const length = window.toSeconds - window.fromSeconds;
	const { cycleSeconds } = fanTrace(bursts, length);
	const tooClose = cycleSeconds !== null && (cycleSeconds / length) * width < APART;
	const samplesOf = (
		values: Float64Array,
		drawn: WindowSamples["drawn"],
		gapSteps: number,
	): WindowSamples => ({
		timesSeconds,
		values,
		drawn,
		gapSeconds: gapSteps * step,
		...window,
	});
	// A stretch of a band holds a whole cycle, lest its edges be ragged.
	const bins = Math.max(
		1,
		Math.floor(tooClose ? Math.min(width / 2, length / (1.02 * cycleSeconds)) : width / 2),
	);
	const line = (samples: WindowSamples): LogTrace => ({
		kind: "points",
		points: traceLine(samples, 2 * width),
	});
	const model = (values: Float64Array): LogTrace => {
		const samples = samplesOf(values, () => true, GAP);
		return tooClose ? { kind: "band", band: traceBand(samples, bins) } : line(samples);
	};
	const chamber = (): LogTrace =>
		line({ ...samplesOf(curve.chamberPpm, () => true, GAP), ...kinked(curve, GAP * step) });
	const logged = samplesOf(curve.loggedPpm, (i) => excluded[i] === 0, 1.5);
	const asBand = countDrawn(logged) > 2 * width;
	const excludedPoints = exclusionReasons.flatMap((reason, index) => {
		const samples = samplesOf(curve.loggedPpm, (i) => excluded[i] === index + 1, Number.POSITIVE_INFINITY);
		const count = countDrawn(samples);
		if (count === 0) return [];
		const points = traceLine(samples, MARKED).flatMap(({ t, c }) => (c === null ? [] : [{ t, c }]));
		return [{ text: `excluded: ${reason} (${count.toLocaleString("en-US")})`, points }];
	});
	const gone = series.exclusions.flatMap(({ intervals: bins }) =>
		bins.map(({ fromSeconds, toSeconds }) => ({
			startSeconds: fromSeconds - step / 2,
			endSeconds: toSeconds + step / 2,
		})),
	);
	const strip = (
		name: string,
		color: string,
		all: Iterable<{ readonly startSeconds: number; readonly endSeconds: number }>,
	) => ({
		name,
		color,
		bars: stripBars(
			[...all].sort((a, b) => a.startSeconds - b.startSeconds),
			window.fromSeconds,
			window.toSeconds,
			Math.floor(width / 2),
		),
	});
	return {
		clock: clockOf(series),
		...window,
		logged: asBand
			? { kind: "band", band: traceBand(logged, bins) }
			: { kind: "points", points: traceLine(logged, 2 * width) },
		loggedText: asBand ? "logged, from lowest to highest" : "logged",
		sensor: model(curve.sensorPpm),
		sensorText: `${options.word}, ${tooClose ? "trough and peak of the reading" : "as the sensor should show it"}`,
		chamber: options.chamber && !tooClose ? chamber() : null,
		chamberText: `${options.word}, CO2 in the chamber`,
		excludedPoints,
		strips: [strip("fan", theme.ink, bursts), strip("excluded", theme.soft, gone)].filter(
			({ name, bars }) => name === "fan" || bars.length > 0,
		),
		shifts: held.warnings.flatMap((one) =>
			one.code === "baseline step" && one.atSeconds >= window.fromSeconds && one.atSeconds <= window.toSeconds
				? [
						{
							t: one.atSeconds,
							text: `baseline step ${one.ppm < 0 ? "−" : "+"}${Math.round(Math.abs(one.ppm))} ppm`,
						},
					]
				: [],
		),
		rules: options.rules ?? [],
	};
}

/** What is left over, over the whole log. */
export function residualPicture(
	held: Held,
	width: number,
	allowed: ResidualChartData["allowed"],
): ResidualChartData {
	const { series, curve, residuals } = held;
	const window = wholeLog(held);
	const samples: WindowSamples = {
		timesSeconds: curve.timesSeconds,
		values: residuals.ppm,
		drawn: (i) => curve.excluded[i] === 0,
		gapSeconds: 1.5 * series.log.sampleIntervalSeconds,
		...window,
	};
	return {
		clock: clockOf(series),
		...window,
		residual:
			countDrawn(samples) > 2 * width
				? { kind: "band", band: traceBand(samples, Math.floor(width / 4)) }
				: { kind: "points", points: traceLine(samples, 2 * width) },
		allowed,
	};
}
