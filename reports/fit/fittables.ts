import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { ErrorShare, Fit, FitDay, FittedParameter } from "../../lib/fit/fittypes.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { glyph } from "../charts/section/states.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { below, stackTable } from "../page/table.ts";
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
	readonly determined: "yes" | "with prior" | "no";
	readonly shown: ShownValue;
	/** Behind the unit. */
	readonly per?: string;
	readonly scenario: string;
	readonly shares: readonly ErrorShare[];
}

const estimateRow = (one: FittedParameter, units: UnitSystem): EstimateRow => ({
	label: one.label,
	words: meaningOf(one.name),
	determined: one.isIdentifiable ? (one.status === "prior" ? "with prior" : "yes") : "no",
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
			determined: ci95Low !== null && ci95High !== null && (ci95Low > 0 || ci95High < 0) ? "yes" : "no",
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

/** The estimates beside the values of the scenario, and where the error of each comes from. */
export function estimateTable(
	fit: Fit,
	units: UnitSystem,
): { readonly estimates: Html; readonly others: Html | null; readonly shares: readonly Html[] } {
	const background = fit.parameters.filter(({ name, status }) => name === "background" && status !== "fixed");
	const all = [...soughtOf(fit), ...background];
	const rows = all.flatMap((one) => [
		estimateRow(one, units),
		...(one.name === "generation" ? [...rateRows(fit, one, units), ...dailyRows(fit, units)] : []),
	]);
	const others = all.flatMap((one) => alsoRows(one, units));
	const table = (of: readonly EstimateRow[]): Html =>
		stackTable(
			["estimate", "determined", "value", "SE", "95 % interval", "scenario"],
			of.map(({ label, words, determined, shown, per = "", scenario }) => {
				const { value, error, percent, interval, unit } = shown;
				return [
					below(label, words),
					glyph(DETERMINED_STATE[determined], determined),
					withUnit(value, `${unit}${per}`),
					percent === null ? orDash(error) : below(orDash(error), percent),
					orDash(interval),
					scenario,
				];
			}),
		);
	return {
		estimates: table(rows),
		others: others.length === 0 ? null : table(others),
		shares: [...rows, ...others]
			.filter(({ shares }) => sharesWords(shares) !== null)
			.map(({ label, shares }) => html`<b>${label}:</b> ${sharesWords(shares)!}`),
	};
}

const DETERMINED_STATE = { yes: "holds", "with prior": "doubt", no: "fails" } as const;

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
	stackTable(
		["parameter", "value", "SE", "95 % interval", "initial guess", "limits", "status"],
		parameters.map((one) => {
			const { value, error, percent, interval, unit } = shownValue(one, units);
			return [
				html`${one.label}<span class="path">${one.name}</span>`,
				withUnit(value, unit),
				percent === null ? orDash(error) : below(orDash(error), percent),
				orDash(interval),
				plainValue(one.name, one.initial, units),
				boundsWords(one, units),
				statusWords(one),
			];
		}),
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
		html`<table>
<thead><tr><th scope="col">correlation</th>${free.map((name) => html`<th scope="col">${label(name)}</th>`)}</tr></thead>
<tbody>${free.map(
			(name, i) =>
				html`<tr><th scope="row">${label(name)}</th>${free.map((_, j) => {
					const r = correlation[i]?.[j];
					if (j > i || r === undefined) return html`<td></td>`;
					if (i === j) return html`<td>1</td>`;
					if (!Number.isFinite(r)) return html`<td>–</td>`;
					return Math.abs(r) >= MIN_BOLD_CORRELATION
						? html`<td><strong>${twoDigits(r)}</strong></td>`
						: html`<td>${twoDigits(r)}</td>`;
				})}</tr>\n`,
		)}</tbody>
</table>`,
	);
};

/** What `--update` would write, beside the current values. */
export function changesTable({ scenario, changes }: Pick<Fit, "scenario" | "changes">): Html {
	const now = new Map(listInputs(scenario).map(({ path, quantity }) => [path, quantity]));
	return stackTable(
		["key", "now", "new"],
		changes.map(({ path, text }) => {
			const old = now.get(path);
			return [
				html`<span class="path">${path}</span>`,
				old === undefined
					? "not in the file"
					: old.origin.kind === "default"
						? `${old.text} (default)`
						: old.text,
				text,
			];
		}),
		[1, 2],
	);
}

/** CO₂ output day by day. */
export const daysTable = (fit: Fit, units: UnitSystem): Html =>
	stackTable(
		["day of the log", "logged", "CO₂ output", "SE", `${rateName(fit, units)}, mg/(kg·h)`],
		(fit.days ?? []).map((day) => {
			const shown = shownValue({ name: "generation", ci95Low: null, ci95High: null, ...day }, units);
			return [
				dayHtml(day),
				formatDuration(day.toSeconds - day.fromSeconds),
				withUnit(shown.value, shown.unit),
				shown.percent === null ? orDash(shown.error) : below(orDash(shown.error), shown.percent),
				dayRate(day.respirationRate),
			];
		}),
	);
