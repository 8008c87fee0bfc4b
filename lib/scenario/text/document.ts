import {
	Composer,
	type CST,
	isAlias,
	isMap,
	isScalar,
	isSeq,
	Lexer,
	LineCounter,
	type ParsedNode,
	Parser,
} from "yaml";
import { type Fault, InputError } from "../../errors.ts";
import { keyNamed } from "./aliases.ts";
import { colonTypo, flowTypo, lineAt, shorten } from "./typos.ts";

export type Path = readonly (string | number)[];

/** Plain value of a YAML document: mappings have no prototype, so no key of a file can reach one. */
export type Plain = string | number | boolean | null | readonly Plain[] | PlainMapping;
export interface PlainMapping {
	readonly [key: string]: Plain;
}

export interface Position {
	readonly line: number;
	readonly column: number;
}
interface Place {
	readonly keyOffset: number;
	readonly valueOffset: number;
	/** What stands there, for a message: `"180 kg"`, `a mapping`. */
	readonly received: string;
}

/** A YAML file as plain values that know where they stand. */
export interface SourceDocument {
	readonly fileName: string;
	readonly root: PlainMapping;
	/** Keys of the mapping at a path in the order of the file (an object would sort "2" before "b"); other names of a key count as it. */
	readonly keys: (path: Path) => readonly string[];
	readonly has: (path: Path) => boolean;
	/** Position of the value, or of the nearest thing around it that exists. */
	readonly valueAt: (path: Path) => Position;
	readonly keyAt: (path: Path) => Position;
	readonly received: (path: Path) => string;
	readonly fault: (path: Path, message: string, at?: "key" | "value") => Fault;
}

/** YAML 1.2, core schema; what else a file may hold is refused by `readSource`. */
export const yamlOptions = {
	version: "1.2",
	schema: "core",
	merge: false,
	uniqueKeys: false,
	logLevel: "silent",
} as const;

const MAX_CHARACTERS = 1_000_000;
const MAX_DEPTH = 20;
const MAX_KEYS = 1000;
const MAX_FAULTS = 50;

const separator = "\u0000";
const keyOf = (path: Path): string => path.join(separator);

/** `substrate[0].mass`; a name with spaces or dots is quoted. */
export const formatPath = (path: Path): string =>
	path
		.map((part, index) => {
			if (typeof part === "number") return `[${part}]`;
			const short = shorten(part);
			const name = /^[\w'-]+(?: [\w'-]+)*$/.test(part) ? short : JSON.stringify(short);
			return index === 0 ? name : `.${name}`;
		})
		.join("");

/** Received where `key: value` lines stand. */
export const BLOCK_STYLE = 'indented "key: value" lines';

/**
 * Flat tokens of a YAML text, or null when it is nested too deep. The parser keeps a stack of its own, but what composes
 * its tokens recurses, and a few thousand brackets would exhaust that.
 */
const tokenize = (text: string, onNewLine: (offset: number) => void): CST.Token[] | null => {
	const parser = new Parser(onNewLine);
	onNewLine(0);
	const tokens: CST.Token[] = [];
	for (const lexeme of new Lexer().lex(text)) {
		tokens.push(...parser.next(lexeme));
		if (parser.stack.length > MAX_DEPTH) return null;
	}
	tokens.push(...parser.end());
	return tokens;
};

