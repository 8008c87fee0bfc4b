import { isMap, isScalar, isSeq, type ParsedNode, parseDocument } from "yaml";
import { InputError } from "../../errors.ts";
import type { Correlations } from "../scenario.ts";
import { sections } from "../schema.ts";
import { buildCorrelations, correlations, pathOf } from "../sections/correlations.ts";
import { type Path, readDocument, yamlOptions } from "../text/document.ts";
import {
	detectStyle,
	endOf,
	insert,
	type MapEntry,
	type Mapping,
	type MappingPair,
	pairOf,
	replaceScalar,
	type Splice,
	splice,
	type TextStyle,
} from "./splice.ts";

/** A value to be written into a scenario file. */
export interface ScenarioChange {
	/** `fan.flow`, `substrate[0].rate`, `chamber.leak`, `sensor.response`, `sensor.offset` */
	readonly path: string;
	/** As it stands in the file after: `63.2 m3/h ±1.4 %` */
	readonly text: string;
	/** Part of the log that it was fitted to, when not to all of it: `last whole day, 2026-03-12` */
	readonly part?: string;
	/** It was given for the fit, not found by it: `source` says so in the place of `fitted`. */
	readonly isGiven?: boolean;
}

/**
 * A value that says where it comes from gets the new one, and where that comes from; what told of the old one in other words
 * makes room for the first of these that is not there.
 */
const replaceInside = (
	text: string,
	map: Mapping,
	entries: readonly MapEntry[],
	style: TextStyle,
): Splice[] => {
	const missing = entries.filter(([key]) => pairOf(map, key) === undefined);
	const [sourceReplacement] = missing;
	const stale = entries.some(([key]) => key === "source") ? "fitted" : "source";
	const source = sourceReplacement === undefined ? undefined : pairOf(map, stale);
	const replaced = entries.flatMap(([key, value]) => {
		const old = pairOf(map, key)?.value;
		return old == null ? [] : replaceScalar(text, old, value);
	});
	if (sourceReplacement !== undefined && source?.value != null) {
		const [key, value] = sourceReplacement;
		replaced.push(
			...replaceScalar(text, source.key, style.scalar(key)),
			...replaceScalar(text, source.value, value),
		);
		missing.shift();
	}
	return [...replaced, ...insert(text, map, map.items.at(-1), missing, style)];
};

/** The section behind which a new one stands, in the order of the file format. */
const sectionBefore = (root: Mapping, key: string): MappingPair | undefined => {
	const order = Object.keys(sections);
	for (let i = order.indexOf(key) - 1; i >= 0; i--) {
		const found = pairOf(root, order[i] ?? "");
		if (found !== undefined) return found;
	}
	return root.items.at(-1);
};

/** Keys beside which another cannot stand; what a rival holds is its author's, so it is not taken out unasked. */
const EXCLUSIVE_KEYS: Readonly<Record<string, string>> = { rate: "rates" };

interface FitProvenance {
	/** Name of the log that the values were fitted to. */
	readonly log: string;
	/** Day of the fit: `2026-03-10`. */
	readonly on: string;
}

const splicesOf = (
	text: string,
	{ path, text: value, part, isGiven }: ScenarioChange,
	provenance: FitProvenance,
	fileName: string,
): Splice[] => {
	const source = readDocument(text, fileName);
	const refuse = (at: Path, message: string): never => {
		throw new InputError([source.fault(at, message)]);
	};
	const style = detectStyle(text);
	const fitted = part === undefined ? provenance.log : `${provenance.log}, ${part}`;
	const from = isGiven === true ? { source: `given for the fit of ${provenance.log}` } : { fitted };
	const entries: readonly MapEntry[] = Object.entries({ value, ...from, on: provenance.on }).map(
		([key, word]) => [key, style.scalar(word)],
	);
	const parts = pathOf(path);
	let node = parseDocument(text, { ...yamlOptions, keepSourceTokens: true }).contents as ParsedNode | null;
	for (const [depth, part] of parts.entries()) {
		const at = parts.slice(0, depth);
		if (typeof part === "number") {
			// One substrate may stand without a list.
			if (isMap(node) && part === 0) continue;
			const item = isSeq(node) ? node.items[part] : undefined;
			if (item === undefined) return refuse(at, `has no entry ${part + 1} for ${path} to be written to`);
			node = item as ParsedNode;
			continue;
		}
		if (!isMap(node)) return refuse(at, `holds no keys, so ${path} cannot be written to it`);
		const map = node as Mapping;
		const pair = pairOf(map, part);
		if (pair === undefined) {
			const exclusiveKey = EXCLUSIVE_KEYS[part];
			if (exclusiveKey !== undefined && pairOf(map, exclusiveKey) !== undefined)
				return refuse(
					[...at, exclusiveKey],
					`stands where ${path} would be written, and both cannot stand; take it out, or put a # before its lines, to let the fitted value count`,
				);
			const inner = parts
				.slice(depth + 1)
				.reduceRight<string>((held, key) => style.mapping([[String(key), held]]), style.mapping(entries));
			const after = depth === 0 ? sectionBefore(map, part) : map.items.at(-1);
			return insert(text, map, after, [[part, inner]], style);
		}
		node = pair.value;
	}
	if (isMap(node) && pairOf(node as Mapping, "value") !== undefined)
		return replaceInside(text, node as Mapping, entries, style);
	if (!isScalar(node) || node.range[0] === node.range[1])
		return refuse(parts, "holds something else than one value, so none can be written to it");
	return replaceScalar(text, node, style.mapping(entries));
};

