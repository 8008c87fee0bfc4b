import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Fit } from "../../lib/fit/fittypes.ts";
import { curvePlotSpec } from "../../reports/charts/curveplot.ts";
import { autocorrelationPlot } from "../../reports/charts/log/autocorrelation.ts";
import { profilePlot, regionPlot } from "../../reports/charts/log/confidenceregion.ts";
import { overlaySpec } from "../../reports/charts/log/logoverlay.ts";
import {
	indexAtTime,
	stripBars,
	traceBand,
	traceLine,
	type WindowSamples,
} from "../../reports/charts/log/logseries.ts";
import { clocksChanged, isoDay, momentWords, timeTicks } from "../../reports/charts/log/logtime.ts";
import { residualSpec } from "../../reports/charts/log/residuals.ts";
import { daysPlot } from "../../reports/charts/log/respirationdays.ts";
import { type ChartSpec, compileChart, drawSvg } from "../../reports/charts/svg.ts";
import { LIGHT } from "../../reports/charts/theme.ts";
import {
	closeUp,
	overlayPicture,
	residualPicture,
	wholeLog,
} from "../../reports/fit/drawings/logpictures.ts";
import { logSvg } from "../../reports/fit/fit.ts";
import { sampleFit } from "./fitsample.ts";

const day = sampleFit({ days: 1 });

describe("time", () => {
	const berlin = { startUtcSeconds: Date.UTC(2026, 2, 28, 23, 30) / 1000, zone: "Europe/Berlin" };

	test("ticks lie on round hours of the log's own clock", () => {
		const { values, labelExpr, title } = timeTicks(berlin, 0, 6 * 3600, 760);
		expect(values.map((tick) => (tick + 1800) % 3600)).toEqual(values.map(() => 0));
		expect(labelExpr).toContain("%H:%M");
		expect(title).toBe("time of day from 29 Mar 2026, Europe/Berlin");
	});

	test("elapsed times count from the first sample", () => {
		const elapsed = { startUtcSeconds: null, zone: null };
		expect(timeTicks(elapsed, 0, 7 * 86_400, 760)).toMatchObject({
			values: [0, 1, 2, 3, 4, 5, 6, 7].map((n) => n * 86_400),
			title: "time from the first sample (d)",
		});
		expect(momentWords(elapsed, 90)).toBe("90 s from the first sample");
		expect(isoDay(elapsed, 90)).toBeNull();
	});

	test("a day is that of the zone, and a change of the clocks is noticed", () => {
		expect(isoDay(berlin, 0)).toBe("2026-03-29");
		expect(momentWords({ ...berlin, zone: "+05:30" }, 0)).toBe("29 Mar 2026 05:00");
		expect(momentWords({ ...berlin, zone: "Pacific/Auckland" }, 0)).toBe("29 Mar 2026 12:30");
		expect(clocksChanged(berlin, 3600)).toBe(false);
		expect(clocksChanged(berlin, 4 * 3600)).toBe(true);
	});
});

