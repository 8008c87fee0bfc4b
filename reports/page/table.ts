import { type Html, type HtmlPart, html } from "./html.ts";
import { scrollBox } from "./page.ts";

/** What a cell shows, with a class of its own. */
type Cell = HtmlPart | { readonly className: string; readonly content: HtmlPart };

const numberIf = (isNumber: boolean): Html | false => isNumber && html` class="number"`;

/**
 * A table whose first column heads its rows.
 * @param numbers places of the columns that are set to the right
 */
export const htmlTable = (
	className: string,
	head: readonly HtmlPart[],
	rows: readonly (readonly Cell[])[],
	numbers: readonly number[] = [],
): Html => html`<table${className !== "" && html` class="${className}"`}>
${
	head.length > 0 &&
	html`<thead><tr>${head.map((words, i) => html`<th scope="col"${numberIf(numbers.includes(i))}>${words}</th>`)}</tr></thead>\n`
}<tbody>${rows.map(([first, ...cells]) => html`<tr><th scope="row">${first as HtmlPart}</th>${cells.map((cell, i) => tableCell(cell, numbers.includes(i + 1)))}</tr>\n`)}</tbody>
</table>`;

const tableCell = (cell: Cell, isNumber: boolean): Html =>
	typeof cell === "object" && cell !== null && "className" in cell
		? html`<td class="${cell.className}">${cell.content}</td>`
		: html`<td${numberIf(isNumber)}>${cell}</td>`;

/**
 * A table whose rows become label and value on a phone; its roles are set by hand, since its display changes there.
 * @param words places of the columns that hold sentences
 */
export const stackTable = (
	head: readonly string[],
	rows: readonly (readonly Cell[])[],
	words: readonly number[] = [],
	caption: string | null = null,
): Html => html`<table role="table" class="stack">${caption !== null && html`<caption>${caption}</caption>`}
<thead role="rowgroup"><tr role="row">${head.map((name, i) => html`<th role="columnheader" scope="col"${words.includes(i) && html` class="l"`}>${name}</th>`)}</tr></thead>
<tbody role="rowgroup">${rows.map(
	([first, ...cells]) =>
		html`<tr role="row"><th role="rowheader" scope="row">${first as HtmlPart}</th>${cells.map((cell, i) => {
			const isCell = typeof cell === "object" && cell !== null && "className" in cell;
			const classes = [...(isCell ? [cell.className] : []), ...(words.includes(i + 1) ? ["l"] : [])].join(
				" ",
			);
			return html`<td role="cell"${classes !== "" && html` class="${classes}"`} data-l="${head[i + 1] ?? ""}">${isCell ? cell.content : cell}</td>`;
		})}</tr>\n`,
)}</tbody></table>`;

/** A second, smaller line in a cell. */
export const below = (first: HtmlPart, words: HtmlPart): Html =>
	html`${first}<span class="words">${words}</span>`;

/** Two columns: what, and how much. */
export const factsTable = (label: string, rows: readonly (readonly [string, string])[]): Html =>
	scrollBox(label, htmlTable("", [], rows));

/** One column of values side by side; one with a badge stands out. */
export interface ValueColumn<Row> {
	readonly name: string;
	readonly words: string;
	readonly badge: string | null;
	readonly cell: (row: Row) => string;
}
/** A value and its unit; `unit` may be "". */
export interface ValueRow {
	readonly label: string;
	readonly unit: string;
}

/** Values of several things side by side, the rows in groups; a group may have a heading. */
export function valueTable<Row extends ValueRow>(
	groups: readonly { readonly heading: string | null; readonly rows: readonly Row[] }[],
	columns: readonly ValueColumn<Row>[],
): Html {
	const best = (badge: string | null, ...classes: string[]): string =>
		[...classes, ...(badge === null ? [] : ["best"])].join(" ");
	return html`<table class="figures">
<thead><tr><th scope="col">value</th>${columns.map(
		({ name, words, badge }) =>
			html`<th scope="col" class="${best(badge)}">${badge !== null && html`<span class="badge">${badge}</span>`}${below(name, words)}</th>`,
	)}</tr></thead>
${groups.map(
	({ heading, rows }) =>
		html`<tbody>${heading !== null && html`\n<tr class="group"><th scope="rowgroup" colspan="${columns.length + 1}">${heading}</th></tr>\n`}${rows.map(
			(row) =>
				html`<tr><th scope="row">${row.label}${row.unit !== "" && html` <span class="unit">${row.unit}</span>`}</th>${columns.map(
					({ badge, cell }) => html`<td class="${best(badge, "number")}">${cell(row)}</td>`,
				)}</tr>\n`,
		)}</tbody>\n`,
)}</table>`;
}
