import { mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { transformSync } from "esbuild";
import { afterAll, describe, expect, it } from "vitest";
import * as library from "../lib/index.ts";
import { lullgust } from "./cli/lullgust.ts";

const root = fileURLToPath(new URL("..", import.meta.url));
const path = join(root, "README.md");
const readme = readFileSync(path, "utf8");
const blocks = (language: string) =>
	[...readme.matchAll(new RegExp(`^\`\`\`${language}\\n([\\s\\S]*?)^\`\`\`$`, "gm"))].map(
		(match) => match[1]!,
	);

/** A folder as a reader has it: the shipped fixtures and the faulty file that the README shows. */
const folder = mkdtempSync(join(tmpdir(), "lullgust-readme-"));
symlinkSync(join(root, "fixtures"), join(folder, "fixtures"));
writeFileSync(join(folder, "faulty.yaml"), blocks("yaml").find((text) => text.includes("180 kg"))!);
afterAll(() => rmSync(folder, { recursive: true }));

/** `expression // => value` lines, run one after another in one scope. */
function examples(code: string): { expression: string; expected: string }[] {
	return [...code.matchAll(/^\s*(.*?);? \/\/ => (.*)$/gm)].map(([, expression, expected]) => ({
		expression: expression!,
		expected: expected!,
	}));
}

describe("the README", () => {
	it("shows what the commands really print", () => {
		const shown = blocks("console");
		expect(shown.length).toBeGreaterThan(1);
		for (const block of shown) {
			const [first, ...rest] = block.split("\n");
			const run = lullgust(first!.replace(/^\$ lullgust /, "").split(" "), { cwd: folder });
			const printed = run.stdout + run.stderr;
			// For its author: README_WRITE=1 puts the output in.
			if (process.env.README_WRITE)
				writeFileSync(path, readFileSync(path, "utf8").replace(block, `${first}\n${printed}`));
			else expect(printed).toBe(rest.join("\n"));
		}
	});

	it("has code whose results are those it states", () => {
		const shown = blocks("ts");
		expect(shown.length).toBeGreaterThanOrEqual(2);
		const scope = {
			...library,
			readFileSync: (name: string, ...more: []) => readFileSync(join(root, name), ...more),
		};
		for (const code of shown) {
			const pairs = examples(code);
			expect(pairs.length).toBeGreaterThanOrEqual(4);
			const recording = code
				.replace(/^import .*$/gm, "")
				.replace(/^(?!\s*\/\/)(.*?); \/\/ => .*$/gm, "results.push($1);");
			const { code: plain } = transformSync(recording, { loader: "ts" });
			const results: unknown[] = [];
			new Function(...Object.keys(scope), "results", plain)(...Object.values(scope), results);
			expect(results.map((value) => JSON.stringify(value))).toEqual(pairs.map(({ expected }) => expected));
		}
	});

	it("has scenario files that are what the parser takes, and the fixture's own picture", () => {
		const scenario = blocks("yaml").find((text) => text.includes("Two-shelf"))!;
		expect(library.compareSchedules(library.parseScenario(scenario)).best).toBe("short and often");
		const name = "fixtures/pictures/two-shelf-cabinet.svg";
		const { stdout } = lullgust(["compare", "fixtures/scenarios/two-shelf-cabinet.yaml", "--svg", "-"], {
			cwd: folder,
		});
		expect(stdout).toBe(readFileSync(join(root, name), "utf8"));
	});

	it("names every command and every key of the file", () => {
		for (const verb of readdirSync(join(root, "cli", "commands")))
			expect(readme).toContain(`lullgust ${verb.replace(".ts", "")}`);
		const keys = Object.keys((library.scenarioJsonSchema() as { properties: object }).properties);
		for (const key of keys) expect(readme).toMatch(new RegExp(`\`${key}[\`.]`));
	});
});

describe("the examples in doc comments", () => {
	const files = readdirSync(join(root, "lib"), { recursive: true, encoding: "utf8" }).filter((name) =>
		name.endsWith(".ts"),
	);
	for (const name of files) {
		const text = readFileSync(join(root, "lib", name), "utf8");
		const pairs = [...text.matchAll(/^ \* @example (.*) \/\/ => (.*)$/gm)];
		if (pairs.length > 0)
			it(`are true in lib/${name}`, async () => {
				const module: Record<string, unknown> = await import(join(root, "lib", name));
				for (const [, expression, expected] of pairs)
					expect(
						JSON.stringify(
							new Function(...Object.keys(module), `return ${expression}`)(...Object.values(module)),
						),
					).toBe(expected);
			});
	}
});
