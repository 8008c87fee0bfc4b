import { isMap, isSeq, type ParsedNode, parseDocument } from "yaml";
import { yamlOptions } from "../text/document.ts";
import {
	detectStyle,
	endOf,
	endOfPair,
	insert,
	type MapEntry,
	type Mapping,
	pairOf,
	replaceScalar,
	type Splice,
	splice,
} from "./splice.ts";

/** What a key is to say: a value as people write it, or keys with such values. */
export type KeyEdit = string | KeyEdits;
/** Keys of a scenario file with what they are to say; the entries of a list go by their index. */
export interface KeyEdits {
	readonly [key: string]: KeyEdit;
}

/** Keys that cannot stand beside each other: the one that comes takes the place of the other. */
const EXCLUSIVE_KEYS: Readonly<Record<string, string>> = { flow: "curve", rate: "rates" };

/**
 * Rewrites the text of a scenario file key by key: a key that is there says something else, one that is not is put in, the
 * schedules are replaced as a whole, and comments and layout of all the rest stay to the letter.
 * @param text a scenario that `parseScenario` takes
 */
export const scenarioRewriter = (text: string): ((changes: KeyEdits) => string) => {
	const mark = text.startsWith("\uFEFF") ? "\uFEFF" : "";
	const body = text.slice(mark.length);
	const style = detectStyle(body);
	const root = parseDocument(body, { ...yamlOptions, keepSourceTokens: true }).contents as ParsedNode | null;

	const writeEdit = (said: KeyEdit): string =>
		typeof said === "string" ? style.scalar(said) : style.mapping(mapEntries(said));
	const mapEntries = (changes: KeyEdits): MapEntry[] =>
		Object.entries(changes).map(([key, said]) => [key, writeEdit(said)]);

	/** A block scalar ends where the next line begins; that line is to stay one. */
	const beforeLineEnd = (end: number): number =>
		body[end - 1] !== "\n" ? end : body[end - 2] === "\r" ? end - 2 : end - 1;
	const replace = (node: ParsedNode, said: KeyEdit): Splice[] => {
		const [from] = node.range;
		if (typeof said !== "string" && isMap(node) && node.flow !== true) {
			const indent = " ".repeat(from - (body.lastIndexOf("\n", from - 1) + 1));
			const lines = mapEntries(said).map(style.entry).join(`${style.newLine}${indent}`);
			return [{ from, to: beforeLineEnd(endOf(node)), text: lines }];
		}
		// A key without a value has nothing, not even a blank, after its colon.
		const instead = body[from - 1] === ":" ? ` ${writeEdit(said)}` : writeEdit(said);
		return isMap(node) || isSeq(node)
			? [{ from, to: beforeLineEnd(endOf(node)), text: instead }]
			: replaceScalar(body, node, instead);
	};
	const splicesOf = (node: ParsedNode | null, changes: KeyEdits, depth = 0): Splice[] => {
		if (isSeq(node))
			return Object.entries(changes).flatMap(([index, said]) =>
				typeof said === "string" ? [] : splicesOf(node.items[Number(index)] as ParsedNode, said, depth + 1),
			);
		if (!isMap(node)) return [];
		const map = node as Mapping;
		const missing: MapEntry[] = [];
		const there = Object.entries(changes).flatMap(([key, said]) => {
			// A list of one may be written without its dash.
			if (/^\d+$/.test(key) && typeof said !== "string") return splicesOf(node, said, depth);
			const pair = pairOf(map, key);
			const other = pairOf(map, EXCLUSIVE_KEYS[key] ?? "");
			if (pair?.value != null)
				return typeof said !== "string" && !(depth === 0 && key === "schedules")
					? splicesOf(pair.value, said, depth + 1)
					: replace(pair.value, said);
			if (other !== undefined)
				return [
					{
						from: other.key.range[0],
						to: beforeLineEnd(endOfPair(other)),
						text: style.entry([key, writeEdit(said)]),
					},
				];
			missing.push([key, writeEdit(said)]);
			return [];
		});
		const last = map.items.at(depth === 0 ? -2 : -1) ?? map.items[0];
		// First, since of two that go to one place the later comes to stand before: what belongs inside before what follows.
		return [...insert(body, map, last, missing, style), ...there];
	};
	return (changes) => mark + splice(body, splicesOf(root, changes));
};