/** Reads the text of a scenario into plain values with positions; throws InputError with every fault of form. */
export const readDocument = (rawText: string, fileName: string): SourceDocument => {
	const text = rawText.startsWith("\uFEFF") ? rawText.slice(1) : rawText;
	const refuse = (message: string): never => {
		throw new InputError([{ file: fileName, message }]);
	};
	if (text.length > MAX_CHARACTERS) {
		refuse(`is too big: ${(text.length / 1e6).toFixed(1)} MB; a scenario has at most 1 MB`);
	}
	// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
	if (/[\u0000-\u0008\u000E-\u001F\uFFFE\uFFFF]/.test(text)) {
		refuse("is a binary file; a scenario is plain text (YAML, UTF-8)");
	}

	const lines = new LineCounter();
	const position = (offset: number): Position => {
		const { line, col } = lines.linePos(offset);
		return { line: Math.max(1, line), column: Math.max(1, col) };
	};
	const faults: Fault[] = [];
	const say = (offset: number, message: string): void => {
		faults.push({ file: fileName, ...position(offset), message });
	};

	const tokens = tokenize(text, lines.addNewLine);
	if (tokens === null)
		return refuse(`is nested deeper than ${MAX_DEPTH} levels; a scenario needs about four`);
	const composer = new Composer(yamlOptions);
	const documents = [...composer.compose(tokens, true, text.length)];
	const document = documents[0];
	for (const { errors, directives } of documents) {
		for (const error of errors) {
			const slip = error.code === "MULTILINE_IMPLICIT_KEY" ? colonTypo(lineAt(text, error.pos[0])) : null;
			say(error.pos[0], slip?.says ?? `is not valid YAML: ${error.message}`);
		}
		if (directives?.yaml.explicit === true)
			say(0, "YAML directives (%YAML) are not read here; leave the line out");
	}
	const second = documents[1];
	if (second !== undefined) say(second.range[0], "a second document begins here; a scenario file holds one");
	if (faults.length > 0) throw new InputError(faults.slice(0, MAX_FAULTS));
	if (
		document === undefined ||
		document.contents === null ||
		(isScalar(document.contents) && document.contents.value === null)
	) {
		return refuse("is empty; `lullgust new` writes a starter file");
	}

	const places = new Map<string, Place>();
	const keyLists = new Map<string, readonly string[]>();
	/** Names in the file of keys that go by another one, by the path of the key. */
	const written = new Map<string, string>();

	const place = (path: Path, keyOffset: number, valueOffset: number, received: string): void => {
		places.set(keyOf(path), { keyOffset, valueOffset, received });
	};

	const plain = (node: ParsedNode | null, path: Path, keyOffset: number): Plain => {
		if (node === null) {
			place(path, keyOffset, keyOffset, "nothing");
			return null;
		}
		const offset = node.range[0];
		if (isAlias(node)) {
			say(offset, `aliases (*${shorten(node.source)}) are not read here; write the value out`);
			return null;
		}
		if (node.tag !== undefined) say(offset, `tags (${shorten(node.tag)}) are not read here; leave it out`);
		if (isScalar(node)) {
			const { value, source } = node;
			if (value === null || value === "")
				place(path, keyOffset, value === null ? keyOffset : offset, value === null ? "nothing" : '""');
			else if (typeof value === "string") place(path, keyOffset, offset, JSON.stringify(shorten(value)));
			else place(path, keyOffset, offset, shorten(source ?? String(value)));
			if (typeof value === "string" || typeof value === "number" || typeof value === "boolean") return value;
			return value === null ? null : String(value);
		}
		if (isSeq(node)) {
			place(path, keyOffset, offset, "a list");
			return node.items.map((item, index) =>
				plain(item as ParsedNode, [...path, index], nodeOffset(item, offset)),
			);
		}
		place(path, keyOffset, offset, BLOCK_STYLE);
		const result: Record<string, Plain> = Object.create(null);
		const keys: string[] = [];
		if (!isMap(node)) return result;
		if (node.items.length > MAX_KEYS) {
			say(offset, `has ${node.items.length} keys; a scenario needs at most ${MAX_KEYS} in one place`);
			return result;
		}
		let before: unknown = null;
		for (const { key, value } of node.items) {
			const at = nodeOffset(key, offset);
			const slip = node.flow && value === null && isScalar(key) ? flowTypo(before, String(key.value)) : null;
			before = isScalar(value) ? value.value : null;
			if (slip !== null) {
				say(at, slip);
				continue;
			}
			if (!isScalar(key) || key.value === null) {
				say(at, "a key must be a plain word");
				continue;
			}
			const name = typeof key.value === "string" ? key.value : (key.source ?? String(key.value));
			if (name === "__proto__") say(at, `"__proto__" cannot be used as a name`);
			else if (name === "<<") say(at, "merge keys (<<) are not read here; write the values out");
			else {
				const own = keyNamed(path, name);
				const inner = [...path, own];
				if (Object.hasOwn(result, own)) {
					const what = path.length === 1 && path[0] === "schedules" ? "schedule name" : "key";
					const before = written.get(keyOf(inner)) ?? own;
					say(
						at,
						before === name
							? `the ${what} ${JSON.stringify(shorten(name))} appears twice; each may stand once`
							: `"${name}" is another name of "${before}", which stands here too; give one of the two`,
					);
					continue;
				}
				if (own !== name) written.set(keyOf(inner), name);
				keys.push(own);
				result[own] = plain(value, inner, at);
			}
		}
		keyLists.set(keyOf(path), keys);
		return result;
	};

	const root = plain(document.contents, [], 0);
	if (faults.length > 0) throw new InputError(faults.slice(0, MAX_FAULTS));
	if (!keyLists.has("") || root === null || typeof root !== "object") {
		return refuse(
			`needs keys such as "chamber:" and "fan:" at the top, got ${places.get("")?.received ?? "nothing"}`,
		);
	}

	const find = (path: Path): Place => {
		for (let length = path.length; length >= 0; length--) {
			const found = places.get(keyOf(path.slice(0, length)));
			if (found !== undefined) return found;
		}
		return { keyOffset: 0, valueOffset: 0, received: "nothing" };
	};
	const valueAt = (path: Path): Position => position(find(path).valueOffset);
	const keyAt = (path: Path): Position => position(find(path).keyOffset);
	const asWritten = (path: Path): Path =>
		path.map((part, depth) => written.get(keyOf(path.slice(0, depth + 1))) ?? part);
	return {
		fileName,
		root: root as PlainMapping,
		keys: (path) => keyLists.get(keyOf(path)) ?? [],
		has: (path) => places.has(keyOf(path)),
		valueAt,
		keyAt,
		received: (path) => places.get(keyOf(path))?.received ?? "nothing",
		fault: (path, message, at = "value") => ({
			file: fileName,
			...(at === "key" ? keyAt(path) : valueAt(path)),
			...(path.length > 0 ? { path: formatPath(asWritten(path)) } : {}),
			message,
		}),
	};
};

const nodeOffset = (node: unknown, otherwise: number): number =>
	(node as ParsedNode | null | undefined)?.range?.[0] ?? otherwise;
