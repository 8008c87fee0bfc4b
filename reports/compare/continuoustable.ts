import type { ComparedSchedule } from "../../lib/compare/comparison.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { below, htmlTable } from "../page/table.ts";
import { orNone, percentCell, whole } from "../words/format.ts";

/** CO₂ with the same air and no pauses, and the extra CO₂ from pausing. */
export function continuousTable(schedules: readonly ComparedSchedule[]): readonly Html[] {
	const ppm = (value: number): string => `${whole(value)} ppm`;
	const penalty = (value: number | null, base: number | null): Html | string =>
		value === null || base === null ? "–" : below(ppm(value), percentCell((100 * value) / base));
	return [
		html`<p>With the same fresh air per day in continuous flow, CO₂ settles at the value in the first column. Pausing adds the other two columns.</p>`,
		scrollBox(
			"Same air without pauses",
			htmlTable(
				schedules.length <= 8 ? "small" : "",
				[
					"schedule",
					"same air without pauses",
					"extra CO₂ from pausing, mean",
					"extra CO₂ from pausing, peak",
				],
				schedules.map(({ name, summary: { continuousPpm, meanPenaltyPpm, peakPenaltyPpm } }) => [
					name,
					orNone(continuousPpm, ppm),
					penalty(meanPenaltyPpm, continuousPpm),
					penalty(peakPenaltyPpm, continuousPpm),
				]),
				[1, 2, 3],
			),
		),
	];
}
