import { expect, test } from "vitest";
import { co2Axis, timeAxis, timeUnit } from "../../reports/charts/axes.ts";
import { compileChart, drawSvg } from "../../reports/charts/svg.ts";
import { DARK, LIGHT, strokeOf } from "../../reports/charts/theme.ts";

test("the same chart gives the same SVG, clip paths included", async () => {
	const mark = { type: "line", clip: true } as const;
	const encoding = {
		x: { field: "t", type: "quantitative" },
		y: { field: "c", type: "quantitative" },
	} as const;
	const chart = await compileChart({ data: { name: "rows" }, mark, encoding });
	const rows = { rows: [5, 9, 7].map((c, t) => ({ t, c })) };
	const once = await drawSvg(chart, rows, "a");
	expect(once).toContain('id="a-clip');
	expect(await drawSvg(chart, rows, "a")).toBe(once);
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

test("no two of the first sixty-four schedules share colour and dash", () => {
	const seen = new Set(Array.from({ length: 64 }, (_, place) => JSON.stringify(strokeOf(LIGHT, place))));
	expect(seen.size).toBe(64);
});