describe("long series are thinned honestly", () => {
	const series = fc
		.array(
			fc.record({
				step: fc.integer({ min: 1, max: 200 }),
				value: fc.integer({ min: -500, max: 5000 }),
				drawn: fc.boolean(),
			}),
			{
				minLength: 2,
				maxLength: 400,
			},
		)
		.map((rows): WindowSamples => {
			let t = 0;
			const timesSeconds = Float64Array.from(rows, ({ step }) => {
				t += step;
				return t;
			});
			return {
				timesSeconds,
				values: Float64Array.from(rows, ({ value }) => value),
				drawn: (i) => rows[i]!.drawn,
				fromSeconds: 0,
				toSeconds: t,
				gapSeconds: 90,
			};
		});
	const drawnOf = ({ timesSeconds, values, drawn }: WindowSamples) =>
		Array.from(timesSeconds, (t, i) => ({ t, c: values[i]!, i })).filter(({ i }) => drawn(i));

	test("a thinned line keeps the highest and the lowest, invents nothing and breaks at every gap", () => {
		fc.assert(
			fc.property(series, fc.integer({ min: 2, max: 60 }), (samples, most) => {
				const drawn = drawnOf(samples);
				const line = traceLine(samples, most);
				const points = line.filter(({ c }) => c !== null);
				const known = new Set(drawn.map(({ t, c }) => `${t} ${c}`));
				for (const { t, c } of points) expect(known.has(`${t} ${c}`)).toBe(true);
				if (drawn.length === 0) {
					expect(points).toEqual([]);
					return;
				}
				const all = drawn.map(({ c }) => c);
				expect(Math.max(...points.map(({ c }) => c!))).toBe(Math.max(...all));
				expect(Math.min(...points.map(({ c }) => c!))).toBe(Math.min(...all));
				const gaps = drawn.filter(({ t }, k) => k > 0 && t - drawn[k - 1]!.t > 90).length;
				expect(line.filter(({ c }) => c === null)).toHaveLength(gaps);
			}),
			{ seed: 1, numRuns: 300 },
		);
	});

	test("a band holds every sample, and no piece of it spans a gap", () => {
		fc.assert(
			fc.property(series, fc.integer({ min: 1, max: 40 }), (samples, count) => {
				const drawn = drawnOf(samples);
				const bands = traceBand(samples, count);
				const gaps = drawn.filter(({ t }, k) => k > 0 && t - drawn[k - 1]!.t > 90).length;
				if (drawn.length === 0) {
					expect(bands).toEqual([]);
					return;
				}
				expect(Math.max(...bands.map(({ high }) => high))).toBe(Math.max(...drawn.map(({ c }) => c)));
				expect(Math.min(...bands.map(({ low }) => low))).toBe(Math.min(...drawn.map(({ c }) => c)));
				expect(new Set(bands.map(({ piece }) => piece)).size).toBe(gaps + 1);
				for (const { low, mean, high } of bands) {
					expect(mean).toBeGreaterThanOrEqual(low - 1e-9);
					expect(mean).toBeLessThanOrEqual(high + 1e-9);
				}
			}),
			{ seed: 2, numRuns: 300 },
		);
	});

	test("a missing value is never drawn", () => {
		const timesSeconds = Float64Array.from([0, 60, 120, 180]);
		const values = Float64Array.from([400, Number.NaN, 420, 430]);
		const samples = {
			timesSeconds,
			values,
			drawn: () => true,
			fromSeconds: 0,
			toSeconds: 180,
			gapSeconds: 90,
		};
		expect(traceLine(samples, 100)).toEqual([
			{ t: 0, c: 400 },
			{ t: 120, c: null },
			{ t: 120, c: 420 },
			{ t: 180, c: 430 },
		]);
	});

	test("the bars of a strip stay in its window", () => {
		const bars = stripBars(
			[
				{ startSeconds: -10, endSeconds: 5 },
				{ startSeconds: 50, endSeconds: 200 },
				{ startSeconds: 300, endSeconds: 310 },
			],
			0,
			100,
			50,
		);
		expect(bars).toEqual([
			{ startSeconds: 0, endSeconds: 5 },
			{ startSeconds: 50, endSeconds: 100 },
		]);
		expect(indexAtTime(Float64Array.from([0, 1, 2]), 1.5)).toBe(2);
	});
});

