import { type CST, isMap, isScalar, isSeq, type Pair, type ParsedNode, parse, type YAMLMap } from "yaml";
import { yamlOptions } from "../text/document.ts";

/** Text that takes the place of another. */
export interface Splice {
	readonly from: number;
	readonly to: number;
	readonly text: string;
}
/** A key, and its value as it is to be written. */
export type MapEntry = readonly [key: string, value: string];
export type Mapping = YAMLMap.Parsed<ParsedNode, ParsedNode | null>;
export type MappingPair = Pair<ParsedNode, ParsedNode | null>;

/** How a text writes its entries: as YAML, as JSON, or as JSON without blanks. */
export interface TextStyle {
	readonly newLine: string;
	readonly scalar: (text: string) => string;
	readonly entry: (entry: MapEntry) => string;
	readonly mapping: (entries: readonly MapEntry[]) => string;
	readonly blank: string;
}

const isJson = (text: string): boolean => {
	try {
		JSON.parse(text);
		return true;
	} catch {
		return false;
	}
};

// What is plain here is plain between braces too; words that YAML would take for a number or a truth are quoted.
const plain = /^(?:[\p{L}\p{N}.]|-\d)[\p{L}\p{N} ._/±%()°·^\\+-]*$/u;
const yamlScalar = (text: string): string =>
	plain.test(text) && parse(text, yamlOptions) === text ? text : JSON.stringify(text);

export const detectStyle = (text: string): TextStyle => {
	const json = isJson(text);
	const blank = json && !/": /.test(text) ? "" : " ";
	const scalar = json ? JSON.stringify : yamlScalar;
	const entry = ([key, value]: MapEntry): string => `${scalar(key)}:${blank}${value}`;
	return {
		newLine: /\r?\n/.exec(text)?.[0] ?? "\n",
		scalar,
		entry,
		mapping: (entries) => `{${blank}${entries.map(entry).join(`,${blank}`)}${blank}}`,
		blank,
	};
};

export const pairOf = (map: Mapping, key: string): MappingPair | undefined =>
	map.items.find((pair) => isScalar(pair.key) && (pair.key.value === key || pair.key.source === key));

/** Where the last word of a node ends, without the comments and blank lines behind it. */
export const endOf = (node: ParsedNode): number => {
	if (isMap(node) && node.flow !== true) {
		const last = node.items.at(-1);
		if (last !== undefined) return endOfPair(last);
	}
	if (isSeq(node) && node.flow !== true) {
		const last = node.items.at(-1);
		if (last !== undefined) return endOf(last as ParsedNode);
	}
	return node.range[1];
};
export const endOfPair = ({ key, value }: MappingPair): number => endOf(value ?? key);

const lineStart = (text: string, offset: number): number => text.lastIndexOf("\n", offset - 1) + 1;
const lineEnd = (text: string, offset: number): number => {
	const end = text.indexOf("\n", offset);
	if (end < 0) return text.length;
	return text[end - 1] === "\r" ? end - 1 : end;
};

/** New entries of a block mapping, on lines of their own behind the pair `after`. */
const insertLines = (
	text: string,
	map: Mapping,
	after: MappingPair,
	entries: readonly MapEntry[],
	style: TextStyle,
): Splice => {
	const indent = " ".repeat((map.srcToken as CST.BlockMap).indent);
	const { newLine } = style;
	const above = lineStart(text, after.key.range[0]);
	const parted = above > 0 && text.slice(lineStart(text, above - 1), above).trim() === "";
	const gap = parted ? newLine : "";
	const lines = entries.map((entry) => `${gap}${indent}${style.entry(entry)}`).join(newLine);
	const end = endOfPair(after);
	// A block scalar ends where the next line begins.
	if (text[end - 1] === "\n") return { from: end, to: end, text: lines + newLine };
	const from = lineEnd(text, end);
	return { from, to: from, text: newLine + lines };
};

/** New entries between braces, behind the pair `after`. */
const insertBetween = (
	text: string,
	after: MappingPair,
	entries: readonly MapEntry[],
	style: TextStyle,
): Splice[] => {
	const start = lineStart(text, after.key.range[0]);
	const before = text.slice(start, after.key.range[0]);
	const apart = before.trim() === "" && start > 0 ? style.newLine + before : style.blank;
	const list = entries.map(style.entry).join(`,${apart}`);
	const end = endOfPair(after);
	const eol = lineEnd(text, end);
	const comment = /^([ \t]*,)?[ \t]+#/.exec(text.slice(end, eol));
	// A comment stays with the entry that it stands behind.
	if (comment !== null && apart !== style.blank)
		return comment[1] === undefined
			? [
					{ from: end, to: end, text: "," },
					{ from: eol, to: eol, text: apart + list },
				]
			: [{ from: eol, to: eol, text: `${apart}${list},` }];
	return [{ from: end, to: end, text: `,${apart}${list}` }];
};

/** New entries of a mapping behind one of its pairs, in the manner of that pair. */
export const insert = (
	text: string,
	map: Mapping,
	after: MappingPair | undefined,
	entries: readonly MapEntry[],
	style: TextStyle,
): Splice[] => {
	if (entries.length === 0) return [];
	if (after === undefined) {
		const [from, to] = map.range;
		const rest = text.slice(from + 1, to).trim() === "}" ? style.mapping(entries) : null;
		return [
			rest === null
				? { from: from + 1, to: from + 1, text: ` ${entries.map(style.entry).join(", ")}` }
				: { from, to, text: rest },
		];
	}
	return map.flow === true
		? insertBetween(text, after, entries, style)
		: [insertLines(text, map, after, entries, style)];
};

export const replaceScalar = (text: string, node: ParsedNode, by: string): Splice[] => {
	const [from, to] = node.range;
	if (!isScalar(node) || (node.type !== "BLOCK_LITERAL" && node.type !== "BLOCK_FOLDED"))
		return [{ from, to, text: by }];
	// The head of a block scalar may carry a comment; its lines go.
	const head = /^[|>][-+\d]*/.exec(text.slice(from))?.[0] ?? "";
	const body = text.indexOf("\n", from) + 1;
	return [
		{ from, to: from + head.length, text: by },
		{ from: body, to, text: "" },
	];
};

/** The text with all splices made, which must not overlap. */
export const splice = (text: string, splices: readonly Splice[]): string =>
	splices
		.toSorted((a, b) => b.from - a.from)
		.reduce((held, { from, to, text: by }) => held.slice(0, from) + by + held.slice(to), text);
