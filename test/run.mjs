// The whole test: build, types, lint, vitest. Goes on after a failure, so that one run shows everything, and closes
// with the line "N passed, N failed". A build, type or lint fault counts as one failed test.
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const root = new URL("..", import.meta.url);
const scratch = mkdtempSync(join(tmpdir(), "lullgust-test-"));
const report = join(scratch, "vitest.json");

function step(title, command, args) {
	console.log(`\n== ${title}`);
	const { status, error } = spawnSync(command, args, {
		cwd: root,
		stdio: ["ignore", "inherit", "inherit"],
		env: { ...process.env, CI: "true" },
	});
	if (error) console.error(`${command}: ${error.message}`);
	return status === 0;
}

let passed = 0;
let failed = 0;
if (!step("build", "npm", ["run", "--silent", "build"])) failed += 1;
if (!step("types", "npm", ["run", "--silent", "types"])) failed += 1;
if (!step("lint", "npm", ["run", "--silent", "lint"])) failed += 1;
const green = step("tests", "npx", [
	"vitest",
	"run",
	"--config=test/vitest.config.ts",
	"--reporter=default",
	"--reporter=json",
	`--outputFile=${report}`,
	...process.argv.slice(2),
]);
let failedTests = 0;
if (existsSync(report)) {
	const result = JSON.parse(readFileSync(report, "utf8"));
	passed = result.numPassedTests;
	failedTests = result.numFailedTests;
	// A file that failed to load has no failed assertion of its own.
	for (const file of result.testResults)
		if (file.status === "failed" && !file.assertionResults.some((test) => test.status === "failed"))
			failedTests += 1;
}
// A crash, an unhandled error, no test file, no report.
if (!green && failedTests === 0) failedTests = 1;
failed += failedTests;
rmSync(scratch, { recursive: true, force: true });

console.log(`\n${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
