import { knownInputWords, nextCommand, nextStepWords } from "../../reports/words/next.ts";
import { delivery } from "../deliver.ts";
import { nextJson } from "../json.ts";
import { loadScenario } from "../load.ts";
import { wrap } from "../print/print.ts";
import { flag, group, scenarioFile, units, verb } from "../verb.ts";

export const nextVerb = verb({
	name: "next",
	words: "<scenario>",
	describe: "Say what is known, what is not, and which one step now helps most",
	positionals: { scenario: scenarioFile },
	options: group("Output", {
		json: flag("Print everything for another program, in SI"),
		units,
		quiet: flag("Print only the step"),
	}),
	examples: [["$0 next cabinet.yaml", "What to do now, with the command"]],
	epilogue:
		"Exit code: 0 a setting holds with the chance asked for, 1 none does, 2 usage or input.\nThe step follows from the same random draws as the advice of choose.",
	async run({ scenario: path, json, units, quiet }) {
		const deliver = delivery({}, { json, quiet, force: false }, [path]);
		const scenario = await loadScenario(path, { schedules: "optional" });
		const { findNextStep } = await import("../../lib/choose/nextstep.ts");
		const advice = findNextStep(scenario);
		const { measured, open } = advice;
		const listed = (title: string, inputs: typeof open, columns: number): string =>
			`\n${title}\n${inputs.length === 0 ? "- nothing\n" : inputs.map((one) => wrap(`- ${knownInputWords(one)}`, columns, "  ")).join("")}`;
		await deliver({
			files: {},
			json: () => nextJson(advice, path),
			verdict: nextStepWords(advice, units),
			text: ({ columns }) =>
				`\n  ${nextCommand(advice, path)}\n${listed("Open:", open, columns)}${listed("Told by you or a log:", measured, columns)}`,
		});
		return advice.status === "holds" ? 0 : 1;
	},
});