describe("pictures", () => {
	const picture = (width: number) =>
		overlayPicture(day, wholeLog(day), LIGHT, width, { word: "model", chamber: true });

	test("what is excluded is marked by reason and named in the legend, in words", async () => {
		const svg = await drawSvg(await compileChart(overlaySpec(picture(760), LIGHT, 760)), {}, "x");
		for (const { reason, count } of day.series.exclusions)
			if (reason !== "missing") expect(svg).toContain(`excluded: ${reason} (${count})`);
		expect(svg).toContain(">fan<");
		expect(svg).toContain(">excluded<");
	});

	test("the line of the log breaks at its gap and at what is excluded", () => {
		const { logged } = picture(760);
		if (logged.kind !== "points") throw new Error("a day at 60 s has a dot a sample");
		const runs = day.series.exclusions.length;
		expect(logged.points.filter(({ c }) => c === null)).toHaveLength(runs);
		const missing = day.series.exclusions[0]!.intervals[0]!;
		expect(
			logged.points.some(({ t, c }) => c !== null && t >= missing.fromSeconds && t <= missing.toSeconds),
		).toBe(false);
	});

	test("a close-up shows some whole cycles with few samples excluded; a log of few cycles has none", () => {
		const window = closeUp(day)!;
		const cycle = 600;
		expect((window.toSeconds - window.fromSeconds) / cycle).toBeGreaterThan(2.9);
		const from = indexAtTime(day.curve.timesSeconds, window.fromSeconds);
		const to = indexAtTime(day.curve.timesSeconds, window.toSeconds);
		expect(day.curve.excluded.slice(from, to).every((code) => code === 0)).toBe(true);
		expect(closeUp({ ...day, curve: { ...day.curve, bursts: day.curve.bursts.slice(0, 1) } })).toBeNull();
	});

	test("the picture alone is drawn in real colours", async () => {
		const svg = await logSvg(day, "model");
		expect(svg).toMatch(/^<svg /);
		expect(svg).not.toContain("var(");
	});

	test.each([
		[
			"logoverlay",
			overlaySpec(
				overlayPicture(small(), { fromSeconds: 0, toSeconds: 3600 }, LIGHT, 760, {
					word: "model",
					chamber: true,
					rules: [{ name: "ceiling", ppm: 1200 }],
				}),
				LIGHT,
				760,
			),
		],
		["residuals", residualSpec(residualPicture(small(), 760, { ppm: 40, text: "accuracy" }), LIGHT, 760)],
	] as [string, ChartSpec][])("the spec of %s is the one on file", async (name, spec) => {
		await compileChart(spec);
		await expect(`${JSON.stringify(spec, null, "\t")}\n`).toMatchFileSnapshot(`snapshots/${name}.spec.txt`);
	});

	test.each([
		[
			"autocorrelation",
			autocorrelationPlot({ stepSeconds: 60, values: [1, 0.5, 0.2, -0.1], lag1: 0.5, used: 400 }),
		],
		[
			"pair",
			regionPlot(
				{ title: "leak (L/h)", value: 100, expected: 120, lowest: 0 },
				{ title: "flow (m³/h)", value: 50, expected: 500, lowest: 0 },
				[
					[-20, 40],
					[220, 60],
					[-20, 40],
				],
			),
		],
		[
			"profile",
			profilePlot([
				{
					name: "flow",
					label: "delivered flow",
					value: 2,
					standardError: 1,
					values: [0, 1, 2, 3, 4],
					deltaCost: [4, 1, 0, 1, 4],
					ci95Low: 0.1,
					ci95High: 3.9,
				},
			]),
		],
		[
			"days",
			daysPlot({
				unit: "L/h",
				zone: "Europe/Berlin",
				expected: 0.5,
				days: [
					{ date: "2026-03-10", value: 0.4, standardError: 0.1 },
					{ date: "2026-03-11", value: 0.8, standardError: null },
				],
			}),
		],
	])("the plot of %s draws without a complaint", async (_, plot) => {
		for (const width of [760, 236])
			expect(await drawSvg(await compileChart(curvePlotSpec(plot, LIGHT, width)), {}, "x")).toMatch(/^<svg /);
	});

	test("no region reaches below what is possible, and a day without an error has no bar", () => {
		const plot = regionPlot(
			{ title: "leak", value: 100, expected: 120, lowest: 0 },
			{ title: "flow", value: 50, expected: 50, lowest: 0 },
			[
				[-200, 40],
				[400, 60],
			],
		);
		expect(plot.x.from).toBe(0);
		const days = daysPlot({
			unit: "L/h",
			zone: null,
			expected: 0.5,
			days: [{ date: null, value: 0.8, standardError: null }],
		});
		expect(days.curves[0]!.points).toEqual([]);
	});
});

/** A log of few samples, written out by hand. */
function small(): Fit {
	const timesSeconds = Float64Array.from([0, 600, 1200, 1800, 2400, 3000, 3600]);
	const loggedPpm = Float64Array.from([900, 1000, 1100, Number.NaN, 5000, 950, 1050]);
	const sensorPpm = Float64Array.from([905, 1005, 1090, 900, 1000, 955, 1045]);
	const excluded = Uint8Array.from([0, 0, 0, 1, 2, 0, 0]);
	return {
		...day,
		series: {
			...day.series,
			timesSeconds,
			co2Ppm: loggedPpm,
			excluded,
			exclusions: [
				{
					reason: "clipped",
					limitPpm: 2000,
					strayReadings: 0,
					minReadings: 3,
					count: 1,
					intervals: [{ fromSeconds: 2400, toSeconds: 2400 }],
				},
			],
			log: { ...day.series.log, sampleIntervalSeconds: 600 },
		},
		curve: {
			timesSeconds,
			loggedPpm,
			sensorPpm,
			chamberPpm: sensorPpm.map((ppm) => ppm + 30),
			excluded,
			bursts: [
				{ startSeconds: 1250, endSeconds: 1262 },
				{ startSeconds: 2650, endSeconds: 2662 },
			],
		},
		residuals: {
			...day.residuals,
			ppm: loggedPpm.map((ppm, i) => (excluded[i] === 0 ? ppm - sensorPpm[i]! : Number.NaN)),
		},
	};
}
