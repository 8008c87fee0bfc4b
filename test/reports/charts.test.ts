import fc from "fast-check";
import { expect, test } from "vitest";
import { co2Axis, timeAxis, timeUnit } from "../../reports/charts/axes.ts";
import { fanTrace } from "../../reports/charts/sawtooth/fan.ts";
import { pack, unpack } from "../../reports/charts/sawtooth/pack.ts";
import {
	type ChartData,
	chartRows,
	co2At,
	fanAt,
	narrowSpans,
	type Series,
} from "../../reports/charts/sawtooth/picture.ts";
import { sawtoothRows, sawtoothSpec } from "../../reports/charts/sawtooth/sawtooth.ts";
import { compileChart, drawSvg } from "../../reports/charts/svg.ts";
import { DARK, LIGHT, strokeOf } from "../../reports/charts/theme.ts";
import { timeInWords } from "../../reports/charts/timewords.ts";

/** A triangle wave: up from 500 to 900 ppm in `cycleSeconds`, down in no time; each burst a tenth of a cycle. */
const saw = (cycleSeconds: number, windowSeconds: number, name = "saw"): Series => {
	const starts = Array.from({ length: Math.floor(windowSeconds / cycleSeconds) }, (_, i) => i * cycleSeconds);
	return {
		name,
		words: "",
		timesSeconds: [...starts.flatMap((start) => [start, start + cycleSeconds * 0.999]), windowSeconds],
		co2Ppm: [...starts.flatMap(() => [500, 900]), 500],
		fan: fanTrace(
			starts.map((startSeconds) => ({ startSeconds, endSeconds: startSeconds + cycleSeconds / 10 })),
			windowSeconds,
		),
		isOverlay: false,
	};
};

const picture = (windowSeconds: number, ...series: Series[]): ChartData => ({
	series,
	windowSeconds,
	ceilingPpm: 1000,
	floorPpm: null,
	zone: null,
	isTimeOfDay: false,
	timeTitle: "time",
});

const two = picture(7200, saw(3600, 7200, "rare & long"), saw(240, 7200, "short and often"));

test("the spec of the sawtooth is as recorded", async () => {
	const spec = sawtoothSpec({ ...two, floorPpm: 700 }, LIGHT);
	await expect(`${JSON.stringify(spec, null, "\t")}\n`).toMatchFileSnapshot("snapshots/sawtooth.spec.txt");
});

test("the drawing of the sawtooth is as recorded, figures rounded to whole pixels", async () => {
	const svg = await drawSvg(await compileChart(sawtoothSpec(two, LIGHT)), sawtoothRows(two, 760), "x");
	const normalised = svg
		.replace(/-?\d+\.\d+/g, (figure) => String(Math.round(Number(figure))))
		.replace(/></g, ">\n<");
	await expect(`${normalised}\n`).toMatchFileSnapshot("snapshots/sawtooth.svg.txt");
});

test("the axis names the zone where the chamber has two", async () => {
	const svg = await drawSvg(
		await compileChart(sawtoothSpec({ ...two, zone: "stagnant zone" }, LIGHT)),
		sawtoothRows(two, 760),
		"x",
	);
	expect(svg).toContain(">CO₂ where the crop stands: stagnant zone (ppm)<");
});

test("the same chart gives the same SVG, clip paths included", async () => {
	const chart = await compileChart(sawtoothSpec(two, DARK));
	const once = await drawSvg(chart, sawtoothRows(two, 760), "a");
	expect(once).toContain('id="a-clip');
	expect(await drawSvg(chart, sawtoothRows(two, 760), "a")).toBe(once);
});

test("a chart key that Vega-Lite would drop is an error", async () => {
	const spec = { data: { values: [{}] }, mark: "point", encoding: { yy: { field: "a", type: "nominal" } } };
	// biome-ignore lint/suspicious/noExplicitAny: the fault is the point
	await expect(compileChart(spec as any)).rejects.toThrow(/chart: .*yy/);
});

test("a chart that asks for data from elsewhere gets none", async () => {
	const spec = { data: { url: "data.json" }, mark: "point" } as const;
	await expect(drawSvg(await compileChart(spec), {}, "x")).rejects.toThrow("data.json");
});

