import { formatDuration } from "../../units/format.ts";
import type { Schedule } from "./schedule.ts";
import { burstsPerDay } from "./timeline.ts";

/**
 * A schedule as a person says it.
 *
 * @param schedule when the fan is on
 * @returns one line
 * @throws never
 *
 * Source: this project.
 * @example inWords({ kind: "cycle", onSeconds: 4, offSeconds: 236 }) // => "4 s on, 3 min 56 s off, 360 bursts per day"
 */
export function inWords(schedule: Schedule): string {
	const bursts = (s: Schedule) => {
		const shown = burstCount(burstsPerDay(s));
		return `${shown} ${shown === "1" ? "burst" : "bursts"} per day`;
	};
	switch (schedule.kind) {
		case "continuous":
			return "on all the time";
		case "off":
			return "off all the time";
		case "cycle":
			if (schedule.onSeconds === 0) return "off all the time";
			if (schedule.offSeconds === 0) return "on all the time";
			return `${formatDuration(schedule.onSeconds)} on, ${formatDuration(schedule.offSeconds)} off, ${bursts(schedule)}`;
		case "daily": {
			const parts = schedule.parts.map(
				({ fromSeconds, schedule: part }) =>
					`from ${clock(fromSeconds)} ${inWords(part).replace(/, [\d.]+ bursts? per day$/, "")}`,
			);
			return `${parts.join("; ")}; ${bursts(schedule)}`;
		}
		case "switches": {
			const count = schedule.switchSeconds.length;
			const repeat =
				schedule.repeatSeconds === undefined
					? "played once"
					: `repeated every ${formatDuration(schedule.repeatSeconds)}`;
			return `a list of ${count} ${count === 1 ? "switch" : "switches"}, ${repeat}`;
		}
	}
}

/** Bursts per day as every text gives them: to a tenth below a hundred, whole from there on. */
export const burstCount = (bursts: number): string =>
	String(bursts < 100 ? Math.round(bursts * 10) / 10 : Math.round(bursts));

/** Time of day, "07:00". */
export function clock(seconds: number): string {
	const minutes = Math.floor(seconds / 60);
	const two = (n: number) => String(n).padStart(2, "0");
	const rest = seconds - minutes * 60;
	return `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}${rest > 0 ? `:${two(rest)}` : ""}`;
}
