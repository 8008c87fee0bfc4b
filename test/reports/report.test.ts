import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { comparisonCurves } from "../../lib/compare/curves.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { compareReport, compareSvg } from "../../reports/compare/compare.ts";
import { simulateReport, simulateSvg } from "../../reports/simulate/simulate.ts";
import { headroomText, inOneBreath, maxOffTimeWords, verdictOf } from "../../reports/words/verdict.ts";
import { type Sample, SCHEDULES, sample, scenarioText } from "./sample.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const report = (of: Sample = {}) => {
	const { comparison, curves } = sample(of);
	return compareReport(comparison, curves, options);
};
const plain = await report();
const LARGEST = 600_000;
const hostile = `<script>alert("x")</script><img src=x onerror=alert(1)>&'`;

const textOf = (html: string): string =>
	html
		.replace(/<(script|style)\b[\s\S]*?<\/\1>/g, "")
		.replace(/<[^>]*>/g, " ")
		.replace(/\s+/g, " ");

test("the sections of a comparison come in the order a reader needs them", () => {
	const headings = [...plain.matchAll(/<h2[^>]*>([^<]*)/g)].map((match) => match[1]);
	expect(headings).toEqual([
		"Two schedules, one scale",
		"One cycle of “short and often”",
		"Results",
		"Cautions",
		"Details",
	]);
	expect([...plain.matchAll(/<summary>([^<]*) </g)].map((match) => match[1])).toEqual([
		"All results",
		"The first day from the start",
		"The same air without pauses",
		"Where each input came from",
		"Assumptions",
		"The scenario file",
	]);
	expect(textOf(plain)).toContain("drawn by Lullgust 0.0.0-test;");
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
		/<th scope="col" class="best"><span class="badge">✓ meets the target with the least air<\/span>ten minutes/,
	);
	expect(textOf(html)).toContain("Only “ten minutes” keeps the CO₂ peak under the 1000 ppm ceiling");
});

test("without a winner the nearest is named and not called one", async () => {
	const html = await report({ target: "{ ceiling: 500 ppm }" });
	expect(html).toContain('<span class="badge">closest, but misses the target</span>');
	expect(html).not.toContain("meets the target with the least air");
	expect(textOf(html)).toContain("FAILS Both schedules fail.");
	expect(textOf(html)).toContain(
		"None of the 2 schedules keeps the CO₂ peak under the 500 ppm ceiling. The closest is",
	);
});

test("every input is listed with its value and origin", () => {
	expect(plain).toMatch(
		/respiration rate of oyster<span class="path">substrate\[0\]\.<wbr>rate<\/span><\/dt><dd>60\.\.400 mg\/\(kg h\)<span class="words">central value /,
	);
	expect(textOf(plain)).toContain("given, line 7");
	expect(textOf(plain)).toMatch(/mixing efficiency chamber\. ?mixing .{1,80}default: .{1,200}evidence: /);
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
	expect(html.slice(html.indexOf('id="readings"'))).not.toContain("</script><img");
	const svg = await compareSvg(comparison, curves);
	expect(svg).not.toMatch(/<script|<img/);
	expect(svg).toContain("&#60;script&#62;");
});

test.each([2, 8, 40])("a report with %i schedules stays under 0.6 MB", async (count) => {
	const schedules = Array.from(
		{ length: count },
		(_, i) => [`number ${i + 1}`, `{ on: ${5 + i} s, off: ${200 + 90 * i} s }`] as const,
	);
	expect(Buffer.byteLength(await report({ schedules }))).toBeLessThan(LARGEST);
});

const runOf = (days: number, more = "") => {
	const { comparison } = sample({
		schedules: [SCHEDULES[1]!],
		more: `${more}sensor: { response: 90 s }\n`,
	});
	return { comparison, run: { durationSeconds: days * 86_400 } };
};

test("the report of a run grows no larger with its length", async () => {
	const sizes = await Promise.all(
		[7, 30].map(async (days) => {
			const { comparison, run } = runOf(days);
			return Buffer.byteLength(await simulateReport(comparison, run, options));
		}),
	);
	expect(Math.max(...sizes)).toBeLessThan(LARGEST);
	expect(sizes[1]! / sizes[0]!).toBeLessThan(1.2);
});

