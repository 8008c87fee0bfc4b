import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { ErrorShare, Fit, FitDay, FittedParameter } from "../../lib/fit/fittypes.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { alsoShown, sharesWords } from "./errorwords.ts";
import { meaningOf, plainValue, type ShownValue, shownValue } from "./fitvalues.ts";
import { dayOf, soughtOf } from "./fitwords.ts";
import { dayRate, rateName, shownRate } from "./respirationrate.ts";

const orDash = (text: string | null): string => text ?? "–";

const withUnit = (text: string | null, unit: string): Html | string =>
	text === null ? "–" : unit === "" ? text : html`${text} <span class="unit">${unit}</span>`;

/** Correlation from which on a pair is printed in bold. */
const MIN_BOLD_CORRELATION = 0.95;

interface EstimateRow {
	readonly label: string;
	readonly words: Html | string;
	readonly determined: string;
	readonly shown: ShownValue;
	/** Behind the unit. */
	readonly per?: string;
	readonly scenario: string;
	readonly shares: readonly ErrorShare[];
}

const estimateRow = (one: FittedParameter, units: UnitSystem): EstimateRow => ({
	label: one.label,
	words: meaningOf(one.name),
	determined: one.isIdentifiable ? (one.status === "prior" ? "✓ with prior" : "✓ yes") : "✗ no",
	shown: shownValue(one, units),
	scenario: plainValue(one.name, one.initial, units),
	shares: one.shares,
});

/** `day 2 · 2026-03-11`, the date in one piece. */
const dayHtml = ({ day, date }: FitDay): Html =>
	html`day ${day}${date !== null && html` · <span class="date">${date}</span>`}`;

/** How the days of respiration differ, under their mean. */
function dailyRows(fit: Fit, units: UnitSystem): readonly EstimateRow[] {
	const { daily, parameters } = fit;
	if (daily === null || daily.trendPerDay === null) return [];
	const { ci95Low, ci95High } = daily.trendPerDay;
	const of = (day: number, label: string): EstimateRow => ({
		...estimateRow(parameters[day - 1]!, units),
		label,
		words: dayHtml(dayOf(fit, day)),
	});
	return [
		of(daily.leastDay, "lowest day"),
		of(daily.greatestDay, "highest day"),
		{
			label: "trend from day to day",
			words: "slope of a straight line through the days",
			determined: ci95Low !== null && ci95High !== null && (ci95Low > 0 || ci95High < 0) ? "✓ yes" : "✗ no",
			shown: shownValue({ name: "generation", ...daily.trendPerDay }, units),
			per: " per day",
			scenario: "–",
			shares: [],
		},
	];
}

/** The CO₂ output as a respiration rate, corrected for temperature, stage and gas volume. */
function rateRows(fit: Fit, given: FittedParameter, units: UnitSystem): readonly EstimateRow[] {
	const rate = shownRate(fit, given, units);
	return rate === null
		? []
		: [
				{
					...estimateRow(given, units),
					label: rateName(fit, units),
					shown: rate.shown,
					scenario: `${rate.scenario} ${rate.shown.unit}`,
					words: "per fresh mass, as the scenario writes it",
					shares: rate.shares,
				},
			];
}

/** The same in other units. */
const alsoRows = (one: FittedParameter, units: UnitSystem): readonly EstimateRow[] =>
	alsoShown(one).map(({ label, shown, shares }) => ({
		...estimateRow(one, units),
		label: `${one.label} ${label}`,
		words: "",
		shown,
		scenario: "–",
		shares,
	}));

/** The estimates beside the values of the scenario. */
export function estimateTable(fit: Fit, units: UnitSystem): Html {
	const background = fit.parameters.filter(({ name, status }) => name === "background" && status !== "fixed");
	const rows = [...soughtOf(fit), ...background].flatMap((one) => [
		estimateRow(one, units),
		...alsoRows(one, units),
		...(one.name === "generation" ? [...rateRows(fit, one, units), ...dailyRows(fit, units)] : []),
	]);
	return scrollBox(
		"Table of the estimates",
		html`<table class="learnt">
<thead><tr><th scope="col">estimate</th><th scope="col">determined</th><th scope="col" class="number">value</th><th scope="col" class="number">SE</th><th scope="col" class="number">95 % interval</th><th scope="col" class="number">scenario</th><th scope="col">error from</th></tr></thead>
<tbody>${rows.map(({ label, words, determined, shown, per = "", scenario, shares }) => {
			const { value, error, percent, interval, unit } = shown;
			return html`<tr><th scope="row">${label}<span class="words">${words}</span></th><td class="${determined.startsWith("✓") ? "yes" : "no"}">${determined}</td><td class="number">${withUnit(value, `${unit}${per}`)}</td><td class="number">${orDash(error)}${percent !== null && html`<span class="words">${percent}</span>`}</td><td class="number">${orDash(interval)}</td><td class="number">${scenario}</td><td>${orDash(sharesWords(shares))}</td></tr>\n`;
		})}</tbody>
</table>`,
		"Scroll sideways: standard error, interval, the scenario's value, and where the error comes from.",
	);
}

const boundsWords = ({ name, lower, upper }: FittedParameter, units: UnitSystem): string => {
	const [low, high] = [lower, upper].map((bound) =>
		Number.isFinite(bound) ? plainValue(name, bound, units) : null,
	);
	if (low == null && high == null) return "none";
	if (high == null) return `from ${low}`;
	return low == null ? `up to ${high}` : `${low.split(" ")[0]} to ${high}`;
};

