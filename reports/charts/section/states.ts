import { type Html, html, trusted } from "../../page/html.ts";

/** What an answer says: under the ceiling, uncertain, or above it. */
export type State = "holds" | "doubt" | "fails";

/** Two teeth under a ceiling: none, one or both go through it. */
const SYMBOLS = `<symbol id="plate-holds" viewBox="0 0 112 112"><path class="p-holds" d="M0 0H112V112H0Z"/><path class="o-holds" d="M0 24H112V34H0ZM8 104L50 58L54 104L100 58L104 104Z"/></symbol>
<symbol id="plate-doubt" viewBox="0 0 112 112" overflow="visible"><path class="p-doubt" d="M0 0H112V112H0Z"/><path class="s-doubtx" d="M89 0L100 -14L101.5 0"/><path class="o-doubt" d="M0 24H112V34H0ZM8 104L50 58L54 104Z"/><path class="s-doubt" d="M58 104L62 98M66 92L89 0M101.5 0L104 102H60"/></symbol>
<symbol id="plate-fails" viewBox="0 0 112 112" overflow="visible"><path class="p-fails" d="M0 0H112V112H0ZM36 1L50 -15L51 1ZM85 1L100 -15L101 1Z"/><path class="o-fails" d="M0 24H12V34H0ZM60 24H64V34H60ZM110 24H112V34H110ZM8 104L38 0H51L54 104L88 0H101L104 104Z"/></symbol>
<symbol id="g-holds" viewBox="0 0 24 24"><path class="g-holds" d="M1 4H23V8H1ZM2 22L11 13L12.5 22L21 13L22.5 22Z"/></symbol>
<symbol id="g-doubt" viewBox="0 0 24 24"><path class="g-ink" d="M1 4H14.400V8H1ZM21.6 4H23V8H21.600Z"/><path class="g-doubt" d="M2 21.300L10 13.500L11.3 21.300Z"/><path class="g-doubt2" d="M13.4 21.300L20.6 1L22 21.300Z"/></symbol>
<symbol id="g-fails" viewBox="0 0 24 24"><path class="g-fails" d="M1 4H4.6V8H1ZM13.2 4H15.2V8H13.2ZM2 22L10 0L11.8 22L21 0L22.8 22Z"/></symbol>`;

const HATCHES = { fails: "f", air: "a", ground: "g", doubt: "d" };

/** Hatches and state signs, once in a page: drawings refer to them. */
export const sectionDefs = (): Html =>
	html`<svg class="defs" aria-hidden="true" focusable="false"><defs>${Object.entries(HATCHES).map(
		([name, stroke]) =>
			html`<pattern id="h-${name}" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hx ${stroke}" d="M0 0V6"/></pattern>`,
	)}</defs>${trusted(SYMBOLS)}</svg>`;

/** The sign of a state in the head of a page; its word stands beside it. */
export const plate = (state: State): Html =>
	html`<svg class="plate" viewBox="0 0 112 112" aria-hidden="true"><use href="#plate-${state}"/></svg>`;

/** A state in a line of text: its glyph, and what it says. */
export const glyph = (state: State, words: string): Html =>
	html`<span class="st c-${state}"><svg viewBox="0 0 24 24" aria-hidden="true"><use href="#g-${state}"/></svg>${words}</span>`;

/** A hundred squares, filled for each case in a hundred that holds: four rows, or ten by ten on a phone. */
export const oddsSquares = (id: string, chance: number): Html => {
	const holds = Math.round(100 * chance);
	const says = `Holds in ${holds} of 100 cases`;
	const squares = (rows: number, pitch: number, side: number) => {
		const place = (k: number, inset: number): string => {
			const [x, y] = rows === 4 ? [Math.floor(k / 4), k % 4] : [k % 10, Math.floor(k / 10)];
			const edge = Math.round(10 * (side - 2 * inset)) / 10;
			return `M${(x * pitch + inset).toFixed(1)} ${(y * pitch + inset).toFixed(1)}h${edge}v${edge}h${-edge}Z`;
		};
		const all = Array.from({ length: 100 }, (_, k) => k);
		return html`<path class="sq-h" d="${all
			.slice(0, holds)
			.map((k) => place(k, 0))
			.join("")}"/><path class="sq-f" d="${all
			.slice(holds)
			.map((k) => place(k, 0.8))
			.join("")}"/>`;
	};
	return html`<svg class="wide" viewBox="0 0 405 63" role="img" aria-labelledby="${id}-w"><title id="${id}-w">${says}</title>${squares(4, 16.32, 13.4)}</svg><svg class="narrow" viewBox="0 0 169 170" role="img" aria-labelledby="${id}-n"><title id="${id}-n">${says}</title>${squares(10, 17.1, 14)}</svg>`;
};
