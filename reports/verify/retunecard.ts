import type { Verification } from "../../lib/fit/verification.ts";
import { DEFAULT_TIMER, type DisplayValue, displayGrids } from "../../lib/model/schedule/timer.ts";
import { CARD_CAUTION, type CardOptions, timerSettingPanel } from "../choose/card.ts";
import { type Html, html } from "../page/html.ts";
import { formatPpm } from "../words/format.ts";
import { retuneChance } from "./verifywords.ts";

/** The display values of a setting; null where the timer cannot show it. */
function findDisplayValues(
	{ scenario }: Verification,
	onSeconds: number,
	offSeconds: number,
): { readonly on: DisplayValue; readonly off: DisplayValue } | null {
	for (const { on, off } of displayGrids(scenario.timer ?? DEFAULT_TIMER)) {
		const [onValue, offValue] = [
			on.find(({ seconds }) => Math.abs(seconds - onSeconds) < 1e-6),
			off.find(({ seconds }) => Math.abs(seconds - offSeconds) < 1e-6),
		];
		if (onValue !== undefined && offValue !== undefined) return { on: onValue, off: offValue };
	}
	return null;
}

/** The timer setting for the crop as it is now; null where the present one is still right. */
export function retuneCard(verification: Verification, { date }: CardOptions): Html | null {
	const { retune, scenario } = verification;
	if (retune === null) return null;
	const displayValues = findDisplayValues(verification, retune.onSeconds, retune.offSeconds);
	const { on, ceiling } = scenario.target;
	return html`<article class="card" aria-label="Timer setting for today">
<p class="card-head"><strong>Timer setting for today</strong> <span>${date}</span></p>
<p class="card-name">${scenario.name}</p>
${
	displayValues !== null &&
	html`${timerSettingPanel("ON", "fan runs", displayValues.on)}
${timerSettingPanel("OFF", "fan rests", displayValues.off)}`
}
<p class="card-facts">${retune.inWords}. Target: ${on} under ${formatPpm(ceiling.value)} with the crop as it is now. Predicted ${on}: ${formatPpm(retune.criterionPpm)}. ${retuneChance(retune)}</p>
<p class="card-caution">${CARD_CAUTION}</p>
</article>`;
}
