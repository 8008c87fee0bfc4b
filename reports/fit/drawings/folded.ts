import { formatDuration } from "../../../lib/units/format.ts";
import { timeUnit } from "../../charts/axes.ts";
import { fanTrace } from "../../charts/log/fan.ts";
import { indexAtTime } from "../../charts/log/logseries.ts";
import { drawing, ground, lintel, mark, ppmRules, words } from "../../charts/section/marks.ts";
import { boxPath, linePath, type Point, tenth } from "../../charts/section/path.ts";
import { overflow } from "../../charts/section/sawtooth.ts";
import { type PpmScale, ppmScale } from "../../charts/section/scale.ts";
import { truncateText, wrapText } from "../../charts/textwidth.ts";
import { type Html, html } from "../../page/html.ts";
import { formatPpm } from "../../words/format.ts";
import { countOf } from "../fitwords.ts";
import { type Held, wholeLog } from "./logpictures.ts";

/** All cycles of a log laid on one: time since a tenth of a cycle before the burst, and CO2. */
interface FoldedCycle {
	readonly cycleSeconds: number;
	readonly onSeconds: number;
	readonly cycleCount: number;
	readonly readings: readonly Point[];
	/** The mean of the model over the cycles in the chamber, switches included, and as the sensor follows it; empty where samples leave gaps. */
	readonly sensor: readonly Point[];
	readonly chamber: readonly Point[];
	/** Extremes over the whole log [ppm]. */
	readonly readingPeakPpm: number;
	readonly chamberPeakPpm: number;
}

/** Parts of a cycle over which the model is averaged, and how many of them must hold a value for a line to be drawn. */
const BINS = 240;
const MIN_FILLED = 8;
/** A part that few cycles reach is left out: it would stand for these alone, such as the first ones, before the pattern has settled. */
const MIN_SHARE = 0.2;
/** Share of a cycle that is shown before its burst. */
const LEAD_IN = 0.1;

/** Folds a log by its bursts; null where they do not come in cycles. */
export function foldCycles({ curve }: Held, responseSeconds: number, offsetPpm: number): FoldedCycle | null {
	const { timesSeconds, loggedPpm, chamberPpm, excluded, bursts, throughBursts } = curve;
	const { toSeconds } = wholeLog({ curve });
	const { cycleSeconds } = fanTrace(bursts, toSeconds);
	if (cycleSeconds === null || toSeconds < 3 * cycleSeconds || bursts.length < 3) return null;
	const starts = Float64Array.from(bursts, ({ startSeconds }) => startSeconds);
	const lead = LEAD_IN * cycleSeconds;
	const phaseOf = (seconds: number): number | null => {
		// The burst that is next or has begun.
		const place = indexAtTime(starts, seconds + lead);
		const start = starts[place] !== undefined && starts[place] <= seconds + lead ? place : place - 1;
		const phase = start < 0 ? null : seconds + lead - starts[start]!;
		return phase === null || phase > cycleSeconds * 1.0001 ? null : phase;
	};
	const readings: Point[] = [];
	const [atSamples, inBursts] = [bins(), bins()];
	let [readingPeakPpm, chamberPeakPpm] = [0, 0];
	const add = (into: Bins, phase: number, ppm: number): void => {
		const bin = Math.min(BINS - 1, Math.floor((phase / cycleSeconds) * BINS));
		into.sum[bin]! += ppm;
		into.at[bin]! += phase;
		into.count[bin]! += 1;
	};
	timesSeconds.forEach((seconds, i) => {
		chamberPeakPpm = Math.max(chamberPeakPpm, chamberPpm[i]!);
		const phase = phaseOf(seconds);
		if (phase === null) return;
		add(atSamples, phase, chamberPpm[i]!);
		if (excluded[i] !== 0) return;
		readings.push([phase, loggedPpm[i]!]);
		readingPeakPpm = Math.max(readingPeakPpm, loggedPpm[i]!);
	});
	throughBursts?.timesSeconds.forEach((seconds, i) => {
		const ppm = throughBursts.chamberPpm[i]!;
		chamberPeakPpm = Math.max(chamberPeakPpm, ppm);
		const phase = phaseOf(seconds);
		if (phase !== null) add(inBursts, phase, ppm);
	});
	const chamber = meanLine([atSamples, inBursts]);
	const lengths = bursts
		.map(({ startSeconds, endSeconds }) => endSeconds - startSeconds)
		.toSorted((a, b) => a - b);
	return {
		cycleSeconds,
		onSeconds: lengths[Math.floor(lengths.length / 2)]!,
		cycleCount: Math.round(toSeconds / cycleSeconds),
		readings,
		sensor: lagged(chamber, cycleSeconds, responseSeconds).map(
			([phase, ppm]): Point => [phase, ppm + offsetPpm],
		),
		chamber,
		readingPeakPpm,
		chamberPeakPpm,
	};
}

const bins = () => ({
	sum: new Float64Array(BINS),
	at: new Float64Array(BINS),
	count: new Uint32Array(BINS),
});

type Bins = ReturnType<typeof bins>;

