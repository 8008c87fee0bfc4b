/** The stream itself remembers: the start of the program, which guards it, has a copy of this file of its own. */
const isOutputClosed = (): boolean => process.stdout.errored !== null;

/**
 * Goes on quietly, to the exit code that the answer earns, when the reader of standard output has gone (`| head`); any other
 * failure of it, such as a full disk, is handed over. One of standard error can be told to nobody.
 */
export function guardStandardStreams(fail: (error: NodeJS.ErrnoException) => void): void {
	process.stderr.on("error", () => {});
	process.stdout.on("error", (error: NodeJS.ErrnoException) => {
		if (error.code !== "EPIPE") fail(error);
	});
}

/** Writes to standard output, waiting while it is full; false once nobody reads any more. */
export async function print(text: string): Promise<boolean> {
	if (isOutputClosed()) return false;
	if (!process.stdout.write(text))
		await new Promise<void>((proceed) => {
			const events = ["drain", "error", "close"] as const;
			const done = (): void => {
				for (const event of events) process.stdout.off(event, done);
				proceed();
			};
			for (const event of events) process.stdout.on(event, done);
		});
	return !isOutputClosed();
}

/** Writes remarks and faults to standard error, one a line. */
export function complain(lines: readonly string[]): void {
	for (const line of lines) process.stderr.write(`${visible(line)}\n`);
}

/** Shows control characters instead of sending them to the terminal. */
export const visible = (text: string): string =>
	text.replace(
		// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for.
		/[\u0000-\u001f\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069]/g,
		(character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, "0")}`,
	);

const wide = /\p{Emoji_Presentation}|[ᄀ-ᅟ⺀-〾ぁ-꓏가-힣豈-﫿︰-﹏＀-｠￠-￦]/u;
/** Latin, punctuation, indices, arrows and signs, frames and blocks, ✓ ✗: one column each, nothing combines. */
const PLAIN =
	// biome-ignore lint/suspicious/noControlCharactersInRegex: the range begins with them.
	/^[\u0000-\u02ff\u2010-\u2027\u2030-\u205e\u2070-\u208e\u2190-\u22ff\u2500-\u259f\u2713\u2717]*$/;
let graphemes: Intl.Segmenter | undefined;

/** Terminal columns that a text takes. */
export function displayWidth(text: string): number {
	// Nearly all there is, and a segmenter takes longer to make than most answers.
	if (PLAIN.test(text)) return text.length;
	graphemes ??= new Intl.Segmenter("en", { granularity: "grapheme" });
	let width = 0;
	for (const { segment } of graphemes.segment(text)) width += wide.test(segment) ? 2 : 1;
	return width;
}

/** A text cut to a width, with "…" for what is cut off. */
export function truncate(text: string, width: number): string {
	const shown = visible(text);
	if (displayWidth(shown) <= width) return shown;
	let kept = "";
	for (const character of shown) {
		if (displayWidth(kept + character) > width - 1) break;
		kept += character;
	}
	return `${kept.trimEnd()}…`;
}

/**
 * Rows under a head, in aligned columns two spaces apart; `right` names the columns of figures, by index.
 * With a `width` cells are folded to it: the last column first, then names and heads; figures stay whole.
 */
export function table(
	head: readonly string[],
	rows: readonly (readonly string[])[],
	right: readonly number[],
	width = Number.POSITIVE_INFINITY,
): string {
	const all = [head, ...rows].map((row) => head.map((_, column) => visible(row[column] ?? "")));
	const widths = columnWidths(all, right, width);
	const lines = all.flatMap((row) => {
		const cells = row.map((cell, column) => foldedLines(cell.trimEnd(), widths[column]!));
		return Array.from({ length: Math.max(...cells.map(({ length }) => length)) }, (_, line) =>
			cells
				.map((cell, column) => {
					const text = cell[line] ?? "";
					const gap = " ".repeat(Math.max(0, widths[column]! - displayWidth(text)));
					return right.includes(column) ? gap + text : text + gap;
				})
				.join("  ")
				.trimEnd(),
		);
	});
	return `${lines.join("\n")}\n`;
}

function columnWidths(
	all: readonly (readonly string[])[],
	right: readonly number[],
	width: number,
): number[] {
	const widest = (column: number, measure: (cell: string) => number, rows = all): number =>
		Math.max(0, ...rows.map((row) => measure(row[column]!)));
	const longestWord = (cell: string): number => Math.max(...cell.split(" ").map(displayWidth));
	const widths = all[0]!.map((_, column) => widest(column, displayWidth));
	const last = widths.length - 1;
	const total = (): number => widths.reduce((sum, own) => sum + own + 2, -2);
	const isWords = !right.includes(last);
	if (isWords) widths[last] = Math.min(widths[last]!, Math.max(24, widths[last]! - (total() - width)));
	const least = widths.map((own, column) =>
		column === last && isWords
			? own
			: Math.max(
					widest(column, longestWord),
					right.includes(column) ? widest(column, displayWidth, all.slice(1)) : 0,
				),
	);
	while (total() > width) {
		const room = widths.map((own, column) => own - least[column]!);
		const column = room.indexOf(Math.max(...room));
		if (room[column]! <= 0) break;
		widths[column]!--;
	}
	return widths;
}

function foldedLines(text: string, width: number): string[] {
	const lines: string[] = [];
	let line = "";
	for (const word of text.split(/ (?=\S)/)) {
		if (line !== "" && displayWidth(line) + 1 + displayWidth(word) > width) {
			lines.push(line);
			line = word;
		} else line = line === "" ? word : `${line} ${word}`;
	}
	return [...lines, line];
}

/** Paragraph of at most `width` columns, its following lines moved in. */
export const wrap = (text: string, width: number, indent = ""): string =>
	`${foldedLines(visible(text), width - indent.length).join(`\n${indent}`)}\n`;

/** Whether standard output is a terminal that a person looks at, its width, and whether it may be coloured. */
export function terminal(): {
	readonly isTerminal: boolean;
	readonly columns: number;
	readonly colour: boolean;
} {
	const isTerminal = process.stdout.isTTY === true;
	const { NO_COLOR, TERM } = process.env;
	return {
		isTerminal,
		columns: isTerminal ? Math.max(40, process.stdout.columns || 80) : 100,
		colour: isTerminal && (NO_COLOR ?? "") === "" && TERM !== "dumb",
	};
}
