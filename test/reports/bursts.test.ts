import { describe, expect, test } from "vitest";
import { fitText } from "../../cli/print/fitprint.ts";
import type { Fit, FittedBurst } from "../../lib/fit/fittypes.ts";
import { outlierWords, replacedWords, shownBursts } from "../../reports/fit/bursts.ts";
import { fitReport } from "../../reports/fit/fit.ts";
import { headlineOf } from "../../reports/fit/fitwords.ts";
import { sampleTest } from "./fitsample.ts";

const counted = sampleTest("bursts");
/** The same with a stalled third burst and a door as the last. */
const spoilt: Fit = {
	...counted,
	bursts: counted.bursts!.map((one, k, all): FittedBurst => {
		if (k === 2)
			return { ...one, airChanges: one.airChanges / 3, reason: { code: "too little air", ratio: 1 / 3 } };
		return k === all.length - 1
			? { ...one, onSeconds: null, expected: null, reason: { code: "no burst in the fan column" } }
			: one;
	}),
};
const textOf = (html: string): string =>
	html
		.replace(/<(script|style|svg)\b[\s\S]*?<\/\1>/g, "")
		.replace(/<[^>]*>/g, " ")
		.replace(/\s+/g, " ");

describe("counted bursts, one by one", () => {
	test("have number, begin, length, CO2 of the air and as read, the share replaced and what is off", () => {
		const shown = shownBursts(counted);
		expect(shown.map(({ number }) => Number(number))).toEqual(counted.bursts!.map((_, k) => k + 1));
		const [first] = shown;
		const [one] = counted.bursts!;
		// The sample gives its first burst of 6 s at 600 s, in a log without dates.
		expect(first).toMatchObject({ length: "6 s", reason: null });
		expect(first!.began).toMatch(/^0:(09:5\d|10:0\d)$/);
		expect(first!.before).toBe(String(Math.round(one!.beforePpm)));
		// Of the excess over the 480 ppm of the intake; the sensor's offset that was found moves it little.
		const left = (one!.afterPpm - 480) / (one!.beforePpm - 480);
		expect(Math.abs(Number.parseFloat(first!.replacedFraction) - 100 * (1 - left))).toBeLessThan(1);
		expect(first!.airChanges).toMatch(/^0\.\d+$/);
		expect(first!.error).toMatch(/^0\.\d+$/);
		expect(first!.deviation).toMatch(/^[+−]\d\.\d %$/);
	});

	test("have the time of day where the log has dates", () => {
		const { series } = counted;
		const log = {
			...series.log,
			startUtcSeconds: Date.UTC(2026, 2, 10, 7, 12) / 1000,
			layout: { ...series.log.layout, zone: "Europe/Berlin" },
		};
		// 600 s after 08:12 in Berlin.
		expect(shownBursts({ ...counted, series: { ...series, log } })[0]!.began).toMatch(/^08:2[12]:\d\d$/);
	});

	test("are summed up in words, by length, with the excluded ones", () => {
		expect(replacedWords(counted)).toMatch(
			/^A burst of 6 s replaces \d\d % of the air, one of 18 s \d\d %\.$/,
		);
		expect(outlierWords(counted)).toBeNull();
		const last = spoilt.bursts!.length;
		expect(outlierWords(spoilt)).toBe(
			`Bursts 3, ${last} of ${last} are excluded, because they are unlike the others.`,
		);
		expect(headlineOf(spoilt, "si").more).toContain(outlierWords(spoilt));
	});

	test("stand in a table of the report, with the reasons under it", async () => {
		const text = textOf(await fitReport(spoilt, { units: "si", version: "0.0.0-test" }));
		expect(text).toContain("3 · 6 s ✗");
		expect(text).toMatch(
			/3 is excluded: its air changes are 0\.33 times the expected value: a shorter burst, or a stalled fan\. \d+ is excluded: the fan column shows no burst here: a door, a lid or a draught\./,
		);
		expect(text).toContain(`${Math.round(counted.bursts![0]!.beforePpm)} → `);
	});

	test("are printed in a table that leaves the readings out where the terminal is narrow", () => {
		const at = (columns: number) => fitText(spoilt, "si", columns).split("\n");
		const rows = (lines: readonly string[]) => lines.filter((line) => /^\d+ .* → /.test(line));
		expect(rows(at(80))).toHaveLength(spoilt.bursts!.length);
		expect(rows(at(80)).filter((line) => line.length > 80)).toEqual([]);
		expect(rows(at(80))[2]).toMatch(/^3 \* +0:30:0\d +6 s +\d+ → \d+ +[\d.]+ % +0\.\d+ +0\.\d+ +−6\d %$/);
		expect(rows(at(100))[2]).toMatch(/6 s +\d+ → \d+ +\d+ → \d+ +[\d.]+ %/);
		expect(rows(at(100)).filter((line) => line.length > 100)).toEqual([]);
		expect(at(80).join("\n").replace(/\n +/g, " ")).toContain(
			"* 3 is excluded: its air changes are 0.33 times the expected value: a shorter burst, or a stalled fan\n",
		);
	});
});
