import { DAY } from "../../lib/time.ts";

const two = (value: number): string => String(value).padStart(2, "0");

/** A time since the start [s] in words: `31 min 20 s`, `2 d 3 h 00 min`; by the clock `06:12:30`. */
export function timeInWords(timeSeconds: number, isTimeOfDay: boolean): string {
	const seconds = Math.round(timeSeconds);
	const d = Math.floor(seconds / DAY);
	const h = Math.floor(seconds / 3600) % 24;
	const min = Math.floor(seconds / 60) % 60;
	const s = seconds % 60;
	if (isTimeOfDay) return `${two(h)}:${two(min)}:${two(s)}`;
	if (d > 0) return `${d} d ${h} h ${two(min)} min`;
	return h > 0 ? `${h} h ${two(min)} min ${two(s)} s` : min > 0 ? `${min} min ${two(s)} s` : `${s} s`;
}
