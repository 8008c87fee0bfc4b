import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { splitterOf } from "../../cli/logs/pieces.ts";
import { readLog } from "../../lib/logs/read.ts";
import { normalQuantile } from "../../lib/statistics/normal.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { lullgust } from "./lullgust.ts";
import { folderWith } from "./samplelog.ts";

const HOUR = 3600;
const PER_HOUR = 0.45;
const FIRST = Date.parse("2026-03-02T00:00:00Z") / 1000;

/** An invented room: three persons from 8:00 to 18:00, none at night; two days, a reading every 4 min. */
function roomLog(seed: number): string {
	const random = seededUniform(seed);
	const rows = ["time,CO2 (ppm)"];
	let ppm = 430;
	for (let t = 0; t < 48 * HOUR; t += 240) {
		const hour = (t / HOUR) % 24;
		const level = hour > 8 && hour < 18 ? 1500 : 430;
		ppm += (level - ppm) * -Math.expm1((-PER_HOUR * 240) / HOUR);
		const shown = Math.round(ppm + 4 * normalQuantile(random()));
		rows.push(`${new Date(1000 * (FIRST + t)).toISOString()},${shown}`);
	}
	return `${rows.join("\n")}\n`;
}

const room = `name: Invented room
chamber: { volume: 60 m3, leak: 0.6 /h }
intake: { co2: 430 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg }
fan: { flow: 60 m3/h }
target: { ceiling: 1000 ppm }
schedules: { closed: off }
`;
const files = { "room.yaml": room, "a.csv": roomLog(1), "b.csv": roomLog(2), "notes.txt": "no log\n" };
const decay = ["--scenario", "room.yaml", "--test", "decay"];

