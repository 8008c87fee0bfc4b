import { mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { transformSync } from "esbuild";
import { afterAll, describe, expect, it } from "vitest";
import * as library from "../lib/index.ts";
import * as leastSquares from "../lib/public/leastsquares.ts";
import * as lesson from "../lib/public/lesson.ts";
import * as logs from "../lib/public/logs.ts";
import * as physics from "../lib/public/physics.ts";
import * as rig from "../lib/public/rig.ts";
import * as solver from "../lib/public/solver.ts";
import * as units from "../lib/public/units.ts";
import { lullgust } from "./cli/lullgust.ts";

const root = fileURLToPath(new URL("..", import.meta.url));

/** Every page of prose that ships or that a developer reads, by its path. */
const pages = new Map(
	[
		"README.md",
		"DEVELOPERS.md",
		...["cli", "lib", "reports", "fixtures", "test"].flatMap((top) =>
			readdirSync(join(root, top), { recursive: true, encoding: "utf8" })
				.filter((name) => name.endsWith("README.md"))
				.map((name) => `${top}/${name.replaceAll("\\", "/")}`),
		),
	].map((path) => [path, readFileSync(join(root, path), "utf8")]),
);

const blocksOf = (text: string, language: string) =>
	[...text.matchAll(new RegExp(`^\`\`\`${language}\\n([\\s\\S]*?)^\`\`\`$`, "gm"))].map((match) => match[1]!);
const blocks = (language: string) =>
	[...pages].flatMap(([path, text]) => blocksOf(text, language).map((block) => ({ path, block })));

/** A folder as a reader has it: the shipped fixtures and the faulty file that the pages show. */
const folder = mkdtempSync(join(tmpdir(), "lullgust-readme-"));
symlinkSync(join(root, "fixtures"), join(folder, "fixtures"));
const faulty = blocks("yaml").find(({ block }) => block.includes("180 kg"))!;
writeFileSync(join(folder, "faulty.yaml"), faulty.block);
afterAll(() => rmSync(folder, { recursive: true }));

describe("the README pages", () => {
	it.each(blocks("console").map(({ path, block }) => [path, block.split("\n")[0]!, block] as const))(
		"%s shows what it prints: %s",
		(path, command, block) => {
			const [, ...rest] = block.split("\n");
			const run = lullgust(command.replace(/^\$ lullgust /, "").split(" "), { cwd: folder });
			const printed = run.stdout + run.stderr;
			// For its author: README_WRITE=1 puts the output in.
			if (process.env.README_WRITE) {
				const file = join(root, path);
				writeFileSync(
					file,
					readFileSync(file, "utf8").replace(block, () => `${command}\n${printed}`),
				);
			} else expect(printed).toBe(rest.join("\n"));
		},
	);

	it.each(blocks("ts").map(({ path, block }, i) => [`${path}, ${i + 1}`, block] as const))(
		"%s has code whose results are those it states",
		(_, code) => {
			const scope = {
				...{ ...library, ...leastSquares, ...lesson, ...logs, ...physics, ...rig, ...solver, ...units },
				readFileSync: (name: string, ...more: []) => readFileSync(join(root, name), ...more),
			};
			// `expression; // => value` lines, run one after another in one scope.
			const expected = [...code.matchAll(/^(?!\s*\/\/)\s*.*? \/\/ => (.*)$/gm)].map(([, value]) => value);
			expect(expected.length).toBeGreaterThanOrEqual(1);
			const recording = code
				.replace(/^import .*$/gm, "")
				.replace(/^(?!\s*\/\/)(.*?); \/\/ => .*$/gm, "results.push($1);");
			const { code: plain } = transformSync(recording, { loader: "ts" });
			const results: unknown[] = [];
			new Function(...Object.keys(scope), "results", plain)(...Object.values(scope), results);
			expect(results.map((value) => JSON.stringify(value))).toEqual(expected);
		},
	);

	it("has a root of one page with the two commands", () => {
		const readme = pages.get("README.md")!;
		expect(readme.trimEnd().split("\n").length).toBeLessThanOrEqual(150);
		expect(readme).toMatch(/npm ci && npx lullgust compare fixtures\/\S+\.yaml --html report\.html/);
		expect(readme).toContain("npm ci && npm test");
	});

	it("links to files that are there", () => {
		const links = [...pages].flatMap(([path, text]) =>
			[...text.matchAll(/\]\((?!https?:)([^)#]+)[^)]*\)/g)].map(([, link]) => ({ path, link: link! })),
		);
		expect(links.length).toBeGreaterThan(10);
		for (const { path, link } of links)
			expect(() => readFileSync(join(root, dirname(path), link)), `${path}: ${link}`).not.toThrow();
	});

	it("has scenario files that are what the parser takes, and the fixture's own picture", () => {
		const { block } = blocks("yaml").find(({ block }) => block.includes("Two-shelf"))!;
		expect(library.compareSchedules(library.parseScenario(block)).best).toBe("short and often");
		const name = "fixtures/pictures/two-shelf-cabinet.svg";
		const { stdout } = lullgust(["compare", "fixtures/scenarios/two-shelf-cabinet.yaml", "--svg", "-"], {
			cwd: folder,
		});
		expect(stdout).toBe(readFileSync(join(root, name), "utf8"));
	});

	it("name every command and every key of the file", () => {
		for (const verb of readdirSync(join(root, "cli", "commands")))
			expect(pages.get("cli/README.md")).toContain(`lullgust ${verb.replace(".ts", "")}`);
		const keys = Object.keys((library.scenarioJsonSchema() as { properties: object }).properties);
		for (const key of keys) expect(pages.get("lib/scenario/README.md")).toMatch(new RegExp(`\`${key}[\`.]`));
	});
});