test("cycles wide enough are lines, narrow ones a band from trough to peak", () => {
	const rows = chartRows(picture(86_400, saw(3600, 86_400), saw(240, 86_400)), 760);
	expect(new Set(rows.line.map((row) => row.key))).toEqual(new Set(["0"]));
	expect(new Set(rows.band.map((row) => row.key))).toEqual(new Set(["1"]));
	expect(rows.band.slice(1).every((row) => row.low === 500 && row.high === 900)).toBe(true);
	// From the start of the curve the band opens.
	expect(rows.band[0]).toMatchObject({ t: 0, low: 500, high: 500 });
	expect(rows.band.at(-1)?.t).toBe(86_400);
});

test("a day with slow cycles at night and fast ones by day changes from line to band and back", () => {
	const slow = saw(7200, 86_400);
	const bursts = [0, 7200, 14_400, 21_600]
		.concat(
			Array.from({ length: 192 }, (_, i) => 28_800 + i * 240),
			[74_880, 80_000],
		)
		.map((startSeconds) => ({ startSeconds, endSeconds: startSeconds + 10 }));
	const mixed = { ...slow, fan: fanTrace(bursts, 86_400) };
	const day = picture(86_400, mixed);
	expect(narrowSpans(day, mixed, 760)).toEqual([{ from: 28_800, to: 74_880, cycleSeconds: 240 }]);
	const { line, band } = chartRows(day, 760);
	expect([...new Set(line.map((row) => row.piece))]).toEqual([0, 2]);
	expect([...new Set(band.map((row) => row.piece))]).toEqual([1]);
	expect(line.length + new Set(band.map((row) => row.t)).size).toBeGreaterThan(12);
});

test("360 bursts a day become one pale bar, 24 stay single", () => {
	const { fan } = chartRows(picture(86_400, saw(240, 86_400), saw(3600, 86_400)), 760);
	expect(fan.filter((row) => row.key === "0")).toEqual([{ key: "0", from: 0, to: 86_184, merged: true }]);
	expect(fan.filter((row) => row.key === "1" && !row.merged)).toHaveLength(24);
});

test("a year of bursts is kept in a thousand bars or fewer", () => {
	const year = 365 * 86_400;
	const { fan } = saw(240, year);
	expect(fan.bursts.length).toBeLessThanOrEqual(1000);
	expect(fan.cycleSeconds).toBe(240);
	expect(fan.bursts[0]).toMatchObject({ startSeconds: 0, isMerged: true });
});

test("the readout reads between the points, and nothing outside of them", () => {
	const series = { ...saw(3600, 7200), timesSeconds: [0, 100, 200], co2Ppm: [500, 700, 600] };
	expect(co2At(series, 50)).toEqual({ low: 600, high: 600 });
	expect(co2At(series, 200)).toEqual({ low: 600, high: 600 });
	expect(co2At(series, 201)).toBeNull();
	expect(co2At(series, -1)).toBeNull();
});

test("where a curve has too few points a cycle the readout tells trough and peak", () => {
	expect(co2At(saw(240, 86_400), 40_000)).toEqual({ low: 500, high: 900 });
});

test("the readout knows whether the fan runs", () => {
	const series = saw(3600, 7200);
	expect([0, 359, 360, 3600].map((t) => fanAt(series, t))).toEqual(["on", "on", "off", "on"]);
	expect(fanAt({ ...series, isOverlay: true }, 0)).toBeNull();
	expect(fanAt(saw(10, 86_400), 5000)).toBe("cycling");
});

test("packing keeps times to half a step and CO2 to half a ppm", () => {
	fc.assert(
		fc.property(
			fc.array(
				fc.tuple(
					fc.double({ min: 0, max: 86_400, noNaN: true }),
					fc.double({ min: 0, max: 2e5, noNaN: true }),
				),
				{
					minLength: 1,
				},
			),
			(points) => {
				const ordered = [...points].sort((a, b) => a[0] - b[0]);
				const series = {
					...saw(3600, 86_400),
					timesSeconds: ordered.map((p) => p[0]),
					co2Ppm: ordered.map((p) => p[1]),
				};
				const packed = pack(picture(86_400, series));
				const back = unpack(JSON.parse(JSON.stringify(packed)));
				ordered.forEach(([t, c], i) => {
					expect(Math.abs(back.series[0]!.timesSeconds[i]! - t)).toBeLessThanOrEqual(
						0.5 * packed.stepSeconds + 1e-6,
					);
					expect(Math.abs(back.series[0]!.co2Ppm[i]! - c)).toBeLessThanOrEqual(0.5 + 1e-6);
				});
				expect(back.series[0]!.fan.bursts).toHaveLength(series.fan.bursts.length);
			},
		),
		{ seed: 1, numRuns: 100 },
	);
});

