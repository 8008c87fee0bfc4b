import { readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type BuildOptions, build, type Plugin } from "esbuild";
import { notices } from "../reports/charts/interactive/notices.ts";

// Run after the compiler, from dist: `node dist/cli/build.js`. Opening some three hundred small files takes longer than an answer, so
// library and reports are bundled in place, sharing what they have in common, and the command into dist/bin with a copy of its own.
const root = fileURLToPath(new URL("../..", import.meta.url));
const reports = ["choose", "compare", "explore", "fit", "lesson", "rig", "simulate", "verify"].map(
	(name) => `./dist/reports/${name}/${name}.js`,
);
const entries = readdirSync(join(root, "dist/lib/public"))
	.filter((file) => file.endsWith(".js"))
	.map((file) => `dist/lib/public/${file}`);

/** Leaves alone what stands beside the file that asks for it. */
const leave = (filter: RegExp): Plugin => ({
	name: "leave",
	setup: ({ onResolve }) => onResolve({ filter }, ({ path }) => ({ path, external: true })),
});

async function bundle(folder: string, what: string, options: BuildOptions): Promise<void> {
	const { metafile } = await build({
		...options,
		absWorkingDir: root,
		bundle: true,
		format: "esm",
		legalComments: "none",
		metafile: true,
	});
	writeFileSync(
		join(root, "dist", folder, "THIRD-PARTY.txt"),
		`${what} parts of these packages.\n\n${notices(Object.keys(metafile.inputs), root)}`,
	);
}

await bundle("bin", "The command line contains", {
	// In one file, of which what a command does not ask for is never run: the version alone opens none of it.
	entryPoints: ["dist/cli/main.js", "dist/cli/commands.js"],
	outdir: "dist/bin",
	platform: "node",
	target: "node20",
	minifySyntax: true,
	minifyWhitespace: true,
	// Reports are heavy and rarely asked for.
	external: reports,
	plugins: [leave(/^\.\/commands\.js$/)],
	// Some of what is bundled asks for its modules in the old way.
	banner: {
		js: 'import{createRequire as makeRequire}from"node:module";const require=makeRequire(import.meta.url);',
	},
});

await bundle("lib", "The library contains", {
	entryPoints: ["dist/lib/index.js", ...entries, ...reports],
	outbase: "dist",
	outdir: "dist",
	splitting: true,
	chunkNames: "lib/chunks/[name]-[hash]",
	allowOverwrite: true,
	// Nothing that a browser lacks.
	platform: "neutral",
	mainFields: ["module", "main"],
	target: "es2022",
	external: ["node:*", "vega", "vega-lite", "vega-interpreter"],
	// It looks for the page's script beside itself.
	plugins: [leave(/^\.\/script\.js$/)],
});
