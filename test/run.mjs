// The whole test: build, types, lint, package, vitest. Goes on after a failure, so that one run shows everything, and closes
// with the line "N passed, N failed" or "N passed, N failed, N skipped". A build, type, lint or package fault counts as one
// failed test. What a machine lacks is skipped and named; where CI is set, it fails.
import { spawn, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const root = new URL("..", import.meta.url);
const scratch = mkdtempSync(join(tmpdir(), "lullgust-test-"));
const report = join(scratch, "vitest.json");

// What was built is packed as it is, not built once more.
const env = { ...process.env, npm_config_ignore_scripts: "true" };

/** Whether a step went well. What it says is shown at its end, for two run at once. */
const step = (name) =>
	new Promise((done) => {
		const child = spawn("npm", ["run", "--silent", name], {
			cwd: root,
			stdio: ["ignore", "pipe", "pipe"],
			env,
		});
		const said = [];
		child.stdout.on("data", (piece) => said.push(piece));
		child.stderr.on("data", (piece) => said.push(piece));
		child.on("error", ({ message }) => said.push(Buffer.from(`npm: ${message}\n`)));
		child.on("close", (status) => {
			console.log(`\n== ${name}`);
			process.stdout.write(Buffer.concat(said));
			done(status === 0);
		});
	});

/** How many of these steps, one after another, went wrong. */
async function faultsOf(names) {
	let faults = 0;
	for (const name of names) if (!(await step(name))) faults += 1;
	return faults;
}

function runTests(args) {
	console.log("\n== tests");
	const { status, error } = spawnSync("npx", args, {
		cwd: root,
		stdio: ["ignore", "inherit", "inherit"],
		env,
	});
	if (error) console.error(`npx: ${error.message}`);
	return status === 0;
}

let passed = 0;
let skipped = 0;
const reasons = new Map();
// Each is busy on one core.
const faults = await Promise.all([faultsOf(["build", "package"]), faultsOf(["types", "lint"])]);
let failed = faults[0] + faults[1];
const green = runTests([
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
