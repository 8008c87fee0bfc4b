import { calledAs } from "./calledas.ts";
import { wrap } from "./print/print.ts";
import type { Option, Verb } from "./verb.ts";

/** No line is wider [columns]. */
const WIDTH = 100;
/** A name that is longer has its description on the next line [columns]. */
const MAX_NAME = 24;

const GENERAL = "General";
const general: Readonly<Record<string, Option>> = {
	help: { alias: "h", type: "boolean", describe: "Show this help" },
	version: { type: "boolean", describe: "Show the version" },
};
/** Options that every command has. */
export const generalOptions = Object.keys(general);

const closing = `Exit code: 0 done and the target is met, 1 done but the answer is no, 2 usage or input.
Values are estimates. This is no safety device and no substitute for a CO₂ alarm.`;

/** The help of the whole program. */
export function programHelp(verbs: readonly Verb[]): string {
	const us = calledAs();
	return page([
		`${us} <command> [options]`,
		"Predicts the CO₂ sawtooth of a mushroom fruiting chamber with a fan on an on/off timer.",
		section(
			"Commands",
			verbs.map((verb) => [`${us} ${verb.name} ${verb.words}`.trimEnd(), verb.describe]),
			Number.POSITIVE_INFINITY,
		),
		section("Options", optionRows(general)),
		examplesText([
			["$0 new cabinet.yaml", "Write a commented starter file"],
			["$0 compare cabinet.yaml --html report.html", "Compare its schedules and write a report"],
			["$0 help compare", "All options of one command"],
		]),
		closing,
	]);
}

/** The help of one command: what it takes, its options by what they are for, examples. */
export function verbHelp(verb: Verb): string {
	const positionals = Object.values(verb.positionals).map(
		({ describe }, i) => [verb.words.split(" ")[i]!, describe ?? ""] as const,
	);
	const headings = [...new Set(Object.values(verb.options).map(({ group }) => group!))];
	return page([
		`${calledAs()} ${verb.name} ${verb.words} [options]`.replace("  ", " "),
		`${verb.describe}.`,
		...(positionals.length === 0 ? [] : [rowsText(positionals, MAX_NAME)]),
		...headings.map((heading) =>
			section(
				heading,
				optionRows(
					Object.fromEntries(Object.entries(verb.options).filter(([, { group }]) => group === heading)),
				),
			),
		),
		section(GENERAL, optionRows(general)),
		examplesText(verb.examples),
		verb.epilogue
			.split("\n")
			.map((line) => wrap(line, WIDTH))
			.join(""),
	]);
}

type Row = readonly [name: string, describe: string];

const page = (paragraphs: readonly string[]): string =>
	`${paragraphs.map((text) => text.trimEnd()).join("\n\n")}\n`;

const section = (heading: string, rows: readonly Row[], maxName = MAX_NAME): string =>
	`${heading}:\n${rowsText(rows, maxName)}`;

/** Names in one column, what they are for in the next. */
function rowsText(rows: readonly Row[], maxName: number): string {
	const width = Math.max(...rows.map(([name]) => name.length).filter((length) => length <= maxName));
	const indent = " ".repeat(width + 4);
	return rows
		.map(([name, describe]) => {
			const start = name.length > width ? `  ${name}\n${indent}` : `  ${name.padEnd(width)}  `;
			return start + wrap(describe, WIDTH, indent);
		})
		.join("");
}

const optionRows = (options: Readonly<Record<string, Option>>): Row[] =>
	Object.entries(options).map(([name, option]) => {
		const { alias, choices, value, demandOption, default: preset, describe } = option;
		const stands = choices?.join("|") ?? value;
		const written = `--${name}${stands === undefined ? "" : ` ${stands}`}`;
		const remarks = [
			...(demandOption ? ["required"] : []),
			...(preset === undefined || preset === false ? [] : [`default: ${preset}`]),
		];
		return [
			alias === undefined ? written : `-${alias}, ${written}`,
			remarks.length === 0 ? describe! : `${describe} (${remarks.join("; ")})`,
		];
	});

/** One below the other: columns would break long command lines. */
const examplesText = (examples: Verb["examples"]): string =>
	`Examples:\n${examples.map(([line, what]) => `  ${line.replaceAll("$0", calledAs())}\n      ${what}`).join("\n")}`;
