/** Generous width of a character over its height, for sans-serif type of any make. */
const characterWidth = (character: string): number => {
	if (character === " ") return 0.35;
	if (/[ijltfr.,:;'|!()[\]]/.test(character)) return 0.42;
	if (/[MWmw@%]/.test(character)) return 1;
	if (/[a-z0-9]/.test(character)) return 0.64;
	if (/[A-Z]/.test(character)) return 0.78;
	return character.codePointAt(0)! < 0x2e80 ? 0.86 : 1.1;
};

/** Room to keep for a text [px]; common sans-serif types are narrower. */
export const textWidth = (text: string, sizePx: number, bold: boolean): number =>
	[...text].reduce((sum, character) => sum + characterWidth(character), 0) * sizePx * (bold ? 1.1 : 1);

/** A text cut short so that it fits into a width [px]. */
export const truncateText = (text: string, sizePx: number, bold: boolean, widthPx: number): string => {
	if (textWidth(text, sizePx, bold) <= widthPx) return text;
	const characters = [...text];
	while (characters.length > 0 && textWidth(`${characters.join("")}…`, sizePx, bold) > widthPx)
		characters.pop();
	return `${characters.join("").trimEnd()}…`;
};

/** A text in lines that fit into a width [px]. */
export const wrapText = (text: string, sizePx: number, widthPx: number): string[] => {
	const lines: string[] = [];
	for (const word of text.split(" ")) {
		const last = lines[lines.length - 1];
		const longer = last === undefined ? word : `${last} ${word}`;
		if (last !== undefined && textWidth(longer, sizePx, false) <= widthPx) lines[lines.length - 1] = longer;
		else lines.push(truncateText(word, sizePx, false, widthPx));
	}
	return lines;
};
