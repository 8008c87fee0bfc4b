// Measures the same jobs in this checkout and in another one, by turns in one run: CPU time, since others share the machine.
// node test/bench/beside.mjs DIR [rounds]; DIR is a built checkout of an earlier version.

import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const own = fileURLToPath(new URL("../../", import.meta.url));
const other = resolve(process.argv[2] ?? "");
const rounds = Number(process.argv[3] ?? 5);
for (const root of [own, other])
	if (!existsSync(join(root, "dist/bin/main.js"))) {
		console.error(
			`${root} has no dist/bin/main.js: give a built checkout, and build this one (npm run build)`,
		);
		process.exit(2);
	}
const folder = mkdtempSync(join(tmpdir(), "lullgust-beside-"));
const write = (name, text) => {
	const file = join(folder, name);
	writeFileSync(file, text);
	return file;
};
const shipped = (name) => join(own, "fixtures/scenarios", `${name}.yaml`);
const SCENARIOS = ["small-tub", "two-shelf-cabinet", "filtered-cabinet", "walk-in-tent", "compost-room"];
const tub = readFileSync(shipped("small-tub"), "utf8");
const fiveDigits = write("five-digits.yaml", `${tub}\ntimer: { ranges: [1..99999 s by 1 s], digits: 5 }\n`);
const live = write(
	"live.yaml",
	`${tub
		.slice(0, tub.indexOf("schedules:"))
		.replace(
			"temperature: 18 C",
			'temperature: { mean: 18 C, swing: 3 K, warmest: "15:00" }',
		)}schedules:\n  often: { on: 1 s, off: 10 s }\n`,
);

/** A library job of its own process: what it does with the library of a root, several times over to drown the start. */
const library = (body) => (root) => [
	"--input-type=module",
	"-e",
	`import { simulate, periodicState } from ${JSON.stringify(`file://${root}/dist/lib/index.js`)};
	const cabinet = { volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 };
	const cycle = { kind: "cycle", onSeconds: 12, offSeconds: 540 };
	${body}`,
];
/** A source that grows over days and feels the CO2; the fields of the second zone have had other names. */
const FULL_MODEL = `
	const source = { m3PerS: (t, ppm) => (6e-8 * (1 + t / 1209600)) / (1 + ppm / 20000), isTimeVarying: true, isPpmDependent: true,
		breakpointsSeconds: [], periodSeconds: null, horizonSeconds: 1209600 };
	const full = { ...cabinet, stagnantFraction: 0.3, stagnantSourceShare: 0.6, responseSeconds: 60, spinUpTauSeconds: 1, coastDownTauSeconds: 2, source };
	const run = (model) => simulate(model, cycle, { durationSeconds: 1209600, sampleTimes: [1209600] });
	const once = () => { try { return run({ ...full, interzonalM3PerS: 5 / 3600 }); } catch { return run({ ...full, exchangeM3PerS: 5 / 3600 }); } };`;
const cli =
	(...args) =>
	(root) => [join(root, "dist/bin/main.js"), ...args];

const jobs = {
	"node -e 0": () => ["-e", "0"],
	"--version": cli("--version"),
	...Object.fromEntries(
		SCENARIOS.map((name) => [`compare --json ${name}`, cli("compare", shipped(name), "--json")]),
	),
	"compare --json, a swing and 1 s every 11 s": cli("compare", live, "--json"),
	"compare --html two-shelf-cabinet": cli(
		"compare",
		shipped("two-shelf-cabinet"),
		"--html",
		"/dev/null",
		"--force",
	),
	"choose --draws 0, one zone": cli("choose", shipped("small-tub"), "--json", "--draws", "0"),
	"choose --confidence 90, one zone": cli("choose", shipped("small-tub"), "--json", "--confidence", "90"),
	"choose --confidence 90, two zones, spin-up": cli(
		"choose",
		shipped("walk-in-tent"),
		"--json",
		"--confidence",
		"90",
	),
	"choose --draws 0, five-digit timer": cli("choose", fiveDigits, "--json", "--draws", "0"),
	"rig filtered-cabinet": cli("rig", shipped("filtered-cabinet"), "--json"),
	"simulate 30 d at 1 s": library(
		"simulate(cabinet, cycle, { durationSeconds: 2592000, sampleIntervalSeconds: 1 });",
	),
	"1,000 periodic states, two ways": library(
		`for (let k = 1; k <= 1000; k++) { periodicState(cabinet, { ...cycle, onSeconds: k }); periodicState({ ...cabinet, spinUpTauSeconds: 2 }, { ...cycle, offSeconds: 100 + k }); }`,
	),
	"14 days of the full model": library(`${FULL_MODEL} once();`),
};

/** CPU time of a child [ms]; NaN where that version cannot do it. */
function spend(args) {
	const { status, stderr } = spawnSync(
		"bash",
		["-c", 'TIMEFORMAT="%U %S"; time "$0" "$@" >/dev/null 2>/dev/null', process.execPath, ...args],
		{ encoding: "utf8" },
	);
	if (status !== 0 && status !== 1) return Number.NaN;
	const [user, system] = stderr.trim().split("\n").at(-1).split(" ").map(Number);
	return 1000 * (user + system);
}
const median = (list) => list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)];

const row = (...cells) =>
	console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(46) : cell.padStart(12))).join(""));
row("CPU time, median", "other", "this", "this/other", "x node -e 0");
let bare = 1;
let slower = 0;
for (const [name, argsOf] of Object.entries(jobs)) {
	const times = { other: [], own: [] };
	for (let round = 0; round < rounds; round++) {
		times.other.push(spend(argsOf(other)));
		times.own.push(spend(argsOf(own)));
	}
	const [before, now] = [median(times.other), median(times.own)];
	if (name === "node -e 0") bare = now;
	const isSlower = now > 1.1 * before;
	if (isSlower) slower++;
	const ms = (x) => (Number.isNaN(x) ? "cannot" : `${x.toFixed(0)} ms`);
	row(
		name,
		ms(before),
		ms(now),
		`${(now / before).toFixed(2)}${isSlower ? " !" : ""}`,
		(now / bare).toFixed(1),
	);
}
console.log(
	`${slower} of ${Object.keys(jobs).length} jobs are more than 10 % slower than in the other checkout.`,
);
rmSync(folder, { recursive: true });
