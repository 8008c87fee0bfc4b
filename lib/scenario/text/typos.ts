/** Long text cut short, for a message. */
export const shorten = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}...` : text);

/** The colon, or the blank after it, that a line lacks: `volume 300 L`, `volume:300 L`, `chamber`; null for any other text. */
export const colonTypo = (line: string): { readonly key: string; readonly says: string } | null => {
	const [, key, colon, rest] = /^\s*([A-Za-z][\w-]*)(:?) *(.*?)\s*$/.exec(line.replace(/ #.*$/, "")) ?? [];
	if (key === undefined || rest === undefined) return null;
	if (rest === "") return colon === "" ? { key, says: `a colon is missing after "${shorten(key)}"` } : null;
	const lacks = colon === "" ? "a colon is missing" : "a blank is missing after the colon";
	return { key, says: `${lacks}: write "${shorten(key)}: ${shorten(rest)}"` };
};

/** What was meant by an entry between braces that has no value: the rest of a number with a comma, or a forgotten blank. */
export const flowTypo = (before: unknown, key: string): string | null =>
	typeof before === "number" && /^\d/.test(key)
		? `a comma parts entries here, and decimals take a point: write "${before}.${shorten(key)}"`
		: /[ :]/.test(key)
			? (colonTypo(key)?.says ?? null)
			: null;

/** The line of a text around a place in it. */
export const lineAt = (text: string, offset: number): string =>
	text.slice(text.lastIndexOf("\n", offset - 1) + 1).split("\n", 1)[0] ?? "";
