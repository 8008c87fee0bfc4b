import type { Figures } from "../lib/solve/piece.ts";
import type { Summary } from "../lib/solve/summary.ts";
import type { ComparedSchedule } from "../lib/study/compare.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../lib/units.ts";
import { type Html, html } from "./html.ts";
import { scrollBox } from "./page.ts";

const whole = (value: number): string => {
	const rounded = Math.round(value);
	return Math.abs(rounded) >= 10_000 ? rounded.toLocaleString("en-US") : String(rounded === 0 ? 0 : rounded);
};
const short = (value: number): string => String(Number(value.toPrecision(3)));
/** To a tenth; what is more than nothing never reads as nothing. */
const percent = (value: number): string =>
	value > 0 && value < 0.05 ? "< 0.1 %" : `${value === 0 ? 0 : value.toFixed(1)} %`;
const orNone = <T>(value: T | null, format: (value: T) => string, none = "–"): string =>
	value === null ? none : format(value);

/** `66 under`, `340 above`, `12 below the floor`. */
const apart = ({ judged, meanPpm }: Summary): string => {
	const over = judged.valuePpm - judged.ceilingPpm;
	if (over > 0) return `${over < 0.5 ? "< 1" : whole(over)} above`;
	if (judged.floorPpm !== null && meanPpm < judged.floorPpm)
		return `${whole(judged.floorPpm - meanPpm)} below the floor`;
	return `${whole(-over)} under`;
};

interface Row {
	readonly label: string;
	readonly unit: string;
	readonly cell: (summary: Summary) => string;
}
interface Group {
	readonly heading: string;
	readonly rows: readonly Row[];
}

const fourFigures = (pick: (summary: Summary) => Figures | null): Row[] =>
	(["peak", "mean", "trough", "ripple"] as const).map((figure) => ({
		label: figure,
		unit: "ppm",
		cell: (summary) => orNone(pick(summary), (figures) => whole(figures[`${figure}Ppm`])),
	}));

const groups = (summaries: readonly Summary[], units: UnitSystem): Group[] => [
	{
		heading: "CO2 at the crop",
		rows: [
			...fourFigures((s) => s),
			{ label: "worst hour, mean", unit: "ppm", cell: (s) => whole(s.worstHourMeanPpm) },
		],
	},
	...(summaries.some((s) => s.sensor !== null)
		? [{ heading: "As the sensor shows it", rows: fourFigures((s) => s.sensor) }]
		: []),
	{
		heading: "Against the target",
		rows: [
			{ label: "holds", unit: "", cell: (s) => (s.judged.within ? "yes" : "no") },
			{ label: `${summaries[0]?.judged.on ?? "figure"} against the target`, unit: "ppm", cell: apart },
			{
				label: "above the ceiling",
				unit: "of each hour",
				cell: (s) => formatDuration(s.aboveCeilingSecondsPerHour),
			},
			{ label: "above the ceiling", unit: "of all time", cell: (s) => percent(s.aboveCeilingPercent) },
			...(summaries.some((s) => s.belowFloorPercent !== null)
				? [
						{
							label: "below the floor",
							unit: "of each hour",
							cell: (s: Summary) => orNone(s.belowFloorSecondsPerHour, formatDuration),
						},
						{
							label: "below the floor",
							unit: "of all time",
							cell: (s: Summary) => orNone(s.belowFloorPercent, percent),
						},
					]
				: []),
			{
				label: "first above",
				unit: "from a fresh start",
				cell: (s) => orNone(s.firstAboveSeconds, formatDuration, "never"),
			},
			{
				label: "settled",
				unit: "from a fresh start",
				cell: (s) => orNone(s.settleSeconds, formatDuration, "never"),
			},
		],
	},
	{
		heading: "Fresh air exchange",
		rows: [
			{ label: "fresh air", unit: "a day", cell: (s) => formatQuantity(s.freshAirM3PerDay, "volume", units) },
			{ label: "leak", unit: "a day", cell: (s) => formatQuantity(s.leakM3PerDay, "volume", units) },
			{ label: "bursts", unit: "a day", cell: (s) => short(s.burstsPerDay) },
			{ label: "air changes", unit: "a burst", cell: (s) => orNone(s.airChangesPerBurst, short) },
			{
				label: "excess blown out",
				unit: "a burst",
				cell: (s) => orNone(s.replacedPerBurst, (x) => percent(100 * x)),
			},
			{ label: "air changes", unit: "an hour", cell: (s) => short(s.airChangesPerHour) },
		],
	},
];

