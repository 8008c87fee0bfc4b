import { InputError } from "../../lib/errors.ts";
import type { Lesson } from "../../lib/lesson/lesson.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { answerMisconceptions } from "../../reports/lesson/lessonquestions.ts";
import { LESSON_TITLE, leadOf, panelWords } from "../../reports/lesson/lessonwords.ts";
import { noteWords } from "../../reports/lesson/noteswords.ts";
import { warningMessage } from "../../reports/words/warnings.ts";
import { checkOutputs, type Output, packageVersion, writeOutput } from "../files.ts";
import { jsonText } from "../json.ts";
import { lessonJson } from "../lessonjson.ts";
import { loadScenario } from "../load.ts";
import { complain, print, terminal, wrap } from "../print/print.ts";
import { file, flag, force, group, text, units, verb } from "../verb.ts";

const MAX_PUPILS = 1000;

export const lessonVerb = verb({
	name: "lesson",
	words: "[scenario]",
	describe: "Teach why short bursts can stand in for continuous flow",
	positionals: {
		scenario: {
			type: "string",
			describe: "Chamber to teach with; - reads standard input. Default: one invented for a class",
		},
	},
	options: {
		...group("Worksheets", {
			worksheet: file("Write a worksheet to print, with the answers on a page of their own"),
			pupils: { ...text("NUMBER", "Number of worksheets, each with other figures"), default: "1" },
			seed: {
				...text("NUMBER", "Number of the first worksheet; another one has other figures"),
				default: "1",
			},
		}),
		...group("Output", {
			html: file("Write the lesson with pictures, experiments and questions, one page that needs no network"),
			json: flag("Print all numbers of the lesson for another program, in SI"),
			units,
			force,
		}),
	},
	examples: [
		["$0 lesson --html lesson.html", "A lesson for a class"],
		["$0 lesson cabinet.yaml --html lesson.html", "The same with the values of your own chamber"],
		["$0 lesson --worksheet sheets.html --pupils 24", "A worksheet for each of 24 pupils, and the answers"],
	],
	epilogue:
		"Exit code: 0 done, 2 usage or input.\nWhere a file name is wanted, - is standard output. Worksheets are about invented chambers.",
	async run({ scenario: path, html, worksheet, seed, pupils, json, units, force }) {
		const numbers = readNumbers(seed, pupils, worksheet !== undefined);
		const files = [html, worksheet].filter((name) => name !== undefined);
		const taken = [...files, ...(json ? ["-"] : [])];
		checkOutputs(taken, force, path === undefined ? [] : [path]);

		const scenario = path === undefined ? undefined : await loadScenario(path, { schedules: "optional" });
		const study = await import("../../lib/lesson/lesson.ts");
		const taught = study.lesson(scenario === undefined ? {} : { scenario });
		const outputs = await render(taught, { html, worksheet, units, ...numbers });
		if (json) outputs.push({ path: "-", content: jsonText(lessonJson(taught)) });
		for (const output of outputs) await writeOutput(output, force);

		if (!taken.includes("-")) await printLesson(taught, units, files);
		else if (!json) complain(notesOf(taught).map((note) => `note: ${note}`));
		return 0;
	},
});

function readNumbers(seed: string, pupils: string, wanted: boolean): { seed: number; pupils: number } {
	const faults: string[] = [];
	const read = (name: string, text: string, wanted: string, fits: (x: number) => boolean): number => {
		const value = /^-?\d+$/.test(text.trim()) ? Number(text) : Number.NaN;
		if (!fits(value)) faults.push(`--${name} needs ${wanted}, got "${text}"`);
		return value;
	};
	const most = Number.MAX_SAFE_INTEGER - MAX_PUPILS;
	const first = read("seed", seed, "a whole number, 0 or more", (x) => x >= 0 && x <= most);
	const count = read(
		"pupils",
		pupils,
		`a whole number from 1 to ${MAX_PUPILS}`,
		(x) => x >= 1 && x <= MAX_PUPILS,
	);
	if (!wanted && faults.length === 0 && (first !== 1 || count !== 1))
		faults.push("--seed and --pupils are for worksheets; give --worksheet a file name too");
	if (faults.length > 0) throw new InputError(faults.map((message) => ({ message })));
	return { seed: first, pupils: count };
}

interface Wanted {
	readonly html: string | undefined;
	readonly worksheet: string | undefined;
	readonly units: UnitSystem;
	readonly seed: number;
	readonly pupils: number;
}

/** Everything is made before anything is written. */
async function render(taught: Lesson, { html, worksheet, units, seed, pupils }: Wanted): Promise<Output[]> {
	const outputs: Output[] = [];
	if (html === undefined && worksheet === undefined) return outputs;
	const options = { units, version: packageVersion() };
	const { lessonReport, worksheetPage } = await import("../../reports/lesson/lesson.ts");
	if (html !== undefined) outputs.push({ path: html, content: await lessonReport(taught, options) });
	if (worksheet !== undefined) {
		const study = await import("../../lib/lesson/worksheet.ts");
		const sheets = Array.from({ length: pupils }, (_, i) => study.worksheet({ seed: seed + i, units }));
		outputs.push({ path: worksheet, content: worksheetPage(sheets, options) });
	}
	return outputs;
}

/** Notes of the lesson, and warnings on its scenario. */
const notesOf = ({ notes, warnings }: Lesson): readonly string[] => [
	...notes.map(noteWords),
	...warnings.map(warningMessage),
];

async function printLesson(taught: Lesson, units: UnitSystem, files: readonly string[]): Promise<void> {
	const { columns } = terminal();
	await print(`${LESSON_TITLE}\n\n${wrap(leadOf(taught, units), columns)}`);
	for (const [i, { heading, text }] of panelWords(taught, units).entries())
		await print(`\n${i + 1}  ${heading}\n${wrap(`   ${text}`, columns, "   ")}`);
	await print("\nWhat do you think?\n");
	for (const { question, answer } of answerMisconceptions(taught, units))
		await print(`\n${wrap(question, columns)}${wrap(`   ${answer}`, columns, "   ")}`);
	const notes = notesOf(taught);
	if (notes.length > 0) await print("\n");
	for (const note of notes) await print(wrap(`note: ${note}`, columns, "  "));
	await print(
		files.length > 0
			? `\nWrote ${files.join(", ")}.\n`
			: "\nThe pictures and the bench experiments are in the page that --html writes.\n",
	);
}
