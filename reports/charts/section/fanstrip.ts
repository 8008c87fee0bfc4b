import { type Html, html } from "../../page/html.ts";
import { mark } from "./marks.ts";
import { boxPath, tenth } from "./path.ts";
import type { TimeScale } from "./scale.ts";

/** The fan is on from one time to another [s]. */
export interface Burst {
	readonly startSeconds: number;
	readonly endSeconds: number;
}

/** Closer than this [px], bursts are drawn as bars as high as the share of time on. */
const MIN_PITCH_PX = 4;
/** Narrowest burst [px]. */
const MIN_BURST_PX = 1.6;
const FULL_HEIGHTS = [5, 10, 25, 50, 100];

const pitchPx = (bursts: readonly Burst[], time: TimeScale): number =>
	bursts.length < 2
		? Number.POSITIVE_INFINITY
		: (time.x(bursts.at(-1)!.startSeconds) - time.x(bursts[0]!.startSeconds)) / (bursts.length - 1);

/** Whether the bursts of a strip stand too close together to be drawn one by one. */
export const isDutyStrip = (bursts: readonly Burst[], time: TimeScale): boolean =>
	pitchPx(bursts, time) < MIN_PITCH_PX;

/** Share of the time on of whole cycles, gathered until a bar is wide enough: cut cycles would beat. */
function dutyBars(
	bursts: readonly Burst[],
	time: TimeScale,
): { from: number; to: number; percent: number }[] {
	const bars: { from: number; to: number; percent: number }[] = [];
	for (let i = 0; i < bursts.length; ) {
		const from = i;
		let on = 0;
		const startX = time.x(bursts[from]!.startSeconds);
		do {
			on += bursts[i]!.endSeconds - bursts[i]!.startSeconds;
			i++;
		} while (i < bursts.length && time.x(bursts[i]!.startSeconds) - startX < MIN_PITCH_PX);
		const end = bursts[i]?.startSeconds ?? Math.max(bursts[i - 1]!.endSeconds, time.toSeconds);
		bars.push({
			from: Math.max(startX, time.left),
			to: Math.min(time.x(end), time.right),
			percent: (100 * on) / (end - bursts[from]!.startSeconds),
		});
	}
	return bars;
}

/** Full height of the strips of a page whose bursts stand close: the least of a few round shares that holds them all [%]. */
export function fullHeightPercent(strips: readonly (readonly Burst[])[], time: TimeScale): number {
	const most = Math.max(
		0,
		...strips
			.filter((bursts) => isDutyStrip(bursts, time))
			.flatMap((bursts) => dutyBars(bursts, time).map(({ percent }) => percent)),
	);
	return FULL_HEIGHTS.find((height) => height >= most - 1e-9) ?? 100;
}

/** When the fan is on: a bar a burst, its width the on-time; where bursts stand closer, bars as high as the share of time on. */
export function fanStrip(
	bursts: readonly Burst[],
	time: TimeScale,
	top: number,
	bottom: number,
	fullPercent = 100,
): Html {
	const bars = isDutyStrip(bursts, time)
		? dutyBars(bursts, time).map(({ from, to, percent }) =>
				boxPath(from, bottom - (bottom - top) * Math.min(1, percent / fullPercent), to, bottom),
			)
		: bursts
				.filter(
					({ startSeconds, endSeconds }) => endSeconds > time.fromSeconds && startSeconds < time.toSeconds,
				)
				.map(({ startSeconds, endSeconds }) => {
					const left = Math.max(time.x(startSeconds), time.left);
					const right = Math.min(Math.max(time.x(endSeconds), left + MIN_BURST_PX), time.right);
					return boxPath(Math.min(left, right - MIN_BURST_PX), top, right, bottom);
				});
	return html`${mark("track", boxPath(time.left, top, time.right, bottom))}${mark("fan", bars.join(""))}${mark("base", `M${tenth(time.left)} ${tenth(bottom)}H${tenth(time.right)}`)}`;
}
