import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { emptyFolder, lullgust } from "./lullgust.ts";
import { cabinet } from "./scenarios.ts";

const simulate = (words: string, input = cabinet, cwd?: string) =>
	lullgust(["simulate", "-", ...words.split(" ")], { input, ...(cwd === undefined ? {} : { cwd }) });

const inOneLine = (text: string): string => text.replace(/\s+/g, " ");

test("simulate judges this run first, then says apart what the settled pattern does", () => {
	const holds = simulate("--schedule often");
	expect(holds.code).toBe(0);
	expect(inOneLine(holds.stdout)).toMatch(
		/^Yes\. In this run of 1 d under “often”, CO₂ stays under the 1200 ppm ceiling: a peak of \d+ ppm\. Over the settled pattern, the schedule keeps the CO₂ peak under the 1200 ppm ceiling/,
	);
	expect(holds.stdout).toMatch(/^This run: 4 s on, .+; 1 d from 480 ppm to \d+ ppm\.$/m);
	const misses = simulate("--schedule rarely");
	expect(misses.code).toBe(1);
	expect(inOneLine(misses.stdout)).toMatch(
		/^No\. In this run of 1 d under “rarely”, CO₂ passes the 1200 ppm ceiling first after .+ and is above it [\d.]+ % of the time: .+ the settled pattern, the schedule does not keep/,
	);
});

test("the exit code is that of the run, not of what comes later", () => {
	// In ten minutes from the intake air the hourly burst has not yet failed; from 5000 ppm a good schedule has.
	const early = simulate("--schedule rarely --for 10min");
	expect(early.code).toBe(0);
	expect(inOneLine(early.stdout)).toMatch(
		/^Yes\. In this run of 10 min .+ the settled pattern, the schedule does not keep /,
	);
	const late = lullgust(["simulate", "-", "--schedule", "often", "--start", "5000 ppm"], { input: cabinet });
	expect(late.code).toBe(1);
	expect(inOneLine(late.stdout)).toMatch(
		/^No\. In this run of 1 d under “often”, CO₂ starts above the 1200 ppm ceiling .+ the settled pattern, the schedule keeps /,
	);
});

test("a run can start at a time of day, where its cycle is by then", () => {
	const afternoon = simulate("--schedule rarely --for 1h --starts-at 14:30");
	expect(inOneLine(afternoon.stdout)).toMatch(/This run: .+ on, .+ off, .+, from 14:30 on; 1 h from/);
	const json = JSON.parse(simulate("--schedule rarely --for 1h --starts-at 14:30 --json").stdout);
	expect(json).toMatchObject({ startsAtSeconds: 52_200, schedule: { schedule: { kind: "switches" } } });
	const wrong = simulate("--schedule rarely --starts-at 25:00");
	expect([wrong.code, wrong.stderr]).toEqual([2, expect.stringContaining("--starts-at needs a time of day")]);
});

test("a run is judged by the mean or the worst hour where the target is on that", () => {
	const on = (what: string) => simulate("--schedule rarely", cabinet.replace("on: peak", `on: ${what}`));
	const [mean, hour] = [on("mean"), on("worst hour")];
	expect(inOneLine(mean.stdout)).toMatch(/: a mean of \d+ ppm\./);
	expect(inOneLine(hour.stdout)).toMatch(/: a worst hour of \d+ ppm\./);
	expect(mean.code).toBe(mean.stdout.startsWith("Yes") ? 0 : 1);
});

test("the figures of a run do not depend on its samples, and the last sample is told where it is not the end", () => {
	const [fine, coarse] = ["1s", "1h"].map((every) =>
		JSON.parse(simulate(`--schedule rarely --every ${every} --json`).stdout),
	);
	expect(coarse.run).toEqual(fine.run);
	// The peak lies at a switch, an hour apart.
	expect(fine.run.peakPpm).toBeCloseTo(fine.schedule.peakPpm, 0);
	expect(inOneLine(simulate("--schedule rarely --every 7min").stdout)).toContain(
		"--every 7 min does not divide --for 1 d: the last sample of a CSV is at 23 h 55 min.",
	);
	expect(simulate("--schedule rarely --every 10min").stdout).not.toContain("does not divide");
});

test("the curve has its units in the head, and its first rows are right", () => {
	const cwd = emptyFolder();
	const { code } = simulate("--schedule often --for 10min --every 30s --csv c.csv --quiet", cabinet, cwd);
	expect(code).toBe(0);
	const rows = readFileSync(join(cwd, "c.csv"), "utf8").trimEnd().split("\n");
	expect(rows[0]).toBe("time_s,co2_ppm,fan_on");
	expect(rows[1]).toBe("0,480.000,1");
	expect(rows).toHaveLength(1 + 21);
	// The fan runs again from 240 s to 244 s.
	expect(rows[1 + 8]).toMatch(/^240,\d+\.\d{3},1$/);
	expect(rows[1 + 9]).toMatch(/^270,\d+\.\d{3},0$/);
	expect(rows.at(-1)).toMatch(/^600,/);
});

