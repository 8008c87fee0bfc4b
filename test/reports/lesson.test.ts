import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { lesson } from "../../lib/lesson/lesson.ts";
import { worksheet } from "../../lib/lesson/worksheet.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { type CurvePlot, curvePlotSpec } from "../../reports/charts/curveplot.ts";
import { compileChart, drawSvg } from "../../reports/charts/svg.ts";
import { LIGHT } from "../../reports/charts/theme.ts";
import { lessonPictures, lessonReport, worksheetPage } from "../../reports/lesson/lesson.ts";
import { answerMisconceptions } from "../../reports/lesson/lessonquestions.ts";
import { panelWords } from "../../reports/lesson/lessonwords.ts";
import { answerText } from "../../reports/lesson/worksheetwords.ts";
import { type Sample, scenarioText } from "./sample.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const hostile = `<script>alert("x")</script><img src=x onerror=alert(1)>&'`;
/** A cabinet whose fan is at full speed at once, which is quick to work out. */
const cabinet = (sample: Sample = {}, change = (text: string) => text) =>
	lesson({
		scenario: parseScenario(
			change(scenarioText(sample).replace(", spin-up: 0.8 s, coast-down: 1.5 s", "")),
			"cabinet.yaml",
			{ schedules: "optional" },
		),
	});
const taught = lesson();
const plain = await lessonReport(taught, options);
const sheets = worksheetPage(
	[1, 2, 3].map((seed) => worksheet({ seed })),
	options,
);

const textOf = (html: string): string =>
	html
		.replace(/<(script|style)\b[\s\S]*?<\/\1>/g, "")
		.replace(/<[^>]*>/g, " ")
		.replaceAll("&#39;", "'")
		.replace(/\s+/g, " ");

test("the lesson has seven panels, each with a picture and two or three sentences, then bench, questions and cautions", () => {
	const headings = [...plain.matchAll(/<h2[^>]*>(?:<span class="count">(\d)<\/span> )?([^<]*)/g)];
	expect(headings.slice(0, 7).map((match) => match[1])).toEqual(["1", "2", "3", "4", "5", "6", "7"]);
	expect(headings.slice(7).map((match) => match[2])).toEqual([
		"On the bench",
		"What do you think?",
		"What was assumed",
		"Cautions",
	]);
	expect(plain.match(/<figure/g)).toHaveLength(7);
	for (const { text } of panelWords(taught, "si")) {
		const sentences = text.split(/(?<=[.:;]) (?=[A-Z“])/).length;
		expect(sentences, text).toBeGreaterThanOrEqual(2);
		expect(sentences, text).toBeLessThanOrEqual(5);
	}
});

test("numbers in the words are those of the library", () => {
	const text = textOf(plain);
	for (const said of ["2903 ppm", "1290 ppm", "984 ppm", "920 ppm", "63 %", "13 min 55 s", "58 %", "8.2 %"])
		expect(text).toContain(said);
	expect(text).toContain("invented");
	// Twice the source is twice the excess everywhere.
	const stronger = textOf(
		panelWords({ ...taught, bucket: { ...taught.bucket, continuousPpm: 1420 } }, "si")[0]!.text,
	);
	expect(stronger).toContain("1420 ppm");
});

