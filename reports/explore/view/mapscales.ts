import { power } from "../../../lib/power.ts";
import { roundSeconds, type Scale } from "../scale.ts";
import { clamp } from "./handle.ts";

/** Edges of the map in its drawing [px]: above and below the plot, its height, left and right of it. */
export const MAP = { top: 28, height: 260, foot: 44, left: 50, right: 12 } as const;

/** Times that an axis may name [s]. */
export const TICKS: readonly number[] = [
	0.1, 1, 3, 10, 30, 60, 180, 600, 1800, 3600, 10_800, 21_600, 86_400, 604_800,
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
