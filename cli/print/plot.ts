import type { Comparison } from "../../lib/compare/comparison.ts";
import { sampleCurve } from "../../lib/compare/curves.ts";
import { periodSeconds, type Schedule } from "../../lib/model/schedule/schedule.ts";
import { segments } from "../../lib/model/schedule/timeline.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { initialState, uniformState } from "../../lib/solve/propagate/propagate.ts";
import { type SimulateOptions, simulate, type Trajectory } from "../../lib/solve/simulate.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { visible } from "./print.ts";

/** One sawtooth in characters: CO2 as a filled line, the ceiling as a dashed one, the bursts below. */
interface TextPlot {
	/** Ascending [s]. */
	readonly timesSeconds: ArrayLike<number>;
	/** [ppm] */
	readonly co2Ppm: ArrayLike<number>;
	/** When the fan is on; time 0 is the first of the times. */
	readonly schedule: Schedule;
	readonly ceilingPpm: number;
	/** Ends of the CO2 axis [ppm]; the same for plots that are to be compared. */
	readonly lowPpm: number;
	readonly highPpm: number;
	/** Length of the time axis in words. */
	readonly span: string;
}

const rows = 8;
const eighths = " ▁▂▃▄▅▆▇█";
/** More plots than these push the figures off the screen. */
const MAX_PLOTS = 4;

type Paint = "none" | "red" | "green";
const codes: Record<Paint, string> = { none: "\u001b[39m", red: "\u001b[31m", green: "\u001b[32m" };

interface Cell {
	readonly character: string;
	readonly paint: Paint;
}

/** The plot in lines of at most `columns` characters; colour only sets off what stands above the ceiling. */
export function plotLines(plot: TextPlot, columns: number, colour: boolean): string[] {
	const { lowPpm, highPpm, ceilingPpm } = plot;
	const labels = [highPpm, ceilingPpm, lowPpm].map((ppm) => String(Math.round(ppm)));
	const margin = Math.max(...labels.map((label) => label.length), "fan".length);
	const width = Math.max(10, Math.min(columns, 100) - margin - 2 - " ceiling".length);
	const { level, onShare } = columnsOf(plot, width);
	const ceilingRow = rowOf(ceilingPpm, lowPpm, highPpm);
	const labelOf = (row: number): string => {
		if (row === ceilingRow) return labels[1]!;
		if (row === rows - 1) return labels[0]!;
		return row === 0 ? labels[2]! : "";
	};
	const lines: string[] = [];
	for (let row = rows - 1; row >= 0; row -= 1) {
		const atCeiling = row === ceilingRow;
		const cells = level.map((ppm): Cell => {
			const filled = Math.round(((ppm - lowPpm) / (highPpm - lowPpm)) * rows * 8) - row * 8;
			if (filled <= 0) return { character: atCeiling ? "╌" : " ", paint: "none" };
			const above = ppm > ceilingPpm && row >= ceilingRow;
			return { character: eighths[Math.min(8, filled)]!, paint: above ? "red" : "green" };
		});
		const axis = `${labelOf(row).padStart(margin)} ${atCeiling ? "┼" : "│"}`;
		lines.push(`${axis}${painted(cells, colour)}${atCeiling ? " ceiling" : ""}`.trimEnd());
	}
	const fan = onShare.map((share) => (share >= 0.5 ? "▀" : share > 0 ? "░" : " ")).join("");
	lines.push(`${"fan".padStart(margin)} │${fan}`.trimEnd());
	lines.push(`${" ".repeat(margin + 2)}0${plot.span.padStart(width - 1)}`);
	return lines;
}

function painted(cells: readonly Cell[], colour: boolean): string {
	if (!colour) return cells.map(({ character }) => character).join("");
	let text = "";
	let now: Paint = "none";
	for (const { character, paint } of cells) {
		if (paint !== now) text += codes[paint];
		now = paint;
		text += character;
	}
	return now === "none" ? text : text + codes.none;
}

const rowOf = (ppm: number, low: number, high: number): number =>
	Math.min(rows - 1, Math.max(0, Math.floor(((ppm - low) / (high - low)) * rows)));

