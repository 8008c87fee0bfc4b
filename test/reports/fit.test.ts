import { createHash } from "node:crypto";
import { describe, expect, test } from "vitest";
import { fitText } from "../../cli/print/fitprint.ts";
import type { Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import { foldCycles, lagged } from "../../reports/fit/drawings/folded.ts";
import { fitReport } from "../../reports/fit/fit.ts";
import { percentOf, plainValue, shownValue } from "../../reports/fit/fitvalues.ts";
import { headlineOf, soughtOf, unidentifiableWords, writtenDayWords } from "../../reports/fit/fitwords.ts";
import { exclusionWords } from "../../reports/words/logremarks.ts";
import { readFacts, whereWords } from "../../reports/words/logwords.ts";
import { fitScenario, sampleFit, sampleSeries, sampleTest } from "./fitsample.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const hostile = `<script>alert("x")</script><img src=x onerror=alert(1)>&'`;
const day = sampleFit({ days: 1 });
const bursts = sampleTest("bursts");
const plain = await fitReport(day, options);
const ofBursts = await fitReport(bursts, { ...options, units: "us" });

const textOf = (html: string): string =>
	html
		.replace(/<(script|style|svg)\b[\s\S]*?<\/\1>/g, "")
		.replace(/<[^>]*>/g, " ")
		.replace(/\s+/g, " ");
const headings = (html: string): (string | undefined)[] =>
	[...html.matchAll(/<h2[^>]*>([^<]*)/g)].map((match) => match[1]);
const parameter = (more: Partial<FittedParameter>): FittedParameter => ({
	name: "flow",
	label: "delivered flow",
	dimension: "flow",
	value: 55.73 / 3600,
	standardError: 0.42 / 3600,
	ci95Low: 54.9 / 3600,
	ci95High: 56.55 / 3600,
	initial: 70 / 3600,
	lower: 0,
	upper: Number.POSITIVE_INFINITY,
	status: "free",
	isAtBound: false,
	isIdentifiable: true,
	shares: [],
	alsoAs: [],
	...more,
});

describe("the page", () => {
	test("its sections come in the order that a reader needs them", () => {
		expect(headings(plain)).toEqual([
			"Found, and the scenario",
			"Residuals",
			"What this log does not determine",
			"Correlated estimates",
			"Next test",
			"Values",
			"Cautions",
			"Details",
		]);
		expect([...plain.matchAll(/<summary>([^<]*?) <span>/g)].map((match) => match[1])).toEqual([
			"Table of the estimates",
			"The same in other units",
			"Where the errors come from",
			"The log over time",
			"A few cycles",
			"All parameters",
			"All correlations",
			"Joint region and profiles",
			"Independent readings",
			"What --update writes",
			"The log, and what is excluded",
			"Where each input came from",
			"Assumptions",
			"The scenario file",
		]);
		expect(headings(ofBursts).slice(0, 3)).toEqual([
			"Found, and the scenario",
			"Burst by burst",
			"Residuals",
		]);
	});

	test("the head says how many values are determined, by sign and word, and shows two of them", () => {
		const sought = soughtOf(day);
		const found = sought.filter(({ isIdentifiable }) => isIdentifiable);
		expect(found.length).toBeLessThan(sought.length);
		const head = plain.slice(plain.indexOf('<section class="answer'), plain.indexOf('class="in hero"'));
		expect(head).toContain('<section class="answer doubt"');
		expect(head).toContain('href="#plate-doubt"');
		expect(textOf(head)).toContain(`${found.length} OF ${sought.length} DETERMINED`);
		for (const one of found.slice(0, 2)) expect(head).toContain(`<dd>${shownValue(one, "si").value}<`);
	});

	test("the folded cycle holds the readings that are used, and no value that the log does not have", () => {
		const fold = foldCycles(day, 75, 0)!;
		const { curve } = day;
		const used = [...curve.excluded].filter((reason) => reason === 0).length;
		expect(fold.readings.length).toBeGreaterThan(0.9 * used);
		expect(fold.readings.length).toBeLessThanOrEqual(used);
		for (const [phase] of fold.readings) {
			expect(phase).toBeGreaterThanOrEqual(0);
			expect(phase).toBeLessThanOrEqual(fold.cycleSeconds * 1.0001);
		}
		const chamber = Math.max(...curve.chamberPpm, ...curve.throughBursts!.chamberPpm);
		expect(fold.chamberPeakPpm).toBe(chamber);
		expect(plain).toContain(`${Math.round(chamber)} ppm`);
		// The burst stands a tenth of a cycle in: before it CO2 rises, after it it falls.
		const levelAt = (share: number): number =>
			fold.chamber.toSorted(
				([a], [b]) => Math.abs(a - share * fold.cycleSeconds) - Math.abs(b - share * fold.cycleSeconds),
			)[0]![1];
		expect(levelAt(0.09)).toBeGreaterThan(levelAt(0.02));
		expect(levelAt(0.13)).toBeLessThan(levelAt(0.09));
		expect(foldCycles({ ...day, curve: { ...curve, bursts: curve.bursts.slice(0, 2) } }, 75, 0)).toBeNull();
	});

	test("the folded cycle draws no part that only the first cycle reaches: in a pause CO2 rises", () => {
		// Invented: the first burst comes 3 s before the cycle that follows, in a chamber that has not settled.
		const starts = Array.from({ length: 40 }, (_, k) => (k === 0 ? 0 : 120 * k - 3));
		const everySeconds = (step: number) =>
			Float64Array.from({ length: Math.floor(4500 / step) }, (_, i) => step * i);
		const inBursts = Float64Array.from(
			starts.flatMap((start) => Array.from({ length: 10 }, (_, i) => start + 0.5 * i)),
		);
		const levelAt = (seconds: number): number => {
			if (seconds < 117) return 420;
			const phase = (seconds + 3) % 120;
			return phase < 5 ? 620 - 10 * phase : 570 + (50 * (phase - 5)) / 115;
		};
		const foldOf = (timesSeconds: Float64Array) => {
			const curve = {
				...day.curve,
				timesSeconds,
				loggedPpm: timesSeconds.map(levelAt),
				chamberPpm: timesSeconds.map(levelAt),
				excluded: new Uint8Array(timesSeconds.length),
				bursts: starts.map((startSeconds) => ({ startSeconds, endSeconds: startSeconds + 5 })),
				throughBursts: { timesSeconds: inBursts, chamberPpm: inBursts.map(levelAt) },
			};
			return foldCycles({ ...day, curve } as typeof day, 0, 0)!.chamber;
		};
		const pause = foldOf(everySeconds(30))
			.filter(([phase]) => phase > 12 + 6)
			.map(([, ppm]) => ppm);
		expect(pause.length).toBeGreaterThan(2);
		expect(pause).toEqual(pause.toSorted((a, b) => a - b));
		// Samples that fall on every part of the cycle, if on each but rarely, draw the whole of it.
		const drifting = foldOf(everySeconds(29));
		const gaps = drifting.slice(1).map(([phase], k) => phase - drifting[k]![0]);
		expect(drifting[0]![0]).toBeLessThan(12);
		expect(drifting.at(-1)![0]).toBeGreaterThan(108);
		expect(Math.max(...gaps)).toBeLessThan(12);
	});

	test("it gives the estimates first, and what was left out with its lines", () => {
		const text = textOf(plain);
		expect(text).toMatch(/This log determines .*delivered flow.* and sensor response time/);
		expect(text).toContain("excluded as readings where");
		for (const one of day.series.exclusions) {
			expect(text).toContain(exclusionWords(one).replaceAll("'", "&#39;"));
			expect(text).toMatch(new RegExp(`${one.reason} .* ${one.count} `));
		}
		expect(text).toContain("duplicate 2 rows repeat another row exactly");
		expect(text).toContain("lines 113, 114");
		expect(text).toContain(day.recommendedTest!.command);
		for (const change of day.changes) expect(text).toContain(change.text);
	});

	test("the line of the sensor in the folded cycle is the one that the model has at the samples", () => {
		const { curve, parameters } = day;
		const foundOf = (name: string): number => parameters.find((one) => one.name === name)!.value;
		const fold = foldCycles(day, foundOf("response"), foundOf("offset"))!;
		const squares: number[] = [];
		for (const { startSeconds } of curve.bursts.slice(6, -1)) {
			const start = startSeconds - 0.1 * fold.cycleSeconds;
			curve.timesSeconds.forEach((seconds, i) => {
				const phase = seconds - start;
				const next = fold.sensor.findIndex(([at]) => at > phase);
				if (phase < 0 || phase >= fold.cycleSeconds || next < 1) return;
				const [[a, low], [b, high]] = [fold.sensor[next - 1]!, fold.sensor[next]!];
				squares.push((low + ((high - low) * (phase - a)) / (b - a) - curve.sensorPpm[i]!) ** 2);
			});
		}
		expect(squares.length).toBeGreaterThan(1000);
		// The line is a mean over the cycles; the ripple is some 300 ppm.
		expect(Math.sqrt(squares.reduce((sum, one) => sum + one, 0) / squares.length)).toBeLessThan(10);
	});

	test("a sensor that follows a sine by one time constant shows it smaller and later, as the response of a first-order lag says", () => {
		const [period, response] = [600, 75];
		const wave = (amplitude: number, shift: number) =>
			Array.from({ length: 600 }, (_, k): [number, number] => [
				k,
				800 + amplitude * Math.sin((2 * Math.PI * k) / period - shift),
			]);
		const turn = (2 * Math.PI * response) / period;
		const expected = wave(100 / Math.sqrt(1 + turn ** 2), Math.atan(turn));
		lagged(wave(100, 0), period, response).forEach(([, ppm], k) => {
			expect(ppm).toBeCloseTo(expected[k]![1], 1);
		});
		expect(lagged(wave(100, 0), period, 0)).toEqual(wave(100, 0));
	});

	test.each([
		["a day", () => plain],
		["bursts", () => ofBursts],
	])(
		"%s is one file without request, and its policy names the hash of its style and of its script",
		(_, make) => {
			const html = make();
			const policy = html
				.match(/http-equiv="Content-Security-Policy" content="([^"]*)"/)![1]!
				.replaceAll("&#39;", "'");
			const hashOf = (tag: string): string => {
				const found = [...html.matchAll(new RegExp(`<${tag}>([\\s\\S]*?)</${tag}>`, "g"))];
				expect(found).toHaveLength(1);
				return `'sha256-${createHash("sha256").update(found[0]![1]!).digest("base64")}'`;
			};
			expect(policy).toBe(
				`default-src 'none'; script-src ${hashOf("script")}; style-src ${hashOf("style")}; img-src data:; base-uri 'none'; form-action 'none'`,
			);
			expect(html.match(/<script/g)).toHaveLength(1);
			expect(html).not.toMatch(/ style="|<[^>]* on[a-z]+=/i);
			const addresses = new Set(html.match(/https?:[^"'\s<]*/g));
			expect([...addresses].filter((address) => !address.startsWith("http://www.w3.org/"))).toEqual([]);
			expect(Buffer.byteLength(html)).toBeLessThan(400_000);
		},
	);

	test("headings go down one level at a time", () => {
		const levels = [...plain.matchAll(/<h(\d)/g)].map((match) => Number(match[1]));
		levels.slice(1).forEach((level, i) => {
			expect(level - levels[i]!).toBeLessThanOrEqual(1);
		});
	});

	test("names that try to be markup are shown as text", async () => {
		const { series } = day;
		const html = await fitReport(
			{
				...day,
				scenario: { ...day.scenario, name: hostile, fileName: hostile },
				series: {
					...series,
					channel: { ...series.channel, name: hostile },
					log: {
						...series.log,
						fileName: hostile,
						notes: [{ kind: "missing value", column: hostile, count: 1, lines: [2] }],
					},
				},
				warnings: [{ code: "at bound", name: "flow", label: hostile }],
			},
			options,
		);
		expect(html).not.toContain("<script>alert");
		expect(html).not.toContain("<img src=x");
		expect(textOf(html)).toContain("&#60;script&#62;");
	});

	test("US readers get cubic feet", () => {
		expect(textOf(ofBursts)).toMatch(/delivered flow: [\d.]+ cfm \(SE [\d.]+, /);
		expect(ofBursts).not.toContain("m³/h");
	});
});

describe("respiration day by day", () => {
	const known = { fix: { leak: "0.42 /h", response: "75 s", offset: "0 ppm" } } as const;
	// From 08:12 in Berlin on the tenth.
	const daily = sampleFit({ days: 3, trouble: false }, { days: true, ...known });
	const undated = sampleFit({ days: 3, trouble: false, elapsed: true }, { days: true, ...known });

	test("is given as the mean in headline and table, with the lowest day, the highest and the trend", async () => {
		const { answer, grounds, more } = headlineOf(daily, "si");
		expect(answer).toBe("This log determines CO₂ output on 4 days and delivered flow");
		expect(grounds).toMatch(
			/^CO₂ output, mean of 4 days: 0\.\d+ L\/h \(SE 0\.\d+, [\d.]+ %\); delivered flow/,
		);
		const said = more.join(" ");
		expect(said).toMatch(/The mean CO₂ output of these days is 1\.\d+ times the scenario's value/);
		expect(said).toMatch(
			/The lowest CO₂ output is 0\.\d+ L\/h on day \d · 2026-03-1\d, the highest 0\.\d+ L\/h on day \d · 2026-03-1\d;/,
		);
		const text = textOf(await fitReport(daily, options));
		for (const part of [
			/CO₂ output, mean of 4 days pure CO₂ from crop and substrate yes 0\.\d+ L\/h/,
			/lowest day day \d · 2026-03-1\d yes/,
			/trend from day to day slope of a straight line through the days (yes|no) −?0\.\d+ L\/h per day/,
			/day 1 · 2026-03-10 15 h 48 min 0\.\d+ L\/h/,
			/day 3 · 2026-03-12 1 d 0\.\d+ L\/h/,
			/A day runs from midnight to midnight in Europe\/Berlin/,
			/The rate is that of day 3 · 2026-03-12, the last whole day/,
			/lullgust fit day\.csv --days --scenario cabinet\.yaml --update cabinet\.yaml/,
		])
			expect(text).toMatch(part);
	});

	test("is printed with a line a day under the mean, and the day that is written", () => {
		const text = fitText(daily, "si", 100);
		expect(text).toMatch(/^CO₂ output, mean +0\.\d+ L\/h .* yes$/m);
		for (const day of [10, 11, 12, 13])
			expect(text).toMatch(new RegExp(`^ {2}day ${day - 9} · 2026-03-${day} +0\\.`, "m"));
		expect(text.replace(/\n/g, " ")).toContain("The rate is that of day 3 · 2026-03-12, the last whole day");
		expect(text.split("\n").filter((line) => line.length > 100)).toEqual([]);
	});

	test("without dates has days by their number", async () => {
		expect(undated.days!.map(({ date, from }) => ({ date, from }))).toEqual(
			[1, 2, 3].map(() => ({ date: null, from: null })),
		);
		expect(headlineOf(undated, "si").more.join(" ")).toMatch(/on day \d, the highest/);
		const text = textOf(await fitReport(undated, options));
		expect(text).toContain("A day counts 24 h from the first reading");
		expect(text).toContain("The rate is that of day 3, the last whole day");
	});

	test("that is determined on no day is said not to be written", () => {
		const none = { ...daily, daily: { ...daily.daily!, writtenDay: null } };
		expect(writtenDayWords(none)).toContain("No rate is written");
		expect(writtenDayWords({ ...none, changes: [] })).toBeNull();
		expect(writtenDayWords(day)).toBeNull();
	});
});

test("a month at one sample a second makes a small page", async () => {
	const days = 30;
	const series = sampleSeries({ days, stepSeconds: 10, trouble: false });
	const { timesSeconds, co2Ppm, excluded } = series;
	const html = await fitReport(
		{
			...day,
			series,
			curve: {
				timesSeconds,
				loggedPpm: co2Ppm,
				sensorPpm: co2Ppm,
				chamberPpm: co2Ppm,
				excluded,
				bursts: Array.from({ length: days * 144 }, (_, k) => ({
					startSeconds: 600 * k,
					endSeconds: 600 * k + 12,
				})),
			},
			residuals: { ...day.residuals, ppm: co2Ppm.map((ppm) => ppm - 1000) },
		},
		options,
	);
	expect(Buffer.byteLength(html)).toBeLessThan(400_000);
});

describe("words", () => {
	test.each([
		[
			parameter({}),
			{ value: "55.73", error: "0.42", percent: "0.75 %", interval: "54.90 to 56.55", unit: "m³/h" },
		],
		[
			parameter({
				name: "leak",
				value: 90.4 / 3.6e6,
				standardError: 203 / 3.6e6,
				ci95Low: 0,
				ci95High: 488 / 3.6e6,
			}),
			{ value: "90", error: "200", percent: "225 %", interval: "0 to 490", unit: "L/h" },
		],
		[
			parameter({ standardError: null, ci95Low: null, ci95High: null }),
			{ value: "55.73", error: null, percent: null, interval: null, unit: "m³/h" },
		],
		[
			parameter({ name: "offset", value: -12.34, standardError: 3.21, ci95Low: -18.8, ci95High: -5.9 }),
			{ value: "−12.3", error: "3.2", percent: null, interval: "−18.8 to −5.9", unit: "ppm" },
		],
		[
			parameter({ name: "offset", value: -0.01, standardError: 20.4, ci95Low: -40, ci95High: 40 }),
			{ value: "0", error: "20", percent: null, interval: "−40 to 40", unit: "ppm" },
		],
		[
			parameter({
				name: "timerRateError",
				value: 0.00712,
				standardError: 0.00021,
				ci95Low: 0.0067,
				ci95High: 0.0075,
			}),
			{ value: "0.712", error: "0.021", percent: null, interval: "0.670 to 0.750", unit: "%" },
		],
	])("a value is as long as its error has two digits: $name", (one, shown) => {
		expect(shownValue(one, "si")).toEqual(shown);
	});

	test("per cent with two digits that mean something", () => {
		expect([0.00003, 0.000281, 0.0123, 0.18, 2.184].map(percentOf)).toEqual([
			"< 0.01 %",
			"0.028 %",
			"1.2 %",
			"18 %",
			"218 %",
		]);
	});

	test("a bound or a start is plain", () => {
		expect(plainValue("flow", 70 / 3600, "si")).toBe("70 m³/h");
		expect(plainValue("generation", 1.5417e-7, "us")).toBe("0.0196 ft³/h");
		expect(plainValue("phase", -6000, "si")).toBe("−6000 s");
	});

	const made = (parameters: readonly FittedParameter[], more: Partial<Fit> = {}): Fit => ({
		...day,
		parameters,
		confounded: [],
		...more,
	});

	test("the headline names what is determined, what is not, and what came from elsewhere", () => {
		const { answer, grounds, more } = headlineOf(
			made([
				parameter({}),
				parameter({
					name: "leak",
					label: "leakage",
					value: 90 / 3.6e6,
					standardError: 200 / 3.6e6,
					isIdentifiable: false,
				}),
				parameter({
					name: "offset",
					label: "sensor offset",
					value: 4,
					standardError: 9,
					initial: 0,
					status: "prior",
				}),
				parameter({
					name: "response",
					label: "sensor response time",
					value: 60,
					standardError: null,
					status: "fixed",
				}),
			]),
			"si",
		);
		expect(answer).toBe("This log determines delivered flow");
		expect(grounds).toBe(
			"Delivered flow: 55.73 m³/h (SE 0.42, 0.75 %). It does not determine leakage. With prior knowledge: sensor offset: 4.0 ppm (SE 9.0).",
		);
		expect(more[0]).toBe("Delivered flow is 0.8 times the scenario's value (70 m³/h).");
	});

	test("the strongest pair has the correlation that the table of correlations shows", () => {
		const { names, correlation } = day.mostCorrelatedPair!;
		const [i, j] = names.map((name) => day.free.indexOf(name));
		expect(correlation).toBe(day.correlation[i!]![j!]);
	});

	test("where nothing is determined, the headline says so and gives no value", () => {
		const { answer, grounds } = headlineOf(
			made([parameter({ isIdentifiable: false, standardError: null })]),
			"si",
		);
		expect(answer).toBe("This log determines none of the values sought");
		expect(grounds).toBe("It does not determine delivered flow.");
	});

	test("a model that does not follow the log tells no value, why not, and what to do", () => {
		expect(headlineOf(day, "si").answer).not.toContain("does not follow");
		const lackOfFit = [
			{ code: "above accuracy", rmsPpm: 90, accuracyPpm: 70 },
			{ code: "contradicting halves", name: "generation", first: 1e-7, second: 2e-7 },
		] as const;
		const rough = { ...day, residuals: { ...day.residuals, rmsPpm: 90, lackOfFit, isAdequate: false } };
		const { answer, grounds, more } = headlineOf(rough, "si");
		expect(answer).toBe("The model does not follow this log, which determines none of the values sought");
		expect(grounds).toBe(
			"The RMS residual of 90 ppm exceeds the sensor accuracy of 70 ppm. The halves of the log contradict each other: CO₂ output is 0.36 L/h in the first half and 0.72 L/h in the second. If the crop changes from day to day, use --days, or fit a shorter part of the log.",
		);
		expect(`${answer}${grounds}${more.join("")}`).not.toMatch(/This log determines/);
		expect(unidentifiableWords(rough)).toEqual([]);
	});

	test("what cannot be determined comes with its way out, and nothing is passed over", () => {
		const leak = parameter({ name: "leak", label: "leakage", isIdentifiable: false });
		const respiration = parameter({ name: "generation", label: "CO₂ output", isIdentifiable: false });
		expect(
			unidentifiableWords(
				made([respiration, leak, parameter({ isIdentifiable: false })], {
					confounded: [
						{
							names: ["leak", "generation"],
							reason: { code: "strongly correlated", correlation: -0.9921 },
							resolvedBy: { code: "leak test" },
						},
					],
				}),
			),
		).toEqual([
			{
				what: "Leakage and CO₂ output",
				why: "Leakage and CO₂ output are strongly correlated (−0.992); this log separates them poorly.",
				wayOut: "Run a leak test in the empty chamber, then use --fix leak=…",
			},
			{ what: "Delivered flow", why: "Its standard error is too large for its value.", wayOut: null },
		]);
	});

	test("the log is described with its zone, its gaps and its columns", () => {
		const facts = new Map(readFacts(day.series));
		expect(facts.get("time")).toBe("year-month-day hour:minute:second; Europe/Berlin, as given by --zone");
		expect(facts.get("layout")).toBe("UTF-8, comma between values, decimal point; a header");
		expect(facts.get("excluded from the fit")).toMatch(/^\d+ readings$/);
		expect(facts.get("from, to")).toBe("10 Mar 2026 08:12, 11 Mar 2026 08:12");
		expect(facts.get("gaps")).toMatch(/^1 gap, the longest .*; not filled in$/);
		const outlier = day.series.exclusions.find(({ reason }) => reason === "outlier")!;
		expect(whereWords(outlier, day.series)).toBe("10 Mar 2026 13:00 (line 290)");
	});
});

test("a scenario without a sensor is fitted and shown all the same", async () => {
	const scenario = { ...fitScenario(), sensor: null };
	const html = await fitReport({ ...day, scenario }, options);
	expect(headings(html)[0]).toBe("Found, and the scenario");
});
