import type { Picture } from "./picture.ts";

const two = (value: number): string => String(value).padStart(2, "0");

/** A moment of a picture in words: `31 min 20 s`, `06:12:30`. */
export function timeInWords({ clock, originSeconds }: Picture, timeSeconds: number): string {
	const seconds = Math.round(timeSeconds - originSeconds);
	const h = Math.floor(seconds / 3600);
	const min = Math.floor(seconds / 60) % 60;
	const s = seconds % 60;
	if (clock === "time of day") return `${two(h % 24)}:${two(min)}:${two(s)}`;
	return h > 0 ? `${h} h ${two(min)} min ${two(s)} s` : min > 0 ? `${min} min ${two(s)} s` : `${s} s`;
}
