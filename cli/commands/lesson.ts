import type { Lesson } from "../../lib/lesson/lesson.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { answerMisconceptions } from "../../reports/lesson/lessonquestions.ts";
import { LESSON_TITLE, leadOf, panelWords } from "../../reports/lesson/lessonwords.ts";
import { noteWords } from "../../reports/lesson/noteswords.ts";
import { warningMessage } from "../../reports/words/warnings.ts";
import { delivery } from "../deliver.ts";
import { packageVersion } from "../files.ts";
import { lessonJson } from "../lessonjson.ts";
import { loadScenario } from "../load.ts";
import { numberReader } from "../numbers.ts";
import { wrap } from "../print/print.ts";
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
	async run({ scenario: path, html, worksheet, seed, pupils, units, ...asked }) {
		const numbers = worksheetNumbers(seed, pupils, worksheet !== undefined);
		const deliver = delivery({ html, worksheet }, asked, [path]);
		const scenario = path === undefined ? undefined : await loadScenario(path, { schedules: "optional" });
		const { lesson } = await import("../../lib/lesson/lesson.ts");
		const taught = lesson(scenario === undefined ? {} : { scenario });
		const told = { units, version: packageVersion() };
		const reports = () => import("../../reports/lesson/lesson.ts");
		await deliver({
			files: {
				html: async () => (await reports()).lessonReport(taught, told),
				async worksheet() {
					const { worksheet } = await import("../../lib/lesson/worksheet.ts");
					const sheets = Array.from({ length: numbers.pupils }, (_, i) =>
						worksheet({ seed: numbers.seed + i, units }),
					);
					return (await reports()).worksheetPage(sheets, told);
				},
			},
			json: () => lessonJson(taught),
			text: ({ columns }) => lessonText(taught, units, columns),
			notes: [...taught.notes.map(noteWords), ...taught.warnings.map(warningMessage)],
			hint: "The pictures and the bench experiments are in the page that --html writes.",
		});
		return 0;
	},
});

/** The options of the worksheets. Throws InputError. */
function worksheetNumbers(seed: string, pupils: string, isAsked: boolean): { seed: number; pupils: number } {
	const { read, refuse, check } = numberReader();
	const most = Number.MAX_SAFE_INTEGER - MAX_PUPILS;
	const first = read("seed", seed, "a whole number, 0 or more", (x) => x >= 0 && x <= most);
	const count = read(
		"pupils",
		pupils,
		`a whole number from 1 to ${MAX_PUPILS}`,
		(x) => x >= 1 && x <= MAX_PUPILS,
	);
	check();
	if (!isAsked && (first !== 1 || count !== 1))
		refuse("--seed and --pupils are for worksheets; give --worksheet a file name too");
	check();
	return { seed: first, pupils: count };
}

function lessonText(taught: Lesson, units: UnitSystem, columns: number): string {
	const aside = (text: string) => wrap(`   ${text}`, columns, "   ");
	return [
		`${LESSON_TITLE}\n\n${wrap(leadOf(taught, units), columns)}`,
		...panelWords(taught, units).map(({ heading, text }, i) => `\n${i + 1}  ${heading}\n${aside(text)}`),
		"\nWhat do you think?\n",
		...answerMisconceptions(taught, units).map(
			({ question, answer }) => `\n${wrap(question, columns)}${aside(answer)}`,
		),
	].join("");
}
