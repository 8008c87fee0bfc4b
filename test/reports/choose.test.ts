import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { sensitivitySpec } from "../../reports/charts/choose/sensitivity.ts";
import { cellCentres, cellEdges, colourLimits, settingsSpec } from "../../reports/charts/choose/settings.ts";
import { tradeoffSpec } from "../../reports/charts/choose/tradeoff.ts";
import { bandSpec } from "../../reports/charts/choose/uncertainband.ts";
import { type ChartSpec, compileChart, drawSvg } from "../../reports/charts/svg.ts";
import { LIGHT } from "../../reports/charts/theme.ts";
import { cardPage, chooseReport } from "../../reports/choose/choose.ts";
import { choiceVerdict, contactLifeWords, powerUpWords } from "../../reports/choose/choosewords.ts";
import { remedies } from "../../reports/choose/constraintwords.ts";
import { choiceSample } from "./choicesample.ts";

const options = { units: "si", version: "0.0.0-test", date: "2026-03-14" } as const;
const hostile = `<script>alert("x")</script><img src=x onerror=alert(1)>&'`;
const { feasible, confident, infeasible } = choiceSample();
const plain = await chooseReport(feasible, options);
const refused = await chooseReport(infeasible, options);

const textOf = (html: string): string =>
	html
		.replace(/<(script|style)\b[\s\S]*?<\/\1>/g, "")
		.replace(/<[^>]*>/g, " ")
		.replace(/\s+/g, " ");
const headings = (html: string): (string | undefined)[] =>
	[...html.matchAll(/<h2[^>]*>([^<]*)/g)].map((match) => match[1]);

test("the sections of a choice come in the order a grower needs them", () => {
	expect(headings(plain)).toEqual([
		"Verdict",
		"The setting card",
		"The map of all settings",
		"Trade-off: fresh air, switching, ripple",
		"Alternatives",
		"Chance of meeting the target",
		"Which input matters most",
		"Moisture loss",
		"Limits of chamber, timer and fan",
		"Where each input came from",
		"What was assumed",
		"Cautions",
		"The scenario file",
	]);
});

test("where nothing holds the report tells why, what helps, and the closest setting", () => {
	expect(headings(refused).slice(0, 4)).toEqual([
		"Verdict",
		"Why no setting works, and what helps",
		"The closest setting",
		"The map of all settings",
	]);
	const text = textOf(refused);
	expect(text).toContain("No. Even continuous flow must be over 80 m³/h; this fan delivers 70 m³/h.");
	expect(text).toContain("flow: needed over 80 m³/h, available 70 m³/h.");
	for (const remedy of remedies(infeasible.bindingConstraint)) expect(text).toContain(remedy);
	expect(refused).not.toContain('class="card"');
});

