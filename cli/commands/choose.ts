import type { Choice, ChooseOptions } from "../../lib/choose/choosetypes.ts";
import { InputError } from "../../lib/errors.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { choiceVerdict } from "../../reports/choose/choosewords.ts";
import { inOneBreath } from "../../reports/words/verdict.ts";
import { warningMessage } from "../../reports/words/warnings.ts";
import { checkOutputs, type Output, packageVersion, writeOutput } from "../files.ts";
import { choiceJson, jsonText } from "../json.ts";
import { loadScenario } from "../load.ts";
import { choiceText, frontCsv } from "../print/chooseprint.ts";
import { complain, print, terminal, wrap } from "../print/print.ts";
import { progressBar } from "../print/progress.ts";
import { today } from "../today.ts";
import { file, flag, force, group, text, units, verb } from "../verb.ts";

const MAX_DRAWS = 1_000_000;

export const chooseVerb = verb({
	name: "choose",
	words: "<scenario>",
	describe: "Find the timer setting that meets the target with the least fresh air",
	positionals: {
		scenario: { type: "string", demandOption: true, describe: "Scenario file; - reads standard input" },
	},
	options: {
		...group("Search", {
			confidence: text(
				"PERCENT",
				"Choose the setting whose chance of meeting the target is at least so many per cent",
			),
			draws: { ...text("NUMBER", "Random draws of the uncertain inputs; 0: none"), default: "10000" },
			seed: {
				...text("NUMBER", "Start of the random draws; the same seed gives the same draws"),
				default: "1",
			},
		}),
		...group("Output", {
			html: file("Write a report with the map of all settings, one page that needs no network"),
			card: file("Write the setting card, to hang beside the timer: a page for an A6 sheet"),
			csv: file("Write the trade-off of fresh air, switching and ripple, one line per setting, in SI"),
			json: flag("Print everything for another program, in SI"),
			units,
			quiet: flag("Print only the verdict"),
			force,
		}),
	},
	examples: [
		["$0 choose cabinet.yaml", "What to set, and why"],
		["$0 choose cabinet.yaml --html choice.html --card card.html", "The report, and the card to print"],
		["$0 choose cabinet.yaml --confidence 90", "The setting with a 90 % chance of meeting the target"],
	],
	epilogue:
		"Exit code: 0 a setting meets the target (with the chance asked for), 1 none does, 2 usage or input.\nThe file needs no schedules. Without a timer, 1 to 999 s in steps of 1 s is assumed.",
	async run({ scenario: path, html, card, csv, json, units, quiet, force, ...asked }) {
		const options = readOptions(asked);
		const files = [html, card, csv].filter((name) => name !== undefined);
		const taken = [...files, ...(json ? ["-"] : [])];
		checkOutputs(taken, force, [path]);

		const scenario = await loadScenario(path, { schedules: "optional" });
		const { chooseSetting } = await import("../../lib/choose/choose.ts");
		const bar = progressBar("choosing");
		let choice: Choice;
		try {
			choice = chooseSetting(scenario, { ...options, onProgress: bar.onProgress });
		} finally {
			bar.done();
		}
		const outputs = await render(choice, { html, card, csv, units });
		if (json) outputs.push({ path: "-", content: jsonText(choiceJson(choice)) });
		for (const output of outputs) await writeOutput(output, force);

		if (card !== undefined && !choice.isFeasible)
			complain([`${card}: not written, because no setting meets the target`]);
		if (!taken.includes("-")) {
			const { columns } = terminal();
			await print(wrap(inOneBreath(choiceVerdict(choice, units)), columns));
			if (!quiet) await printChoice(choice, units, columns, outputs);
		} else if (!json) complain(choice.warnings.map((warning) => `warning: ${warningMessage(warning)}`));
		return choice.isFeasible &&
			(choice.chanceConstrained === null || choice.chanceConstrained.evaluated !== null)
			? 0
			: 1;
	},
});

type Asked = Readonly<Record<"draws" | "seed", string>> & { readonly confidence: string | undefined };

/** The options of the search. Throws InputError. */
function readOptions(asked: Asked): ChooseOptions {
	const faults: string[] = [];
	const read = (name: keyof Asked, wanted: string, pattern: RegExp, fits: (x: number) => boolean) => {
		const text = asked[name]!;
		const value = pattern.test(text.trim()) ? Number.parseFloat(text) : Number.NaN;
		if (!fits(value)) faults.push(`--${name} needs ${wanted}, got "${text}"`);
		return value;
	};
	const reliabilityPercent =
		asked.confidence === undefined
			? null
			: read(
					"confidence",
					"a percentage from 50 to below 100, such as 90",
					/^\d+(\.\d+)?( ?%)?$/,
					(x) => x >= 50 && x < 100,
				);
	const draws = read("draws", `a whole number from 0 to ${MAX_DRAWS}`, /^\d+$/, (x) => x <= MAX_DRAWS);
	const seed = read("seed", "a whole number", /^-?\d+$/, Number.isSafeInteger);
	if (reliabilityPercent !== null && draws === 0)
		faults.push("--confidence needs draws; leave --draws out, or give more than 0");
	if (faults.length > 0) throw new InputError(faults.map((message) => ({ message })));
	return { draws, seed, ...(reliabilityPercent === null ? {} : { reliabilityPercent }) };
}

interface Wanted {
	readonly html: string | undefined;
	readonly card: string | undefined;
	readonly csv: string | undefined;
	readonly units: UnitSystem;
}

/** Everything is made before anything is written. */
async function render(choice: Choice, { html, card, csv, units }: Wanted): Promise<Output[]> {
	const outputs: Output[] = [];
	if (csv !== undefined) outputs.push({ path: csv, content: frontCsv(choice) });
	if (html === undefined && card === undefined) return outputs;
	const { cardPage, chooseReport } = await import("../../reports/choose/choose.ts");
	const options = { units, version: packageVersion(), date: today() };
	if (html !== undefined) outputs.push({ path: html, content: await chooseReport(choice, options) });
	if (card !== undefined && choice.isFeasible)
		outputs.push({ path: card, content: cardPage(choice, options) });
	return outputs;
}

async function printChoice(
	choice: Choice,
	units: UnitSystem,
	columns: number,
	written: readonly Output[],
): Promise<void> {
	await print(choiceText(choice, units, columns));
	if (choice.warnings.length > 0) await print("\n");
	for (const warning of choice.warnings)
		await print(wrap(`warning: ${warningMessage(warning)}`, columns, "  "));
	if (written.length > 0) await print(`\nWrote ${written.map(({ path }) => path).join(", ")}.\n`);
}
