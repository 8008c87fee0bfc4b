import type { ChooseOptions } from "../../lib/choose/choosetypes.ts";
import { InputError } from "../../lib/errors.ts";
import type { Cycle } from "../../lib/model/schedule/schedule.ts";
import type { DisturbanceKey, Scenario } from "../../lib/scenario/scenario.ts";
import { normalizeText, parseValue } from "../../lib/units/read.ts";
import { checkVerdict } from "../../reports/choose/checkwords.ts";
import { choiceVerdict, DISTURBANCE_NAMES } from "../../reports/choose/choosewords.ts";
import { inOneBreath } from "../../reports/words/verdict.ts";
import { warningMessage } from "../../reports/words/warnings.ts";
import { delivery } from "../deliver.ts";
import { packageVersion, writeOutput } from "../files.ts";
import { checkJson, choiceJson } from "../json.ts";
import { loadScenario } from "../load.ts";
import { numberReader } from "../numbers.ts";
import { checkText, choiceText, frontCsv } from "../print/chooseprint.ts";
import { complain } from "../print/print.ts";
import { progressBar } from "../print/progress.ts";
import { today } from "../today.ts";
import { file, flag, force, group, list, scenarioFile, splitList, text, units, verb } from "../verb.ts";

const MAX_DRAWS = 1_000_000;
const DISTURBANCE_KEYS = Object.keys(DISTURBANCE_NAMES) as readonly DisturbanceKey[];

export const chooseVerb = verb({
	name: "choose",
	words: "<scenario>",
	describe: "Find the timer setting that meets the target with the least fresh air",
	positionals: { scenario: scenarioFile },
	options: {
		...group("Search", {
			confidence: text(
				"PERCENT",
				"Choose the setting whose chance of meeting the target is at least so many per cent; default: that of the file, else 90",
			),
			without: list("NAME", `Leave out what may happen in service: all, or ${DISTURBANCE_KEYS.join(", ")}`),

			draws: { ...text("NUMBER", "Random draws of the uncertain inputs; 0: none"), default: "10000" },
			seed: {
				...text("NUMBER", "Start of the random draws; the same seed gives the same draws"),
				default: "1",
			},
		}),
		...group("Check a pair of times", {
			on: text("TIME", "Judge this on-time, such as 11s, instead of searching; needs --off"),
			off: text("TIME", "Off-time beside it, such as 709s"),
		}),
		...group("Output", {
			update: flag("Write the setting into the scenario file as a schedule; comments and order stay"),
			name: { ...text("NAME", "Name of that schedule"), default: "chosen" },
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
		[
			"$0 choose cabinet.yaml --confidence 95 --update",
			"The setting with a 95 % chance, written into the file",
		],
		[
			"$0 choose cabinet.yaml --on 11s --off 709s",
			"What is keyed in now: its chance, and what is wrong with it",
		],
	],
	epilogue:
		"Exit code: 0 a setting meets the target with the chance asked for, 1 none does (or only with central values), 2 usage or input.\nThe file needs no schedules. Without a timer, 1 to 999 s in steps of 1 s is assumed.",
	async run({ scenario: path, html, card, csv, units, json, quiet, force, on, off, update, name, ...asked }) {
		const cycle = readCycle(on, off);
		const options = searchOptions(asked);
		if (cycle !== null && (html ?? card ?? csv) !== undefined)
			throw new InputError("--on and --off judge one pair; --html, --card and --csv are of a search");
		if (update && path === "-") throw new InputError("--update needs a file to write to, not standard input");
		const deliver = delivery({ csv, html, card }, { json, quiet, force }, [path]);
		const read = await loadScenario(path, { schedules: "optional" });
		const scenario = without(read, asked.without);
		const bar = progressBar("choosing");
		const done = <T>(judge: () => T): T => {
			try {
				return judge();
			} finally {
				bar.done();
			}
		};
		const searching = { ...options, onProgress: bar.onProgress };
		if (cycle !== null) {
			const { checkSetting } = await import("../../lib/choose/checksetting.ts");
			const check = done(() => checkSetting(scenario, cycle, searching));
			if (update) await writeSchedule(path, scenario, name, cycle);
			if (update && (quiet || json)) complain([wroteWords(name, path)]);
			await deliver({
				files: { csv: () => null, html: () => null, card: () => null },
				json: () => checkJson(check),
				verdict: inOneBreath(checkVerdict(check, units)),
				text: ({ columns }) => checkText(check, units, columns),
				warnings: check.warnings.map(warningMessage),
				...(update ? { hint: wroteWords(name, path) } : {}),
			});
			return check.status === "holds" ? 0 : 1;
		}
		const { chooseSetting } = await import("../../lib/choose/choose.ts");
		const choice = done(() => chooseSetting(scenario, searching));
		if (update && choice.isFeasible) {
			await writeSchedule(path, scenario, name, choice.recommended.schedule);
			// The hint stands only where no file was written.
			if (quiet || json || [html, card, csv].some((file) => file !== undefined))
				complain([wroteWords(name, path)]);
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
			...(update && choice.isFeasible ? { hint: wroteWords(name, path) } : {}),
		});
		if (!choice.isFeasible)
			complain(
				[...(card === undefined ? [] : [card]), ...(update ? [path] : [])].map(
					(file) => `${file}: not written, because no setting meets the target`,
				),
			);
		return choice.status === "holds" ? 0 : 1;
	},
});

/** The scenario without some of what may happen. Throws InputError. */
function without(scenario: Scenario, names: readonly string[] | undefined): Scenario {
	const left = splitList(names);
	const faults = left.filter((name) => name !== "all" && !DISTURBANCE_KEYS.some((key) => key === name));
	if (faults.length > 0)
		throw new InputError(
			faults.map((name) => ({
				message: `--without needs all, or ${DISTURBANCE_KEYS.join(", ")}, got "${name}"`,
			})),
		);
	const disturbances = scenario.disturbances.filter(
		({ key }) => !left.includes("all") && !left.includes(key),
	);
	return { ...scenario, disturbances };
}

/** The pair of times to be judged; null where none is given. Throws InputError. */
function readCycle(on: string | undefined, off: string | undefined): Cycle | null {
	if (on === undefined && off === undefined) return null;
	if (on === undefined || off === undefined)
		throw new InputError(`--${on === undefined ? "on" : "off"} is missing; a pair of times needs both`);
	const faults: string[] = [];
	const read = (option: string, text: string): number => {
		const value = parseValue(normalizeText(text), ["duration"]);
		if ("refused" in value || value.value <= 0)
			faults.push(`--${option} needs a time such as 11s, got "${text}"`);
		return "refused" in value ? Number.NaN : value.value;
	};
	const cycle = { onSeconds: read("on", on), offSeconds: read("off", off) };
	if (faults.length > 0) throw new InputError(faults.map((message) => ({ message })));
	return cycle;
}

/** Said on standard error where only a verdict or JSON is printed: a file that changed is never changed in silence. */
const wroteWords = (name: string, path: string): string =>
	`Wrote the schedule “${name}” into ${path}; rig, simulate and verify take it with --schedule.`;

/** Writes a schedule into the scenario file beside those that are there. */
async function writeSchedule(path: string, scenario: Scenario, name: string, cycle: Cycle): Promise<void> {
	const { writeScheduleInto } = await import("../../lib/scenario/edit/schedule.ts");
	await writeOutput({ path, content: writeScheduleInto(scenario.text, name, cycle, path) }, true);
}

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
