import type { InferredOptionTypes, Options, PositionalOptions } from "yargs";

/** An option: what yargs reads of it, and the word that stands for its value in the help. */
export interface Option extends Options {
	readonly value?: string;
}

/** One command: what it takes, what it says of itself, what it does. */
export interface Verb {
	readonly name: string;
	/** Its words after the name, as in the help: `<scenario>`, `[folder]`. */
	readonly words: string;
	readonly describe: string;
	readonly positionals: Readonly<Record<string, PositionalOptions>>;
	readonly options: Readonly<Record<string, Option>>;
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
	const O extends Readonly<Record<string, Option>>,
>(
	definition: Omit<Verb, "run" | "positionals" | "options"> & {
		readonly positionals: P;
		readonly options: O;
		readonly run: (words: InferredOptionTypes<P> & InferredOptionTypes<O>) => Promise<number>;
	},
): Verb => definition;

/** Options that stand under one heading in the help. */
export const group = <const O extends Readonly<Record<string, Option>>>(heading: string, options: O): O =>
	Object.fromEntries(
		Object.entries(options).map(([name, option]) => [name, { ...option, group: heading }]),
	) as unknown as O;

/** An option that takes a value; `value` stands for it in the help. */
export const text = <const V extends string>(value: V, describe: string) =>
	({ type: "string", requiresArg: true, value, describe }) as const;
/** An option that takes a file name. */
export const file = (describe: string) => text("FILE", describe);
/** An option that may be given several times, or once with commas; `splitList` gives its values. */
export const list = (value: string, describe: string) =>
	({ type: "string", array: true, requiresArg: true, value, describe }) as const;
/** Values of a list option. */
export const splitList = (values: readonly string[] | undefined): readonly string[] =>
	(values ?? []).flatMap((value) => value.split(",")).map((value) => value.trim());
/** An option that is there or not. */
export const flag = (describe: string) => ({ type: "boolean", default: false, describe }) as const;

/** Positionals that several commands take. */
export const scenarioFile = {
	type: "string",
	demandOption: true,
	describe: "Scenario file; - reads standard input",
} as const;
export const logFile = { ...scenarioFile, describe: "Logger's file; - reads standard input" } as const;

export const force = flag("Replace files that already exist");
export const units = {
	choices: ["si", "us"],
	default: "si",
	requiresArg: true,
	describe: "Units of text and pages: m³ (si) or ft³ (us). JSON and CSV stay in SI",
} as const;
/** Logs of a command that takes several. */
export const logFiles = {
	log: {
		type: "string",
		array: true,
		demandOption: true,
		describe: "Logger's files, one or more; - reads standard input",
	},
} as const;
