import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import { simulate } from "../../lib/solve/simulate.ts";
import { compareReport, compareSvg } from "../../reports/compare.ts";
import { simulateReport, simulateSvg } from "../../reports/simulate.ts";
import { verdictOf } from "../../reports/verdict.ts";
import { type Sample, SCHEDULES, sample } from "./sample.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const report = (of: Sample = {}) => {
	const { comparison, curves } = sample(of);
	return compareReport(comparison, curves, options);
};
const plain = await report();
const LARGEST = 1_200_000;
const hostile = `<script>alert("x")</script><img src=x onerror=alert(1)>&'`;

const textOf = (html: string): string =>
	html
		.replace(/<(script|style)\b[\s\S]*?<\/\1>/g, "")
		.replace(/<[^>]*>/g, " ")
		.replace(/\s+/g, " ");

test("the sections of a comparison come in the order a reader needs them", () => {
	const headings = [...plain.matchAll(/<h2[^>]*>([^<]*)/g)].map((match) => match[1]);
	expect(headings).toEqual([
		"Verdict",
		"The sawtooth",
		"The first day from a fresh start",
		"Figures",
		"The continuous equivalent",
		"Where each input came from",
		"What was assumed",
		"Cautions",
		"The scenario file",
	]);
	expect(textOf(plain)).toContain("Made by Lullgust 0.0.0-test.");
});

test("headings go down one level at a time", () => {
	const levels = [...plain.matchAll(/<h(\d)/g)].map((match) => Number(match[1]));
	expect(levels[0]).toBe(1);
	levels.slice(1).forEach((level, i) => {
		expect(level - levels[i]!).toBeLessThanOrEqual(1);
	});
});

test("the winner is marked in words", async () => {
	const html = await report({ schedules: [SCHEDULES[0]!, SCHEDULES[4]!] });
	expect(html).toMatch(
		/<th scope="col" class="best"><span class="badge">✓ holds with the least air<\/span>ten minutes/,
	);
	expect(textOf(html)).toContain("“ten minutes” alone holds the ceiling of 1000 ppm on the peak");
});

test("without a winner the nearest is named and not called one", async () => {
	const html = await report({ target: "{ ceiling: 500 ppm }" });
	expect(html).toContain('<span class="badge">nearest, but does not hold</span>');
	expect(html).not.toContain("holds with the least air");
	expect(textOf(html)).toContain("No. None of the 2 schedules holds");
});

test("every input is listed with its value and origin", () => {
	expect(plain).toMatch(
		/respiration rate of oyster<span class="path">substrate\[0\]\.<wbr>rate<\/span><\/th><td>60\.\.400 mg\/\(kg h\)<span class="words">central value /,
	);
	expect(textOf(plain)).toContain("given, line 7");
	expect(textOf(plain)).toMatch(/mixing factor chamber\. ?mixing .{1,80}default: .{1,200}worth: /);
});

test("the policy names the hash of the very script and style of the page", () => {
	const policy = plain
		.match(/http-equiv="Content-Security-Policy" content="([^"]*)"/)![1]!
		.replaceAll("&#39;", "'");
	const hash = (text: string) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
	const scripts = [...plain.matchAll(/<script>([\s\S]*?)<\/script>/g)].map((match) => match[1]!);
	const styles = [...plain.matchAll(/<style>([\s\S]*?)<\/style>/g)].map((match) => match[1]!);
	expect([scripts.length, styles.length]).toEqual([1, 1]);
	expect(policy).toBe(
		`default-src 'none'; script-src ${hash(scripts[0]!)}; style-src ${hash(styles[0]!)}; img-src data:; base-uri 'none'; form-action 'none'`,
	);
});

test("nothing in the page is styled or scripted in place, and nothing points outside", () => {
	const markup = plain.replace(/<script>[\s\S]*?<\/script>/, "");
	expect(markup).not.toMatch(/ style="/);
	expect(markup).not.toMatch(/<[^>]* on[a-z]+=/i);
	const addresses = new Set(markup.match(/https?:[^"'\s<]*/g));
	expect([...addresses].filter((address) => !address.startsWith("http://www.w3.org/"))).toEqual([]);
});

test("markup in a name is text, in the page, in its data and in the drawing", async () => {
	const { comparison, curves } = sample({ name: hostile, schedules: [[hostile, "{ on: 4 s, off: 236 s }"]] });
	const html = await compareReport(comparison, curves, options);
	expect(html.match(/<script/g)).toHaveLength(plain.match(/<script/g)!.length);
	expect(html).not.toContain("<img");
	expect(html).toContain("&#60;script&#62;");
	expect(html.slice(html.indexOf('id="pattern-data"'))).not.toContain("</script><img");
	const svg = await compareSvg(comparison, curves);
	expect(svg).not.toMatch(/<script|<img/);
	expect(svg).toContain("&lt;script&gt;");
});

test.each([2, 8, 40])("a report with %i schedules stays under 1.2 MB", async (count) => {
	const schedules = Array.from(
		{ length: count },
		(_, i) => [`number ${i + 1}`, `{ on: ${5 + i} s, off: ${200 + 90 * i} s }`] as const,
	);
	expect(Buffer.byteLength(await report({ schedules }))).toBeLessThan(LARGEST);
});

const runOf = (days: number) => {
	const { comparison } = sample({ schedules: [SCHEDULES[1]!], more: "sensor: { response: 90 s }\n" });
	const run = simulate(comparison.model, comparison.schedules[0]!.schedule, {
		durationSeconds: days * 86_400,
		sampleSeconds: 10,
	});
	return { comparison, run };
};

test("the report of a run grows no larger with its length", async () => {
	const sizes = await Promise.all(
		[1, 90].map(async (days) => {
			const { comparison, run } = runOf(days);
			return Buffer.byteLength(await simulateReport(comparison, run, options));
		}),
	);
	expect(Math.max(...sizes)).toBeLessThan(LARGEST / 2);
	expect(sizes[1]! / sizes[0]!).toBeLessThan(1.2);
});

test("the report of a run tells the run and shows what the sensor shows", async () => {
	const { comparison, run } = runOf(1);
	const text = textOf(await simulateReport(comparison, run, options));
	expect(text).toContain("It starts at 480 ppm");
	expect(text).toContain("As the sensor shows it");
	expect(await simulateSvg(comparison, run)).toContain("as the sensor shows it");
});

test("an SVG file stands for itself: real colours and nothing of the page", async () => {
	const { comparison, curves } = sample();
	const svg = await compareSvg(comparison, curves);
	expect(svg).not.toContain("var(");
	expect(svg.startsWith("<svg xmlns=")).toBe(true);
	expect(svg).toMatch(/>ceiling<[\s\S]*>1000 ppm</);
});

test("figures come in US units when they are asked for", async () => {
	const { comparison, curves } = sample();
	const text = textOf(await compareReport(comparison, curves, { ...options, units: "us" }));
	expect(text).toMatch(/fresh air a day [\d.]+ ft³/);
	expect(verdictOf(comparison, "us").grounds).toContain("ft³");
});

test("a schedule below the floor does not hold, and the table says why", async () => {
	const text = textOf(
		await report({ schedules: [["always", "continuous"]], target: "{ ceiling: 1000 ppm, floor: 600 ppm }" }),
	);
	expect(text).toMatch(/always on all the time ✗ no \d+ \d+ below the floor/);
});