/** Which of the changed values go together. */
export type ChangeCorrelations = Pick<Correlations, "between" | "matrix">;

/** Stands behind the part, for one who reads the file. */
const CORRELATIONS_REMARK = "# correlated errors of the fit; choose draws with them";

/** Digits of a correlation in the file: pairs as close as 0.999 must be told from 1. */
const CORRELATION_DIGITS = 5;

/** The part of the file about spreads that go together: what was fitted anew leaves its old company for its new one. */
const correlationSplices = (
	text: string,
	changes: readonly ScenarioChange[],
	fittedCorrelations: ChangeCorrelations | null,
	provenance: FitProvenance,
	fileName: string,
): Splice[] => {
	const root = parseDocument(text, { ...yamlOptions, keepSourceTokens: true }).contents as Mapping;
	const pair = pairOf(root, "correlations");
	const read = correlations.safeParse(pair === undefined ? [] : pair.value?.toJSON());
	if (!read.success) {
		const message = "cannot be read, so the fitted correlations cannot be written beside it";
		throw new InputError([readDocument(text, fileName).fault(["correlations"], message)]);
	}
	const changed = new Set(changes.map(({ path }) => path));
	const old = buildCorrelations(read.data);
	const kept = old.flatMap(({ between, matrix, ...from }) => {
		const left = between.flatMap((path, i) => (changed.has(path) ? [] : [i]));
		const part = {
			between: left.map((i) => between[i]!),
			matrix: left.map((i) => left.map((j) => matrix[i]![j]!)),
		};
		return left.length < 2 ? [] : [{ ...part, ...from }];
	});
	const untouched =
		kept.length === old.length && kept.every(({ between }, k) => between.length === old[k]!.between.length);
	if (fittedCorrelations === null && untouched) return [];
	const style = detectStyle(text);
	const list = (items: readonly string[]) => `[${items.join(`,${style.blank}`)}]`;
	const fresh =
		fittedCorrelations === null ? [] : [{ ...fittedCorrelations, fitted: provenance.log, on: provenance.on }];
	const groups = [...kept, ...fresh].map(({ between, matrix, fitted, on }) => {
		const rows = matrix.map((row, i) =>
			list(row.slice(0, i + 1).map((r) => `${Number(r.toFixed(CORRELATION_DIGITS))}`)),
		);
		return style.mapping([
			["between", list(between.map(style.scalar))],
			["matrix", list(rows)],
			...Object.entries({ fitted, on }).flatMap(([key, word]): MapEntry[] =>
				word === undefined ? [] : [[key, style.scalar(word)]],
			),
		]);
	});
	const value = list(groups);
	if (pair?.value == null)
		return insert(
			text,
			root,
			sectionBefore(root, "correlations"),
			[["correlations", root.flow === true ? value : `${value}  ${CORRELATIONS_REMARK}`]],
			style,
		);
	return [{ from: pair.value.range[0], to: endOf(pair.value), text: value }];
};

/**
 * Writes fitted values into the text of a scenario file (YAML or JSON), as `{ value: …, fitted: day.csv, on: 2026-03-10 }`; all
 * else, comments, order, quotes, blanks and line ends, stays as it is. Correlations go to the part `correlations`, which is replaced.
 *
 * @param text the file
 * @param changes paths with their new values
 * @param provenance the log they come from, and the day
 * @param fileName under which its faults are named
 * @param fittedCorrelations the correlations of the new values, or null
 * @returns the new text
 * @throws InputError where the text is no scenario, has aliases or tags, or holds something else than one value at a path
 *
 * Source: this project.
 * @example updateScenario("a: 1 # kept", [], { log: "day.csv", on: "2026-03-10" }) // => "a: 1 # kept"
 */
export const updateScenario = (
	text: string,
	changes: readonly ScenarioChange[],
	provenance: FitProvenance,
	fileName = "scenario.yaml",
	fittedCorrelations: ChangeCorrelations | null = null,
): string => {
	const mark = text.startsWith("\uFEFF") ? "\uFEFF" : "";
	const valued = changes.reduce(
		(held, change) => splice(held, splicesOf(held, change, provenance, fileName)),
		text.slice(mark.length),
	);
	return mark + splice(valued, correlationSplices(valued, changes, fittedCorrelations, provenance, fileName));
};
