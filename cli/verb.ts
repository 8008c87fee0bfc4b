import type { InferredOptionTypes, Options, PositionalOptions } from "yargs";

/** One command: what it takes, what it says of itself, what it does. */
export interface Verb {
	readonly name: string;
	/** Its words after the name, as in the help: `<scenario>`, `[folder]`. */
	readonly words: string;
	readonly describe: string;
	readonly positionals: Readonly<Record<string, PositionalOptions>>;
	readonly options: Readonly<Record<string, Options>>;
	/** Command lines with what they do. */
	readonly examples: readonly (readonly [string, string])[];
	/** Closing paragraph of the help. */
	readonly epilogue: string;
	/** Does it; resolves to the exit code. */
	// biome-ignore lint/suspicious/noExplicitAny: `verb` has checked that it takes what the options yield.
	readonly run: (words: any) => Promise<number>;
}

/** A verb whose `run` is typed by its options. */
export const verb = <
	const P extends Readonly<Record<string, PositionalOptions>>,
	const O extends Readonly<Record<string, Options>>,
>(
	definition: Omit<Verb, "run" | "positionals" | "options"> & {
		readonly positionals: P;
		readonly options: O;
		readonly run: (words: InferredOptionTypes<P> & InferredOptionTypes<O>) => Promise<number>;
	},
): Verb => definition;

/** An option that takes a file name. */
export const file = (describe: string) => ({ type: "string", requiresArg: true, describe }) as const;
/** An option that may be given several times, or once with commas; `listed` gives its values. */
export const list = (describe: string) =>
	({ type: "string", array: true, requiresArg: true, describe }) as const;
/** Values of a list option. */
export const splitList = (values: readonly string[] | undefined): readonly string[] =>
	(values ?? []).flatMap((value) => value.split(",")).map((value) => value.trim());
/** An option that is there or not. */
export const flag = (describe: string) => ({ type: "boolean", default: false, describe }) as const;

export const force = flag("Replace files that exist already");
export const units = {
	choices: ["si", "us"],
	default: "si",
	requiresArg: true,
	describe: "Units for people: m3 or ft3 (JSON and CSV stay SI)",
} as const;
