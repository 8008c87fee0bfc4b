// Holds this version of Node beside others: `node test/nodes.mjs PATH…`. Each command on each shipped file must write the same
// bytes; exit 1 where one does not. Runs what `npm run build` left in dist.

import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const main = resolve("dist/bin/main.js");
const scenarios = resolve("fixtures/scenarios");
const log = resolve("fixtures/logs/logged-cabinet");
const onLog = [`${log}.csv`, "--scenario", `${log}.yaml`];
const runs = [
	...readdirSync(scenarios).flatMap((name) =>
		["compare", "choose", "rig", "lesson"].flatMap((command) => [
			[command, join(scenarios, name), "--json"],
			[command, join(scenarios, name), "--html", "out"],
		]),
	),
	["fit", ...onLog, "--json"],
	["fit", ...onLog, "--days", "--html", "out"],
	["verify", ...onLog, "--html", "out"],
	[
		"simulate",
		join(scenarios, "compost-room.yaml"),
		"--schedule",
		"one minute in four",
		"--for",
		"14d",
		"--csv",
		"out",
	],
];

function written(node, args) {
	const cwd = mkdtempSync(join(tmpdir(), "lullgust-nodes-"));
	const { status, stdout, stderr } = spawnSync(node, [main, ...args], { cwd, encoding: "utf8" });
	const file = args.includes("out") ? readFileSync(join(cwd, "out"), "utf8") : "";
	rmSync(cwd, { recursive: true });
	return JSON.stringify({ status, stdout, stderr, file });
}

const others = process.argv.slice(2);
if (others.length === 0) throw new Error("usage: node test/nodes.mjs PATH…, such as /opt/node24/bin/node");
let differing = 0;
for (const args of runs) {
	const here = written(process.execPath, args);
	for (const node of others) {
		if (written(node, args) === here) continue;
		differing++;
		console.log(`${node} ${args.join(" ")}: other bytes`);
	}
}
console.log(`${runs.length} runs on ${others.length + 1} versions, ${differing} differ`);
process.exitCode = differing > 0 ? 1 : 0;
