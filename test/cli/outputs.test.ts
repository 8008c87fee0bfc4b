import { spawnSync } from "node:child_process";
import { chmodSync, closeSync, openSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { checkOutputs, writeOutput } from "../../cli/files.ts";
import { cell } from "../../cli/print/csv.ts";
import { emptyFolder, main } from "./lullgust.ts";

test("a full disk behind standard output is one clear line and exit code 2", () => {
	const full = openSync("/dev/full", "w");
	const { status, stderr } = spawnSync(process.execPath, [main, "species"], {
		encoding: "utf8",
		stdio: ["ignore", full, "pipe"],
	});
	closeSync(full);
	expect({ status, stderr }).toEqual({
		status: 2,
		stderr: "standard output: cannot be written: no space left on the disk\n",
	});
});

test("a name may be as long as the file system allows, and a longer one is refused before any work", async () => {
	const cwd = emptyFolder();
	for (const bytes of [242, 243, 249, 255]) {
		const path = join(cwd, "n".repeat(bytes));
		checkOutputs([path], false);
		await writeOutput({ path, content: "a" }, false);
		await writeOutput({ path, content: ["b", "c"] }, true);
		expect(readFileSync(path, "utf8")).toBe("bc");
	}
	expect(() => checkOutputs([join(cwd, "n".repeat(256))], false)).toThrow(/the name is too long/);
	expect(readdirSync(cwd)).toHaveLength(4);
});

test.each([0o600, 0o644, 0o755])("a file that is replaced keeps its mode %o", async (mode) => {
	const path = join(emptyFolder(), "kept.csv");
	writeFileSync(path, "old");
	chmodSync(path, mode);
	await writeOutput({ path, content: "new" }, true);
	expect(readFileSync(path, "utf8")).toBe("new");
	expect(statSync(path).mode & 0o777).toBe(mode);
});

test("a left-over of a process with the same number is in nobody's way and stays", async () => {
	const cwd = emptyFolder();
	const path = join(cwd, "out.csv");
	const leftovers = [`.out.csv.${process.pid}.tmp`, `.lullgust-${process.pid}-0.tmp`];
	for (const name of leftovers) writeFileSync(join(cwd, name), "half");
	await writeOutput({ path, content: "whole" }, false);
	expect(readFileSync(path, "utf8")).toBe("whole");
	expect(readdirSync(cwd).sort()).toEqual([...leftovers, "out.csv"].sort());
});

test.each([
	["=1", "'=1"],
	[" =1", "' =1"],
	["\n=1", '"\'\n=1"'],
	["\u00a0@x", "'\u00a0@x"],
	["\t1", "'\t1"],
	["a=1", "a=1"],
	[" on 4 s", " on 4 s"],
])("a CSV cell %j is no formula", (text, written) => {
	expect(cell(text)).toBe(written);
});
