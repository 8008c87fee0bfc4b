import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import ts from "typescript";
import { expect, test } from "vitest";

const root = new URL("..", import.meta.url).pathname;

/** What each room may import of the project; a room is a folder of lib, lib's own files, reports or cli. */
const floor = ["lib/sources", "lib/units", "lib files"];
const mayImport: Record<string, readonly string[]> = {
	"lib/sources": ["lib files"],
	"lib files": [],
	"lib/units": ["lib/sources", "lib files"],
	// Numbers without physics.
	"lib/statistics": ["lib files"],
	"lib/model": [...floor, "types of lib/scenario"],
	"lib/scenario": [...floor, "types of lib/model", "lib/statistics"],
	"lib/solve": [...floor, "lib/model", "types of lib/scenario"],
	"lib/logs": [...floor, "lib/model", "lib/statistics"],
	"lib/compare": [...floor, "lib/model", "lib/scenario", "lib/solve", "lib/statistics"],
	"lib/choose": [...floor, "lib/model", "lib/scenario", "lib/solve", "lib/statistics", "lib/compare"],
	"lib/fit": [
		...floor,
		"lib/model",
		"lib/scenario",
		"lib/solve",
		"lib/statistics",
		"lib/logs",
		"lib/compare",
		"lib/choose",
	],
	"lib/lesson": [
		...floor,
		"lib/model",
		"lib/scenario",
		"lib/solve",
		"lib/statistics",
		"lib/compare",
		"lib/choose",
	],
	// Its sheets prescribe the tests that a fit evaluates.
	"lib/rig": [...floor, "lib/model", "lib/solve", "lib/scenario", "lib/compare", "lib/lesson"],
	"lib/index.ts": ["lib"],
	"lib/public": ["lib"],
	reports: ["lib"],
	cli: ["lib", "reports"],
};

/** Packages, and the only place that may import each. */
const packages: Record<string, RegExp> = {
	zod: /^lib\/scenario\//,
	yaml: /^lib\/scenario\//,
	odex: /^lib\/solve\/propagate\/odex\.ts$/,
	// The live charts are a browser script of their own, bundled at build time.
	vega: /^reports\/(charts\/svg|charts\/interactive\/main)\.ts$/,
	esbuild: /^(reports\/charts\/interactive\/bundle|cli\/build)\.ts$/,
	"vega-lite": /^reports\/charts\/svg\.ts$/,
	"vega-interpreter": /^reports\//,
	yargs: /^cli\//,
};

/** What a pure library does without: input and output, clocks, chance. */
const impure = new Set(
	`process console Buffer require fetch document window globalThis performance crypto
	setTimeout setInterval setImmediate queueMicrotask __dirname __filename`.split(/\s+/),
);
const impureMembers = new Set(["Math.pow", "Date.now", "Math.random"]);

const roomOf = (file: string): string => {
	if (file === "lib/index.ts") return file;
	const [top, second] = file.split("/");
	if (top !== "lib") return top!;
	return second!.includes(".") ? "lib files" : `lib/${second}`;
};

