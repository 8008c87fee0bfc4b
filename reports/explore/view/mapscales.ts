import { power } from "../../../lib/power.ts";
import { DAY } from "../../../lib/time.ts";
import { roundSeconds, type Scale } from "../scale.ts";
import { clamp } from "./handle.ts";

/** Edges of the map in its drawing [px]: above and below the plot, its height, left and right of it. */
export const MAP = { top: 28, height: 260, foot: 44, left: 50, right: 12 } as const;

/** Times that an axis may name. */
export const TICKS: readonly (readonly [seconds: number, text: string])[] = [
	[0.1, "0.1 s"],
	[1, "1 s"],
	[3, "3 s"],
	[10, "10 s"],
	[30, "30 s"],
	[60, "1 min"],
	[180, "3 min"],
	[600, "10 min"],
	[1800, "30 min"],
	[3600, "1 h"],
	[10_800, "3 h"],
	[21_600, "6 h"],
	[DAY, "1 d"],
	[604_800, "7 d"],
];

/** Where on- and off-times stand on a map of some width; both axes are logarithmic. */
export interface MapScales {
	readonly on: Scale;
	readonly off: Scale;
	/** Width of the plot [px]. */
	readonly plot: number;
	/** Of an off-time, of an on-time [px]. */
	readonly x: (offSeconds: number) => number;
	readonly y: (onSeconds: number) => number;
	/** The setting at a place of the drawing, held within the map. */
	readonly settingAt: (x: number, y: number) => { readonly onSeconds: number; readonly offSeconds: number };
}

export const mapScales = (on: Scale, off: Scale, plot: number): MapScales => ({
	on,
	off,
	plot,
	x: (seconds) => MAP.left + (plot * Math.log(seconds / off.low)) / Math.log(off.high / off.low),
	y: (seconds) => MAP.top + MAP.height * (1 - Math.log(seconds / on.low) / Math.log(on.high / on.low)),
	settingAt: (x, y) => ({
		onSeconds: roundSeconds(on.low * power(on.high / on.low, clamp(1 - (y - MAP.top) / MAP.height, 0, 1))),
		offSeconds: roundSeconds(off.low * power(off.high / off.low, clamp((x - MAP.left) / plot, 0, 1))),
	}),
});
