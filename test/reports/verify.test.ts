import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Verification } from "../../lib/fit/verification.ts";
import { buildModel } from "../../lib/model/build.ts";
import { LIGHT } from "../../reports/charts/theme.ts";
import { closeUp, overlayPicture } from "../../reports/fit/drawings/logpictures.ts";
import { retuneCard } from "../../reports/verify/retunecard.ts";
import { verifyReport } from "../../reports/verify/verify.ts";
import {
	dayNightWords,
	generationWords,
	peakWords,
	verificationVerdict,
} from "../../reports/verify/verifywords.ts";
import { fitScenario, promisedModel, sampleFit, sampleVerification } from "./fitsample.ts";

const options = { units: "si", version: "0.0.0-test", date: "2026-03-14" } as const;
const outside = sampleVerification({ days: 1 });
const kept = fitScenario({ ceiling: 1300 });
const within = sampleVerification({ days: 1, scenario: kept, model: promisedModel(kept) });
const pages = { outside: await verifyReport(outside, options), within: await verifyReport(within, options) };

const textOf = (html: string): string =>
	html
		.replace(/<(script|style|svg)\b[\s\S]*?<\/\1>/g, "")
		.replace(/<[^>]*>/g, " ")
		.replaceAll("&#39;", "'")
		.replace(/\s+/g, " ");

test("the sections of a verification come in the order that a grower needs them", () => {
	for (const page of Object.values(pages))
		expect([...page.matchAll(/<h2[^>]*>([^<]*)/g)].map((match) => match[1])).toEqual([
			"Checks",
			"Now, and the scenario",
			"The setting for today",
			"Residuals, by day and by night",
			"Cautions",
			"Details",
		]);
});

test("a log that agrees is within, and says by how much", () => {
	expect(within.isWithin).toBe(true);
	const { answer, grounds } = verificationVerdict(within);
	expect(answer).toBe("Within");
	expect(pages.within).toMatch(/<section class="answer holds"[\s\S]*<p class="word">WITHIN<\/p>/);
	expect(grounds).toMatch(
		/^“usual” works as predicted: the peak in the chamber stays under the ceiling of 1300 ppm\. The RMS difference of log and prediction is [\d.]+ ppm; the sensor accuracy is \d+ ppm\.$/,
	);
	expect(textOf(pages.within)).toContain("The present setting is still right.");
	expect(pages.within).not.toContain('class="card"');
});

test("a log that does not is outside, for each reason once", () => {
	expect(outside.isWithin).toBe(false);
	const { answer, grounds } = verificationVerdict(outside);
	expect(answer).toBe("Outside");
	expect(pages.outside).toMatch(
		/<section class="answer fails"[\s\S]*<p class="word">OUTSIDE<\/p><h1[^>]*>The peak exceeds the ceiling\./,
	);
	expect(pages.outside).toContain(`<dd>${Math.round(outside.estimatedPeakPpm!)}<small>ppm`);
	expect(grounds).toMatch(
		/^The mean reading is \d+ ppm above the prediction, more than the sensor accuracy of \d+ ppm; the estimated peak in the chamber is \d+ ppm, above the ceiling of 1000 ppm\.$/,
	);
	const text = textOf(pages.outside);
	for (const { name } of outside.checks) expect(text).toContain(` ${name} `);
	expect(text).toMatch(
		/CO₂ output is now 1\.\d+ times the scenario's value \(SE 0\.\d+\), [\d.]+ % more\. Delivered flow is 0\.[78]\d+ times the scenario's value \(SE 0\.\d+\), \d+ % less\./,
	);
});

test("the setting for today is shown as the display shows it", () => {
	const { retune } = outside;
	expect(retune).not.toBeNull();
	const card = retuneCard(outside, options)!.html;
	const digits = String(retune!.onSeconds).padStart(3, "0");
	expect(card).toContain(`aria-label="${digits} s"`);
	expect(textOf(card)).toContain("2026-03-14");
	expect(textOf(card)).toContain("no safety device");
	expect(retuneCard(within, options)).toBeNull();
});