/** How many values a part must hold to stand for the cycles: samples and what is worked out through bursts are not equally dense. */
function fewestOf({ count }: Bins): number {
	const [values, squares] = [...count].reduce(([n, n2], one) => [n + one, n2 + one ** 2], [0, 0]);
	return values === 0 ? Infinity : (MIN_SHARE * squares) / values;
}

function meanLine(parts: readonly Bins[]): readonly Point[] {
	const kept = parts.map((one) => ({ ...one, fewest: fewestOf(one) }));
	const line = Array.from({ length: BINS }, (_, bin) => {
		const full = kept.filter(({ count, fewest }) => count[bin]! >= fewest);
		const total = (of: "sum" | "at" | "count"): number => full.reduce((sum, one) => sum + one[of][bin]!, 0);
		return full.length === 0
			? null
			: ([total("at") / total("count"), total("sum") / total("count")] as const);
	}).filter((point) => point !== null);
	return line.length < MIN_FILLED ? [] : line;
}

/** What a sensor with one time constant shows of a cycle that repeats: exact for the straight pieces between the points. */
export function lagged(
	line: readonly Point[],
	cycleSeconds: number,
	responseSeconds: number,
): readonly Point[] {
	if (line.length < 2 || !(responseSeconds > 0)) return line;
	const [first, last] = [line[0]!, line.at(-1)!];
	const round: readonly Point[] = [...line, [first[0] + cycleSeconds, first[1]]];
	const follow = (shown: number): readonly number[] => {
		const values = [shown];
		for (let k = 1; k < round.length; k++) {
			const [[from, start], [to, end]] = [round[k - 1]!, round[k]!];
			const lag = to > from ? ((end - start) / (to - from)) * responseSeconds : 0;
			values.push(end - lag + (values[k - 1]! - start + lag) * Math.exp((from - to) / responseSeconds));
		}
		return values;
	};
	// The value after a cycle is linear in that before it: two tries give the one that repeats.
	const [low, high] = [follow(0).at(-1)!, follow(last[1]).at(-1)!];
	const gain = (high - low) / last[1];
	return follow(low / (1 - gain))
		.slice(0, -1)
		.map((ppm, k): Point => [line[k]![0], ppm]);
}

interface Frame {
	readonly id: string;
	readonly word: "model" | "predicted";
	readonly held: Held;
	readonly ceilingPpm: number;
	readonly intakePpm: number;
	/** Of the sensor. */
	readonly responseSeconds: number;
	readonly offsetPpm: number;
}

/** At most so many readings are drawn; the highest is among them. */
const MAX_DOTS = { wide: 2400, narrow: 800 };

/** Dots as one path of strokes without length. */
const dots = (points: readonly Point[], most: number): string => {
	const step = Math.max(1, Math.ceil(points.length / most));
	const highest = points.reduce((best, [, y], place) => (y < points[best]![1] ? place : best), 0);
	let [lastX, lastY] = [0, 0];
	return points
		.filter((_, place) => place % step === 0 || place === highest)
		.map(([x, y], place) => {
			const [dx, dy] = [tenth(tenth(x) - lastX), tenth(tenth(y) - lastY)];
			[lastX, lastY] = [tenth(x), tenth(y)];
			return place === 0 ? `M${lastX} ${lastY}h0` : `m${dx} ${dy}h0`;
		})
		.join("");
};

interface Area {
	readonly left: number;
	readonly right: number;
	readonly x: (seconds: number) => number;
	readonly scale: PpmScale;
}

/** The room, what went over its ceiling, readings and model. */
function curves(fold: FoldedCycle, { left, right, x, scale }: Area, thickness: number, most: number): Html {
	const place = ([seconds, ppm]: Point): Point => [x(seconds), scale.y(ppm)];
	const chamber = fold.chamber.map(place);
	return html`${lintel(scale, left, right, thickness)}${mark("dots", dots(fold.readings.map(place), most))}${overflow(chamber, scale, thickness)}${mark("cu2", linePath(chamber))}${mark("cu", linePath(fold.sensor.map(place)))}`;
}

/** The on-time under the curve, and the time since the fan started. */
function strip(
	{ cycleSeconds, onSeconds }: FoldedCycle,
	{ left, right, x }: Area,
	top: number,
	height: number,
): Html {
	const from = LEAD_IN * cycleSeconds;
	const end = x(Math.min(from + onSeconds, cycleSeconds));
	const unit = timeUnit(cycleSeconds);
	const step =
		[1, 2, 5, 10, 15, 20, 30, 60, 120, 240].find(
			(size) => (0.9 * cycleSeconds) / (size * unit.seconds) <= (right - left > 400 ? 6 : 3),
		) ?? 480;
	const ticks = Array.from(
		{ length: Math.floor((0.88 * cycleSeconds) / (step * unit.seconds)) + 1 },
		(_, k) => k * step,
	);
	return html`${mark("track", boxPath(left, top, right, top + height))}${mark("fan", boxPath(x(from), top, Math.max(end, x(from) + 1.6), top + height))}${mark("base", `M${left} ${top + height}H${right}`)}${ticks.map(
		(tick) =>
			words(
				"l",
				[x(from + tick * unit.seconds), top + height + 18],
				tick === 0 ? "0" : `${tick} ${unit.symbol}`,
				"middle",
			),
	)}`;
}