/** Schedules that fit side by side on paper. */
const COLUMNS = 6;

/** All figures, one column a schedule; the winner's column is marked in words and by a rule. */
export function figuresTable(
	schedules: readonly ComparedSchedule[],
	marked: { readonly name: string; readonly badge: string } | null,
	units: UnitSystem,
): Html {
	const rows = groups(
		schedules.map((s) => s.summary),
		units,
	);
	const parts = Math.ceil(schedules.length / COLUMNS);
	const columnsEach = Math.ceil(schedules.length / parts);
	const pages = Array.from({ length: parts }, (_, page) =>
		schedules.slice(page * columnsEach, (page + 1) * columnsEach),
	);
	const best = (name: string, ...classes: string[]): string =>
		[...classes, ...(name === marked?.name ? ["best"] : [])].join(" ");
	const one = (columns: readonly ComparedSchedule[]): Html => html`<table class="figures">
<thead><tr><th scope="col">figure</th>${columns.map(
		({ name, inWords }) =>
			html`<th scope="col" class="${best(name)}">${name === marked?.name && html`<span class="badge">${marked.badge}</span>`}${name}<span class="words">${inWords}</span></th>`,
	)}</tr></thead>
${rows.map(
	(group) => html`<tbody>
<tr class="group"><th scope="rowgroup" colspan="${columns.length + 1}">${group.heading}</th></tr>
${group.rows.map(
	({ label, unit, cell }) =>
		html`<tr><th scope="row">${label}${unit !== "" && html` <span class="unit">${unit}</span>`}</th>${columns.map(
			({ name, summary }) => html`<td class="${best(name, "number")}">${cell(summary)}</td>`,
		)}</tr>\n`,
)}</tbody>
`,
)}</table>`;
	const ofRun = schedules.filter(({ summary }) => summary.basis === "run").map(({ name }) => `“${name}”`);
	const basis =
		ofRun.length === 0
			? "Figures of the regime that repeats, once the start is forgotten."
			: `Figures of the whole run for ${ofRun.join(", ")}, where no regime repeats${ofRun.length < schedules.length ? "; else of the regime that repeats" : ""}.`;
	return html`<p class="note">${basis}</p>
${pages.map((columns, page) =>
	scrollBox(pages.length === 1 ? "Table of figures" : `Table of figures, part ${page + 1}`, one(columns)),
)}`;
}

/** What the same air would do if it never stopped, and what stopping it costs. */
export const continuousTable = (schedules: readonly ComparedSchedule[]): readonly Html[] => {
	const penalty = (value: number | null, base: number | null): Html | string =>
		value === null || base === null
			? "–"
			: html`${whole(value)} ppm<span class="words">${percent((100 * value) / base)}</span>`;
	const table = scrollBox(
		"Continuous equivalent",
		html`<table>
<thead><tr><th scope="col">schedule</th><th scope="col" class="number">continuous equivalent</th><th scope="col" class="number">penalty in the mean</th><th scope="col" class="number">penalty in the peak</th></tr></thead>
<tbody>${schedules.map(
			({ name, summary: s }) =>
				html`<tr><th scope="row">${name}</th><td class="number">${orNone(s.continuousPpm, (x) => `${whole(x)} ppm`)}</td><td class="number">${penalty(s.meanPenaltyPpm, s.continuousPpm)}</td><td class="number">${penalty(s.peakPenaltyPpm, s.continuousPpm)}</td></tr>\n`,
		)}</tbody>
</table>`,
	);
	return [
		html`<p>The same air a day, delivered without a pause, would hold the CO2 of the first column. What the pauses add to it is the penalty of intermittency.</p>`,
		table,
	];
};

/** The verdict on each schedule. */
export const verdictTable = (schedules: readonly ComparedSchedule[]): Html => {
	const on = schedules[0]?.summary.judged.on ?? "peak";
	return html`<table class="judged">
<thead><tr><th scope="col">schedule</th><th scope="col">holds</th><th scope="col" class="number">${on}, ppm</th><th scope="col" class="number">to the target</th></tr></thead>
<tbody>${schedules.map(
		({ name, inWords, summary }) =>
			html`<tr><th scope="row">${name}<span class="words">${inWords}</span></th><td>${summary.judged.within ? "✓ yes" : "✗ no"}</td><td class="number">${whole(summary.judged.valuePpm)}</td><td class="number">${apart(summary)}</td></tr>\n`,
	)}</tbody>
</table>`;
};
