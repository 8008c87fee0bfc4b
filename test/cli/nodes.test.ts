import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { expect, test } from "vitest";
import { emptyFolder, main } from "./lullgust.ts";

/** Other Nodes to be held beside this one, parted as a PATH is: `OTHER_NODES=/opt/node22/bin/node:/opt/node24/bin/node`. */
const nodes = (process.env.OTHER_NODES ?? "").split(":").filter((path) => path !== "");
const fixtures = resolve("fixtures");
const log = [`${fixtures}/logs/logged-cabinet.csv`, "--scenario", `${fixtures}/logs/logged-cabinet.yaml`];
const runs = [
	...readdirSync(join(fixtures, "scenarios")).flatMap((name) =>
		["compare", "choose", "rig", "lesson"].flatMap((command) => [
			[command, join(fixtures, "scenarios", name), "--json"],
			[command, join(fixtures, "scenarios", name), "--html", "out"],
		]),
	),
	["fit", ...log, "--json"],
	["fit", ...log, "--days", "--html", "out"],
	["verify", ...log, "--html", "out"],
	[
		"simulate",
		`${fixtures}/scenarios/compost-room.yaml`,
		"--schedule",
		"one minute in four",
		"--for",
		"14d",
		"--csv",
		"out",
	],
];

test.skipIf(nodes.length === 0).each(nodes)(
	"%s writes the same bytes",
	(node) => {
		for (const args of runs) {
			const [here, there] = [process.execPath, node].map((path) => {
				const cwd = emptyFolder();
				const { status, stdout, stderr } = spawnSync(path, [main, ...args], { cwd, encoding: "utf8" });
				return {
					status,
					stdout,
					stderr,
					file: args.includes("out") ? readFileSync(join(cwd, "out"), "utf8") : "",
				};
			});
			expect(there, args.join(" ")).toEqual(here);
		}
	},
	600_000,
);
