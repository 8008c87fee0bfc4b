import yargs from "yargs";
import { InputError } from "../lib/errors.ts";
import { nearest } from "../lib/nearest.ts";
import { calledAs } from "./calledas.ts";
import { completions } from "./completion.ts";
import { packageVersion } from "./files.ts";
import { generalOptions, programHelp, verbHelp } from "./help.ts";
import { print } from "./print/print.ts";
import type { Verb } from "./verb.ts";

/** Commands by name, in the order of the help. Each is loaded when it is asked for, with the words that it says. */
const verbs: Readonly<Record<string, () => Promise<Verb>>> = {
	new: async () => (await import("./commands/new.ts")).newVerb,
	compare: async () => (await import("./commands/compare.ts")).compareVerb,
	choose: async () => (await import("./commands/choose.ts")).chooseVerb,
	next: async () => (await import("./commands/next.ts")).nextVerb,
	simulate: async () => (await import("./commands/simulate.ts")).simulateVerb,
	rig: async () => (await import("./commands/rig.ts")).rigVerb,
	read: async () => (await import("./commands/read.ts")).readVerb,
	fit: async () => (await import("./commands/fit.ts")).fitVerb,
	verify: async () => (await import("./commands/verify.ts")).verifyVerb,
	species: async () => (await import("./commands/species.ts")).speciesVerb,
	lesson: async () => (await import("./commands/lesson.ts")).lessonVerb,
	explore: async () => (await import("./commands/explore.ts")).exploreVerb,
	demo: async () => (await import("./commands/demo.ts")).demoVerb,
	completion: async () => (await import("./commands/completion.ts")).completionVerb,
};
const loadAll = () => Promise.all(Object.values(verbs).map((load) => load()));

/** Runs the command that the words on the command line ask for and gives its exit code. Throws InputError. */
export async function run(words: readonly string[]): Promise<number> {
	if (words[0] === "completion" && words[1] === "--") {
		await print(
			completions(words.slice(2), await loadAll())
				.map((word) => `${word}\n`)
				.join(""),
		);
		return 0;
	}
	// `help compare` is `compare --help`.
	const asked = words[0] === "help" ? [...words.slice(1), "--help"] : [...words];
	refuseUnknownVerb(asked[0]);
	const chosen = await verbs[asked[0] ?? ""]?.();
	refuseValuesOfFlags(asked, chosen);
	if (asked.length === 0 || asked.includes("--help") || asked.includes("-h")) {
		await print(chosen === undefined ? programHelp(await loadAll()) : verbHelp(chosen));
		return asked.length === 0 ? 2 : 0;
	}

	let exitCode = 0;
	const program = yargs(asked.map((word) => (word === "-" ? LONE_DASH : word)))
		.scriptName(calledAs())
		.locale("en")
		.strict()
		.exitProcess(false)
		.parserConfiguration({
			"boolean-negation": false,
			"camel-case-expansion": false,
			"dot-notation": false,
			// One value an occurrence of a list; of other options the last occurrence counts.
			"duplicate-arguments-array": true,
			"greedy-arrays": false,
			"parse-numbers": false,
			"parse-positional-numbers": false,
		})
		.version(packageVersion())
		// Ours, for yargs shows the type of an option where a reader looks for what it is for.
		.help(false)
		.fail((message, error) => {
			if (error && error.name !== "YError") throw error;
			throw new InputError(inPlainWords(message?.replaceAll(LONE_DASH, "-") ?? null, asked, chosen));
		});
	for (const verb of chosen === undefined ? await loadAll() : [chosen])
		program.command(
			`${verb.name} ${verb.words}`.trimEnd(),
			false,
			(own) => {
				for (const [key, positional] of Object.entries(verb.positionals)) own.positional(key, positional);
				return own.options(hidden(verb.options));
			},
			async (values) => {
				exitCode = await verb.run(lastOfEach(values, verb));
			},
		);
	await program.parseAsync();
	return exitCode;
}

/** yargs words a help in advance, which nobody sees: with nothing in it, it takes no time. */
const hidden = (options: Verb["options"]): Verb["options"] =>
	Object.fromEntries(Object.entries(options).map(([name, option]) => [name, { ...option, hidden: true }]));

/** Stands for a lone "-", of which yargs, which reads a positional once more as an option, makes nothing. */
const LONE_DASH = "\u0000-";

/** Values of the options: all of a list, the last of any other. */
const lastOfEach = (values: object, { options }: Verb): object => {
	const written = (value: unknown): unknown =>
		Array.isArray(value) ? value.map(written) : value === LONE_DASH ? "-" : value;
	return Object.fromEntries(
		Object.entries(values).map(([name, value]) => [
			name,
			written(
				Array.isArray(value) && name in options && options[name]?.array !== true ? value.at(-1) : value,
			),
		]),
	);
};

const didYouMean = (word: string, known: readonly string[], dashes = ""): string => {
	const near = nearest(word, known);
	return near === null ? "" : `; did you mean ${dashes}${near}?`;
};

function refuseUnknownVerb(word: string | undefined): void {
	if (word === undefined || word.startsWith("-")) return;
	const known = [...Object.keys(verbs), "help"];
	if (known.includes(word)) return;
	const hint = didYouMean(word, known) || `; "${calledAs()} --help" lists the commands`;
	throw new InputError(`unknown command "${word}"${hint}`);
}

/** yargs takes `--quiet=maybe` for false without a word. */
function refuseValuesOfFlags(words: readonly string[], chosen: Verb | undefined): void {
	for (const word of words) {
		const [, name, value] = /^--([^=]+)=(.*)$/s.exec(word) ?? [];
		if (name === undefined || chosen?.options[name]?.type !== "boolean") continue;
		if (value !== "true" && value !== "false")
			throw new InputError(`--${name} takes no value, got "${value}"`);
	}
}

/** What yargs found wrong, in our words. */
function inPlainWords(message: string | null, words: readonly string[], chosen: Verb | undefined): string {
	const said = message ?? "";
	const seeHelp = `see "${calledAs()} ${chosen === undefined ? "" : `${chosen.name} `}--help"`;
	const [, unknown] = /^Unknown arguments?: (.*)$/s.exec(said) ?? [];
	if (unknown !== undefined) {
		const name = unknown.split(", ")[0]!;
		const option = words.find((word) => word === `-${name}` || word.split("=")[0] === `--${name}`);
		if (option === undefined) return `unexpected "${name}"; ${seeHelp}`;
		const known = [...Object.keys(chosen?.options ?? {}), ...generalOptions];
		return `unknown option ${option}${didYouMean(name, known, "--") || `; ${seeHelp}`}`;
	}
	if (chosen === undefined) return `a command is missing; ${seeHelp}`;
	const [, without] = /^Not enough arguments following: (.*)$/.exec(said) ?? [];
	if (without !== undefined) return `--${without} needs a value; ${seeHelp}`;
	const [, missing] = /^Missing required arguments?: (.*)$/.exec(said) ?? [];
	if (missing !== undefined)
		return `${chosen.name} needs --${missing.replaceAll(", ", " and --")}; ${seeHelp}`;
	const [, option, given, choices] = /Argument: (.*), Given: "(.*)", Choices: (.*)$/s.exec(said) ?? [];
	if (option !== undefined) return `--${option} must be one of ${choices}, got "${given}"`;
	if (said.startsWith("Not enough non-option")) return `${chosen.name} needs ${chosen.words}; ${seeHelp}`;
	return said.split("\n")[0]!;
}
