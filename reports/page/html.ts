/** Text that is HTML already; anything else is escaped when it is put into a template. */
export interface Html {
	readonly html: string;
}

type HtmlPart = Html | string | number | null | false | readonly HtmlPart[];

/** Escapes text for element content and for quoted attributes. */
export const escapeHtml = (text: string): string =>
	text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);

const toHtml = (part: HtmlPart): string => {
	if (part === null || part === false) return "";
	if (typeof part === "string") return escapeHtml(part);
	if (typeof part === "number") return String(part);
	return "html" in part ? part.html : part.map(toHtml).join("");
};

/** HTML template: every value that is not `Html` itself is escaped. */
export const html = (strings: TemplateStringsArray, ...parts: readonly HtmlPart[]): Html => ({
	html: strings.map((text, index) => text + toHtml(parts[index] ?? null)).join(""),
});

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