test("a stagnant zone and a sensor have their own columns", () => {
	const text = cabinet
		.replace("leak: 0.3 /h,", "leak: 0.3 /h, stagnant: { share: 30 %, source: 20 %, exchange: 2 m3/h },")
		.replace("target:", "sensor: { response: 60 s }\ntarget:");
	const { stdout } = simulate("--schedule often --for 1min --csv -", text);
	expect(stdout.split("\n")[0]).toBe("time_s,mixed_ppm,stagnant_ppm,sensor_ppm,fan_on");
	expect(stdout.trimEnd().split("\n")).toHaveLength(62);
});

test("times of samples are the decimals that were asked for", () => {
	const times = simulate("--schedule often --for 1s --every 0.1s --csv -")
		.stdout.trimEnd()
		.split("\n")
		.map((row) => row.split(",")[0]);
	expect(times).toEqual(["time_s", "0", "0.1", "0.2", "0.3", "0.4", "0.5", "0.6", "0.7", "0.8", "0.9", "1"]);
});

test("--start takes the settled pattern (or regime, its old name) or a CO₂", () => {
	const first = (start: string) =>
		Number(
			simulate(`--schedule often --for 4min --every 4min --csv - --start ${start}`)
				.stdout.split("\n")[1]!
				.split(",")[1],
		);
	const summary = JSON.parse(simulate("--schedule often --json").stdout).schedule;
	expect(first("900ppm")).toBe(900);
	// The burst starts at time 0, so the settled pattern starts at its peak.
	expect(first("settled")).toBeCloseTo(summary.peakPpm, 2);
	expect(first("regime")).toBe(first("settled"));
	const never = cabinet.replace(
		"often: { on: 4 s, off: 236 s }",
		"once: { switches: [1 h, 2 h], starts: off }",
	);
	expect(simulate("--schedule once --start regime", never)).toMatchObject({
		code: 2,
		stdout: "",
		stderr: expect.stringMatching(/^--start settled: there is no settled pattern\. .+\n$/),
	});
});

test("--json keeps its field names", () => {
	const answer = JSON.parse(simulate("--schedule often --for 1h --every 10s --json").stdout);
	expect(Object.keys(answer)).toEqual([
		"format",
		"scenario",
		"isMet",
		"durationSeconds",
		"sampleIntervalSeconds",
		"startsAtSeconds",
		"run",
		"schedule",
		"warnings",
	]);
	expect(answer).toMatchObject({
		format: "lullgust/simulation@2",
		isMet: true,
		durationSeconds: 3600,
		sampleIntervalSeconds: 10,
		run: {
			durationSeconds: 3600,
			startPpm: 480,
			troughPpm: 480,
			firstExceedanceSeconds: null,
			exceedancePercent: 0,
		},
	});
	expect(Object.keys(answer.run)).toEqual([
		"peakPpm",
		"meanPpm",
		"troughPpm",
		"ripplePpm",
		"durationSeconds",
		"zone",
		"startPpm",
		"endPpm",
		"maxHourlyMeanPpm",
		"exceedanceSeconds",
		"exceedancePercent",
		"firstExceedanceSeconds",
		"sensor",
	]);
});

test("the schedule must be named when there are several, and a near name is suggested", () => {
	expect(lullgust(["simulate", "-"], { input: cabinet })).toEqual({
		code: 2,
		stdout: "",
		stderr: '--schedule is missing; standard input has "rarely", "often"\n',
	});
	expect(simulate("--schedule oftn").stderr).toBe(
		'--schedule: standard input has no schedule "oftn"; did you mean "often"?\n',
	);
	expect(simulate("--schedule xxxxxxxxxx").stderr).toBe(
		'--schedule: standard input has no schedule "xxxxxxxxxx"; it has "rarely", "often"\n',
	);
	const alone = cabinet.replace(/ {2}rarely.*\n/, "");
	expect(lullgust(["simulate", "-", "--for", "1h"], { input: alone }).code).toBe(0);
});

test("--html and --svg write whole files", () => {
	const cwd = emptyFolder();
	expect(simulate("--schedule often --for 2h --html r.html --svg r.svg", cabinet, cwd).code).toBe(0);
	expect(readFileSync(join(cwd, "r.html"), "utf8")).toMatch(/^<!doctype html>[\s\S]*<\/html>\s*$/i);
	expect(readFileSync(join(cwd, "r.svg"), "utf8")).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
});
