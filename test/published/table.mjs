// Prints every published figure beside ours; exits 1 if any is off. With --write it also puts the accuracy table of the
// folder of published figures between its markers. Runs the TypeScript of this folder as one bundle, for Node 20 reads none.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { buildSync } from "esbuild";

const scratch = mkdtempSync(join(tmpdir(), "lullgust-checks-"));
try {
	const outfile = join(scratch, "table.cjs");
	buildSync({
		entryPoints: [fileURLToPath(new URL("table.ts", import.meta.url))],
		bundle: true,
		platform: "node",
		format: "cjs",
		outfile,
		// The project's own path for odex leads to its types.
		tsconfigRaw: {},
	});
	const { publishedChecks, textTable, withAccuracy } = await import(pathToFileURL(outfile).href);
	const result = publishedChecks();
	console.log(textTable(result));
	if (result.checks.some((check) => !check.within)) process.exitCode = 1;
	if (process.argv.includes("--write")) {
		const readme = new URL("../../fixtures/published/README.md", import.meta.url);
		const text = withAccuracy(readFileSync(readme, "utf8"), result.checks);
		if (text === null)
			throw new Error(
				"fixtures/published/README.md has no <!-- accuracy --> … <!-- /accuracy --> to write between",
			);
		writeFileSync(readme, text);
	}
} finally {
	rmSync(scratch, { recursive: true, force: true });
}
