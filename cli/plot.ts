import { periodSeconds } from "../lib/model/schedule.ts";
import { periodicState } from "../lib/solve/periodic.ts";
import { simulate, type Trajectory } from "../lib/solve/simulate.ts";
import type { Summary } from "../lib/solve/summary.ts";
import type { Comparison } from "../lib/study/compare.ts";
import { formatDuration } from "../lib/units.ts";
import { visible, widthOf } from "./print.ts";

/** One sawtooth in characters: CO2 as a filled line, the ceiling as a dashed one, the fan's bursts below. */
export interface TextPlot {
	/** Ascending [s]. */
	readonly timesSeconds: ArrayLike<number>;
	/** [ppm] */
	readonly co2Ppm: ArrayLike<number>;
	/** 1 where the fan is on, of the same length. */
	readonly fanOn: ArrayLike<number>;
	readonly ceilingPpm: number;
	/** Ends of the CO2 axis [ppm]; the same for plots that are to be compared. */
	readonly lowPpm: number;
	readonly highPpm: number;
	/** Length of the time axis in words. */
	readonly span: string;
}

const rows = 8;
const eighths = " ▁▂▃▄▅▆▇█";
const red = (text: string): string => `\u001b[31m${text}\u001b[39m`;
const green = (text: string): string => `\u001b[32m${text}\u001b[39m`;

/** The plot in lines of at most `columns` characters; colour only sets off what stands above the ceiling. */
export function plotLines(plot: TextPlot, columns: number, colour: boolean): string[] {
	const { lowPpm, highPpm, ceilingPpm, timesSeconds } = plot;
	const labels = [highPpm, ceilingPpm, lowPpm].map((ppm) => String(Math.round(ppm)));
	const margin = Math.max(...labels.map((label) => label.length), "fan".length);
	const width = Math.max(10, Math.min(columns, 100) - margin - 2 - " ceiling".length);
	const { level, on } = columnsOf(plot, width);

	const ceilingRow = rowOf(ceilingPpm, lowPpm, highPpm);
	const lines: string[] = [];
	for (let row = rows - 1; row >= 0; row -= 1) {
		const label =
			row === ceilingRow ? labels[1]! : row === rows - 1 ? labels[0]! : row === 0 ? labels[2]! : "";
		const cells = level.map((ppm) => {
			const filled = Math.round(((ppm - lowPpm) / (highPpm - lowPpm)) * rows * 8) - row * 8;
			if (filled <= 0) return row === ceilingRow ? "╌" : " ";
			const cell = eighths[Math.min(8, filled)]!;
			if (!colour) return cell;
			return ppm > ceilingPpm && row >= ceilingRow ? red(cell) : green(cell);
		});
		const tail = row === ceilingRow ? " ceiling" : "";
		lines.push(
			`${label.padStart(margin)} ${row === ceilingRow ? "┼" : "│"}${cells.join("")}${tail}`.trimEnd(),
		);
	}
	lines.push(`${"fan".padStart(margin)} │${on.map((isOn) => (isOn ? "▀" : " ")).join("")}`.trimEnd());
	const start = "0";
	const gap = Math.max(1, width - widthOf(start) - widthOf(plot.span));
	lines.push(`${" ".repeat(margin + 2)}${start}${" ".repeat(gap)}${plot.span}`);
	return timesSeconds.length === 0 ? [] : lines;
}

const rowOf = (ppm: number, low: number, high: number): number =>
	Math.min(rows - 1, Math.max(0, Math.floor(((ppm - low) / (high - low)) * rows)));

/** The highest CO2 of each character column, and whether the fan runs in it. */
function columnsOf(plot: TextPlot, width: number): { level: number[]; on: boolean[] } {
	const { timesSeconds, co2Ppm, fanOn } = plot;
	const level: number[] = new Array(width).fill(Number.NEGATIVE_INFINITY);
	const on: boolean[] = new Array(width).fill(false);
	const first = timesSeconds[0] ?? 0;
	const last = timesSeconds[timesSeconds.length - 1] ?? 0;
	for (let i = 0; i < timesSeconds.length; i += 1) {
		const column = Math.min(
			width - 1,
			Math.floor(((timesSeconds[i]! - first) / (last - first || 1)) * width),
		);
		level[column] = Math.max(level[column]!, co2Ppm[i]!);
		if (fanOn[i] === 1) on[column] = true;
	}
	// A column without a sample of its own goes on from the one before it.
	for (let column = 1; column < width; column += 1)
		if (level[column] === Number.NEGATIVE_INFINITY) level[column] = level[column - 1]!;
	return { level, on };
}

/** Two cycles of the regime of each schedule, one below the other on the same CO2 axis; "" when none has a regime. */
export function regimePlots(
	{ model, scenario, schedules }: Comparison,
	columns: number,
	colour: boolean,
): string {
	const ceilingPpm = scenario.target.ceiling.value;
	const drawn = schedules.flatMap(({ name, schedule }) => {
		const regime = periodicState(model, schedule);
		if (!regime.exists) return [];
		const cycle = periodSeconds(schedule) ?? regime.periodSeconds;
		const durationSeconds = schedule.kind === "cycle" ? 2 * cycle : cycle;
		const run = simulate(model, schedule, {
			start: regime.start,
			durationSeconds,
			sampleSeconds: durationSeconds / 2000,
		});
		return [{ name, durationSeconds, run, co2Ppm: cropPpm(run, regime.zone) }];
	});
	const highPpm = 1.05 * Math.max(ceilingPpm, ...drawn.flatMap(({ co2Ppm }) => Math.max(...co2Ppm)));
	const lowPpm = Math.min(model.supplyPpm, ...drawn.flatMap(({ co2Ppm }) => Math.min(...co2Ppm)));
	return drawn
		.map(({ name, durationSeconds, run, co2Ppm }) => {
			const span = formatDuration(durationSeconds);
			const plot = { ...run, co2Ppm, ceilingPpm, lowPpm, highPpm, span };
			return `${visible(name)}, CO2 [ppm]\n${plotLines(plot, columns, colour).join("\n")}\n`;
		})
		.join("\n");
}

/** One run from end to end. */
export function runPlot(
	run: Trajectory,
	zone: Summary["zone"],
	ceilingPpm: number,
	columns: number,
	colour: boolean,
): string {
	const co2Ppm = cropPpm(run, zone);
	let lowPpm = Number.POSITIVE_INFINITY;
	let highPpm = ceilingPpm;
	for (const ppm of co2Ppm) {
		lowPpm = Math.min(lowPpm, ppm);
		highPpm = Math.max(highPpm, ppm);
	}
	const span = formatDuration(run.timesSeconds.at(-1) ?? 0);
	const plot = {
		...run,
		co2Ppm,
		ceilingPpm,
		lowPpm: Math.min(lowPpm, ceilingPpm),
		highPpm: 1.05 * highPpm,
		span,
	};
	return `CO2 [ppm]\n${plotLines(plot, columns, colour).join("\n")}\n`;
}

/** CO2 in the zone of the crop [ppm]. */
export const cropPpm = (run: Trajectory, zone: Summary["zone"]): Float64Array =>
	zone === "stagnant" ? (run.stagnantPpm ?? run.co2Ppm) : run.co2Ppm;
