import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { notices } from "../reports/charts/interactive/notices.ts";

// Run after the compiler, from dist: `node dist/cli/build.js`. Bundles the command into dist/bin, because opening some three
// hundred small files takes longer than an answer. Reports stay as they are: they are heavy and rarely asked for.
const root = fileURLToPath(new URL("../..", import.meta.url));
const { metafile } = await build({
	absWorkingDir: root,
	entryPoints: ["dist/cli/main.js"],
	outdir: "dist/bin",
	bundle: true,
	splitting: true,
	format: "esm",
	platform: "node",
	target: "node20",
	minifySyntax: true,
	minifyWhitespace: true,
	external: [
		"./dist/reports/choose/choose.js",
		"./dist/reports/compare/compare.js",
		"./dist/reports/fit/fit.js",
		"./dist/reports/explore/explore.js",
		"./dist/reports/lesson/lesson.js",
		"./dist/reports/rig/rig.js",
		"./dist/reports/simulate/simulate.js",
		"./dist/reports/verify/verify.js",
	],
	// Some of what is bundled asks for its modules in the old way.
	banner: {
		js: 'import{createRequire as makeRequire}from"node:module";const require=makeRequire(import.meta.url);',
	},
	legalComments: "none",
	metafile: true,
});

writeFileSync(
	join(root, "dist", "bin", "THIRD-PARTY.txt"),
	`The command line contains parts of these packages.\n\n${notices(Object.keys(metafile.inputs), root)}`,
);