function violations(file: string, text: string): string[] {
	const source = ts.createSourceFile(file, text, ts.ScriptTarget.ES2022, true);
	const room = roomOf(file);
	const found: string[] = [];
	const own = declaredNames(source);

	const checkImport = (target: string, typesOnly: boolean): void => {
		if (target.startsWith("node:")) {
			if (room.startsWith("lib")) found.push(`${file} imports ${target}`);
			return;
		}
		if (!target.startsWith(".")) {
			const name = target.split("/")[0]!;
			if (!packages[name]?.test(file) && !(typesOnly && room === "reports" && name.startsWith("vega")))
				found.push(`${file} imports the package ${name}`);
			return;
		}
		const there = roomOf(normalize(join(dirname(file), target)));
		const allowed = mayImport[room] ?? [];
		const fits =
			there === room ||
			allowed.includes(there) ||
			(there.startsWith("lib") && allowed.includes("lib")) ||
			(typesOnly && allowed.includes(`types of ${there}`));
		if (!fits) found.push(`${file} imports ${target}`);
	};

	const visit = (node: ts.Node): void => {
		if (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) {
			const target = node.moduleSpecifier;
			const typesOnly = ts.isImportDeclaration(node)
				? node.importClause?.phaseModifier === ts.SyntaxKind.TypeKeyword
				: node.isTypeOnly;
			if (target && ts.isStringLiteral(target)) checkImport(target.text, typesOnly);
		} else if (ts.isImportTypeNode(node)) {
			if (ts.isLiteralTypeNode(node.argument) && ts.isStringLiteral(node.argument.literal))
				checkImport(node.argument.literal.text, true);
		} else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
			const target = node.arguments[0];
			if (target && ts.isStringLiteralLike(target)) checkImport(target.text, false);
			else found.push(`${file} imports a computed path`);
		} else if (
			ts.isBinaryExpression(node) &&
			node.operatorToken.kind === ts.SyntaxKind.AsteriskAsteriskToken &&
			node.right.getText() !== "2"
		) {
			// Its last digit differs between engines; Math.pow is among what is impure.
			found.push(`${file} uses ${node.getText()}`);
		} else if (room.startsWith("lib")) {
			if (ts.isIdentifier(node) && impure.has(node.text) && !own.has(node.text) && !isJustAName(node))
				found.push(`${file} uses ${node.text}`);
			if (ts.isPropertyAccessExpression(node) && impureMembers.has(node.getText()))
				found.push(`${file} uses ${node.getText()}`);
			if (ts.isMetaProperty(node)) found.push(`${file} uses ${node.getText()}`);
			if (ts.isNewExpression(node) && node.expression.getText() === "Date" && !node.arguments?.length)
				found.push(`${file} uses the clock`);
		}
		ts.forEachChild(node, visit);
	};
	visit(source);
	return found;
}

/** Names that a file gives to things of its own, such as a `window` of time. */
function declaredNames(source: ts.SourceFile): Set<string> {
	const names = new Set<string>();
	const visit = (node: ts.Node): void => {
		if (
			(ts.isVariableDeclaration(node) ||
				ts.isParameter(node) ||
				ts.isBindingElement(node) ||
				ts.isFunctionDeclaration(node)) &&
			node.name !== undefined &&
			ts.isIdentifier(node.name)
		)
			names.add(node.name.text);
		ts.forEachChild(node, visit);
	};
	visit(source);
	return names;
}

/** `x.process`, `{ process: 1 }` and a type's member are names, not the global. */
function isJustAName(node: ts.Identifier): boolean {
	const { parent } = node;
	if (ts.isPropertyAccessExpression(parent)) return parent.name === node;
	return (
		(ts.isPropertyAssignment(parent) || ts.isPropertySignature(parent) || ts.isMethodSignature(parent)) &&
		parent.name === node
	);
}

const sources = ["lib", "reports", "cli"].flatMap((top) =>
	readdirSync(join(root, top), { recursive: true, encoding: "utf8" })
		.filter((name) => name.endsWith(".ts") && !name.endsWith(".d.ts"))
		.map((name) => `${top}/${name.replaceAll("\\", "/")}`),
);

test("every import points from cli to reports to lib, and inside lib from the questions to sources", () => {
	expect(sources.length).toBeGreaterThan(10);
	expect(sources.flatMap((file) => violations(file, readFileSync(join(root, file), "utf8")))).toEqual([]);
});

/** Files that import each other in a circle, of any length, types included. */
function circles(imports: ReadonlyMap<string, readonly string[]>): string[] {
	const done = new Set<string>();
	const found: string[] = [];
	const visit = (file: string, way: readonly string[]): void => {
		if (way.includes(file)) found.push([...way.slice(way.indexOf(file)), file].join(" -> "));
		else if (!done.has(file)) {
			for (const next of imports.get(file) ?? []) visit(next, [...way, file]);
			done.add(file);
		}
	};
	for (const file of imports.keys()) visit(file, []);
	return found;
}

const importsOf = (file: string, text: string): string[] =>
	ts
		.preProcessFile(text, true, true)
		.importedFiles.flatMap(({ fileName }) =>
			fileName.startsWith(".") ? [normalize(join(dirname(file), fileName))] : [],
		);

