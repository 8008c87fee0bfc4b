import { spawnSync } from "node:child_process";
import { chmodSync, existsSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { expect, type TestContext, test } from "vitest";
import { findZsh, skipWithout } from "../machine.ts";
import { emptyFolder, lullgust, main } from "./lullgust.ts";

const script = lullgust(["completion"]).stdout;
const offered = (...words: string[]) =>
	lullgust(["completion", "--", ...words])
		.stdout.trim()
		.split("\n");

type Shell = "bash" | "zsh";
const startFile = { bash: ".bashrc", zsh: ".zshrc" } as const;

/** A home folder whose start file ends with the script, and the command beside it in `bin`. */
function home(shell: Shell, before = "", after = "") {
	const folder = emptyFolder();
	writeFileSync(join(folder, startFile[shell]), `${before}\n${script}${after}\n`);
	writeFileSync(join(folder, "lullgust"), `#!/bin/sh\nexec '${process.execPath}' '${main}' "$@"\n`);
	chmodSync(join(folder, "lullgust"), 0o755);
	return {
		folder,
		/** What a new interactive shell says when it is given a line to run. */
		run(line: string, path = `${folder}${delimiter}${process.env.PATH}`) {
			const { status, stdout, stderr } = spawnSync(shell, ["-i", "-c", line], {
				cwd: folder,
				encoding: "utf8",
				input: "",
				// Without a terminal an interactive bash complains about job control before it reads its start file.
				env: { HOME: folder, ZDOTDIR: folder, PATH: path, TERM: "dumb", LC_ALL: "C" },
			});
			const said = stderr.replace(/^bash: (cannot set terminal process group|no job control).*\n/gm, "");
			return { code: status, stdout, stderr: said };
		},
	};
}

const needsZsh = (context: TestContext): void => {
	if (findZsh() === null) skipWithout("zsh", "apt-get install zsh", context);
};
const shells = ["bash", "zsh"] as const;

test("completion prints a script, and nothing else", () => {
	expect(lullgust(["completion"])).toEqual({ code: 0, stdout: script, stderr: "" });
	expect(script).toMatch(/^# Completion of lullgust.*\n/);
});

test("through npx, completion prints the same script and says that it needs the installed command", () => {
	expect(lullgust(["completion"], { env: { npm_config_user_agent: "npm/10 node/v20" } })).toEqual({
		code: 0,
		stdout: script,
		stderr:
			"note: the script completes the installed command, not npx lullgust; it works after npm install --global lullgust\n",
	});
});

test("completion offers commands, the options of a command, and the choices of an option", () => {
	expect(offered("")).toEqual(expect.arrayContaining(["compare", "choose", "completion", "help"]));
	expect(offered("help", "")).toEqual(expect.arrayContaining(["compare", "completion"]));
	expect(offered("compare", "--")).toEqual(
		expect.arrayContaining(["--html", "--units", "--force", "--help"]),
	);
	expect(offered("compare", "--html", "r.html", "--")).not.toContain("--html");
	expect(offered("fit", "a.csv", "--test", "")).toEqual(["log", "rise", "decay", "bursts"]);
});

test("completion leaves files, and what only the user knows, to the shell", () => {
	for (const words of [
		["compare", ""],
		["compare", "a", "--html", ""],
		["simulate", "a", "--for", ""],
		["nonsense", ""],
	])
		expect(lullgust(["completion", "--", ...words])).toEqual({ code: 0, stdout: "", stderr: "" });
});

for (const shell of shells) {
	test(`${shell} starts without a word with the script appended, with and without the command`, (context) => {
		if (shell === "zsh") needsZsh(context);
		// Strict start files, too, must live through it.
		for (const before of ["", "set -eu"]) {
			const { run } = home(shell, before, "echo started");
			const calm = { code: 0, stdout: "started\nran\n", stderr: "" };
			expect(run("echo ran")).toEqual(calm);
			expect(run("echo ran", "/usr/bin:/bin")).toEqual(calm);
		}
	});
}

test("bash completes with the script", () => {
	const { run } = home("bash");
	expect(run("complete -p lullgust").stdout).toContain("-F _lullgust_bash lullgust");
	const replies = (...words: string[]) =>
		run(
			`COMP_WORDS=(lullgust ${words.map((word) => `'${word}'`).join(" ")}); COMP_CWORD=${words.length}; _lullgust_bash; echo "\${COMPREPLY[*]-}"`,
		);
	expect(replies("comp")).toEqual({ code: 0, stdout: "compare completion\n", stderr: "" });
	expect(replies("compare", "a b.yaml", "--un").stdout).toBe("--units\n");
	expect(replies("compare", "a", "--units", "").stdout).toBe("si us\n");
	expect(replies("compare", "")).toEqual({ code: 0, stdout: "\n", stderr: "" });
});

test("zsh completes with the script when the Tab key is pressed", (context) => {
	needsZsh(context);
	const { folder, run } = home("zsh", "PS1='ready> '");
	// zpty gives a shell a terminal of its own.
	const { stdout } = run(
		[
			"zmodload zsh/zpty",
			"zpty -b shell zsh -i",
			"zpty -r -m shell said '*ready> *'",
			"zpty -w -n shell $'lullgust comple\\t--he\\t'",
			"zpty -r -m shell said '*--help*'",
			'print -r -- "$said"',
			"zpty -d shell",
		].join("\n"),
	);
	expect(stdout.replaceAll(/.[\b]/g, "")).toContain("lullgust completion --help");
	expect(existsSync(join(folder, ".zcompdump"))).toBe(true);
});
