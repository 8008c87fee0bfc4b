import { expect, test } from "vitest";
import { cabinet, scenarioOf, TEN_MINUTES, TRUE_RATE } from "../fit/clock/cabinet.ts";
import { trueLog } from "../fit/clock/truechamber.ts";
import { writtenLog } from "../fit/clock/writtenlog.ts";
import { lullgust } from "./lullgust.ts";
import { folderWith } from "./samplelog.ts";

const startHour = 14;
const log = trueLog(cabinet, { timer: TEN_MINUTES, startHour, hours: 40, noisePpm: 4, seed: 31 });
const folder = (): string =>
	folderWith({
		"swing.yaml": scenarioOf({ ceiling: 3000 }).text,
		"elapsed.csv": writtenLog(log, { startHour }),
		"warm.csv": writtenLog(log, { startHour, temperature: "Temperature (°C)" }),
		"dated.csv": writtenLog(log, { startHour, date: "2026-05-11" }),
	});
const fitting = (file: string, ...words: string[]) =>
	lullgust(["fit", file, "--scenario", "swing.yaml", ...words], { cwd: folder() });
const json = (stdout: string) => JSON.parse(stdout);
const rate = (stdout: string): number => json(stdout).respirationRate.value * 3.6e9;

test("a log without dates is refused beside a temperature that swings, to the letter, by fit and by verify", () => {
	const refused =
		"chamber.temperature: swings with the time of day, but elapsed.csv has neither dates nor times of day; say when its first sample was taken (--starts-at 14:00), give the scenario a constant temperature, or log the temperature inside\n";
	expect(fitting("elapsed.csv")).toEqual({ code: 2, stdout: "", stderr: refused });
	expect(lullgust(["verify", "elapsed.csv", "--scenario", "swing.yaml"], { cwd: folder() })).toEqual({
		code: 2,
		stdout: "",
		stderr: refused,
	});
});

test("--starts-at says when it begins, and fit, verify and read go by that", () => {
	const { code, stdout } = fitting("elapsed.csv", "--starts-at", "14:00", "--json");
	expect(code).toBe(0);
	expect(Math.abs(rate(stdout) / TRUE_RATE - 1)).toBeLessThan(0.05);
	expect(json(stdout)).toMatchObject({
		log: { startUtcSeconds: null, startsAtSeconds: 50_400 },
		temperature: { from: "scenario", column: null, logged: null },
	});
	const words = fitting("elapsed.csv", "--starts-at", "14:00").stdout.replace(/\s+/g, " ");
	expect(words).toMatch(/^This log determines mean CO₂ output/);
	expect(words).toMatch(/ mg\/\(kg·h\) at 18 °C 1[78]\d\.?\d* .* 150 yes /);
	expect(words).toMatch(
		/follow the scenario's temperature over the hours of this log: .* The log starts at 14:00\./,
	);
	const verified = lullgust(["verify", "elapsed.csv", "--scenario", "swing.yaml", "--starts-at", "14:00"], {
		cwd: folder(),
	});
	expect(verified.stdout).toMatch(/By day the log reads/);
	const read = lullgust(["read", "elapsed.csv", "--starts-at", "14:00:30"], { cwd: folder() });
	expect(read.stdout).toContain("no date in the file, first sample at 14:00.");
});

test("--starts-at is refused where it is no time of day, or the log has dates", () => {
	expect(fitting("elapsed.csv", "--starts-at", "25:00")).toMatchObject({
		code: 2,
		stderr: '--starts-at needs a time of day such as 14:00 or 14:00:30, got "25:00"\n',
	});
	expect(fitting("dated.csv", "--zone", "Europe/Berlin", "--starts-at", "14:00")).toMatchObject({
		code: 2,
		stderr: expect.stringMatching(/^dated\.csv starts at: the log has dates .*leave --starts-at out/),
	});
});

test("--temperature says which temperature a fit goes by", () => {
	const own = fitting("warm.csv", "--json");
	expect(own.code).toBe(0);
	expect(json(own.stdout).temperature).toMatchObject({ from: "log", column: "Temperature (°C)" });
	const words = fitting("warm.csv").stdout.replace(/\s+/g, " ");
	expect(words).toMatch(
		/follow the temperature in the log's column “Temperature \(°C\)”: [\d.]+ °C on average \(15 °C to 23 °C\)\. The scenario has 19 °C on average \(15 °C to 23 °C\)\./,
	);
	// Without it the swing needs the time of day.
	expect(fitting("warm.csv", "--temperature", "scenario").stderr).toContain("--starts-at 14:00");
	const told = fitting("warm.csv", "--temperature", "scenario", "--starts-at", "14:00", "--json");
	expect(json(told.stdout).temperature).toMatchObject({ from: "scenario", column: "Temperature (°C)" });
	expect(fitting("warm.csv", "--temperature", "soil").stderr).toContain(
		'needs "log", "scenario" or a temperature column, got "soil"',
	);
});

test("--days has the rate of each day beside what was given off", () => {
	const { stdout } = fitting(
		"dated.csv",
		"--zone",
		"Europe/Berlin",
		"--days",
		"--fix",
		"leak=80 L/h",
		"--json",
	);
	const { days } = json(stdout);
	expect(days.map(({ date }: { date: string }) => date)).toEqual(["2026-05-11", "2026-05-12", "2026-05-13"]);
	for (const { respirationRate } of days)
		expect(Math.abs((respirationRate.value * 3.6e9) / TRUE_RATE - 1)).toBeLessThan(0.05);
});

test("--phase takes a time of day of a log whose start is said", () => {
	const found = fitting("elapsed.csv", "--starts-at", "14:00", "--phase", "13:50", "--json");
	const phase = json(found.stdout).parameters.find(({ name }: { name: string }) => name === "phase");
	expect(phase).toMatchObject({ value: -600, status: "fixed" });
	expect(fitting("elapsed.csv", "--phase", "13:50").stderr).toContain("--starts-at 14:00");
});
