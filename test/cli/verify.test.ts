import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { fitScenario, promisedModel, sampleSeries } from "../reports/fitsample.ts";
import { lullgust } from "./lullgust.ts";
import { folderWith, logText } from "./samplelog.ts";

const loose = fitScenario({ ceiling: 1300 });
const folder = (): string =>
	folderWith({
		"cabinet.yaml": fitScenario().text,
		"loose.yaml": loose.text,
		"kept.csv": logText(sampleSeries({ days: 1, trouble: false, model: promisedModel(loose) })),
		"broken.csv": logText(sampleSeries({ days: 1, trouble: false })),
	});
const verify = (cwd: string, log: string, scenario: string, ...words: string[]) =>
	lullgust(["verify", log, "--scenario", scenario, ...words], { cwd });

test("a log that agrees is within: exit code 0, the checks and the peaks", () => {
	const { code, stdout, stderr } = verify(folder(), "kept.csv", "loose.yaml");
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).toMatch(/^Within\. “usual” works as predicted: /);
	for (const part of [
		/^check +passed +found +allowed$/m,
		/^agreement +✓ yes +[\d.]+ ppm +\d+ ppm {2}RMS difference of log and prediction$/m,
		/^peak +✓ yes +\d+ ppm +1300 ppm /m,
		/^highest reading +\d+$/m,
		/^estimated highest CO₂ in the chamber +\d+$/m,
		/^By day the log reads /m,
	])
		expect(stdout).toMatch(part);
	expect(stdout).not.toContain("Setting for today");
	expect(stdout.split("\n").filter((line) => line.length > 100)).toEqual([]);
});

test("a log that does not is outside: exit code 1, the reasons and the setting for today", () => {
	const cwd = folder();
	const { code, stdout } = verify(cwd, "broken.csv", "cabinet.yaml", "--html", "proof.html");
	expect(code).toBe(1);
	expect(stdout).toMatch(/^Outside\. The mean reading is \d+ ppm above the prediction/);
	expect(stdout).toMatch(
		/^Setting for today: \d+ s on, .* Predicted peak with the crop as it is\snow:\s\d+\sppm\.\s+Chance\sof\smeeting\sthe\starget:\s9\d(\.\d)?\s%\s\(asked:\s90\s%\)\.$/ms,
	);
	expect(stdout).toMatch(/\nWrote proof\.html\.\n$/);
	expect(readFileSync(join(cwd, "proof.html"), "utf8")).toContain("Timer setting for today");
	expect(verify(cwd, "broken.csv", "cabinet.yaml", "--quiet").stdout.split("\n").length).toBeLessThan(8);
});

test("--json keeps its field names and leaves the samples to --csv", () => {
	const cwd = folder();
	const { code, stdout } = verify(cwd, "kept.csv", "loose.yaml", "--json", "--csv", "curve.csv");
	expect(code).toBe(0);
	expect(stdout).not.toMatch(/NaN|Infinity|undefined/);
	expect(JSON.parse(stdout)).toMatchObject({
		format: "lullgust/verification@2",
		scenario: { name: "Two-shelf oyster cabinet", file: "loose.yaml" },
		log: { fileName: "kept.csv", column: "CO2 (ppm)" },
		isWithin: true,
		checks: ["agreement", "pattern", "mean", "peak", "trend"].map((name) => ({
			name,
			isWithin: true,
			unit: "ppm",
		})),
		retune: null,
		generation: { factor: expect.any(Number) },
	});
	expect(readFileSync(join(cwd, "curve.csv"), "utf8").split("\n")).toHaveLength(1443);
});

test("a scenario without schedules cannot be verified, and says so", () => {
	const cwd = folderWith({
		"bare.yaml": fitScenario().text.replace(/^schedules:.*$/m, ""),
		"day.csv": logText(sampleSeries({ days: 1, trouble: false })),
	});
	const { code, stderr } = verify(cwd, "day.csv", "bare.yaml");
	expect(code).toBe(2);
	expect(stderr).toMatch(/^bare\.yaml.*schedules/);
});
