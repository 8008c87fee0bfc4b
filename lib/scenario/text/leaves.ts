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
	return (input: string | number): ParsedQuantity | { readonly rule: string; readonly reason: string } => {
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
			source: z.string({ error: "needs a text" }).optional().meta({ description: "where you have it from" }),
			fitted: z
				.string({ error: "needs the name of a log" })
				.optional()
				.meta({ description: "log it was fitted to" }),
			on: z
				.string({ error: "needs a date such as 2026-05-01" })
				.optional()
				.meta({ description: "day of the fit" }),
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
		.transform((input, context): Measured => {
			const mapped = typeof input === "object";
			const result = read(mapped ? input.value : input);
			if ("rule" in result) {
				context.addIssue({
					code: "custom",
					message: result.rule,
					params: { reason: result.reason },
					path: mapped ? ["value"] : [],
				});
				return z.NEVER;
			}
			if (!mapped) return result;
			const { source, fitted, on, distribution } = input;
			const isUnable = distribution === "log-normal" && !(result.low !== null && result.low > 0);
			if (isUnable || (distribution !== undefined && result.low === null)) {
				const message = `needs a range or spread${isUnable ? " above 0" : ""} for its value`;
				context.addIssue({ code: "custom", message, params: { reason: "" }, path: ["distribution"] });
				return z.NEVER;
			}
			return {
				...result,
				...(distribution === undefined ? {} : { distribution }),
				...(source === undefined ? {} : { source }),
				...(fitted === undefined ? {} : { fitted }),
				...(on === undefined ? {} : { on }),
			};
		})
		.meta({ description, examples: [...examples] });
};

/** One time without uncertainty [s]. */
export const duration = (description: string, bounds: ValueBounds = { min: "0 s" }) => {
	const read = reader(["duration"], { ...bounds, isSingle: true });
	return z
		.string({ error: `needs ${expectation(["duration"])}` })
		.transform((input, context): number => {
			const result = read(input);
			if (!("rule" in result)) return result.value;
			context.addIssue({ code: "custom", message: result.rule, params: { reason: result.reason } });
			return z.NEVER;
		})
		.meta({ description, examples: [...examplesOf("duration")] });
};

/** A moment of the day, `07:00` or `07:00:30` [s after midnight]. */
export const timeOfDay = (description: string) =>
	z
		.string({ error: 'needs a time of day such as "07:00"' })
		.transform((input, context): number => {
			const match = /^([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?$/.exec(input.trim());
			if (match !== null) return Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3] ?? 0);
			context.addIssue({ code: "custom", message: 'needs a time of day such as "07:00"' });
			return z.NEVER;
		})
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
		.transform((input, context): Key => {
			const key = byName.get(input.trim().toLowerCase().replaceAll("’", "'").replace(/\s+/g, " "));
			if (key !== undefined) return key;
			const near = nearest(input, [...byName.keys()], lettersPerEdit);
			const hint = near === null ? "" : `did you mean "${near}"? `;
			context.addIssue({
				code: "custom",
				message: `is no known ${what}`,
				params: { reason: `${hint}known: ${keys.join(", ")}` },
			});
			return z.NEVER;
		})
		.meta({ description, enum: [...byName.keys()] });
};
