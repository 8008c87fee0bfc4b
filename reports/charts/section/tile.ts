import { type Html, html } from "../../page/html.ts";
import { type Burst, fanStrip } from "./fanstrip.ts";
import { drawing, ground, lintel, words } from "./marks.ts";
import { breakMark, doubtBand, sawtooth, type Trace } from "./sawtooth.ts";
import { type PpmScale, timeScale } from "./scale.ts";

/** One schedule in a small drawing beside others on the same scale. */
export interface Tile {
	readonly id: string;
	readonly className?: "tile" | "wide" | "narrow";
	readonly width?: number;
	readonly title: string;
	readonly trace: Trace;
	readonly windowSeconds: number;
	readonly cycleSeconds: number | null;
	readonly peakPpm: number;
	/** Words at a right upper corner instead of the peak; null: none. */
	readonly corner?: string | null;
	readonly band?: { readonly low: Trace; readonly high: Trace } | null;
	/** The fan, and what stands below it; default: no strip. */
	readonly fan?: {
		readonly bursts: readonly Burst[];
		readonly fullPercent: number;
		readonly words: string;
		readonly end: string;
	};
}

/** Below the ground [px]: depth of its hatch, and the strip with its words. */
const FOOT = { bare: 8, fan: 56 };

/** A tile; all tiles of a page share the scale, whose top leaves room for a line of words. */
export function tile(
	{
		id,
		className = "tile",
		width = 190,
		title,
		trace,
		windowSeconds,
		cycleSeconds,
		peakPpm,
		corner,
		band = null,
		fan,
	}: Tile,
	scale: PpmScale,
): Html {
	const time = timeScale(0, width, 0, windowSeconds);
	const isAbove = peakPpm > scale.ceilingPpm;
	const text = corner === undefined ? String(Math.round(peakPpm)) : corner;
	const top = scale.bottom + 14;
	const ceilingY = scale.y(scale.ceilingPpm);
	// A peak above the ceiling is named above its curve, one below it above the ceiling.
	const textY = isAbove ? Math.max(14, scale.y(peakPpm) - 8) : ceilingY - 10;
	return drawing(
		{ id, className, width, height: scale.bottom + (fan === undefined ? FOOT.bare : FOOT.fan), title },
		ground(scale.bottom, 0, width, 6),
		band !== null && doubtBand(band, time, scale, { cycleSeconds, isSubject: true }),
		lintel(scale, 0, width, 5),
		sawtooth(trace, time, scale, { className: "thin", thickness: 5, cycleSeconds }),
		peakPpm > 1.01 * scale.topPpm && breakMark(width / 2, scale.top),
		text !== null &&
			words(band !== null ? "td hal" : isAbove ? "tf hal" : "th hal", [width, textY], text, "end"),
		fan !== undefined &&
			html`${fanStrip(fan.bursts, time, top, top + 20, fan.fullPercent)}${words("l", [0, top + 36], "0")}${words("l", [width / 2, top + 36], fan.words, "middle")}${words("l", [width, top + 36], fan.end, "end")}`,
	);
}