/** All cycles of a log laid on one, with the model: how far the two agree, and what the sensor did not show. */
export function foldedFigure({ id, word, held, ceilingPpm, intakePpm, ...sensor }: Frame): Html | null {
	const fold = foldCycles(held, sensor.responseSeconds, sensor.offsetPpm);
	if (fold === null || fold.readings.length === 0) return null;
	const { cycleSeconds, onSeconds, cycleCount, readingPeakPpm, chamberPeakPpm } = fold;
	const levels = [...fold.readings, ...fold.sensor, ...fold.chamber].map(([, ppm]) => ppm);
	const extremes = [Math.min(...samples(levels)), Math.max(...samples(levels), chamberPeakPpm)];
	const name = word === "model" ? "model" : "prediction";
	const setting =
		`${formatDuration(Math.round(onSeconds))} on, ${formatDuration(Math.round(cycleSeconds - onSeconds))} off`.replaceAll(
			/(\d) (s|min|h|d)\b/g,
			"$1\u00a0$2",
		);
	const title = `All ${countOf(cycleCount)} cycles of the log laid on one, with the ${name}`;
	const isAbove = chamberPeakPpm > ceilingPpm;
	const apart = `${formatPpm(Math.abs(chamberPeakPpm - ceilingPpm))} ${isAbove ? "above" : "below"}`;
	const desc = `The highest reading is ${formatPpm(readingPeakPpm)}; in the chamber, by the ${name}, CO₂ comes to ${formatPpm(chamberPeakPpm)}, ${apart} the ceiling of ${formatPpm(ceilingPpm)}.`;
	const area = (left: number, right: number, from: number, top: number, bottom: number): Area => ({
		left,
		right,
		x: (seconds) => from + (seconds / cycleSeconds) * (right - from),
		scale: ppmScale({ ceilingPpm, intakePpm, levels: extremes }, { top, bottom }),
	});
	const wide = area(40, 900, 96, 44, 330);
	const narrow = area(0, 358, 44, 72, 262);
	const lines: readonly (readonly [classes: string, text: string])[] = [
		["b2", word === "model" ? "in the chamber" : "predicted peak"],
		[isAbove ? "tf" : "th", `up to ${formatPpm(chamberPeakPpm)}`],
		[isAbove ? "tf" : "th", apart],
		["b2", "logged"],
		["tl", `up to ${formatPpm(readingPeakPpm)}`],
		["tl", `${countOf(fold.readings.length)} readings`],
	];
	const roof = (one: Area): number => one.scale.y(ceilingPpm);
	return html`<figure>${drawing(
		{ id: `${id}-w`, className: "wide", width: 1120, height: 408, title, desc },
		ppmRules(wide.scale, 44, 900),
		ground(wide.scale.bottom, 40, 900),
		curves(fold, wide, 7, MAX_DOTS.wide),
		words("b2 hal", [40, roof(wide) - 14], `ceiling ${formatPpm(ceilingPpm)}`),
		words("i", [44, 354], `intake air ${formatPpm(intakePpm)}`),
		lines.map(([classes, text], k) => words(classes, [918, 60 + 20 * k + (k > 2 ? 16 : 0)], text)),
		words("i", [918, 230], `— ${word === "model" ? "on the sensor" : "predicted reading"}`),
		words("l", [918, 250], `— ${word === "model" ? "in the chamber" : "predicted CO₂"}`),
		strip(fold, { ...wide, left: 96 }, 360, 22),
		wrapText(`fan ${setting}`, 13.5, 165).map((text, k) => words("b", [918, 352 + 17 * k], text)),
		words("l", [918, 388], `${((100 * onSeconds) / cycleSeconds).toPrecision(2)} % of the time`),
	)}${drawing(
		{ id: `${id}-n`, className: "narrow", width: 358, height: 356, title, desc },
		ppmRules(narrow.scale, 0, 358),
		ground(narrow.scale.bottom, 0, 358, 7),
		curves(fold, narrow, 6, MAX_DOTS.narrow),
		words("b hal", [0, 14], `ceiling ${formatPpm(ceilingPpm)}`),
		words(
			isAbove ? "tf" : "th",
			[358, 34],
			`${word === "model" ? "chamber" : "predicted"} up to ${Math.round(chamberPeakPpm)}`,
			"end",
		),
		words("tl", [358, 54], `logged up to ${Math.round(readingPeakPpm)}`, "end"),
		words("i", [0, 286], `intake air ${formatPpm(intakePpm)}`),
		words("l", [0, 306], truncateText(`fan ${setting}`, 13.5, false, 350)),
		strip(fold, { ...narrow, left: 44 }, 313, 18),
	)}</figure>`;
}

/** Enough of many values for their extremes to be spread into a call. */
const samples = (values: readonly number[]): readonly number[] => {
	let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
	for (const value of values) [low, high] = [Math.min(low, value), Math.max(high, value)];
	return [low, high];
};
