import type { Verification } from "../../lib/fit/fittypes.ts";
import { type Dial, dialGrids, PLAIN_TIMER } from "../../lib/model/schedule/timer.ts";
import { CARD_CAUTION, type CardOptions, period } from "../choose/card.ts";
import { type Html, html } from "../page/html.ts";
import { ppm } from "../words/verdict.ts";

/** The pair of dials that shows a setting; null where the timer cannot. */
function dialsOf(
	{ scenario }: Verification,
	onSeconds: number,
	offSeconds: number,
): { readonly on: Dial; readonly off: Dial } | null {
	for (const { on, off } of dialGrids(scenario.timer ?? PLAIN_TIMER)) {
		const [onDial, offDial] = [
			on.find(({ seconds }) => Math.abs(seconds - onSeconds) < 1e-6),
			off.find(({ seconds }) => Math.abs(seconds - offSeconds) < 1e-6),
		];
		if (onDial !== undefined && offDial !== undefined) return { on: onDial, off: offDial };
	}
	return null;
}

/** What to key in today, for the crop as it is now; null where the setting that ran still serves. */
export function retuneCard(verification: Verification, { date }: CardOptions): Html | null {
	const { retune, scenario } = verification;
	if (retune === null) return null;
	const dials = dialsOf(verification, retune.onSeconds, retune.offSeconds);
	const { on, ceiling } = scenario.target;
	return html`<article class="card" aria-label="Setting for today">
<p class="card-head"><strong>Timer setting for today</strong> <span>${date}</span></p>
<p class="card-name">${scenario.name}</p>
${
	dials !== null &&
	html`${period("ON", "fan runs", dials.on)}
${period("OFF", "fan rests", dials.off)}`
}
<p class="card-facts">${retune.inWords}. Meant to hold the ceiling of ${ppm(ceiling.value)} on the ${on} with the crop as it is now; the model gives ${ppm(retune.judgedPpm)}.</p>
<p class="card-caution">${CARD_CAUTION}</p>
</article>`;
}
