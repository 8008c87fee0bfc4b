import type { ComparedSchedule, Comparison } from "../../lib/compare/compare.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { type Html, html } from "../page/html.ts";
import { below, htmlTable, yesNoCell } from "../page/table.ts";
import { whole } from "../words/format.ts";
import type { EvaluatedRun } from "../words/runverdict.ts";
import {
	basisShort,
	cropZoneName,
	HEADROOM_NOTE,
	headroomText,
	marginText,
	maxOffTimeWords,
} from "../words/verdict.ts";

/** Who is judged, the judged value and mean [ppm], and the headroom. */
interface VerdictRow {
	readonly name: string;
	readonly words: string;
	readonly isMet: boolean;
	readonly valuePpm: number;
	readonly meanPpm: number;
	readonly headroom: string;
}

function verdictRows(comparison: Comparison, first: string, rows: readonly VerdictRow[]): Html {
	const { criterion } = comparison.schedules[0]!.summary;
	const zone = cropZoneName(comparison);
	return html`${htmlTable(
		"judged",
		[first, "meets target", `${criterion.statistic}, ppm`, "margin, ppm", "headroom"],
		rows.map(({ name, words, isMet, valuePpm, meanPpm, headroom }) => [
			below(name, words),
			yesNoCell(isMet),
			whole(valuePpm),
			marginText(criterion, valuePpm, meanPpm),
			headroom.replace(" ", "\u00a0"),
		]),
		[2, 3, 4],
	)}
<p class="key">${zone !== null && `CO₂ where the crop stands: ${zone}. `}${HEADROOM_NOTE} ${maxOffTimeWords(comparison.maxOffSeconds)}</p>`;
}

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
	verdictRows(comparison, "schedule", comparison.schedules.map(longRun));

/** The verdict on one run, and on its schedule in the settled pattern. */
export function runVerdictTable(comparison: Comparison, { stats, valuePpm, isMet }: EvaluatedRun): Html {
	const compared = comparison.schedules[0]!;
	const words = formatDuration(stats.durationSeconds);
	return verdictRows(comparison, "values of", [
		{ name: "this run", words, isMet, valuePpm, meanPpm: stats.meanPpm, headroom: "–" },
		{ ...longRun(compared), name: basisShort(compared.summary) },
	]);
}
