import type { ComparedSchedule, Comparison } from "../../lib/compare/compare.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import type { ConcentrationStats } from "../../lib/solve/propagate/solutionsegment.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import type { EvaluatedRun } from "../words/runverdict.ts";
import {
	basisShort,
	basisWords,
	cropZoneName,
	HEADROOM_NOTE,
	headroomText,
	maxOffTimeWords,
	roundDuration,
} from "../words/verdict.ts";

const whole = (value: number): string => {
	const rounded = Math.round(value);
	return Math.abs(rounded) >= 10_000 ? rounded.toLocaleString("en-US") : String(rounded === 0 ? 0 : rounded);
};
const short = (value: number): string => String(Number(value.toPrecision(3)));
/** To a tenth; what is more than nothing never reads as nothing. */
const percentCell = (value: number): string =>
	value > 0 && value < 0.05 ? "< 0.1 %" : `${value === 0 ? 0 : value.toFixed(1)} %`;
const orNone = <T>(value: T | null, format: (value: T) => string, none = "–"): string =>
	value === null ? none : format(value);

/** `66 below`, `340 above`, `12 below the floor`. */
const marginText = (
	{ ceilingPpm, floorPpm }: Summary["criterion"],
	valuePpm: number,
	meanPpm: number,
): string => {
	const over = valuePpm - ceilingPpm;
	if (over > 0) return `${over < 0.5 ? "< 1" : whole(over)} above`;
	if (floorPpm !== null && meanPpm < floorPpm) return `${whole(floorPpm - meanPpm)} below the floor`;
	return `${whole(-over)} below`;
};

const yesNo = (within: boolean): string => (within ? "✓ yes" : "✗ no");

interface Row {
	readonly label: string;
	readonly unit: string;
	readonly cell: (summary: Summary) => string;
	/** The same of a run, where a run has it. */
	readonly ofRun?: (run: EvaluatedRun) => string;
}
interface RowGroup {
	readonly heading: string;
	readonly rows: readonly Row[];
}

const fourStats = (
	pick: (summary: Summary) => ConcentrationStats | null,
	pickOfRun: (run: EvaluatedRun) => ConcentrationStats | null,
): Row[] =>
	(["peak", "mean", "trough", "ripple"] as const).map((figure) => {
		const show = (figures: ConcentrationStats | null) => orNone(figures, (f) => whole(f[`${figure}Ppm`]));
		return {
			label: figure,
			unit: "ppm",
			cell: (summary) => show(pick(summary)),
			ofRun: (run) => show(pickOfRun(run)),
		};
	});

const groups = ({ schedules, model }: Comparison, zone: string | null, units: UnitSystem): RowGroup[] => {
	const summaries = schedules.map(({ summary }) => summary);
	const criterion = summaries[0]?.criterion;
	const sensed = zone === null ? "" : `, in the ${model.sensorZone ?? "mixed"} zone`;
	return [
		{
			heading: zone === null ? "CO₂ at the crop" : `CO₂ where the crop stands: ${zone}`,
			rows: [
				...fourStats(
					(s) => s,
					({ stats }) => stats,
				),
				{
					label: "worst hour, mean",
					unit: "ppm",
					cell: (s) => whole(s.maxHourlyMeanPpm),
					ofRun: ({ stats }) => whole(stats.maxHourlyMeanPpm),
				},
			],
		},
		...(summaries.some((s) => s.sensor !== null)
			? [
					{
						heading: `As the sensor shows it${sensed}`,
						rows: fourStats(
							(s) => s.sensor,
							({ stats }) => stats.sensor,
						),
					},
				]
			: []),
		{
			heading: "Against the target",
			rows: [
				{
					label: "meets the target",
					unit: "",
					cell: (s) => yesNo(s.criterion.isMet),
					ofRun: ({ isMet }) => yesNo(isMet),
				},
				{
					label: `margin of the ${criterion?.statistic ?? "peak"} to the ceiling`,
					unit: "ppm",
					cell: (s) => marginText(s.criterion, s.criterion.valuePpm, s.meanPpm),
					...(criterion === undefined
						? {}
						: { ofRun: ({ valuePpm, stats }) => marginText(criterion, valuePpm, stats.meanPpm) }),
				},
				{
					label: "headroom",
					unit: "in CO₂ output",
					cell: (s) => headroomText(s.criterion.headroomFactor).replace(" ", "\u00a0"),
				},
				{
					label: "above the ceiling",
					unit: "per hour",
					cell: (s) => formatDuration(roundDuration(s.exceedanceSecondsPerHour)),
					ofRun: ({ stats }) => formatDuration(roundDuration(36 * stats.exceedancePercent)),
				},
				{
					label: "above the ceiling",
					unit: "of the time",
					cell: (s) => percentCell(s.exceedancePercent),
					ofRun: ({ stats }) => percentCell(stats.exceedancePercent),
				},
				...(summaries.some((s) => s.belowFloorPercent !== null)
					? [
							{
								label: "below the floor",
								unit: "per hour",
								cell: (s: Summary) =>
									orNone(s.belowFloorSecondsPerHour, (x) => formatDuration(roundDuration(x))),
							},
							{
								label: "below the floor",
								unit: "of the time",
								cell: (s: Summary) => orNone(s.belowFloorPercent, percentCell),
							},
						]
					: []),
				{
					label: "first time above the ceiling",
					unit: "from the start",
					cell: (s) => orNone(s.firstExceedanceSeconds, (x) => formatDuration(roundDuration(x)), "never"),
				},
				{
					label: "time to settle",
					unit: "from the start",
					cell: (s) => orNone(s.settlingSeconds, (x) => formatDuration(roundDuration(x)), "never"),
				},
			],
		},
		{
			heading: "Air exchange",
			rows: [
				{
					label: "fresh air",
					unit: "per day",
					cell: (s) => formatQuantity(s.freshAirM3PerDay, "volume", units),
				},
				{
					label: "leakage",
					unit: "per day",
					cell: (s) => formatQuantity(s.infiltrationM3PerDay, "volume", units),
				},
				{ label: "bursts", unit: "per day", cell: (s) => burstCount(s.burstsPerDay) },
				{ label: "air changes", unit: "per burst", cell: (s) => orNone(s.airChangesPerBurst, short) },
				{
					label: "air replaced",
					unit: "per burst",
					cell: (s) => orNone(s.replacedFraction, (x) => percentCell(100 * x)),
				},
				{ label: "air changes", unit: "per hour", cell: (s) => short(s.airChangesPerHour) },
			],
		},
	];
};

