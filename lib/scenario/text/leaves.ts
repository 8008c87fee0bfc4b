import * as z from "zod";
import { nearest } from "../../nearest.ts";
import { type Dimension, examplesOf, expectation } from "../../units/dimensions.ts";
import { formatQuantity } from "../../units/format.ts";
import { normalizeText, parseValue } from "../../units/read.ts";
import type { Distribution } from "../scenario.ts";
import { type ParsedQuantity, parseQuantity } from "./quantity.ts";
import { colonTypo } from "./typos.ts";

/** A value as read from the file, with what its author says of its origin. */
export interface Measured extends ParsedQuantity {
	readonly source?: string;
	readonly fitted?: string;
	readonly on?: string;
	readonly distribution?: Distribution;
}
export const isMeasured = (value: unknown): value is Measured =>
	typeof value === "object" && value !== null && "dimension" in value && "text" in value;

const DISTRIBUTIONS = ["uniform", "normal", "log-normal"] as const satisfies readonly Distribution[];

interface ValueBounds {
	/** Texts of the same dimension: `0 L`. */
	readonly above?: string;
	readonly min?: string;
	readonly below?: string;
	readonly max?: string;
	/** What is not 0 reaches at least this. */
	readonly unlessZero?: string;
	/** Ranges and spreads make no sense here. */
	readonly isSingle?: boolean;
}

const BOUND_CHECKS = [
	["above", "above", (x: number, end: number) => x > end],
	["min", "at least", (x: number, end: number) => x >= end],
	["below", "below", (x: number, end: number) => x < end],
	["max", "at most", (x: number, end: number) => x <= end],
	["unlessZero", "0, or at least", (x: number, end: number) => x === 0 || x >= end],
] as const;

const bare: readonly Dimension[] = ["number", "fraction"];

/** Reads a text against dimensions and bounds: the value, or the rule that it breaks and why. */
const reader = (dimensions: readonly Dimension[], bounds: ValueBounds) => {
	const needs = `needs ${expectation(dimensions)}`;
	const ends = new Map(
		dimensions.map((dimension) => [
			dimension,
			BOUND_CHECKS.flatMap(([key, words, holds]) => {
				// With two dimensions a bound such as `0` counts in both.
				const text = bounds[key];
				if (text === undefined) return [];
				const read = parseValue(normalizeText(text), [dimension]);
				const end = "refused" in read ? Number(text) : read.value;
				return [{ words: `must be ${words} ${text}`, holds: (x: number) => holds(x, end) }];
			}),
		]),
	);
	return (input: string | number): ParsedQuantity | Broken => {
		const read =
			typeof input === "number" && !dimensions.some((dimension) => bare.includes(dimension))
				? { refused: "a unit is missing" }
				: parseQuantity(String(input), dimensions);
		if ("refused" in read) return { rule: needs, reason: read.refused };
		if (bounds.isSingle === true && read.low !== null)
			return { rule: needs, reason: "one value, not a range" };
		for (const end of ends.get(read.dimension) ?? []) {
			for (const x of [read.value, read.low, read.high]) {
				if (x === null || end.holds(x)) continue;
				// The ends of a spread are not written out, so the one at fault is named.
				const hidden = x !== read.value && /±|\+\/?-/.test(read.text);
				const reason = hidden ? `its spread reaches to ${formatQuantity(x, read.dimension)}` : "";
				return { rule: end.words, reason };
			}
		}
		return read;
	};
};

const textOrNumber = (dimensions: readonly Dimension[], needs: string) =>
	dimensions.some((dimension) => bare.includes(dimension))
		? z.union([z.string(), z.number()], { error: needs })
		: z.string({ error: needs });

/** Where a text stands in the place of `key: value` lines: the colon, or the blank after it, that was forgotten. */
const findTypo = (input: unknown, keys: readonly string[]): string => {
	const slip = typeof input === "string" ? colonTypo(input) : null;
	return slip === null || !keys.includes(slip.key) ? "" : `; ${slip.says}`;
};

/** What a text breaks: the rule, and why or what was meant. */
export interface Broken {
	readonly rule: string;
	readonly reason?: string;
	/** Key inside the value at which it is broken. */
	readonly at?: string;
}

/** A transform that reads what a schema lets pass, or tells which rule it breaks. */
export const reading =
	<Input, Output>(read: (input: Input) => Output | Broken) =>
	(input: Input, context: z.core.$RefinementCtx<Input>): Output => {
		const result = read(input);
		if (typeof result !== "object" || result === null || !("rule" in result)) return result as Output;
		const { rule: message, reason = "", at } = result;
		context.addIssue({ code: "custom", message, params: { reason }, path: at === undefined ? [] : [at] });
		return z.NEVER;
	};

/** A whole number within bounds. */
export const wholeNumber = (min: number, max: number, description: string) => {
	const error = `needs a whole number from ${min} to ${max}`;
	return z
		.number({ error })
		.refine((x) => Number.isInteger(x) && x >= min && x <= max, { error })
		.meta({ description });
};

