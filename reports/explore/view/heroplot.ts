import { type Hero, narrowHero, wideHero } from "../../charts/section/hero.ts";
import type { Explored } from "../explored.ts";
import { PHONE } from "./dom.ts";
import { liveHero, liveReadings, steadyTop } from "./livehero.ts";

/** Draws the hero anew at each state, for the window that it is seen in; the axis stands still while a hand moves. */
export function heroPlot(
	box: Element,
	readings: Element,
	moment: HTMLInputElement,
): (explored: Explored) => void {
	let last: Explored | undefined;
	let held = 0;
	let drawn: Hero | undefined;
	let isRead = false;
	const show = (explored: Explored): void => {
		last = explored;
		const hero = liveHero(explored);
		held = steadyTop(hero, held);
		const steady = { ...hero, levels: [held] };
		box.innerHTML = (PHONE.matches ? narrowHero(steady) : wideHero(steady)).html;
		drawn = hero;
		if (isRead) read();
	};
	const read = (): void => {
		if (drawn !== undefined) readings.textContent = JSON.stringify(liveReadings(drawn));
		moment.dispatchEvent(new Event("input"));
	};
	// Nobody awaits what the line reads before it is used: a drag is quicker without.
	moment.addEventListener(
		"focus",
		() => {
			isRead = true;
			read();
		},
		true,
	);
	PHONE.addEventListener("change", () => last !== undefined && show(last));
	return show;
}
