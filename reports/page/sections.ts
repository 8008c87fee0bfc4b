import type { InputRow, Origin, Quantity, Scenario } from "../../lib/scenario/scenario.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { type Html, html } from "./html.ts";
import { section } from "./page.ts";
import type { Details } from "./section.ts";
import { below } from "./table.ts";

/** What every report is told beside its subject. */
export interface ReportOptions {
	readonly units: UnitSystem;
	readonly version: string;
	/** Files that the report is made from, each with the beginning of its SHA-256. */
	readonly files?: readonly HashedFile[];
}

/** A file by its name and the first digits of its SHA-256. */
export interface HashedFile {
	readonly name: string;
	readonly sha256: string;
}

/** A number that does not break from its unit. */
export const keepTogether = (text: string): string =>
	text.replace(/(\d) (ppm|m³|ft³|mL|L|kg|g|min|s|h|d|%)(?![\w³])/g, "$1\u00a0$2");

const originWords = (origin: Origin): string => {
	switch (origin.kind) {
		case "given":
			return `given, line ${origin.line}${origin.source === undefined ? "" : ` (${origin.source})`}`;
		case "default":
			return `default: ${origin.source} (evidence: ${origin.evidence})`;
		case "fitted":
			return `fitted from ${origin.log}${origin.on === undefined ? "" : ` on ${origin.on}`}`;
		case "calculated":
			return `calculated from ${origin.from}`;
	}
};

/** One spelling of the same value: `12 m3` and `12 m³`, `19 C` and `19 °C`. */
const plain = (words: string): string =>
	words
		.replace(/³/g, "3")
		.replace(/[·\s]+/g, " ")
		.replace(/°/g, "")
		.trim();

/** As written, then the value that was used where that says more. */
const valueCell = ({ text, value, low, dimension }: Quantity, units: UnitSystem): Html => {
	const used = formatQuantity(value, dimension, units);
	return plain(text) === plain(used)
		? html`${used}`
		: below(text, `${low === null ? "" : "central value "}${used}`);
};

/** A path that may break after its dots. */
const pathCell = (path: string): Html =>
	html`<span class="path">${path.split(/(?<=\.)/).map((part, place) => html`${place > 0 && html`<wbr>`}${part}`)}</span>`;

const list = (items: readonly (string | Html)[]): Html =>
	html`<ul>${items.map((item) => html`<li>${item}</li>\n`)}</ul>`;

/** What every prediction rests on. */
export const PREMISES = [
	"The air is well mixed at every moment, in the whole chamber or in each of its two zones. A mixing value below 1 stands for short-circuiting: air that leaves without mixing in.",
	"Air enters with the CO₂ of the intake, and as much leaves as enters. Pressure and temperature of the chamber do not change with the bursts.",
	"The fan delivers its stated flow through the real filter and duct. It spins up and coasts down with one time constant each.",
	"The timer keeps its times exactly, and leakage is the same with the fan on and off.",
	"The values describe the settled pattern, unless a run is named. CO₂ is in parts per million by volume.",
];

/** What was assumed: the doubts of this calculation, then what every calculation of its kind rests on. */
export const assumptionsSection = (
	warnings: readonly string[],
	premises: readonly string[] = PREMISES,
): Html =>
	section(
		"assumptions",
		"What was assumed",
		...(warnings.length === 0
			? []
			: [html`<h3>In this calculation</h3>`, list(warnings), html`<h3>In every calculation</h3>`]),
		list(premises),
	);

/** What each report ends with, under three heads. */
export const CAUTIONS: readonly (readonly [name: string, words: string])[] = [
	[
		"CO₂ and people",
		"This is an estimate from a simple model: no safety device, and no substitute for a CO₂ alarm. Proof is a logger at the height of the crop. CO₂ harms people long before it harms mushrooms: air a room before you work in it. What a chamber blows out goes into the room around it.",
	],
	[
		"Mains and blades",
		"Work only on the extra-low-voltage side, behind a listed plug-in adapter. Never open an adapter or switch mains with a timer board; mains and fixed wiring belong to licensed people under local codes. Blades turn without warning: fit a guard, and unplug before you reach in.",
	],
	[
		"Spores and local rules",
		"Spores can inflame lungs: filter or duct the outgoing air, and wear a mask at harvest. Local codes and the makers' instructions come before anything written here.",
	],
];

export const cautionsSection = (): Html =>
	section(
		"cautions",
		"Cautions",
		list(CAUTIONS.map(([name, words]) => html`<strong>${name}.</strong> ${words}`)),
	);

/** A page may be handed on: it names a file without the folders of whoever made it. */
export const nameOf = (path: string): string => path.replace(/^.*[\\/]/, "");

/** Longest scenario text that is printed whole [characters]. */
const MAX_TEXT_LENGTH = 60_000;

/** What was read, folded. */
export const inputsDetails = (rows: readonly InputRow[], units: UnitSystem): Details => ({
	summary: "Where each input came from",
	count: `${rows.length} values`,
	body: html`<dl class="inputs">${rows.map(
		({ path, label, quantity }) =>
			html`<div><dt>${label}${pathCell(path)}</dt><dd>${valueCell(quantity, units)}</dd><dd>${originWords(quantity.origin)}</dd></div>\n`,
	)}</dl>`,
});

export const scenarioDetails = ({ text, fileName }: Scenario): Details => {
	const left = text.length - MAX_TEXT_LENGTH;
	return {
		summary: "The scenario file",
		count: `${nameOf(fileName)}${left > 0 ? `; its last ${left} characters are left out here` : ""}`,
		body: html`<pre tabindex="0">${left > 0 ? text.slice(0, MAX_TEXT_LENGTH) : text}</pre>`,
	};
};

/** What the title block says beside the name of the chamber. */
export const footerFields = (
	{ fileName }: Scenario,
	kind: string,
	{ version, files = [] }: ReportOptions,
): readonly (readonly [name: string, words: string])[] => [
	[
		"file",
		files.length === 0
			? nameOf(fileName)
			: files.map(({ name, sha256 }) => `${name} (SHA-256 ${sha256})`).join(", "),
	],
	["report", kind],
	["drawn by", `Lullgust ${version}; the file asks the network for nothing`],
];

export const footerLine = ({ version, files = [] }: ReportOptions): Html =>
	html`<p>Made by Lullgust ${version}${files.length > 0 && html` from ${files.map(({ name, sha256 }, k) => html`${k > 0 && ", "}${name} (SHA-256 ${sha256})`)}`}. This file is complete in itself and asks the network for nothing.</p>`;