test("the report of a run tells the run and shows what the sensor shows", async () => {
	const { comparison, run } = runOf(1);
	const text = textOf(await simulateReport(comparison, run, options));
	expect(text).toContain("It starts at 480 ppm");
	expect(text).toContain("As the sensor shows it");
	expect(await simulateSvg(comparison, run)).toContain("the sensor shows");
	// The run's own values stand in a column of their own, beside those of the settled pattern.
	expect(text).toMatch(/value this run 1 d from 480 ppm the settled pattern /);
	expect(text).toMatch(
		/The first column describes this run\. The second describes the settled pattern, which repeats/,
	);
});

test("where no pattern repeats the heading says which day the figures are of", async () => {
	const text = scenarioText({ schedules: [SCHEDULES[1]!] }).replace(
		"mass: 8 kg",
		"mass: 8 kg, flush: { rise: 2 d, fall: 6 d, width: 1 d }",
	);
	const comparison = compareSchedules(parseScenario(text, "flush.yaml"));
	const page = textOf(await simulateReport(comparison, { durationSeconds: 86_400 }, options));
	expect(page).toMatch(/The second describes day \d+ of a run, on which the peak occurs\./);
});

test("with two zones the page names the one that is judged and the one the sensor hangs in", async () => {
	const text = scenarioText({ more: "sensor: { response: 90 s, zone: mixed }\n" }).replace(
		"leak: 0.3 /h,",
		"leak: 0.3 /h, stagnant: { share: 30 %, source: 80 %, exchange: 5 m3/h },",
	);
	const comparison = compareSchedules(parseScenario(text, "zones.yaml"));
	const page = await compareReport(comparison, comparisonCurves(comparison), options);
	expect(textOf(page)).toMatch(/CO₂ where the crop stands: stagnant zone/);
	expect(textOf(page)).toContain("As the sensor shows it, in the mixed zone");
	const one = { ...comparison, schedules: comparison.schedules.slice(1) };
	expect(await simulateSvg(one, { durationSeconds: 3600 })).toContain("sensor, mixed zone");
});

const said = (of: Sample, change: (text: string) => string = (text) => text): string =>
	inOneBreath(verdictOf(compareSchedules(parseScenario(change(scenarioText(of)), "cabinet.yaml")), "si"));

test("of schedules that need the same air the verdict names the one that peaks lowest", () => {
	const schedules = [
		["A", "{ on: 8 s, off: 472 s }"],
		["D", "{ on: 4 s, off: 236 s }"],
	] as const;
	// A fan without spin-up, so that twice as many bursts of half the length bring the same air.
	const text = said({ schedules, target: "{ ceiling: 1200 ppm }" }, (t) =>
		t.replace("spin-up: 0.8 s, coast-down: 1.5 s", "spin-up: 0 s"),
	);
	expect(text).toMatch(
		/^Yes\. Both schedules keep the CO₂ peak under the 1200 ppm ceiling\. “D” needs the least air, the same as “A”, and has the lowest peak: \d+ ppm, with /,
	);
});

test("the verdict says whose off-time is too long, and what high respiration does", () => {
	const schedules = [
		["B", "{ on: 10 min, off: 30 min }"],
		["C", "{ on: 4 s, off: 236 s }"],
		["D", "continuous"],
	] as const;
	const text = said({ schedules });
	expect(text).toMatch(/^Yes\. 2 of 3 schedules keep/);
	expect(text).toMatch(
		/“B” has an off-time of 30 min\. With any fan, the longest possible off-time in this chamber is \d+ min( \d+ s)?\./,
	);
	expect(text).toMatch(
		/If respiration is at the high end of its range \(2\.6 times the central value\), only “D” meets the target\.$/,
	);
	expect(said({ schedules: [SCHEDULES[1]!, SCHEDULES[4]!] })).toMatch(/, no schedule meets the target\.$/);
	// Known to within little, it changes nothing.
	expect(
		said({ schedules: schedules.slice(1) }, (t) => t.replace("60..400 mg/(kg h)", "100 mg/(kg h) ±1 %")),
	).toMatch(/both still meet the target\.$/);
	expect(said({ schedules }, (t) => t.replace("60..400 mg/(kg h)", "155 mg/(kg h)"))).not.toContain(
		"high end",
	);
});