/** One column of values. */
interface Column {
	readonly name: string;
	readonly words: string;
	readonly badge: string | null;
	readonly cell: (row: Row) => string;
}

const grid = (rows: readonly RowGroup[], columns: readonly Column[]): Html => {
	const best = ({ badge }: Column, ...classes: string[]): string =>
		[...classes, ...(badge === null ? [] : ["best"])].join(" ");
	return html`<table class="figures">
<thead><tr><th scope="col">value</th>${columns.map(
		(column) =>
			html`<th scope="col" class="${best(column)}">${column.badge !== null && html`<span class="badge">${column.badge}</span>`}${column.name}<span class="words">${column.words}</span></th>`,
	)}</tr></thead>
${rows.map(
	(group) => html`<tbody>
<tr class="group"><th scope="rowgroup" colspan="${columns.length + 1}">${group.heading}</th></tr>
${group.rows.map(
	(row) =>
		html`<tr><th scope="row">${row.label}${row.unit !== "" && html` <span class="unit">${row.unit}</span>`}</th>${columns.map(
			(column) => html`<td class="${best(column, "number")}">${column.cell(row)}</td>`,
		)}</tr>\n`,
)}</tbody>
`,
)}</table>`;
};

/** Schedules that fit side by side on paper. */
const COLUMNS = 6;
/** Columns that fit side by side on a phone. */
const PHONE_COLUMNS = 2;

/** All values, one column per schedule; the column of the best is marked in words and by a rule. */
export function resultsTable(
	comparison: Comparison,
	marked: { readonly name: string; readonly badge: string } | null,
	units: UnitSystem,
): Html {
	const { schedules } = comparison;
	const rows = groups(comparison, cropZoneName(comparison), units);
	const parts = Math.ceil(schedules.length / COLUMNS);
	const columnsEach = Math.ceil(schedules.length / parts);
	const columns = schedules.map(({ name, inWords, summary }) => ({
		name,
		words: inWords,
		badge: name === marked?.name ? marked.badge : null,
		cell: (row: Row) => row.cell(summary),
	}));
	const pages = Array.from({ length: parts }, (_, page) =>
		columns.slice(page * columnsEach, (page + 1) * columnsEach),
	);
	const bases = new Set(schedules.map(({ summary }) => basisWords(summary)));
	const basis = [...bases].map((words) => {
		const names = schedules
			.filter(({ summary }) => basisWords(summary) === words)
			.map(({ name }) => `“${name}”`);
		return bases.size === 1 ? words : `${words} (${names.join(", ")})`;
	});
	return html`<p class="note">These values describe ${basis.join("; ")}.</p>
${pages.map((page, place) =>
	scrollBox(
		pages.length === 1 ? "Table of results" : `Table of results, part ${place + 1}`,
		grid(rows, page),
		page.length > PHONE_COLUMNS ? `Scroll sideways: there are ${page.length} schedules side by side.` : null,
	),
)}`;
}

/** The values of one run beside those of its schedule in the settled pattern. */
export function runTable(comparison: Comparison, run: EvaluatedRun, units: UnitSystem): Html {
	const { summary, inWords } = comparison.schedules[0]!;
	const basis = basisWords(summary);
	const columns: readonly Column[] = [
		{
			name: "this run",
			words: `${formatDuration(run.stats.durationSeconds)} from ${whole(run.stats.startPpm)} ppm`,
			badge: null,
			cell: (row) => row.ofRun?.(run) ?? "–",
		},
		{ name: basisShort(summary), words: inWords, badge: null, cell: (row) => row.cell(summary) },
	];
	return html`<p class="note">The first column describes this run. The second describes ${basis}.</p>
${scrollBox("Table of results", grid(groups(comparison, cropZoneName(comparison), units), columns))}`;
}

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
