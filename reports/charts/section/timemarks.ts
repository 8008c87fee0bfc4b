import { formatDuration } from "../../../lib/units/format.ts";
import type { Html } from "../../page/html.ts";
import { words } from "./marks.ts";
import type { TimeScale } from "./scale.ts";

const STEPS = [
	1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200, 86_400, 172_800,
	604_800, 1_209_600, 2_419_200, 4_838_400, 9_676_800, 31_536_000,
];

/** "06:00" of a time since midnight [s]. */
export const clockText = (seconds: number): string => {
	const minutes = Math.round(seconds / 60);
	const two = (value: number): string => String(value).padStart(2, "0");
	return `${two(Math.floor(minutes / 60) % 24)}:${two(minutes % 60)}`;
};

/** Round times on an axis, so many at most. */
export function timeTicks(time: TimeScale, most: number): readonly number[] {
	const length = time.toSeconds - time.fromSeconds;
	const step = STEPS.find((size) => length / size <= most + 1e-9) ?? STEPS.at(-1)!;
	const first = Math.ceil(time.fromSeconds / step - 1e-9) * step;
	return Array.from(
		{ length: Math.floor((time.toSeconds - first) / step + 1e-9) + 1 },
		(_, k) => first + k * step,
	);
}

/** Times below the lowest strip, which is the axis. */
export const timeLabels = (time: TimeScale, y: number, most: number, isTimeOfDay: boolean): readonly Html[] =>
	timeTicks(time, most).map((seconds) => {
		const x = time.x(seconds);
		const anchor = x < time.left + 12 ? "start" : x > time.right - 24 ? "end" : "middle";
		const text = isTimeOfDay ? clockText(seconds) : seconds === 0 ? "0" : formatDuration(seconds);
		return words("l", [x, y], text, anchor);
	});