/** The highest CO2 of each character column, and the share of its time in which the fan runs. */
function columnsOf(plot: TextPlot, width: number): { level: number[]; onShare: number[] } {
	const { timesSeconds, co2Ppm, schedule } = plot;
	const level: number[] = new Array(width).fill(Number.NEGATIVE_INFINITY);
	const length = timesSeconds[timesSeconds.length - 1] || 1;
	const columnAt = (seconds: number): number => Math.min(width - 1, Math.floor((seconds / length) * width));
	for (let i = 0; i < timesSeconds.length; i += 1) {
		const column = columnAt(timesSeconds[i]!);
		level[column] = Math.max(level[column]!, co2Ppm[i]!);
	}
	// A column without a sample of its own goes on from the one before it.
	for (let column = 1; column < width; column += 1)
		if (level[column] === Number.NEGATIVE_INFINITY) level[column] = level[column - 1]!;

	const onShare: number[] = new Array(width).fill(0);
	const step = length / width;
	for (const { startSeconds, durationSeconds, isOn } of segments(schedule, length)) {
		const end = startSeconds + durationSeconds;
		for (let column = columnAt(startSeconds); isOn && column < width && column * step < end; column += 1)
			onShare[column]! += (Math.min(end, (column + 1) * step) - Math.max(startSeconds, column * step)) / step;
	}
	return { level, onShare };
}

/** Two cycles of the settled pattern of each schedule, one below the other on the same CO2 axis. */
export function periodicPlots(
	{ model, scenario, schedules }: Comparison,
	columns: number,
	colour: boolean,
): string[] {
	const ceilingPpm = scenario.target.ceiling.value;
	const drawn = schedules.slice(0, MAX_PLOTS).flatMap(({ name, schedule }) => {
		const steadyState = periodicState(model, schedule);
		if (!steadyState.exists) return [];
		const cycle = periodSeconds(schedule) ?? steadyState.periodSeconds;
		const durationSeconds = schedule.kind === "cycle" ? 2 * cycle : cycle;
		const run = simulate(model, schedule, {
			start: steadyState.start,
			durationSeconds,
			sampleIntervalSeconds: durationSeconds / 2000,
		});
		return [{ name, schedule, durationSeconds, run, co2Ppm: cropPpm(run, steadyState.zone) }];
	});
	const highPpm = 1.05 * Math.max(ceilingPpm, ...drawn.flatMap(({ co2Ppm }) => Math.max(...co2Ppm)));
	const lowPpm = Math.min(model.intakePpm, ...drawn.flatMap(({ co2Ppm }) => Math.min(...co2Ppm)));
	return drawn.map(({ name, schedule, durationSeconds, run, co2Ppm }) => {
		const span = formatDuration(durationSeconds);
		const { timesSeconds } = run;
		const plot = { timesSeconds, co2Ppm, schedule, ceilingPpm, lowPpm, highPpm, span };
		return `${visible(name)}, CO₂ [ppm]\n${plotLines(plot, columns, colour).join("\n")}\n`;
	});
}

/** The run of the one schedule of a comparison from end to end. */
export function runPlot(
	{ model, scenario, schedules }: Comparison,
	{ start, startPpm, durationSeconds }: Omit<SimulateOptions, "sampleIntervalSeconds" | "sampleTimes">,
	columns: number,
	colour: boolean,
): string {
	const { name, schedule } = schedules[0]!;
	const { timesSeconds, co2Ppm } = sampleCurve(name, model, schedule, {
		fromSeconds: 0,
		toSeconds: durationSeconds,
		start: start ?? (startPpm === undefined ? initialState(model) : uniformState(model, startPpm)),
	});
	const ceilingPpm = scenario.target.ceiling.value;
	const lowPpm = co2Ppm.reduce((low, ppm) => Math.min(low, ppm), ceilingPpm);
	const highPpm = 1.05 * co2Ppm.reduce((high, ppm) => Math.max(high, ppm), ceilingPpm);
	const span = formatDuration(durationSeconds);
	const plot = { timesSeconds, co2Ppm, schedule, ceilingPpm, lowPpm, highPpm, span };
	return `CO₂ [ppm]\n${plotLines(plot, columns, colour).join("\n")}\n`;
}

/** CO2 in the zone of the crop [ppm]. */
const cropPpm = (run: Trajectory, zone: Summary["zone"]): Float64Array =>
	zone === "stagnant" ? (run.stagnantPpm ?? run.co2Ppm) : run.co2Ppm;
