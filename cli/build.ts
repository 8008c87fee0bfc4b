import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

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
	external: ["./dist/reports/compare.js", "./dist/reports/simulate.js"],
	// Some of what is bundled asks for its modules in the old way.
	banner: {
		js: 'import{createRequire as makeRequire}from"node:module";const require=makeRequire(import.meta.url);',
	},
	legalComments: "none",
	metafile: true,
});

// The licences of what is bundled ask that their text comes along.
const folders = new Set<string>();
for (const input of Object.keys(metafile.inputs)) {
	const found = /^(?:.*\/)?node_modules\/(?:@[^/]+\/)?[^/]+/.exec(input);
	if (found) folders.add(found[0]);
}
const notices = [...folders].sort().map((folder) => {
	const { name, version, license } = JSON.parse(readFileSync(join(root, folder, "package.json"), "utf8"));
	const file = ["LICENSE", "LICENSE.md", "LICENSE.txt", "license", "LICENSE-MIT.txt"]
		.map((candidate) => join(root, folder, candidate))
		.find(existsSync);
	if (file === undefined)
		throw new Error(`${dirname(folder)}: ${name} comes without the text of its licence`);
	return `${name} ${version} (${license})\n\n${readFileSync(file, "utf8").trim()}\n`;
});
writeFileSync(
	join(root, "dist", "bin", "THIRD-PARTY.txt"),
	`The command line contains parts of these packages.\n\n${notices.join(`\n${"-".repeat(80)}\n\n`)}`,
);