test("no files import each other in a circle", () => {
	const imports = new Map(
		sources.map((file) => [file, importsOf(file, readFileSync(join(root, file), "utf8"))]),
	);
	expect([...imports.values()].flat().length).toBeGreaterThan(500);
	expect(circles(imports)).toEqual([]);
});

test("a planted circle is found", () => {
	const imports = new Map([
		["a.ts", importsOf("a.ts", 'import type { B } from "./b.ts";')],
		["b.ts", importsOf("b.ts", 'export { c } from "./c.ts";')],
		["c.ts", importsOf("c.ts", 'const a = await import("./a.ts");')],
	]);
	expect(circles(imports)).toEqual(["a.ts -> b.ts -> c.ts -> a.ts"]);
});

test("a person takes every folder in at a glance", () => {
	const files = new Map<string, number>();
	for (const file of sources) files.set(dirname(file), (files.get(dirname(file)) ?? 0) + 1);
	expect([...files].filter(([, count]) => count > 16)).toEqual([]);
});

test.each([
	[
		"lib/model/build.ts",
		'import { simulate } from "../solve/simulate.ts";',
		"lib/model/build.ts imports ../solve/simulate.ts",
	],
	[
		"lib/scenario/build.ts",
		'import { buildModel } from "../model/build.ts";',
		"lib/scenario/build.ts imports ../model/build.ts",
	],
	[
		"lib/solve/exact.ts",
		'import { parse } from "../scenario/parse.ts";',
		"lib/solve/exact.ts imports ../scenario/parse.ts",
	],
	[
		"lib/compare/compare.ts",
		'import { page } from "../../reports/page.ts";',
		"lib/compare/compare.ts imports ../../reports/page.ts",
	],
	[
		"lib/compare/compare.ts",
		'const x = await import("../../cli/print.ts");',
		"lib/compare/compare.ts imports ../../cli/print.ts",
	],
	[
		"reports/page.ts",
		'export * from "../cli/print/print.ts";',
		"reports/page.ts imports ../cli/print/print.ts",
	],
	["reports/page.ts", 'import { View } from "vega";', "reports/page.ts imports the package vega"],
	[
		"lib/solve/periodic.ts",
		'import { Solver } from "odex";',
		"lib/solve/periodic.ts imports the package odex",
	],
	["lib/model/fan.ts", 'import * as z from "zod";', "lib/model/fan.ts imports the package zod"],
	["reports/page.ts", 'import yargs from "yargs/yargs";', "reports/page.ts imports the package yargs"],
	["lib/units.ts", 'import { readFileSync } from "node:fs";', "lib/units.ts imports node:fs"],
	["lib/units.ts", "console.log(1);", "lib/units.ts uses console"],
	["lib/units.ts", "const at = Date.now();", "lib/units.ts uses Date.now"],
	["lib/units.ts", "const at = new Date();", "lib/units.ts uses the clock"],
	["lib/units.ts", "const x = 2 ** 3;", "lib/units.ts uses 2 ** 3"],
	["lib/units.ts", "const x = Math.pow(2, 3);", "lib/units.ts uses Math.pow"],
	["lib/units.ts", "const x = Math.random();", "lib/units.ts uses Math.random"],
	["lib/units.ts", "export const x = { y: process };", "lib/units.ts uses process"],
	["lib/units.ts", "export const x = import.meta.url;", "lib/units.ts uses import.meta"],
])("a planted fault in %s is found: %s", (file, text, complaint) => {
	expect(violations(file, text)).toEqual([complaint]);
});

test("what is allowed passes", () => {
	expect(
		violations("cli/commands.ts", 'import yargs from "yargs"; import { x } from "../reports/charts/svg.ts";'),
	).toEqual([]);
	expect(
		violations("lib/model/chamber.ts", 'import type { Scenario } from "../scenario/scenario.ts";'),
	).toEqual([]);
	expect(violations("lib/fit/fit.ts", "const a = { process: 1 }; a.process; new Date(0);")).toEqual([]);
});