test("no word of a lesson is NaN, infinite, undefined or null, in any kind of chamber and in both units", async () => {
	const dead = (text: string) =>
		text.replace("altitude: 300 m", "stagnant: { share: 20 %, source: 80 %, exchange: 1 /h }");
	const lessons = [
		taught,
		cabinet(),
		cabinet({ schedules: [["never off", "continuous"]] }),
		cabinet({}, (text) => text.replace("leak: 0.3 /h", "leak: 90 /h")),
		cabinet({}, (text) => text.replace("flow: 70 m3/h", "flow: 0.1 m3/h")),
		cabinet({}, dead),
	];
	for (const one of lessons)
		for (const units of ["si", "us"] as const) {
			const html = await lessonReport(one, { ...options, units });
			expect(textOf(html)).not.toMatch(/NaN|Infinity|undefined|null/);
			expect(html).not.toMatch(/(?:NaN|Infinity)[,"]/);
		}
}, 60_000);

test("a panel that makes no sense in a chamber says why and has no picture", async () => {
	const leaky = cabinet({}, (text) => text.replace("leak: 0.3 /h", "leak: 90 /h"));
	const html = await lessonReport(leaky, options);
	expect(html.match(/<figure/g)).toHaveLength(5);
	expect(textOf(html)).toContain("Leakage alone meets the ceiling here");
});

test.each([
	["the lesson", () => plain, 1],
	["the worksheets", () => sheets, 0],
])(
	"%s is one small file whose policy names its style and script, and which asks for nothing",
	(_, make, scripts) => {
		const html = make();
		const policy = html
			.match(/http-equiv="Content-Security-Policy" content="([^"]*)"/)![1]!
			.replaceAll("&#39;", "'");
		const hash = (text: string) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
		const found = [...html.matchAll(/<script>([\s\S]*?)<\/script>/g)].map((match) => match[1]!);
		const style = html.match(/<style>([\s\S]*?)<\/style>/)![1]!;
		expect(found).toHaveLength(scripts);
		expect(policy).toContain(`style-src ${hash(style)}`);
		for (const script of found) expect(policy).toContain(`script-src ${hash(script)}`);
		expect(policy).not.toContain("unsafe");
		expect(html).not.toMatch(/ style="|<[^>]* on[a-z]+=/i);
		const addresses = [...new Set(html.match(/https?:[^"'\s<]*/g))];
		expect(addresses.filter((address) => !address.startsWith("http://www.w3.org/"))).toEqual([]);
		expect(Buffer.byteLength(html)).toBeLessThan(600_000);
	},
);

test("markup in the names of a scenario is text, in the drawings too", async () => {
	const html = await lessonReport(
		cabinet({ name: hostile, schedules: [[hostile, "{ on: 4 s, off: 236 s }"]] }),
		options,
	);
	expect(html).not.toMatch(/<img|<script>alert/);
	expect(html).toContain("&#60;script&#62;");
});

test("many schedules still make a lesson that is small and marks no more than six", async () => {
	const schedules = Array.from(
		{ length: 40 },
		(_, i) => [`schedule number ${i}`, `{ on: ${i + 2} s, off: ${i * 20 + 60} s }`] as const,
	);
	const html = await lessonReport(cabinet({ schedules }), options);
	expect(Buffer.byteLength(html)).toBeLessThan(1_200_000);
	expect(html.match(/>schedule number \d+</g)!.length).toBeLessThanOrEqual(
		// In the table once; on four plots, drawn wide and narrow, each name with its halo.
		40 + 6 * 4 * 2 * 2,
	);
});

test("questions are folded away, and each has an answer", () => {
	const questions = answerMisconceptions(taught, "si");
	expect(questions.length).toBeGreaterThanOrEqual(10);
	expect(plain.match(/<details>/g)).toHaveLength(questions.length);
	expect(plain).not.toContain("<details open");
	for (const { question, answer } of questions) {
		expect(question).toMatch(/\?$/);
		expect(answer).toMatch(/^[A-Z].*[.)]$/s);
	}
});

test("the bench has doses and its cautions: no closed vessel, dry ice for adults, a ventilated room", () => {
	const text = textOf(plain);
	expect(text).toContain("No closed vessel, ever.");
	expect(text).toContain("Dry ice is for adults only");
	expect(text).toContain("ventilated room");
	expect(text).toMatch(/10 L 20 mL 1 0\.07 g 0\.037 g/);
});

test("nobody is told how to dose a room", () => {
	const big = cabinet({}, (text) => text.replace("volume: 420 L", "volume: 50 m3"));
	expect(big.bench.doses.every(({ volumeM3 }) => volumeM3 <= 0.5)).toBe(true);
});

test("worksheets come first, each with its number, and all answers after the last of them", () => {
	const order = [...sheets.matchAll(/id="(sheet|key)-(\d+)"/g)].map((match) => `${match[1]} ${match[2]}`);
	expect(order).toEqual(["sheet 1", "sheet 2", "sheet 3", "key 1", "key 2", "key 3"]);
	for (const question of worksheet({ seed: 2 }).questions)
		for (const place of question.answers.keys())
			expect(textOf(sheets)).toContain(answerText(question, place).shown);
});

test("the pictures in fixtures are those that the lesson draws now; npm run pictures makes them anew", async () => {
	const drawn = await lessonPictures(lesson(), "si");
	const folder = new URL("../../fixtures/pictures/", import.meta.url);
	const names = readdirSync(folder).filter((name) => name.startsWith("lesson-"));
	expect(names.length).toBeGreaterThanOrEqual(4);
	for (const name of names) {
		const panel = name.slice("lesson-".length, -".svg".length);
		expect(readFileSync(new URL(name, folder), "utf8"), name).toBe(drawn[panel]);
	}
});

const plot: CurvePlot = {
	x: { title: "time (min)", from: 0, to: 10, ticks: [0, 5, 10] },
	y: { title: "CO2 (ppm)", from: 1, to: 1000, isLog: true, ticks: [1, 10, 100, 1000] },
	curves: [
		{
			name: "one",
			place: 0,
			points: [
				{ x: 0, y: 1 },
				{ x: 10, y: 100 },
			],
		},
		{
			name: "dots",
			place: 1,
			isDotted: true,
			points: [
				{ x: 5, y: 10 },
				{ x: 50, y: 10 },
			],
		},
	],
	rules: [
		{ along: "x", at: 30, name: "level", dash: [5, 4] },
		{ along: "y", at: 8, name: "wall", dash: [5, 4] },
		{ along: "y", at: 80, name: "far away", dash: [5, 4] },
	],
	marks: [
		{ x: 4, y: 40, name: "a name that is far too long for a plot", shape: "circle" },
		{ x: 4, y: 4, name: "", shape: "square" },
		{ x: 40, y: 4, name: "outside", shape: "square" },
	],
	words: [{ x: 2, y: 200, text: "slope 1", align: "left" }],
};

test("in a wide plot the names of marks keep clear of the lines and of one another; in a narrow one the legend has them", () => {
	const line = (from: number, to: number) => ({
		name: "",
		place: 0,
		points: [
			{ x: 0, y: from },
			{ x: 100, y: to },
		],
	});
	const axis = { title: "", from: 0, to: 100, ticks: [] };
	const crowded: CurvePlot = {
		x: axis,
		y: axis,
		curves: [line(20, 60), line(40, 30)],
		rules: [{ along: "y", at: 60, name: "wall", dash: [5, 4] }],
		marks: ["first of all", "second one", "third of them", "fourth and last"].map((name, i) => ({
			x: 35 + 8 * i,
			y: 20 + 0.4 * (35 + 8 * i),
			name,
			shape: "circle",
		})),
	};
	type Layer = {
		readonly mark: {
			readonly type: string;
			readonly align?: string;
			readonly stroke?: string;
			readonly text?: string;
		};
		readonly data: {
			readonly values: readonly {
				readonly name?: string;
				readonly nameX?: number;
				readonly nameY?: number;
			}[];
		};
	};
	const layers = (width: number) =>
		(curvePlotSpec(crowded, LIGHT, width) as unknown as { layer: Layer[] }).layer;
	const names = layers(760)
		.filter(
			({ mark, data }) =>
				mark.type === "text" && mark.stroke === undefined && data.values[0]?.nameX !== undefined,
		)
		.flatMap(({ mark, data }) =>
			data.values.map(({ name, nameX, nameY }) => {
				const length = 7.4 * name!.length;
				const left = nameX! - { left: 0, right: length, center: length / 2 }[mark.align as "left"];
				return { name, left, right: left + length, top: nameY! - 8, bottom: nameY! + 8 };
			}),
		);
	expect(names.map(({ name }) => name).sort()).toEqual([
		"first of all",
		"fourth and last",
		"second one",
		"third of them",
	]);
	for (const { left, right, top, bottom } of names) {
		const heights = (x: number) => [0.2 + 0.4 * (x / 760), 0.4 - 0.1 * (x / 760)].map((y) => 300 * (1 - y));
		for (let x = left; x <= right; x += 2)
			for (const y of heights(x)) expect(y > top && y < bottom, `a line through a name at ${x}`).toBe(false);
		expect(left < 456 && right > 456).toBe(false);
	}
	for (const a of names)
		for (const b of names)
			expect(a !== b && a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom).toBe(
				false,
			);
	const narrow = layers(276);
	expect(
		narrow.some(({ data }) => data.values[0]?.nameX !== undefined && data.values.some(({ name }) => name)),
	).toBe(false);
	expect(narrow.flatMap(({ mark }) => mark.text ?? [])).toContain("third of them");
});

test("the spec of a curve plot is as recorded, and Vega has nothing to say against it", async () => {
	const spec = curvePlotSpec(plot, LIGHT, 760);
	await expect(`${JSON.stringify(spec, null, "\t")}\n`).toMatchFileSnapshot("snapshots/curveplot.spec.txt");
	const svg = await drawSvg(await compileChart(spec), {}, "x");
	expect(svg).toContain(">wall<");
	expect(svg).toContain("a name that is far too lo…");
	expect(svg).not.toMatch(/outside|far away/);
});

test("a fan that coasts longer than a cut cycle lasts has no such cycle of the same air, and no line says NaN", () => {
	const coasting = (seconds: number, schedule: string) =>
		lesson({
			scenario: parseScenario(`
chamber: { volume: 586 L, leak: 0 /h }
substrate: { species: oyster, mass: 700 g, rate: 150 mg/(kg h) }
fan: { flow: 5432 L/min, coast-down: ${seconds} s }
schedules: { a: ${schedule} }`),
		});
	const cut = (own: ReturnType<typeof lesson>) => own.equalAir.cycles.map(({ parts }) => parts);
	const long = coasting(8, "{ on: 1 s, off: 1 h }");
	// An instant start and 8 s of coasting: each burst moves at least 8 s of air, the whole cycle only 9 s.
	expect(cut(long)).toEqual([1]);
	expect(long.equalAir.leftOut).toBe(2);
	expect(cut(coasting(1, "{ on: 4 s, off: 1 h }"))).toEqual([1, 4]);
	expect(cut(coasting(0.1, "{ on: 4 s, off: 1 h }"))).toEqual([1, 4, 20]);
	for (const own of [long, coasting(60, "continuous"), coasting(8, "{ on: 12 s, off: 1 d }")]) {
		const words = [...panelWords(own, "si"), ...answerMisconceptions(own, "si")].map((one) =>
			JSON.stringify(one),
		);
		expect(words.join("\n")).not.toMatch(/NaN|Infinity|undefined/);
		const [panel] = panelWords(own, "si").filter(({ id }) => id === "equal-air");
		expect(panel!.text.includes("Shorter cycles are left out")).toBe(own.equalAir.leftOut > 0);
	}
});
