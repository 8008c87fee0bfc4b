import { type Html, html } from "./html.ts";

/** A part of a page: heading and sentence at the side, what it shows beside them. */
export interface Section {
	readonly id: string;
	readonly heading: string;
	/** Default: none. */
	readonly sentence?: string | Html | null;
	readonly body: Html | readonly (Html | null | false)[];
	/** What the contents line says; default: the heading. */
	readonly words?: string;
	/** Whether it may break over pages of paper. */
	readonly isLong?: boolean;
}

const lines = (parts: Section["body"]): readonly Html[] =>
	("html" in parts ? [parts] : parts).flatMap((part) =>
		part === null || part === false ? [] : [html`${part}\n`],
	);

export const section = ({ id, heading, sentence = null, body, isLong = false }: Section): Html =>
	html`<section class="in" id="${id}" aria-labelledby="${id}-h"><div class="row${isLong && " long"}">
<div class="side"><h2 id="${id}-h">${heading}</h2>${sentence !== null && html`<p class="say">${sentence}</p>`}</div>
<div class="main">
${lines(body)}</div>
</div></section>`;

/** What most readers do not need: folded on a screen, open on paper. */
export interface Details {
	readonly summary: string;
	/** How much there is of it. */
	readonly count: string;
	readonly body: Html | readonly (Html | null | false)[];
}

export const details = ({ summary, count, body }: Details): Html =>
	html`<details><summary>${summary} <span>${count}</span></summary><div class="fold">
${lines(body)}</div></details>`;

export const list = (items: readonly (string | Html)[]): Html =>
	html`<ul>${items.map((item) => html`<li>${item}</li>\n`)}</ul>`;

/** What each page ends with before its details. */
export const cautions = (items: readonly (readonly [name: string, words: string])[]): Html =>
	section({
		id: "cautions",
		heading: "Cautions",
		sentence: "Before you rely on it.",
		body: html`<ul class="care">${items.map(([name, words]) => html`<li><b>${name}</b>${words}</li>\n`)}</ul>`,
	});

/** The box at the foot of a drawing that says what it is of, and from what. */
export const titleBlock = (fields: readonly (readonly [name: string, words: string])[]): Html =>
	html`<dl class="block-t">${fields.map(([name, words]) => html`<div><dt>${name}</dt><dd>${words}</dd></div>`)}</dl>`;
