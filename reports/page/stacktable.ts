import { type Html, type HtmlPart, html } from "./html.ts";

/** A column of a table whose rows become blocks of name and value on a phone. */
export interface StackColumn {
	readonly heading: HtmlPart;
	/** The same in short, beside the value on a phone. */
	readonly label: string;
	/** Words instead of a number: set to the left. */
	readonly isText?: boolean;
}

export interface StackRow {
	readonly name: HtmlPart;
	readonly cells: readonly HtmlPart[];
	readonly isBest?: boolean;
}

/** Between desk and phone its values may break. */
export const STACK_STYLE = `@media (max-width:84rem){.stack th,.stack td{white-space:normal;padding:.4rem .3rem;font-size:.875rem}.stack tbody th{min-width:6rem}}
`;

/** A table of numbers that needs no sideways scroll; its roles are set by hand, since a phone changes its display. */
export const stackTable = (
	caption: string,
	first: string,
	columns: readonly StackColumn[],
	rows: readonly StackRow[],
): Html =>
	html`<table class="stack" role="table"><caption class="unseen">${caption}</caption><thead role="rowgroup"><tr role="row"><th role="columnheader" scope="col">${first}</th>${columns.map(
		({ heading, isText }) =>
			html`<th role="columnheader" scope="col"${isText === true && html` class="l"`}>${heading}</th>`,
	)}</tr></thead><tbody role="rowgroup">${rows.map(
		({ name, cells, isBest }) =>
			html`<tr role="row"${isBest === true && html` class="best"`}><th role="rowheader" scope="row">${name}</th>${cells.map(
				(cell, place) => {
					const { label, isText } = columns[place]!;
					return html`<td role="cell" data-l="${label}"${isText === true && html` class="l"`}>${cell}</td>`;
				},
			)}</tr>\n`,
	)}</tbody></table>`;