describe("nights of several logs", () => {
	const cwd = () => folderWith(files);

	test("come as one table with a line each, their mean, and what failed", () => {
		const folder = cwd();
		const words = ["fit", "a.csv", "notes.txt", "b.csv", ...decay, "--each", "night", "--csv", "n.csv"];
		const { code, stdout } = lullgust([...words, "--html", "n.html"], { cwd: folder });
		expect(code).toBe(1);
		expect(stdout).toMatch(/^4 of 5 parts determine at least one value\. Mean: leakage 2\d{4} L\/h \(SE \d+/);
		expect(stdout).toMatch(/^log +from +length +leakage, L\/h +SE +RMS residual$/m);
		for (const [name, day] of [
			["a.csv", "2 Mar 2026 1[78]:"],
			["a.csv", "3 Mar 2026 1[78]:"],
			["b.csv", "2 Mar 2026 1[78]:"],
			["b.csv", "3 Mar 2026 1[78]:"],
		])
			expect(stdout).toMatch(new RegExp(`^${name} +${day}`, "m"));
		expect(stdout).toMatch(/^warning: notes\.txt: /m);
		const [head, ...rows] = readFileSync(join(folder, "n.csv"), "utf8").trimEnd().split("\n");
		expect(head).toBe(
			"file,from_s,to_s,from_utc,to_utc,leak_m3_per_s,leak_m3_per_s_se,leak_is_determined,rms_ppm,readings,is_adequate,fault",
		);
		expect(rows).toHaveLength(5);
		for (const row of rows.filter((each) => !each.startsWith("notes.txt"))) {
			const cells = row.split(",");
			const [leak, error] = [Number(cells[5]), Number(cells[6])];
			expect(Math.abs(leak - (60 * PER_HOUR) / HOUR)).toBeLessThan(4 * error);
		}
		const page = readFileSync(join(folder, "n.html"), "utf8");
		expect(page.match(/<th role="rowheader" scope="row">[ab]\.csv<\/th>/g)).toHaveLength(4);
		expect(page).toContain('<h2 id="failures-h">Parts that failed</h2>');
	});

	test("name version and hashes of log and scenario in JSON, and count hours from the whole log's midnight", () => {
		const folder = cwd();
		const words = ["fit", "a.csv", "b.csv", ...decay, "--each", "night", "--json"];
		const { code, stdout } = lullgust(words, { cwd: folder });
		expect(code).toBe(0);
		const { format, pieces } = JSON.parse(stdout);
		expect(format).toBe("lullgust/fits@1");
		expect(pieces.map(({ file }: { file: string }) => file)).toEqual(["a.csv", "a.csv", "b.csv", "b.csv"]);
		const sha256 = (name: keyof typeof files) =>
			createHash("sha256").update(files[name]).digest("hex").slice(0, 12);
		expect(pieces[2].result.provenance).toEqual({
			version: expect.stringMatching(/^\d+\.\d+\.\d+$/),
			log: { name: "b.csv", sha256: sha256("b.csv") },
			scenario: { name: "room.yaml", sha256: sha256("room.yaml") },
		});
		expect(pieces[1].result.log.startsAtSeconds).toBe(pieces[1].fromSeconds);
		expect(pieces[1].fromSeconds).toBeGreaterThan(24 * HOUR);
	});

	test("a part of one log is fitted as if it were the log; what is asked of one part is refused for several", () => {
		const folder = cwd();
		const part = ["--from", "2026-03-02T18:30", "--to", "2026-03-03T06:00"];
		const { code, stdout } = lullgust(["fit", "a.csv", ...decay, ...part, "--json"], { cwd: folder });
		expect(code).toBe(0);
		expect(JSON.parse(stdout)).toMatchObject({ log: { rows: 173 }, provenance: { log: { name: "a.csv" } } });
		for (const option of ["svg", "update"])
			expect(
				lullgust(["fit", "a.csv", "b.csv", ...decay, `--${option}`, "room.yaml"], { cwd: folder }),
			).toEqual({
				code: 2,
				stdout: "",
				stderr: `--${option} takes one part of one log, and several are asked for; choose it with --from and --to\n`,
			});
		expect(readdirSync(folder)).toHaveLength(Object.keys(files).length);
	});

	test("where no part can be worked out, each says why, and the exit code is 2", () => {
		const { code, stdout, stderr } = lullgust(["fit", "notes.txt", "none.csv", ...decay], { cwd: cwd() });
		expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
		expect(stderr.split("\n").slice(0, 2)).toEqual([
			expect.stringMatching(/^notes\.txt: /),
			"none.csv: no such file",
		]);
	});

	test("verify tells night by night whether it is within", () => {
		const words = [
			"verify",
			"a.csv",
			"--scenario",
			"room.yaml",
			"--each",
			"night",
			"--from",
			"20:00",
			"--to",
			"05:00",
		];
		const { code, stdout } = lullgust([...words, "--csv", "-"], { cwd: cwd() });
		expect(code).toBe(0);
		const rows = stdout.trimEnd().split("\n");
		expect(rows[0]).toBe(
			"file,from_s,to_s,from_utc,to_utc,is_within,rms_ppm,accuracy_ppm,logged_mean_ppm,predicted_mean_ppm,estimated_peak_ppm,fault",
		);
		expect(rows.slice(1).map((row) => row.split(",").slice(3, 5).join(" "))).toEqual([
			"2026-03-02T00:00:00.000Z 2026-03-02T05:00:00.000Z",
			"2026-03-02T20:00:00.000Z 2026-03-03T05:00:00.000Z",
			"2026-03-03T20:00:00.000Z 2026-03-03T23:56:00.000Z",
		]);
		// At six in the evening the room is above the ceiling.
		const early = words.map((word) => (word === "20:00" ? "18:00" : word));
		const outside = lullgust([...early, "--quiet"], { cwd: cwd() });
		expect(outside).toMatchObject({ code: 1, stdout: "1 of 3 parts are within.\n" });
	});
});

/** An invented chamber of 20 L that is closed three times over blocks that give off 60 ppm a minute. */
function closuresLog(): string {
	const random = seededUniform(7);
	const rows = ["time (s),CO2 (ppm)"];
	let ppm = 430;
	for (let t = 0; t < 4500; t += 5) {
		const isClosed = t % 1500 >= 400 && t % 1500 < 1300;
		ppm += isClosed ? (60 * 5) / 60 : (430 - ppm) * 0.4;
		rows.push(`${t},${Math.round(ppm + 2 * normalQuantile(random()))}`);
	}
	return `${rows.join("\n")}\n`;
}

test("closures are fitted one by one, each with its place in the log", () => {
	const chamber = room
		.replace("60 m3, leak: 0.6 /h", "20 L, leak: 0 /h")
		.replace("mass: 5 kg", "mass: 100 g, volume: 1 mL");
	const cwd = folderWith({ "c.csv": closuresLog(), "c.yaml": chamber });
	const words = ["fit", "c.csv", "--scenario", "c.yaml", "--test", "rise", "--each", "closure", "--json"];
	const { code, stdout, stderr } = lullgust(words, { cwd });
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	const { pieces } = JSON.parse(stdout);
	expect(pieces).toHaveLength(3);
	for (const [k, { fromSeconds, toSeconds, result }] of pieces.entries()) {
		expect(Math.abs(fromSeconds - (1500 * k + 400))).toBeLessThanOrEqual(15);
		expect(Math.abs(toSeconds - (1500 * k + 1300))).toBeLessThanOrEqual(15);
		const rise = result.parameters.find(({ name }: { name: string }) => name === "generation");
		// 20 L and 60 ppm a minute are 2e-8 m3 a second.
		expect(Math.abs(rise.value / 2e-8 - 1)).toBeLessThan(0.03);
	}
});

describe("moments on the command line", () => {
	const log = readLog(files["a.csv"], { fileName: "a.csv" });
	const hours = (from?: string, to?: string, each?: string) =>
		splitterOf(
			{ from, to, each },
			-1,
		)(log).map(({ fromSeconds, toSeconds }) => [fromSeconds / HOUR, toSeconds / HOUR]);

	test.each([
		["2h", "30 h", [2, 30]],
		["14:00", "06:30", [14, 30.5]],
		["2026-03-03", undefined, [24, 47 + 56 / 60]],
		[undefined, "2026-03-02", [0, 24]],
		["2026-03-02T22:15:00", "2026-03-03 01:00", [22.25, 25]],
		["23:00", "30h", [23, 30]],
	] as const)("--from %s --to %s", (from, to, stretch) => {
		expect(hours(from, to)).toEqual([stretch]);
	});

	test("are those of the log's zone", () => {
		const berlin = readLog(files["a.csv"].replaceAll(".000Z", ""), { zone: "Pacific/Auckland" });
		const [part] = splitterOf({ from: "2026-03-03", to: undefined }, null)(berlin);
		expect(part!.fromSeconds).toBe(24 * HOUR);
	});

	test.each([
		[
			"noon",
			undefined,
			'--from needs a date (2026-03-10, 2026-03-10T14:00), a time of day (14:00), or a time from the first sample (2h), got "noon"',
		],
		["40h", "30h", "a.csv: has nothing between --from and --to"],
		["2027-01-01", undefined, "a.csv: has nothing between --from and --to"],
	])("--from %s --to %s is refused", (from, to, complaint) => {
		expect(() => hours(from, to)).toThrow(complaint);
	});

	test("closures need a test with a closed chamber, and times of day a log that tells them", () => {
		expect(() => splitterOf({ from: undefined, to: undefined, each: "closure" }, null)).toThrow(
			/--test rise/,
		);
		const bare = readLog(
			["minutes,CO2 (ppm)", ...Array.from({ length: 50 }, (_, i) => `${i},${500 + i}`)].join("\n"),
		);
		expect(() => splitterOf({ from: "14:00", to: undefined }, null)(bare)).toThrow(/--starts-at 14:00/);
		expect(() => splitterOf({ from: undefined, to: undefined, each: "night" }, null)(bare)).toThrow(
			/--starts-at/,
		);
	});
});

test("the mean of several logs keeps the error that they share: one log named twice tells hardly more than once", () => {
	const cwd = folderWith(files);
	const errorOf = (...names: string[]) => {
		const { stdout } = lullgust(["fit", ...names, ...decay, "--each", "night"], { cwd });
		return Number(/leakage \d+ L\/h \(SE (\d+)/.exec(stdout)![1]);
	};
	const [once, twice] = [errorOf("a.csv"), errorOf("a.csv", "a.csv")];
	expect(twice).toBeGreaterThan(0.9 * once);
	expect(twice).toBeLessThanOrEqual(once);
});
