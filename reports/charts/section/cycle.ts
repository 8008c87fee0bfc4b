import type { Model } from "../../../lib/model/chamber.ts";
import { fanSpeedFraction } from "../../../lib/model/fan/fanspeed.ts";
import { formatDuration } from "../../../lib/units/format.ts";
import { type Html, html } from "../../page/html.ts";
import {
	drawing,
	ground,
	levelMeasure,
	lintel,
	mark,
	measure,
	ppmRules,
	uprightMeasure,
	words,
} from "./marks.ts";
import { boxPath, linePath, type Point, tenth, thinCurve } from "./path.ts";
import { sawtooth, type Trace } from "./sawtooth.ts";
import { ppmScale, type TimeScale, timeScale } from "./scale.ts";

/** One cycle of the settled pattern: a burst a seventh of the cycle in, and the next at its end. */
export interface Cycle {
	readonly id: string;
	readonly title: string;
	readonly desc: string;
	readonly trace: Trace;
	readonly fromSeconds: number;
	/** Start of the burst [s]. */
	readonly burstSeconds: number;
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly toSeconds: number;
	readonly model: Model;
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
	readonly ceilingPpm: number;
	/** "88 ppm to spare", what a burst replaces, and what a burst moves, in words. */
	readonly spare: string;
	readonly replaced: string;
	readonly moved: string;
}

/** Flow of the fan over time, from none at the bottom to full at the top. */
function flowPath(
	{ model, burstSeconds, onSeconds, offSeconds }: Cycle,
	time: TimeScale,
	top: number,
	bottom: number,
): string {
	const points: Point[] = [];
	const period = onSeconds + offSeconds;
	let speed = 0;
	for (let start = burstSeconds - 2 * period; start < time.toSeconds; start += period)
		for (const [isOn, from, length] of [
			[true, start, onSeconds],
			[false, start + onSeconds, offSeconds],
		] as const) {
			for (let k = 0; k <= 40; k++) {
				// Crowded after the switch.
				const seconds = (length * k * k * k) / 64_000;
				const x = time.x(from + seconds);
				const y = bottom - (bottom - top) * fanSpeedFraction(model, isOn, speed, seconds);
				if (x >= time.left && x <= time.right) points.push([x, y]);
			}
			speed = fanSpeedFraction(model, isOn, speed, length);
		}
	return `${linePath([[time.left, bottom], ...thinCurve(points), [points.at(-1)?.[0] ?? time.left, bottom]])}Z`;
}

function parts(cycle: Cycle, isWide: boolean): { readonly height: number; readonly marks: readonly Html[] } {
	const { trace, peakPpm, meanPpm, troughPpm, ceilingPpm, onSeconds, offSeconds, burstSeconds } = cycle;
	const [left, right] = isWide ? [40, 630] : [34, 358];
	const time = timeScale(left, right, cycle.fromSeconds, cycle.toSeconds);
	const { intakePpm } = cycle.model;
	const scale = ppmScale(
		{ ceilingPpm, intakePpm, levels: [peakPpm, troughPpm] },
		{ top: 24, bottom: isWide ? 262 : 236 },
	);
	const [top, bottom] = isWide ? [306, 350] : [280, 320];
	const ceilingY = scale.y(ceilingPpm);
	const [peakY, troughY, meanY] = [scale.y(peakPpm), scale.y(troughPpm), scale.y(meanPpm)];
	const [onX, offX, endX] = [0, onSeconds, onSeconds + offSeconds].map((s) => time.x(burstSeconds + s)) as [
		number,
		number,
		number,
	];
	const isAbove = peakPpm > ceilingPpm;
	const flat = Math.abs(troughY - peakY) < 18;
	const ripple = `${Math.round(peakPpm - troughPpm)} ppm ripple`;
	// Words stand clear of one another: to spare, ripple, above the intake.
	const spareY = isAbove ? peakY - 8 : Math.min((ceilingY + peakY) / 2 + 5, peakY + 5);
	const rippleY = Math.max((peakY + troughY) / 2 + 5, spareY + 18);
	const baseY = Math.max((troughY + scale.bottom) / 2 + 5, rippleY + 18);
	const measures = isWide
		? [
				measure(scale, 646, peakPpm),
				words(isAbove ? "tf" : "th", [660, spareY], cycle.spare),
				flat ? html`` : uprightMeasure(646, peakY, troughY),
				words("i", [660, rippleY], ripple),
				uprightMeasure(646, troughY, scale.bottom),
				words("i", [660, baseY], `${Math.round(troughPpm - intakePpm)} over the intake`),
				mark("ext", `M${tenth(endX)} ${tenth(peakY)}H646M${tenth(offX)} ${tenth(troughY)}H646`),
			]
		: [
				measure(scale, (offX + endX) / 2 + 90, peakPpm),
				words(
					isAbove ? "tf hal" : "th hal",
					[
						(offX + endX) / 2 + 80,
						isAbove ? Math.max(14, (ceilingY + peakY) / 2) : (ceilingY + peakY) / 2 + 5,
					],
					cycle.spare,
					"end",
				),
			];
	const isShort = endX - offX < 120;
	return {
		height: bottom + (isWide ? 46 : 46),
		marks: [
			...ppmRules(scale, 0, right, [meanY - 6]),
			ground(scale.bottom, 0, right),
			lintel(scale, 0, right, 7),
			mark("ext", `M${left} ${tenth(meanY)}H${right}`),
			sawtooth(trace, time, scale, { className: "cu", thickness: 7, cycleSeconds: null }),
			words("l hal", [offX + (endX - offX) * 0.2, meanY - 6], `mean ${Math.round(meanPpm)}`),
			words("b hal", [0, ceilingY - 13], `ceiling ${Math.round(ceilingPpm)} ppm`),
			words("i", [0, scale.bottom + 24], `intake air ${Math.round(intakePpm)} ppm`),
			...measures,
			troughY + 26 < scale.bottom
				? words("i hal", [Math.min(offX + 12, right - 190), troughY + 24], cycle.replaced)
				: html``,
			mark("track", boxPath(left, top, right, bottom)),
			mark("fan", flowPath(cycle, time, top, bottom)),
			mark("base", `M${left} ${bottom}H${right}`),
			words("l", [0, bottom - 3], "fan"),
			isShort ? html`` : words("l hal", [Math.min(offX + 24, right - 200), top + 18], cycle.moved),
			levelMeasure(bottom + 16, onX, offX),
			levelMeasure(bottom + 16, offX, endX),
			words("b", [Math.max((onX + offX) / 2, 26), bottom + 38], `on ${formatDuration(onSeconds)}`, "middle"),
			words(
				"b",
				[Math.max((offX + endX) / 2, (onX + offX) / 2 + 120), bottom + 38],
				`off ${formatDuration(offSeconds)}`,
				"middle",
			),
		],
	};
}

export const cycleDrawings = (cycle: Cycle): Html =>
	html`${([true, false] as const).map((isWide) => {
		const { height, marks } = parts(cycle, isWide);
		return drawing(
			{
				id: `${cycle.id}-${isWide ? "w" : "n"}`,
				className: isWide ? "wide" : "narrow",
				width: isWide ? 834 : 358,
				height,
				title: cycle.title,
				desc: cycle.desc,
			},
			marks,
		);
	})}`;