test("the verdict names the digits as the display shows them, the value, the ceiling and the chance", () => {
	expect(choiceVerdict(feasible, "si")).toEqual({
		answer: "Yes",
		grounds: expect.stringMatching(
			/^Set the timer to 04\.1 s on and 252\. s off\. It keeps the CO₂ peak under the 1000 ppm ceiling: \d+ ppm, with [\d.]+ m³ of fresh air per day\.$/,
		),
		more: [
			"The chance of meeting the target is 51.2 %.",
			expect.stringMatching(/^The timer's contact lasts [\d.]+ months\.$/),
		],
	});
});

test("with a confidence the verdict, the card and the odds are those of the setting that reaches it", async () => {
	expect(choiceVerdict(confident, "si")).toEqual({
		answer: "Yes",
		grounds: expect.stringMatching(
			/^Set the timer to 006\. s on and 120\. s off\. The chance that the peak stays under 1000 ppm is 90\.4 % \(asked: 90 %\)\.$/,
		),
		more: [
			expect.stringMatching(/^With central input values, it gives a peak of \d+ ppm, with /),
			"With central values, 04.1 s on and 252. s off saves 57.87 m³ of air and 353 g of water per day; its chance is 51.2 %.",
			expect.stringMatching(/^The timer's contact lasts [\d.]+ months\.$/),
		],
	});
	const card = textOf(cardPage(confident, options));
	expect(card).toContain("Chance of meeting the target, given the uncertain inputs: 90.4 %.");
	expect(cardPage(confident, options)).toContain('aria-label="006. s"');
	const report = textOf(await chooseReport(confident, options));
	expect(report).toContain(
		"The peak stays under 1000 ppm in 90.4 % of 10,000 random draws of the uncertain inputs (SE 0.5 percentage points).",
	);
	expect(report).not.toContain('aria-label="04.1 s"');
	expect(report).toContain("--confidence 90 --card card.html");
	expect(report).toContain("✓ on the card least air");
	expect(report).toContain(
		"All hold with a 90 % chance, and use at most 25 % more air than the setting on the card.",
	);
});

test("a card that falls short of the confidence says so", () => {
	const chanceConstrained = { ...confident.chanceConstrained!, evaluated: null, probability: 0.8423 };
	expect(textOf(cardPage({ ...feasible, chanceConstrained }, options))).toContain(
		"51.2 %, below the 90 % asked for.",
	);
});

test("inputs that one fit found are said to be drawn together", async () => {
	const { complianceProbability, scenario } = feasible;
	const between = complianceProbability!.inputs.slice(0, 2).map(({ path }) => path);
	const correlations = [
		{
			between,
			matrix: [
				[1, 0.9],
				[0.9, 1],
			],
			fitted: "week.csv",
		},
	];
	const html = await chooseReport({ ...feasible, scenario: { ...scenario, correlations } }, options);
	expect(textOf(html)).toContain(
		"The uncertainties of respiration rate of oyster and Q10 of oyster are linked (fitted to week.csv); they are drawn together.",
	);
});

test("a confidence that no setting reaches is told by the chance of the setting that there is: no Yes, and no No", () => {
	const chanceConstrained = { ...confident.chanceConstrained!, evaluated: null, probability: 0.8423 };
	const { answer, grounds } = choiceVerdict({ ...feasible, chanceConstrained }, "si");
	expect(answer).toBe("Even chance");
	expect(grounds).toBe(
		"No setting within the limits has a 90 % chance of meeting the target. The highest is 84.2 %.",
	);
});

test("the card shows every sign of the digits, which period is which, date, ceiling, peak and setting mistakes", () => {
	const card = cardPage(feasible, options);
	expect(card).toMatch(
		/<strong>ON<\/strong> fan on<\/p>\s*<p class="shown"><span class="digits" role="img" aria-label="04\.1 s">/,
	);
	expect(card).toContain("<strong>OFF</strong> fan off");
	expect([...card.matchAll(/class="(digit|point)"/g)].map((match) => match[1])).toEqual([
		"digit",
		"digit",
		"point",
		"digit",
		"digit",
		"digit",
		"digit",
		"point",
	]);
	const text = textOf(card);
	expect(text).toContain("2026-03-14");
	expect(text).toContain(
		`Meant to keep the CO₂ peak under the 1000 ppm ceiling. With exactly these digits the model gives a peak of ${Math.round(feasible.best.summary.peakPpm)} ppm`,
	);
	expect(text).toContain("starts with OFF");
	for (const entryError of feasible.entryErrors)
		expect(text).toContain(String(Math.round(entryError.peakPpm)));
	expect(card).not.toContain("<script");
});

test("what happens at power-up is told where it is known, else how to find out safely", () => {
	const { setting } = feasible.best;
	expect(powerUpWords("on", setting)).toContain("starts with ON");
	expect(powerUpWords("off", setting)).toContain("starts with OFF");
	expect(powerUpWords(null, setting)).toContain("not known");
	expect(powerUpWords(null, setting)).toContain("guard");
});

test.each([
	["the choice", () => plain],
	["the refusal", () => refused],
	["the card", () => cardPage(feasible, options)],
])("%s is one file without script or request, and its policy names the hash of its style", (_, make) => {
	const html = make();
	const policy = html
		.match(/http-equiv="Content-Security-Policy" content="([^"]*)"/)![1]!
		.replaceAll("&#39;", "'");
	const styles = [...html.matchAll(/<style>([\s\S]*?)<\/style>/g)].map((match) => match[1]!);
	expect(styles).toHaveLength(1);
	const hash = createHash("sha256").update(styles[0]!).digest("base64");
	expect(policy).toBe(
		`default-src 'none'; style-src 'sha256-${hash}'; img-src data:; base-uri 'none'; form-action 'none'`,
	);
	expect(html).not.toMatch(/<script| style="|<[^>]* on[a-z]+=/i);
	const addresses = new Set(html.match(/https?:[^"'\s<]*/g));
	expect([...addresses].filter((address) => !address.startsWith("http://www.w3.org/"))).toEqual([]);
	expect(Buffer.byteLength(html)).toBeLessThan(600_000);
});

test("headings go down one level at a time", () => {
	for (const html of [plain, refused]) {
		const levels = [...html.matchAll(/<h(\d)/g)].map((match) => Number(match[1]));
		expect(levels[0]).toBe(1);
		levels.slice(1).forEach((level, i) => {
			expect(level - levels[i]!).toBeLessThanOrEqual(1);
		});
	}
});

test("markup in a name or an input is text, on the card and in the drawings too", async () => {
	const sample = choiceSample({ name: hostile });
	const odds = sample.feasible.complianceProbability!;
	const inputs = odds.inputs.map((input) => ({ ...input, path: hostile, text: hostile }));
	const warnings = [{ code: "published respiration", path: hostile, text: hostile }] as const;
	const choice = { ...sample.feasible, complianceProbability: { ...odds, inputs }, warnings };
	for (const html of [await chooseReport(choice, options), cardPage(choice, options)]) {
		expect(html).not.toMatch(/<script|<img/);
		expect(html).toContain("&#60;script&#62;");
	}
});

test("alternatives that are one setting share one name on the map", async () => {
	const { best, alternatives } = feasible;
	const html = await chooseReport(
		{ ...feasible, alternatives: { ...alternatives, smallestRipple: best } },
		options,
	);
	expect(html).toContain(">least air, smallest ripple<");
});

test("without draws the report says why there are no odds", async () => {
	const html = await chooseReport({ ...feasible, complianceProbability: null }, options);
	expect(textOf(html)).toContain("so the chance is not known");
	expect(headings(html)).not.toContain("Which input matters most");
});

test("the largest search there is still makes a small file", async () => {
	const scenario = parseScenario(feasible.scenario.text, "cabinet.yaml");
	const choice = chooseSetting(scenario, { draws: 200 });
	expect(choice.isFeasible).toBe(true);
	const html = await chooseReport(choice, options);
	expect(Buffer.byteLength(html)).toBeLessThan(1_200_000);
	if (choice.isFeasible) expect(textOf(html)).toContain(`Set the timer to ${choice.best.setting.on.display}`);
});

const map = {
	onEdges: cellEdges(1, 100, 4),
	offEdges: cellEdges(1, 1000, 4),
	ppm: Float64Array.from({ length: 16 }, (_, i) => 600 + 60 * (i % 4) - 20 * Math.floor(i / 4)),
	statistic: "peak",
	intakePpm: 480,
	ceilingPpm: 800,
	longestCycleSeconds: 900,
	boundary: { offSeconds: [1, 10, 100, 1000], onSeconds: [1, 2, 50, Number.NaN] },
	maxOffSeconds: 600,
	marks: [
		{ name: "least air", shape: "diamond", onSeconds: 2, offSeconds: 10 },
		{ name: "smallest ripple", shape: "circle", onSeconds: 2, offSeconds: 9 },
	],
};
const specs: readonly (readonly [string, ChartSpec])[] = [
	["settings", settingsSpec(map, LIGHT, 760)],
	[
		"tradeoff",
		tradeoffSpec(
			{
				points: [
					{ bursts: 300, air: 28, ripplePpm: 90 },
					{ bursts: 200, air: 33, ripplePpm: 120 },
				],
				marks: [{ name: "fewest switchings", shape: "square", bursts: 200, air: 33 }],
				airUnit: "m³",
				water: { base: 20, slope: 6 },
			},
			LIGHT,
			760,
		),
	],
	[
		"band",
		bandSpec(
			{
				timesSeconds: [0, 60, 120],
				p05Ppm: [600, 550, 600],
				p50Ppm: [900, 800, 900],
				p95Ppm: [1500, 1300, 1500],
				ceilingPpm: 1000,
				floorPpm: 700,
			},
			LIGHT,
			760,
		),
	],
	[
		"sensitivity",
		sensitivitySpec(
			{
				inputs: [
					{ label: "respiration rate", peakAtLowPpm: 700, peakAtHighPpm: 1600, share: 0.97 },
					{ label: "leak", peakAtLowPpm: 999, peakAtHighPpm: 980, share: 0.001 },
				],
				centralPpm: 990,
				ceilingPpm: 1000,
				statistic: "peak",
			},
			LIGHT,
			760,
		),
	],
];

test.each(specs)(
	"the spec of the %s chart is as recorded, and Vega has nothing to say against it",
	async (name, spec) => {
		await expect(`${JSON.stringify(spec, null, "\t")}\n`).toMatchFileSnapshot(`snapshots/${name}.spec.txt`);
		expect(await drawSvg(await compileChart(spec), {}, "x")).toMatch(/^<svg/);
	},
);

test("cells side by side in one colour are one rectangle, and cycles beyond the limit none", () => {
	const rectangles = (longestCycleSeconds: number) =>
		(
			settingsSpec({ ...map, longestCycleSeconds }, LIGHT, 760) as unknown as {
				layer: { data: { values: { x: number; x2: number; y: number; step: number }[] } }[];
			}
		).layer[0]!.data.values;
	const all = rectangles(Number.POSITIVE_INFINITY);
	expect(all.length).toBeLessThan(16);
	for (const [i, { y, x2, step }] of all.slice(0, -1).entries()) {
		const next = all[i + 1]!;
		if (next.y === y && next.x <= x2) expect(next.step).not.toBe(step);
	}
	const short = rectangles(50);
	expect(short.length).toBeLessThan(all.length);
	for (const { x, y } of short) expect(x + y).toBeLessThan(50);
});

test("the ceiling is one of the limits between colours, whatever it is, and there are no more limits than colours", () => {
	for (const [supply, ceiling] of [
		[480, 1000],
		[420, 10_000],
		[900, 950],
		[1200, 1000],
		[426, 612.5],
	] as const) {
		const limits = colourLimits(supply, ceiling);
		expect(limits).toContain(ceiling);
		expect(limits.toSorted((a, b) => a - b)).toEqual(limits);
		expect(limits.length).toBeLessThan(LIGHT.ramp.length);
	}
});

test("an axis over a wide span is logarithmic, over a narrow one linear", () => {
	expect(cellCentres(cellEdges(1, 100, 2))[0]).toBeCloseTo(10 ** 0.5, 9);
	expect(cellCentres(cellEdges(10, 20, 2))).toEqual([12.5, 17.5]);
});

test("the life of a contact is told in months, then in years, and never as infinite", () => {
	expect([4.61, 23.4, 30, Number.POSITIVE_INFINITY].map(contactLifeWords)).toEqual([
		"4.6 months",
		"23 months",
		"2.5 years",
		"no limit known",
	]);
});
