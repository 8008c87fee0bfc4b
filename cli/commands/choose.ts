import type { Choice, ChooseOptions } from "../../lib/choose/choosetypes.ts";
import { choiceVerdict } from "../../reports/choose/choosewords.ts";
import { inOneBreath } from "../../reports/words/verdict.ts";
import { warningMessage } from "../../reports/words/warnings.ts";
import { delivery } from "../deliver.ts";
import { packageVersion } from "../files.ts";
import { choiceJson } from "../json.ts";
import { loadScenario } from "../load.ts";
import { numberReader } from "../numbers.ts";
import { choiceText, frontCsv } from "../print/chooseprint.ts";
import { complain } from "../print/print.ts";
import { progressBar } from "../print/progress.ts";
import { today } from "../today.ts";
import { file, flag, force, group, scenarioFile, text, units, verb } from "../verb.ts";

const MAX_DRAWS = 1_000_000;

export const chooseVerb = verb({
	name: "choose",
	words: "<scenario>",
	describe: "Find the timer setting that meets the target with the least fresh air",
	positionals: { scenario: scenarioFile },
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
	async run({ scenario: path, html, card, csv, units, json, quiet, force, ...asked }) {
		const options = searchOptions(asked);
		const deliver = delivery({ csv, html, card }, { json, quiet, force }, [path]);
		const scenario = await loadScenario(path, { schedules: "optional" });
		const { chooseSetting } = await import("../../lib/choose/choose.ts");
		const bar = progressBar("choosing");
		let choice: Choice;
		try {
			choice = chooseSetting(scenario, { ...options, onProgress: bar.onProgress });
		} finally {
			bar.done();
		}
		const told = { units, version: packageVersion(), date: today() };
		const reports = () => import("../../reports/choose/choose.ts");
		await deliver({
			files: {
				csv: () => frontCsv(choice),
				html: async () => (await reports()).chooseReport(choice, told),
				card: async () => (choice.isFeasible ? (await reports()).cardPage(choice, told) : null),
			},
			json: () => choiceJson(choice),
			verdict: inOneBreath(choiceVerdict(choice, units)),
			text: ({ columns }) => choiceText(choice, units, columns),
			warnings: choice.warnings.map(warningMessage),
		});
		if (card !== undefined && !choice.isFeasible)
			complain([`${card}: not written, because no setting meets the target`]);
		return choice.isFeasible && choice.chanceConstrained?.evaluated !== null ? 0 : 1;
	},
});

/** The options of the search. Throws InputError. */
function searchOptions(asked: {
	readonly draws: string;
	readonly seed: string;
	readonly confidence: string | undefined;
}): ChooseOptions {
	const { read, refuse, check } = numberReader();
	const reliabilityPercent =
		asked.confidence === undefined
			? null
			: read(
					"confidence",
					asked.confidence,
					"a percentage from 50 to below 100, such as 90",
					(x) => x >= 50 && x < 100,
					/^\d+(\.\d+)?( ?%)?$/,
				);
	const draws = read(
		"draws",
		asked.draws,
		`a whole number from 0 to ${MAX_DRAWS}`,
		(x) => x >= 0 && x <= MAX_DRAWS,
	);
	const seed = read("seed", asked.seed, "a whole number", Number.isSafeInteger);
	if (reliabilityPercent !== null && draws === 0)
		refuse("--confidence needs draws; leave --draws out, or give more than 0");
	check();
	return { draws, seed, ...(reliabilityPercent === null ? {} : { reliabilityPercent }) };
}