/** A mapping that knows its keys; a fault about a foreign key carries the known ones, one a line, for a suggestion. */
export const mapping = <Shape extends z.core.$ZodLooseShape>(shape: Shape, description: string) =>
	z
		.strictObject(shape, {
			error: (issue) =>
				issue.code === "unrecognized_keys"
					? Object.keys(shape).join("\n")
					: `needs indented "key: value" lines with ${Object.keys(shape).slice(0, 4).join(", ")}${findTypo(issue.input, Object.keys(shape))}`,
		})
		.meta({ description });

const text = (error: string, description: string) => z.string({ error }).optional().meta({ description });
/** What its author says of the origin of a value. */
export const provenance = {
	source: text("needs a text", "where you have it from"),
	fitted: text("needs the name of a log", "log it was fitted to"),
	on: text("needs a date such as 2026-05-01", "day of the fit"),
};

/** A quantity with a unit, a range or spread, or a mapping `{ value, source }` or `{ value, fitted, on }`. */
export const quantity = (
	dimensions: Dimension | readonly Dimension[],
	description: string,
	bounds: ValueBounds = {},
	examples: readonly string[] = [dimensions].flat().flatMap(examplesOf),
) => {
	const list = [dimensions].flat() as readonly Dimension[];
	const needs = `needs ${expectation(list)}`;
	const read = reader(list, bounds);
	const value = textOrNumber(list, needs).meta({
		description: "the value with its unit",
		examples: [...examples],
	});
	const told = mapping(
		{
			value,
			...provenance,
			distribution: z
				.enum(DISTRIBUTIONS, { error: 'needs "uniform", "normal" or "log-normal"' })
				.optional()
				.meta({
					description:
						"how a range or spread is drawn: uniform between its ends, or normal or log-normal with the ends at 5 % and 95 %",
				}),
		},
		"a value and where it comes from",
	);
	return z
		.union([value, told], { error: needs })
		.transform(
			reading((input: z.output<typeof told> | string | number): Measured | Broken => {
				if (typeof input !== "object") return read(input);
				const { value: text, ...stamp } = input;
				const result = read(text);
				if ("rule" in result) return { ...result, at: "value" };
				const isUnable = stamp.distribution === "log-normal" && !(result.low !== null && result.low > 0);
				if (isUnable || (stamp.distribution !== undefined && result.low === null))
					return {
						rule: `needs a range or spread${isUnable ? " above 0" : ""} for its value`,
						at: "distribution",
					};
				return { ...result, ...(stamp as object) };
			}),
		)
		.meta({ description, examples: [...examples] });
};

/** One time without uncertainty [s]. */
export const duration = (description: string, bounds: ValueBounds = { min: "0 s" }) => {
	const read = reader(["duration"], { ...bounds, isSingle: true });
	return z
		.string({ error: `needs ${expectation(["duration"])}` })
		.transform(
			reading((input: string): number | Broken => {
				const result = read(input);
				return "rule" in result ? result : result.value;
			}),
		)
		.meta({ description, examples: [...examplesOf("duration")] });
};

/** A moment of the day, `07:00` or `07:00:30` [s after midnight]. */
export const timeOfDay = (description: string) =>
	z
		.string({ error: 'needs a time of day such as "07:00"' })
		.transform(
			reading((input: string): number | Broken => {
				const match = /^([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?$/.exec(input.trim());
				if (match === null) return { rule: 'needs a time of day such as "07:00"' };
				return Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3] ?? 0);
			}),
		)
		.meta({ description, examples: ["07:00", "22:30"] });

/** One of some words. */
export const oneOf = <const Words extends readonly [string, ...string[]]>(
	words: Words,
	description: string,
) => z.enum(words, { error: `needs ${words.map((word) => `"${word}"`).join(" or ")}` }).meta({ description });

/** A name of a table, also by one of its other names, whatever its case. */
export const nameIn = <Key extends string>(
	what: string,
	names: Readonly<Record<Key, readonly string[]>>,
	description: string,
	lettersPerEdit?: number,
) => {
	const keys = Object.keys(names) as Key[];
	const byName = new Map(keys.flatMap((key) => [key, ...names[key]].map((name) => [name, key] as const)));
	return z
		.string({ error: `needs a ${what} such as "${keys[0]}"` })
		.transform(
			reading((input: string): Key | Broken => {
				const key = byName.get(input.trim().toLowerCase().replaceAll("’", "'").replace(/\s+/g, " "));
				if (key !== undefined) return key;
				const near = nearest(input, [...byName.keys()], lettersPerEdit);
				const hint = near === null ? "" : `did you mean "${near}"? `;
				return { rule: `is no known ${what}`, reason: `${hint}known: ${keys.join(", ")}` };
			}),
		)
		.meta({ description, enum: [...byName.keys()] });
};