test("where there is no setting for today, the reason stands there", async () => {
	const bindingConstraint = { code: "off-time range", maxOffSeconds: 600, timerMinOffSeconds: 1800 } as const;
	const noRetune = { code: "no feasible setting", bindingConstraint } as const;
	const page = await verifyReport({ ...outside, retune: null, noRetune }, options);
	expect(textOf(page)).toContain(
		"No setting for today: With any fan, the longest possible off-time in this chamber is 10 min.",
	);
});

test("the logged peak stands beside the estimated one, and why they differ", () => {
	const of = (loggedPeakPpm: number, estimatedPeakPpm: number): string =>
		peakWords({ ...within, loggedPeakPpm, estimatedPeakPpm, estimatedPeakStandardErrorPpm: 12 });
	expect(of(1044, 1116)).toBe(
		"The highest reading is 1044 ppm. The estimated peak in the chamber is 1116 ppm (SE 12 ppm): the sensor responds too slowly to show it.",
	);
	expect(of(1044, 1030)).toContain("noise or an offset raises the highest readings");
	expect(of(1044, 1044.4)).toBe(
		"The highest reading is 1044 ppm. The estimated peak in the chamber is 1044 ppm (SE 12 ppm).",
	);
	expect(peakWords({ ...within, loggedPeakPpm: 1044, estimatedPeakPpm: null })).toBe(
		"The highest reading is 1044 ppm. The model does not follow the log, so no peak in the chamber is estimated.",
	);
	const slow = { ...within, averagesCycles: true, loggedPeakPpm: 900, estimatedPeakPpm: 1000 };
	expect(peakWords(slow)).toContain("from the model: the readings are too far apart to show a cycle");
});

test.each([
	[
		{ factor: 1.4357, standardError: 0.0024 },
		"CO₂ output is now 1.4357 times the scenario's value (SE 0.0024), 44 % more.",
	],
	[
		{ factor: 0.81, standardError: 0.031 },
		"CO₂ output is now 0.810 times the scenario's value (SE 0.031), 19 % less.",
	],
	[
		{ factor: 1.02, standardError: 0.02 },
		"CO₂ output is 1.020 times the scenario's value (SE 0.020): no significant change.",
	],
	[
		{ factor: 0.999997, standardError: 0.0000031 },
		"CO₂ output is 1.0000 times the scenario's value (SE < 0.0001): no significant change.",
	],
	[
		{ factor: 1.02, standardError: 0.2 },
		"CO₂ output is 1.02 times the scenario's value (SE 0.20), which this log cannot tell apart from it.",
	],
])("the current CO₂ output: %o", (generation, words) => {
	expect(generationWords({ ...within, generation })[0]).toBe(words);
	expect(generationWords({ ...within, generation: null })).toEqual([]);
	expect(generationWords({ ...within, generation, flow: null })).toEqual([
		`${words} All else is held; fit estimates more, so its factors differ.`,
	]);
	expect(generationWords({ ...within, generation, flow: { factor: 0.82, standardError: 0.01 } })[1]).toBe(
		"Delivered flow is 0.820 times the scenario's value (SE 0.010), 18 % less.",
	);
});

test("day and night are given where the log has clock times", () => {
	const of = (dayPpm: number | null, nightPpm: number | null): string | null =>
		dayNightWords({ ...within, dayPpm, nightPpm } as Verification);
	expect(of(12.3, -4.56)).toBe(
		"By day the log reads 12 ppm more than predicted (06:00 to 18:00), by night the log reads 4.6 ppm less than predicted.",
	);
	expect(of(0.3, -0.4)).toBe(
		"By day the log reads as predicted (06:00 to 18:00), by night the log reads as predicted.",
	);
	expect(of(null, null)).toBeNull();
	expect(of(12, null)).toContain("no reading was taken by night");
});

