/** Text that is HTML already; anything else is escaped when it is put into a template. */
export interface Html {
	readonly html: string;
}

export type HtmlPart = Html | string | number | null | false | readonly HtmlPart[];

/** Escapes text for element content and for quoted attributes. */
export const escapeHtml = (text: string): string =>
	text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);

/** Stretches written from right to left, and the characters that turn the direction of what follows. */
const RIGHT_TO_LEFT =
	/[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]+(?:[^\p{L}]+[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]+)*/gu;
const TURNING = /[\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;

/** Escapes text for element content, in which a name from right to left must not move the words beside it. */
export const escapeContent = (text: string): string =>
	escapeHtml(
		text
			.replace(TURNING, (character) => `\\u${character.charCodeAt(0).toString(16)}`)
			.replace(RIGHT_TO_LEFT, "\u2068$&\u2069"),
	);

const toHtml = (part: HtmlPart, encode: (text: string) => string): string => {
	if (part === null || part === false) return "";
	if (typeof part === "string") return encode(part);
	if (typeof part === "number") return String(part);
	return "html" in part ? part.html : part.map((one) => toHtml(one, encode)).join("");
};

/** HTML template: every value that is not `Html` itself is escaped. */
export const html = (strings: TemplateStringsArray, ...parts: readonly HtmlPart[]): Html => {
	let isInTag = false;
	return {
		html: strings
			.map((text, index) => {
				const [opened, closed] = [text.lastIndexOf("<"), text.lastIndexOf(">")];
				if (opened !== closed) isInTag = opened > closed;
				return text + toHtml(parts[index] ?? null, isInTag ? escapeHtml : escapeContent);
			})
			.join(""),
	};
};

/** Takes text for HTML; for what this program has made itself. */
export const trusted = (text: string): Html => ({ html: text });

/** JSON that may stand in a script element. */
export const embeddedJson = (value: unknown): Html =>
	trusted(
		JSON.stringify(value)
			.replace(/</g, "\\u003c")
			.replace(/\u2028/g, "\\u2028")
			.replace(/\u2029/g, "\\u2029"),
	);
