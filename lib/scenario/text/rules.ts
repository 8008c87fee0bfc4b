import * as z from "zod";
import type { Measured } from "./leaves.ts";

/** What could be read: each value at fault, however deep, is undefined. */
type Sound<T> = T extends Measured
	? T
	: T extends readonly (infer Entry)[]
		? readonly (Sound<Entry> | undefined)[]
		: T extends object
			? { readonly [K in keyof T]?: Sound<T[K]> | undefined }
			: T;

const soundPart = (value: unknown, faulty: readonly (readonly PropertyKey[])[]): unknown => {
	if (faulty.length === 0) return value;
	if (faulty.some((path) => path.length === 0) || typeof value !== "object" || value === null)
		return undefined;
	const entry = ([key, inner]: [PropertyKey, unknown]) => {
		const own = faulty.filter((path) => String(path[0]) === String(key)).map((path) => path.slice(1));
		return [key, soundPart(inner, own)] as const;
	};
	return Array.isArray(value)
		? value.map((inner, index) => entry([index, inner])[1])
		: Object.fromEntries(Object.entries(value).map(entry));
};

/**
 * A rule over several keys of a mapping; `say` names the key at fault. It is held against what could be read even when
 * other keys are at fault, so that all faults come in one go; `intact` tells that none is.
 */
export const rule = <Output extends object>(
	check: (
		value: Sound<Output>,
		say: (key: string | (string | number)[], message: string) => void,
		intact: boolean,
	) => void,
): z.core.$ZodCheck<Output> =>
	z.superRefine<Output>(
		(value, context) => {
			const issues = [...context.issues];
			// A key that is not known spoils nothing beside it.
			const faulty = issues.flatMap(({ code, path = [] }) =>
				code === "unrecognized_keys" || path.length === 0 ? [] : [path],
			);
			check(
				soundPart(value, faulty) as Sound<Output>,
				(key, message) => {
					context.addIssue({ code: "custom", message, params: { whole: true }, path: [key].flat() });
				},
				issues.length === 0,
			);
		},
		{ when: ({ value }) => typeof value === "object" && value !== null && !Array.isArray(value) },
	);

/** Names the entries of a list that do not rise; entries that could not be read are passed over. */
export const eachRising = (values: readonly (number | undefined)[], say: (index: number) => void): void => {
	let before = Number.NEGATIVE_INFINITY;
	for (const [index, value] of values.entries()) {
		if (value === undefined) continue;
		if (value <= before) say(index);
		before = value;
	}
};