test("the CO2 axis holds troughs, peaks, ceiling and floor with a tick in sight of each", () => {
	const axis = co2Axis(
		[
			{ low: 880, high: 920 },
			{ low: 450, high: 4010 },
		],
		1000,
		700,
	);
	expect(axis.from).toBeLessThanOrEqual(450);
	expect(axis.to).toBeGreaterThan(4010);
	expect(axis.ticks.length).toBeGreaterThanOrEqual(4);
});

test("a schedule that runs away does not press the others flat", () => {
	expect(
		co2Axis(
			[
				{ low: 600, high: 950 },
				{ low: 480, high: 90_000 },
			],
			1000,
			null,
		).to,
	).toBeLessThan(6000);
});

test("time is told in seconds, minutes, hours or days, in eight steps or fewer", () => {
	for (const [window, symbol] of [
		[100, "s"],
		[7200, "min"],
		[86_400, "h"],
		[30 * 86_400, "d"],
		[1e9, "d"],
	] as const) {
		const unit = timeUnit(window);
		expect(unit.symbol).toBe(symbol);
		expect(timeAxis(0, window, unit).ticks.length).toBeLessThanOrEqual(9);
	}
	expect(timeAxis(0, 7200, timeUnit(7200)).ticks).toEqual([0, 15, 30, 45, 60, 75, 90, 105, 120]);
});

test("a moment is told as people tell it", () => {
	expect(timeInWords(52, false)).toBe("52 s");
	expect(timeInWords(3725, false)).toBe("1 h 02 min 05 s");
	expect(timeInWords(200_000, false)).toBe("2 d 7 h 33 min");
	expect(timeInWords(22_350, true)).toBe("06:12:30");
});

const luminance = (hex: string): number => {
	const [r, g, b] = [1, 3, 5].map((at) => {
		const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
		return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
	});
	return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
};
const contrast = (a: string, b: string): number => {
	const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
	return (light! + 0.05) / (dark! + 0.05);
};

test.each([
	["light", LIGHT, ["#ffffff", "#fbfaf7"]],
	["dark", DARK, ["#141817", "#1b1f1e"]],
] as const)(
	"every line of the %s theme stands 3:1 from its background, and text 4.5:1",
	(_, theme, papers) => {
		for (const paper of papers) {
			for (const color of theme.series) expect(contrast(color, paper), color).toBeGreaterThanOrEqual(3);
			for (const color of [theme.ink, theme.soft]) expect(contrast(color, paper)).toBeGreaterThanOrEqual(4.5);
		}
	},
);

test("the first five schedules stand out in the dark: 4.5:1", () => {
	for (const color of DARK.series.slice(0, 5))
		expect(contrast(color, "#1b1f1e"), color).toBeGreaterThanOrEqual(4.5);
});

test("where the words after a name do not fit, the name stands alone, and a long one is cut with a mark", async () => {
	const words = "4 s on, 3 min 56 s off, 360 bursts a day";
	const long = "hourly, weak, the way the old timer behind the second shelf was set before it was moved";
	const named = picture(
		7200,
		{ ...saw(3600, 7200, "rare and long"), words },
		{ ...saw(240, 7200, long), words },
	);
	const at = async (width: number) => {
		const chart = await compileChart(sawtoothSpec(named, LIGHT));
		return drawSvg({ ...chart, width }, sawtoothRows(named, width), "x");
	};
	expect(await at(760)).toContain(`>rare and long: ${words}<`);
	const narrow = await at(230);
	expect(narrow).toContain(">rare and long<");
	expect(narrow).toMatch(/>hourly, weak, the way the [^<]*…</);
});

test("no two of the first sixty-four schedules share colour and dash", () => {
	const seen = new Set(Array.from({ length: 64 }, (_, place) => JSON.stringify(strokeOf(LIGHT, place))));
	expect(seen.size).toBe(64);
});