test("the page is one file without request, its script bound by its hash, and small", () => {
	for (const page of Object.values(pages)) {
		const policy = page.match(/Content-Security-Policy" content="([^"]*)"/)![1]!.replaceAll("&#39;", "'");
		const style = page.match(/<style>([\s\S]*?)<\/style>/)![1]!;
		expect(policy).toContain(`style-src 'sha256-${createHash("sha256").update(style).digest("base64")}'`);
		const script = page.match(/<script>([\s\S]*?)<\/script>/)![1]!;
		expect(policy).toContain(`script-src 'sha256-${createHash("sha256").update(script).digest("base64")}'`);
		expect(page.match(/<script/g)).toHaveLength(1);
		expect(page).not.toMatch(/ style="|<[^>]* on[a-z]+=/i);
		expect(Buffer.byteLength(page)).toBeLessThan(400_000);
	}
});

test("between two samples the CO2 in the chamber falls as dilution says, and the close-up shows it", () => {
	const scenario = fitScenario();
	const fit = sampleFit({ days: 1, scenario });
	const value = (name: FitName) => fit.parameters.find((one) => one.name === name)!.value;
	const { volumeM3, intakePpm } = buildModel(scenario);
	const { timesSeconds, chamberPpm } = fit.curve.throughBursts!;
	expect(timesSeconds.length).toBe(5 * fit.curve.bursts.length);
	fit.curve.bursts.forEach(({ startSeconds, endSeconds }, k) => {
		const [first, last] = [5 * k, 5 * k + 4];
		expect([timesSeconds[first], timesSeconds[last]]).toEqual([startSeconds, endSeconds]);
		// The dilution equation of ventilation practice, C = Cs + S/Q + (C0 - Cs - S/Q) e^(-Qt/V).
		const flow = value("flow") + value("leak");
		const steady = intakePpm + (1e6 * value("generation")) / flow;
		const kept = Math.exp((-flow * (endSeconds - startSeconds)) / volumeM3);
		expect(chamberPpm[last]).toBeCloseTo(steady + (chamberPpm[first]! - steady) * kept, 6);
	});
	const window = closeUp(fit)!;
	const { chamber } = overlayPicture(fit, window, LIGHT, 760, { word: "model", chamber: true });
	const drawn = chamber?.kind === "points" ? chamber.points : [];
	const inside = fit.curve.bursts.filter(
		({ startSeconds, endSeconds }) => startSeconds > window.fromSeconds && endSeconds < window.toSeconds,
	);
	expect(inside.length).toBeGreaterThan(1);
	for (const { startSeconds, endSeconds } of inside)
		for (const seconds of [startSeconds, endSeconds]) expect(drawn.some(({ t }) => t === seconds)).toBe(true);
	// Nothing is drawn where the log has a gap, though the model knows of bursts there.
	const kept = [...fit.curve.timesSeconds.keys()].filter((i) => {
		const t = fit.curve.timesSeconds[i]!;
		return t < 30_000 || t > 36_000;
	});
	const pick = (values: Float64Array) => Float64Array.from(kept, (i) => values[i]!);
	const torn = {
		...fit,
		curve: {
			...fit.curve,
			timesSeconds: pick(fit.curve.timesSeconds),
			loggedPpm: pick(fit.curve.loggedPpm),
			sensorPpm: pick(fit.curve.sensorPpm),
			chamberPpm: pick(fit.curve.chamberPpm),
			excluded: Uint8Array.from(kept, (i) => fit.curve.excluded[i]!),
		},
	};
	const around = { fromSeconds: 28_000, toSeconds: 38_000 };
	const { chamber: broken } = overlayPicture(torn, around, LIGHT, 760, { word: "model", chamber: true });
	const points = broken?.kind === "points" ? broken.points : [];
	expect(points.length).toBeGreaterThan(50);
	expect(points.filter(({ t, c }) => c !== null && t > 30_000 && t < 36_000)).toEqual([]);
});
