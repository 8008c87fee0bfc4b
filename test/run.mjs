// The whole test: build, types, lint, package, vitest. Goes on after a failure, so that one run shows everything, and closes
// with the line "N passed, N failed" or "N passed, N failed, N skipped". A build, type, lint or package fault counts as one
// failed test. What a machine lacks is skipped and named; where CI is set, it fails.
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
		// What was built is packed as it is, not built once more.
		env: { ...process.env, npm_config_ignore_scripts: "true" },
	});
	if (error) console.error(`${command}: ${error.message}`);
	return status === 0;
}

let passed = 0;
let failed = 0;
let skipped = 0;
const reasons = new Map();
for (const name of ["build", "types", "lint", "package"])
	if (!step(name, "npm", ["run", "--silent", name])) failed += 1;
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
	skipped = result.numPendingTests;
	for (const file of result.testResults) {
		// A file that failed to load has no failed assertion of its own.
		if (file.status === "failed" && !file.assertionResults.some((test) => test.status === "failed"))
			failedTests += 1;
		for (const { meta } of file.assertionResults)
			if (meta?.skipped) reasons.set(meta.skipped, (reasons.get(meta.skipped) ?? 0) + 1);
	}
}
// A crash, an unhandled error, no test file, no report.
if (!green && failedTests === 0) failedTests = 1;
failed += failedTests;
rmSync(scratch, { recursive: true, force: true });

if (reasons.size > 0) console.log();
for (const [reason, count] of reasons) console.log(`${count} skipped: ${reason}`);
console.log(`\n${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ""}`);
process.exitCode = failed > 0 ? 1 : 0;
