import { spawn } from "node:child_process";
import { mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { emptyFolder, lullgust, main } from "./lullgust.ts";
import { cabinet, strict } from "./scenarios.ts";

test("new writes a starter that compare takes, and keeps what is there", () => {
	const cwd = emptyFolder();
	expect(lullgust(["new", "my.yaml"], { cwd })).toEqual({
		code: 0,
		stdout: "Wrote my.yaml. Edit it, then: lullgust compare my.yaml\n",
		stderr: "",
	});
	expect(lullgust(["new", "my.yaml"], { cwd })).toEqual({
		code: 2,
		stdout: "",
		stderr: "my.yaml: exists already; --force replaces it\n",
	});
	expect(lullgust(["new", "my.yaml", "--force"], { cwd }).code).toBe(0);
	expect(lullgust(["new"], { cwd }).stdout).toBe(readFileSync(join(cwd, "my.yaml"), "utf8"));
	expect([0, 1]).toContain(lullgust(["compare", "my.yaml"], { cwd }).code);
});

test("new --schema writes the JSON Schema", () => {
	const cwd = emptyFolder();
	expect(lullgust(["new", "--schema", "s.json"], { cwd }).stdout).toBe("Wrote s.json.\n");
	const schema = JSON.parse(readFileSync(join(cwd, "s.json"), "utf8"));
	expect(schema.type).toBe("object");
	expect(schema.properties).toHaveProperty("chamber");
	expect(JSON.parse(lullgust(["new", "--schema"], { cwd }).stdout)).toEqual(schema);
});

test.each([
	["no such file", "none.yaml", "none.yaml: no such file"],
	["a folder", "folder", "folder: is a folder, not a file"],
	["a path through a file", "ok.yaml/x", "ok.yaml/x: a part of this path is a file, not a folder"],
	["a link to itself", "loop.yaml", "loop.yaml: too many links in this path"],
	["a name too long", "x".repeat(300), `${"x".repeat(300)}: the name is too long`],
	["a NUL in the text", "binary.yaml", "binary.yaml: is a binary file, not text"],
	["bytes that are no UTF-8", "latin1.yaml", "latin1.yaml: is not UTF-8 text; save it as UTF-8"],
	["UTF-16", "utf16.yaml", "utf16.yaml: is in UTF-16; save it as UTF-8"],
	["50 MB", "huge.yaml", "huge.yaml: over 50 MB, and at most 20 MB are read; is it the right file?"],
])("a scenario that cannot be read: %s", (_, path, complaint) => {
	const cwd = emptyFolder();
	mkdirSync(join(cwd, "folder"));
	symlinkSync("loop.yaml", join(cwd, "loop.yaml"));
	writeFileSync(join(cwd, "ok.yaml"), cabinet);
	writeFileSync(join(cwd, "binary.yaml"), `${cabinet}\0`);
	writeFileSync(join(cwd, "latin1.yaml"), Buffer.from("name: Gärschrank\n", "latin1"));
	writeFileSync(join(cwd, "utf16.yaml"), Buffer.from(`\ufeff${cabinet}`, "utf16le"));
	if (path === "huge.yaml") writeFileSync(join(cwd, path), Buffer.alloc(50_000_000, "#\n"));
	expect(lullgust(["compare", path], { cwd })).toEqual({ code: 2, stdout: "", stderr: `${complaint}\n` });
});

test("a text from standard input has the same limits", () => {
	expect(lullgust(["compare", "-"], { input: Buffer.alloc(21_000_000, "#\n") })).toEqual({
		code: 2,
		stdout: "",
		stderr: expect.stringMatching(/^standard input: over 20 MB/),
	});
	expect(lullgust(["compare", "-"], { input: `${cabinet}\0` }).stderr).toBe(
		"standard input: is a binary file, not text\n",
	);
});

test("a byte order mark and Windows line ends do no harm", () => {
	expect(lullgust(["compare", "-"], { input: `\ufeff${cabinet.replaceAll("\n", "\r\n")}` }).code).toBe(0);
});

test("lines that end in carriage returns alone are lines", () => {
	const input = strict.replaceAll("\n", "\r");
	expect(lullgust(["compare", "-"], { input }).stdout).toBe(
		lullgust(["compare", "-"], { input: strict }).stdout,
	);
});

test.each([
	["a folder that is not there", ["--html", "none/r.html"], 'none/r.html: the folder "none" does not exist'],
	["a file for a folder", ["--html", "ok.yaml/r.html"], 'ok.yaml/r.html: "ok.yaml" is a file, not a folder'],
	["a folder for a file", ["--svg", "folder"], "folder: is a folder; give a file name"],
	["what is there", ["--csv", "there.csv"], "there.csv: exists already; --force replaces it"],
	["one file twice", ["--csv", "a", "--svg", "./a"], "a: is asked for twice; give each output its own file"],
	[
		"standard output twice",
		["--csv", "-", "--json"],
		"standard output: is asked for twice; give each output its own file",
	],
	["the scenario itself", ["--csv", "ok.yaml", "--force"], "ok.yaml: is the input itself; give another name"],
	[
		"the scenario by another name",
		["--csv", "link.yaml", "--force"],
		"link.yaml: is the input itself; give another name",
	],
	["no name", ["--csv="], "an output needs a file name"],
])("an output is refused before any work: %s", (_, options, complaint) => {
	const cwd = emptyFolder();
	mkdirSync(join(cwd, "folder"));
	writeFileSync(join(cwd, "ok.yaml"), cabinet);
	writeFileSync(join(cwd, "there.csv"), "mine");
	symlinkSync("ok.yaml", join(cwd, "link.yaml"));
	expect(lullgust(["compare", "ok.yaml", ...options], { cwd })).toEqual({
		code: 2,
		stdout: "",
		stderr: `${complaint}\n`,
	});
	expect(readdirSync(cwd).sort()).toEqual(["folder", "link.yaml", "ok.yaml", "there.csv"]);
	expect(readFileSync(join(cwd, "ok.yaml"), "utf8")).toBe(cabinet);
	expect(readFileSync(join(cwd, "there.csv"), "utf8")).toBe("mine");
});

test("every refused output is told, not only the first", () => {
	const { stderr } = lullgust(["compare", "-", "--csv", "none/a", "--svg", "none/b"], { input: cabinet });
	expect(stderr.trimEnd().split("\n")).toHaveLength(2);
});

test("--force replaces a file, through a link too", () => {
	const cwd = emptyFolder();
	writeFileSync(join(cwd, "real.csv"), "old");
	symlinkSync("real.csv", join(cwd, "link.csv"));
	expect(lullgust(["compare", "-", "--csv", "link.csv", "--force"], { cwd, input: cabinet }).code).toBe(0);
	expect(readFileSync(join(cwd, "real.csv"), "utf8")).toMatch(/^schedule,/);
	expect(readdirSync(cwd).sort()).toEqual(["link.csv", "real.csv"]);
});

test("a device is written in place, never replaced", () => {
	expect(lullgust(["compare", "-", "--csv", "/dev/null", "--quiet"], { input: cabinet }).code).toBe(0);
	expect(lullgust(["compare", "-", "--csv", "/dev/null", "--force"], { input: cabinet }).code).toBe(0);
	expect(readFileSync("/dev/null", "utf8")).toBe("");
});

test("faults go to standard error with their control characters shown", () => {
	expect(lullgust(["compare", "x\u001b[31m\ny"]).stderr).toBe("x\\u001b[31m\\u000ay: no such file\n");
});

test.each([
	["a schedule holds", cabinet, 0],
	["none holds", strict, 1],
])(
	"a reader that goes away does no harm, and the exit code is that of the answer: %s",
	async (_, input, code) => {
		const child = spawn(process.execPath, [
			main,
			"simulate",
			"-",
			"--schedule",
			"often",
			"--csv",
			"-",
			"--for",
			"10d",
		]);
		child.stdin.end(input);
		let errors = "";
		child.stderr.on("data", (chunk) => {
			errors += chunk;
		});
		child.stdout.once("data", () => child.stdout.destroy());
		const exit = await new Promise((resolve) => child.on("close", resolve));
		expect({ exit, errors: errors.replace(/^warning: .*\n/gm, "") }).toEqual({ exit: code, errors: "" });
	},
);

test.each([
	["SIGTERM", 143],
	["SIGHUP", 129],
] as const)("a run that is broken off by %s leaves no file behind", async (signal, code) => {
	const cwd = emptyFolder();
	const child = spawn(
		process.execPath,
		[main, "simulate", "-", "--schedule", "often", "--csv", "c.csv", "--for", "100d"],
		{ cwd },
	);
	child.stdin.end(cabinet);
	while (!readdirSync(cwd).some((name) => name.endsWith(".tmp")))
		await new Promise((next) => setTimeout(next, 5));
	child.kill(signal);
	const exit = await new Promise((resolve) => child.on("close", resolve));
	expect(exit).toBe(code);
	expect(readdirSync(cwd)).toEqual([]);
});

test("demo runs the shipped scenarios and writes a report beside a copy of each", () => {
	const cwd = emptyFolder();
	const { code, stdout, stderr } = lullgust(["demo"], { cwd });
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	const written = readdirSync(join(cwd, "lullgust-demo"));
	const scenarios = written.filter((name) => name.endsWith(".yaml"));
	expect(scenarios.length).toBeGreaterThanOrEqual(4);
	expect(written).toHaveLength(2 * scenarios.length);
	for (const name of scenarios) {
		expect(stdout).toContain(join("lullgust-demo", name.replace(".yaml", ".html")));
		expect([0, 1]).toContain(lullgust(["compare", join("lullgust-demo", name), "--quiet"], { cwd }).code);
	}
	const again = lullgust(["demo"], { cwd });
	expect(again.code).toBe(2);
	expect(again.stderr.trimEnd().split("\n")).toHaveLength(written.length);
	writeFileSync(join(cwd, "file"), "");
	expect(lullgust(["demo", "file"], { cwd }).stderr).toBe("file: is a file, not a folder\n");
});