const statusWords = ({ status, isAtBound }: FittedParameter): string =>
	`${{ free: "free", fixed: "fixed", prior: "free, with prior" }[status]}${isAtBound && status !== "fixed" ? ", at its limit" : ""}`;

/** Every parameter with its limits and status. */
export const parameterTable = ({ parameters }: Fit, units: UnitSystem): Html =>
	scrollBox(
		"Parameters",
		html`<table class="figures fit">
<thead><tr><th scope="col">parameter</th><th scope="col">value</th><th scope="col">SE</th><th scope="col">95 % interval</th><th scope="col">initial guess</th><th scope="col">limits</th><th scope="col">status</th></tr></thead>
<tbody>${parameters.map((one) => {
			const { value, error, percent, interval, unit } = shownValue(one, units);
			return html`<tr><th scope="row">${one.label}<span class="path">${one.name}</span></th><td class="number">${withUnit(value, unit)}</td><td class="number">${orDash(error)}${percent !== null && html`<span class="words">${percent}</span>`}</td><td class="number">${orDash(interval)}</td><td class="number">${plainValue(one.name, one.initial, units)}</td><td class="number">${boundsWords(one, units)}</td><td class="number">${statusWords(one)}</td></tr>\n`;
		})}</tbody>
</table>`,
		"Scroll sideways: initial guess, limits and status of each parameter.",
	);

const twoDigits = (r: number): string => {
	const text = r.toFixed(Math.abs(r) >= MIN_BOLD_CORRELATION ? 3 : 2);
	return Number(text) === 0 ? "0" : text.replace("-", "−");
};

/** Correlations of the free parameters; strong ones in bold. */
export const correlationTable = ({ free, correlation, parameters }: Fit): Html => {
	const label = (name: FitName): string => parameters.find((one) => one.name === name)?.label ?? name;
	return scrollBox(
		"Correlations",
		html`<table class="figures fit">
<thead><tr><th scope="col">correlation</th>${free.map((name) => html`<th scope="col">${label(name)}</th>`)}</tr></thead>
<tbody>${free.map(
			(name, i) =>
				html`<tr><th scope="row">${label(name)}</th>${free.map((_, j) => {
					const r = correlation[i]?.[j];
					if (j > i || r === undefined) return html`<td class="number"></td>`;
					if (i === j) return html`<td class="number">1</td>`;
					if (!Number.isFinite(r)) return html`<td class="number">–</td>`;
					return Math.abs(r) >= MIN_BOLD_CORRELATION
						? html`<td class="number"><strong>${twoDigits(r)}</strong></td>`
						: html`<td class="number">${twoDigits(r)}</td>`;
				})}</tr>\n`,
		)}</tbody>
</table>`,
		free.length > 2 ? "Scroll sideways: a column for each parameter." : null,
	);
};

/** What `--update` would write, beside the current values. */
export function changesTable({ scenario, changes }: Pick<Fit, "scenario" | "changes">): Html {
	const now = new Map(listInputs(scenario).map(({ path, quantity }) => [path, quantity]));
	return scrollBox(
		"Values to be written",
		html`<table>
<thead><tr><th scope="col">key</th><th scope="col">now</th><th scope="col">new</th></tr></thead>
<tbody>${changes.map(({ path, text }) => {
			const old = now.get(path);
			return html`<tr><th scope="row"><span class="path">${path}</span></th><td>${old === undefined ? "not in the file" : old.origin.kind === "default" ? `${old.text} (default)` : old.text}</td><td>${text}</td></tr>\n`;
		})}</tbody>
</table>`,
	);
}

/** CO₂ output day by day. */
export function daysTable(fit: Fit, units: UnitSystem): Html {
	const { days } = fit;
	return scrollBox(
		"CO₂ output day by day",
		html`<table>
<thead><tr><th scope="col">day of the log</th><th scope="col" class="number">logged</th><th scope="col" class="number">CO₂ output</th><th scope="col" class="number">SE</th><th scope="col" class="number">${rateName(fit, units)}, mg/(kg·h)</th></tr></thead>
<tbody>${(days ?? []).map((day) => {
			const shown = shownValue({ name: "generation", ci95Low: null, ci95High: null, ...day }, units);
			return html`<tr><th scope="row">${dayHtml(day)}</th><td class="number">${formatDuration(day.toSeconds - day.fromSeconds)}</td><td class="number">${withUnit(shown.value, shown.unit)}</td><td class="number">${orDash(shown.error)}${shown.percent !== null && html`<span class="words">${shown.percent}</span>`}</td><td class="number">${dayRate(day.respirationRate)}</td></tr>\n`;
		})}</tbody>
</table>`,
	);
}

/** Tables with more columns than others have. */
export const FIT_STYLE = `
.learnt th:first-child{min-width:8rem}
.date{white-space:nowrap}
.learnt .no,.learnt .yes,.learnt .number{white-space:nowrap}
.bursts .strange{color:var(--soft)}
.fit thead th{min-width:0;overflow-wrap:normal}
.fit th,.fit td{padding-left:.5rem;padding-right:.5rem}
@media print{.fit td.number,.learnt td.number{white-space:normal}.fit th,.fit td{padding-left:.25rem;padding-right:.25rem}}
`;
