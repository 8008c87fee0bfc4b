import { createHash } from "node:crypto";
import { embeddedJson, type Html, html, trusted } from "./html.ts";
import { STYLE } from "./style.ts";

const sha256 = (text: string): string =>
	`'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;

/** What a page is made of, beside the furniture. */
export interface PageContent {
	readonly title: string;
	/** The kind of report, above the title. */
	readonly kind: string;
	readonly lead: string | null;
	/** Sections; what is null is not there. */
	readonly body: readonly (Html | null)[];
	readonly footer: Html;
	/** Data for the live script, by the id of the element that carries it. */
	readonly data?: Readonly<Record<string, unknown>>;
	/** Default: none. */
	readonly script?: string;
	/** Style beside that of every report. */
	readonly style?: string;
}

/** One self-contained HTML file: no request, no inline style, and scripts and styles bound by their hash. */
export function page({ title, kind, lead, body, footer, data = {}, script, style }: PageContent): string {
	return shell({
		title: `${title} · ${kind} · Lullgust`,
		style: STYLE + (style ?? ""),
		script: script ?? null,
		body: html`<a class="skip" href="#report">Skip to the report</a>
<header>
<p class="kind">${kind}</p>
<h1>${title}</h1>
${lead === null ? null : html`<p class="lead">${lead}</p>`}
</header>
<main id="report" tabindex="-1">
${lines(body)}
</main>
<footer>
${footer}
</footer>
${Object.entries(data).map(
	([id, value]) => html`<script type="application/json" id="${id}">${embeddedJson(value)}</script>\n`,
)}`,
	});
}

/** The file around a body: its policy, its style, its script. */
export function shell(content: {
	readonly title: string;
	readonly style: string;
	readonly script: string | null;
	readonly body: Html;
}): string {
	const { title, style, script, body } = content;
	const policy = [
		"default-src 'none'",
		...(script === null ? [] : [`script-src ${sha256(script)}`]),
		`style-src ${sha256(style)}`,
		"img-src data:",
		"base-uri 'none'",
		"form-action 'none'",
	].join("; ");
	return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
<link rel="icon" href="data:,">
<style>${trusted(style)}</style>
</head>
<body>
${body}${script !== null && html`<script>${trusted(script)}</script>\n`}</body>
</html>
`.html;
}

/** A section with its heading; what is null or false is not there. */
export const section = (
	id: string,
	heading: string,
	...content: readonly (Html | null | false)[]
): Html => html`<section aria-labelledby="${id}">
<h2 id="${id}">${heading}</h2>
${lines(content)}</section>`;

/** A line each; what is null or false is not there. */
const lines = (parts: readonly (Html | null | false)[]): readonly Html[] =>
	parts.flatMap((part) => (part === null || part === false ? [] : [html`${part}\n`]));

/** A box that scrolls sideways on its own, also by keyboard; `hint` says so where a phone would hide columns. */
export const scrollBox = (label: string, content: Html, hint: string | null = null): Html =>
	html`${hint !== null && html`<p class="sideways">${hint} →</p>`}<div class="scroll" role="region" aria-label="${label}" tabindex="0">${content}</div>`;
