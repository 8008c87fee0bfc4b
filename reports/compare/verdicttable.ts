import type { ComparedSchedule, Comparison } from "../../lib/compare/compare.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { type Html, html } from "../page/html.ts";
import type { EvaluatedRun } from "../words/runverdict.ts";
import { basisShort, cropZoneName, HEADROOM_NOTE, headroomText, maxOffTimeWords } from "../words/verdict.ts";
import { marginText, whole, yesNo } from "./cells.ts";

interface VerdictRow {
	readonly name: string;
	readonly words: string;
	readonly isMet: boolean;
	readonly valuePpm: number;
	readonly meanPpm: number;
	readonly headroom: string;
}

const verdictRows = (comparison: Comparison, rows: readonly VerdictRow[], first: string): Html => {
	const criterion = comparison.schedules[0]?.summary.criterion;
	if (criterion === undefined) return html``;
	const zone = cropZoneName(comparison);
	return html`<table class="judged">
<thead><tr><th scope="col">${first}</th><th scope="col">meets target</th><th scope="col" class="number">${criterion.statistic}, ppm</th><th scope="col" class="number">margin, ppm</th><th scope="col" class="number">headroom</th></tr></thead>
<tbody>${rows.map(
		({ name, words, isMet, valuePpm, meanPpm, headroom }) =>
			html`<tr><th scope="row">${name}<span class="words">${words}</span></th><td class="${isMet ? "yes" : "no"}">${yesNo(isMet)}</td><td class="number">${whole(valuePpm)}</td><td class="number">${marginText(criterion, valuePpm, meanPpm)}</td><td class="number">${headroom.replace(" ", "\u00a0")}</td></tr>\n`,
	)}</tbody>
</table>
<p class="key">${zone !== null && `CO₂ where the crop stands: ${zone}. `}${HEADROOM_NOTE} ${maxOffTimeWords(comparison.maxOffSeconds)}</p>`;
};

const longRun = ({ name, inWords, summary }: ComparedSchedule): VerdictRow => ({
	name,
	words: inWords,
	isMet: summary.criterion.isMet,
	valuePpm: summary.criterion.valuePpm,
	meanPpm: summary.meanPpm,
	headroom: headroomText(summary.criterion.headroomFactor),
});

/** The verdict on each schedule. */
export const verdictTable = (comparison: Comparison): Html =>
	verdictRows(comparison, comparison.schedules.map(longRun), "schedule");

/** The verdict on one run, and on its schedule in the settled pattern. */
export const runVerdictTable = (comparison: Comparison, { stats, valuePpm, isMet }: EvaluatedRun): Html => {
	const compared = comparison.schedules[0]!;
	return verdictRows(
		comparison,
		[
			{
				name: "this run",
				words: formatDuration(stats.durationSeconds),
				isMet,
				valuePpm,
				meanPpm: stats.meanPpm,
				headroom: "–",
			},
			{ ...longRun(compared), name: basisShort(compared.summary) },
		],
		"values of",
	);
};
