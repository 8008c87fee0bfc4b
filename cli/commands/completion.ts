import { calledAs } from "../calledas.ts";
import { completionScript } from "../completion.ts";
import { complain, print } from "../print/print.ts";
import { verb } from "../verb.ts";

export const completionVerb = verb({
	name: "completion",
	words: "",
	describe: "Print a completion script for bash or zsh",
	positionals: {},
	options: {},
	examples: [
		[
			"$0 completion >> ~/.bashrc",
			"For bash: open a new shell, then the Tab key completes commands and options",
		],
		["$0 completion >> ~/.zshrc", "For zsh"],
	],
	epilogue: "Completion needs the installed command: npm install --global lullgust.",
	async run() {
		await print(completionScript);
		if (calledAs() !== "lullgust")
			complain([
				"note: the script completes the installed command, not npx lullgust; it works after npm install --global lullgust",
			]);
		return 0;
	},
});