test("headroom and longest pause are never rounded up", () => {
	expect([1.849, 0.9999, 39.68, 512.7, null].map(headroomText)).toEqual([
		"× 1.84",
		"× 0.99",
		"× 39.6",
		"× 512",
		"–",
	]);
	expect(maxOffTimeWords(1356.9)).toContain("22 min 36 s");
	expect(maxOffTimeWords(null)).toContain("Leakage alone");
});

test("the verdict table tells the room that is left and explains it", () => {
	expect(plain).toMatch(/>headroom<\/th>/);
	expect(textOf(plain)).toMatch(
		/rare and long fails \d+ \d+ .+ × 0\.\d\d short and often uncertain \d+ \d+ .+ × 1\.\d\d /,
	);
	expect(textOf(plain)).toMatch(
		/Headroom is the factor by which CO₂ output can grow .+ the longest possible off-time in this chamber is /,
	);
});

test("each row of the results tells what the summary tells", () => {
	const { comparison } = sample();
	const rows = [
		...plain.matchAll(/<tr role="row"[^>]*><th role="rowheader" scope="row">([^<]*)<\/th>(.*)<\/tr>/g),
	];
	expect(rows.map(([, name]) => name)).toEqual(comparison.schedules.map(({ name }) => name));
	rows.forEach(([, , cells], place) => {
		const { summary } = comparison.schedules[place]!;
		const values = [...cells!.matchAll(/data-l="([^"]*)"[^>]*>(.*?)<\/td>/g)].map(([, label, value]) => [
			label,
			value,
		]);
		expect(values).toContainEqual(["peak, ppm", String(Math.round(summary.peakPpm))]);
		expect(values).toContainEqual(["mean, ppm", String(Math.round(summary.meanPpm))]);
		expect(values).toContainEqual(["trough, ppm", String(Math.round(summary.troughPpm))]);
		expect(values).toContainEqual(["headroom", headroomText(summary.criterion.headroomFactor)]);
	});
});

test("the head holds three states: under the ceiling, only at central values, above", async () => {
	const state = (html: string) =>
		/<section class="answer (\w+)".*?<p class="word">([^<]*)/s.exec(html)!.slice(1);
	expect(state(plain)).toEqual(["doubt", "HOLDS IF AS EXPECTED"]);
	expect(state(await report({ schedules: [["always", "continuous"]] }))).toEqual(["holds", "HOLDS"]);
	expect(state(await report({ target: "{ ceiling: 500 ppm }" }))).toEqual(["fails", "FAILS"]);
	const published = scenarioText().replace(", rate: 60..400 mg/(kg h)", "");
	const comparison = compareSchedules(parseScenario(published, "published.yaml"));
	expect(state(await compareReport(comparison, comparisonCurves(comparison), options))).toEqual([
		"doubt",
		"HOLDS IF AS PUBLISHED",
	]);
});

test("more schedules than a phone shows come with a hint that the table scrolls", async () => {
	expect(plain).not.toContain('class="sideways"');
	expect(await report({ schedules: SCHEDULES.slice(0, 4) })).toContain(
		'<p class="sideways">Scroll sideways: there are 4 schedules side by side. →</p><div class="scroll" role="region"',
	);
});

test("an SVG file stands for itself: it brings the colours it uses and nothing of the page", async () => {
	const { comparison, curves } = sample();
	const svg = await compareSvg(comparison, curves);
	const declared = new Set([...svg.matchAll(/(--[\w-]+):/g)].map(([, name]) => name));
	const used = new Set([...svg.matchAll(/var\((--[\w-]+)\)/g)].map(([, name]) => name));
	expect([...used].filter((name) => !declared.has(name))).toEqual([]);
	expect(svg.startsWith("<svg xmlns=")).toBe(true);
	expect(svg).toContain(">ceiling 1000 ppm<");
});

test("figures come in US units when they are asked for", async () => {
	const { comparison, curves } = sample();
	const text = textOf(await compareReport(comparison, curves, { ...options, units: "us" }));
	expect(text).toMatch(/fresh air per day [\d.]+ ft³/);
	expect(verdictOf(comparison, "us").grounds).toContain("ft³");
});

test("a schedule below the floor misses the target, and the table says why", async () => {
	const text = textOf(
		await report({ schedules: [["always", "continuous"]], target: "{ ceiling: 1000 ppm, floor: 600 ppm }" }),
	);
	expect(text).toMatch(/FAILS Always fails\. .*\d+ below the floor/);
});
