import { power } from "../../../lib/power.ts";
import { roundSeconds, type Scale } from "../scale.ts";

/** Periods of a schedule [s]; null for one without a cycle. */
export type OnOffTimes = { readonly onSeconds: number; readonly offSeconds: number } | null;

export const clamp = (value: number, low: number, high: number): number =>
	Math.max(low, Math.min(high, value));

/** A time one key press longer or shorter [s]: by some per cent, and never by less than can be keyed in. */
function stepped(seconds: number, times: number, factor: number): number {
	if (times === 0) return seconds;
	const next = roundSeconds(seconds * power(factor, times));
	const least = seconds < 10 ? 0.1 : seconds < 60 ? 0.5 : 1;
	return next === seconds ? seconds + times * least : next;
}

/** Makes a point of the map follow the pointer, and the arrow keys. */
export function handle(
	point: SVGElement,
	on: Scale,
	off: Scale,
	act: {
		readonly now: () => OnOffTimes;
		readonly move: (onSeconds: number, offSeconds: number) => void;
		readonly moveTo: (clientX: number, clientY: number) => void;
	},
): void {
	point.addEventListener("pointerdown", (event) => {
		if (event.button !== 0) return;
		point.setPointerCapture(event.pointerId);
		event.preventDefault();
		point.focus({ preventScroll: true });
	});
	point.addEventListener("pointermove", ({ pointerId, clientX, clientY }) => {
		if (point.hasPointerCapture(pointerId)) act.moveTo(clientX, clientY);
	});
	point.addEventListener("keydown", (event) => {
		const { key, shiftKey } = event;
		const right = key === "ArrowRight" ? 1 : key === "ArrowLeft" ? -1 : 0;
		const up = key === "ArrowUp" ? 1 : key === "ArrowDown" ? -1 : 0;
		const now = act.now();
		if (now === null || (right === 0 && up === 0)) return;
		event.preventDefault();
		const factor = shiftKey ? 1.25 : 1.04;
		act.move(
			clamp(stepped(now.onSeconds, up, factor), on.low, on.high),
			clamp(stepped(now.offSeconds, right, factor), off.low, off.high),
		);
	});
}
