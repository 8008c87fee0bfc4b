import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { mapLevels } from "../../reports/charts/choose/map.ts";
import { cardPage, chooseReport } from "../../reports/choose/choose.ts";
import { choiceVerdict, contactLifeWords, powerUpWords } from "../../reports/choose/choosewords.ts";
import { remedies } from "../../reports/choose/constraintwords.ts";
import { choiceSample } from "./choicesample.ts";

const options = { units: "si", version: "0.0.0-test", date: "2026-03-14" } as const;
const hostile = `<script>alert("x")</script><img src=x onerror=alert(1)>&'`;
const { feasible, confident, infeasible } = choiceSample();
const plain = await chooseReport(feasible, options);
const sure = await chooseReport(confident, options);
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
		"The setting",
		"The map round the answer",
		"Fresh air against switching",
		"Which input matters most",
		"Cautions",
		"Details",
	]);
	expect([...plain.matchAll(/<summary>([^<]*) </g)].map((match) => match[1])).toEqual([
		"The setting card",
		"Alternatives",
		"Chance of meeting the target",
		"Field tests",
		"Moisture loss",
		"Limits of chamber, timer and fan",
		"Where each input came from",
		"Assumptions",
		"The scenario file",
	]);
	expect(headings(sure)[0]).toBe("Two settings, side by side");
});

test("where nothing holds the report tells why, what helps, and the closest setting", () => {
	expect(headings(refused).slice(0, 3)).toEqual([
		"Why no setting works, and what helps",
		"The closest setting",
		"The map round the answer",
	]);
	const text = textOf(refused);
	expect(text).toContain("Even continuous flow must be over 80 m³/h; this fan delivers 70 m³/h.");
	expect(text).toContain("flow: needed over 80 m³/h, available 70 m³/h.");
	for (const remedy of remedies(infeasible.bindingConstraint)) expect(text).toContain(remedy);
	expect(text).toContain("FAILS No setting holds.");
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
	const report = textOf(sure);
	expect(report).toContain("HOLDS Holds in 90 of 100 cases.");
	expect(report).toContain("90 of 100 cases hold");
	expect(report).toContain("51 of 100 cases hold");
	expect(report).toContain(
		"The peak stays under 1000 ppm in 90.4 % of 10,000 random draws of the uncertain inputs (SE 0.5 percentage points).",
	);
	expect(sure).not.toContain('aria-label="04.1 s"');
	expect(sure).toContain('aria-label="006. s"');
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
])(
	"%s is one file without request, and its policy names the hash of its style and of its script",
	(_, make) => {
		const html = make();
		const policy = html
			.match(/http-equiv="Content-Security-Policy" content="([^"]*)"/)![1]!
			.replaceAll("&#39;", "'");
		const styles = [...html.matchAll(/<style>([\s\S]*?)<\/style>/g)].map((match) => match[1]!);
		expect(styles).toHaveLength(1);
		const hash = createHash("sha256").update(styles[0]!).digest("base64");
		const scripts = [...html.matchAll(/<script>([\s\S]*?)<\/script>/g)]
			.map(([, script]) => `script-src 'sha256-${createHash("sha256").update(script!).digest("base64")}'; `)
			.join("");
		expect(policy).toBe(
			`default-src 'none'; ${scripts}style-src 'sha256-${hash}'; img-src data:; base-uri 'none'; form-action 'none'`,
		);
		expect(html.replace(/<script[\s\S]*?<\/script>/g, "")).not.toMatch(/ style="|<[^>]* on[a-z]+=/i);
		const addresses = new Set(html.match(/https?:[^"'\s<]*/g));
		expect([...addresses].filter((address) => !address.startsWith("http://www.w3.org/"))).toEqual([]);
		expect(Buffer.byteLength(html)).toBeLessThan(600_000);
	},
);

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
		expect(html.replace(/<script( type="application\/json" id="readings")?>/g, "")).not.toMatch(
			/<script|<img/,
		);
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
	expect(Buffer.byteLength(html)).toBeLessThan(600_000);
	if (choice.isFeasible) expect(textOf(html)).toContain(`Set the timer to ${choice.best.setting.on.display}`);
});

test("the ceiling is one of the levels of a map, whatever it is, and there are no more levels than colours", () => {
	for (const [supply, ceiling] of [
		[480, 1000],
		[420, 10_000],
		[900, 950],
		[1200, 1000],
		[426, 612.5],
	] as const) {
		const levels = mapLevels(supply, ceiling);
		expect(levels).toContain(ceiling);
		expect(levels.toSorted((a, b) => a - b)).toEqual(levels);
		// Three fields of blue, and of red four.
		expect(levels.indexOf(ceiling)).toBeLessThan(3);
		expect(levels.length - levels.indexOf(ceiling)).toBeLessThan(5);
	}
});

test("the life of a contact is told in months, then in years, and never as infinite", () => {
	expect([4.61, 23.4, 30, Number.POSITIVE_INFINITY].map(contactLifeWords)).toEqual([
		"4.6 months",
		"23 months",
		"2.5 years",
		"no limit known",
	]);
});
