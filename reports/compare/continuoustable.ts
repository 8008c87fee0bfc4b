import type { ComparedSchedule } from "../../lib/compare/compare.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { orNone, percentCell, whole } from "./cells.ts";

/** CO₂ with the same air and no pauses, and the extra CO₂ from pausing. */
export const continuousTable = (schedules: readonly ComparedSchedule[]): readonly Html[] => {
	const penalty = (value: number | null, base: number | null): Html | string =>
		value === null || base === null
			? "–"
			: html`${whole(value)} ppm<span class="words">${percentCell((100 * value) / base)}</span>`;
	const table = scrollBox(
		"Same air without pauses",
		html`<table class="${schedules.length <= 8 ? "small" : ""}">
<thead><tr><th scope="col">schedule</th><th scope="col" class="number">same air without pauses</th><th scope="col" class="number">extra CO₂ from pausing, mean</th><th scope="col" class="number">extra CO₂ from pausing, peak</th></tr></thead>
<tbody>${schedules.map(
			({ name, summary: s }) =>
				html`<tr><th scope="row">${name}</th><td class="number">${orNone(s.continuousPpm, (x) => `${whole(x)} ppm`)}</td><td class="number">${penalty(s.meanPenaltyPpm, s.continuousPpm)}</td><td class="number">${penalty(s.peakPenaltyPpm, s.continuousPpm)}</td></tr>\n`,
		)}</tbody>
</table>`,
	);
	return [
		html`<p>With the same fresh air per day in continuous flow, CO₂ settles at the value in the first column. Pausing adds the other two columns.</p>`,
		table,
	];
};
