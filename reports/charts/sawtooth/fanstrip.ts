import { BREAKS, linear, textMark } from "../marks.ts";
import type { ChartTheme } from "../theme.ts";
import { type Frame, momentRule } from "./frame.ts";
import type { ChartData, FanRow } from "./picture.ts";

/** Heights [px]: of a row with its heading, from its top to the bar, and of the bar. */
const ROW = 36;
const HEADING = 19;
const BAR = 9;
/** Typical width of a character [px]. */
const CHARACTER = 6.2;

/** Bars as the points of a thick line, which breaks where `at` is null: far fewer marks than a rectangle each. */
export const barPoints = (rows: readonly FanRow[]) =>
	rows.flatMap(({ key, from, to, merged }) => {
		const at = Number(key) * ROW + HEADING + BAR / 2;
		return [
			{ key, merged, t: from, at },
			{ key, merged, t: to, at },
			{ key, merged, t: to, at: null },
		];
	});

/** When each fan runs, a row a series; its heading shows the series' line and name, and so is the legend. */
export function fanStrip({ series }: ChartData, frame: Frame, theme: ChartTheme, width: number) {
	const height = series.length * ROW;
	const y = { type: "quantitative", scale: { ...linear(0, height), reverse: true }, axis: null };
	const headings = series.map(({ name, words }, place) => ({
		key: String(place),
		at: place * ROW + 9,
		name,
		text: words === "" ? name : `${name}: ${words}`,
	}));
	const tracks = series.flatMap(({ isOverlay }, place) =>
		isOverlay ? [] : [{ at: place * ROW + HEADING + BAR / 2 }],
	);
	const room = `floor((width + 28) / ${CHARACTER})`;
	const { color } = frame;
	const time = { type: "quantitative", scale: frame.timeScale };
	return {
		width,
		height,
		layer: [
			{
				data: { values: tracks },
				mark: { type: "rule", color: theme.grid, strokeWidth: BAR },
				encoding: { y: { ...y, field: "at" } },
			},
			{
				data: { name: "fan" },
				mark: { type: "line", strokeWidth: BAR, strokeCap: "butt", ...BREAKS, clip: true },
				encoding: {
					x: {
						...time,
						field: "t",
						axis: {
							values: frame.ticks,
							labelExpr: frame.tickText,
							labelOverlap: true,
							labelFlush: false,
							grid: false,
							title: frame.timeTitle,
							titlePadding: 8,
						},
					},
					y: { ...y, field: "at" },
					color,
					detail: { field: "merged" },
					opacity: { condition: { test: "datum.merged", value: 0.6 }, value: 1 },
				},
			},
			{
				data: { values: headings },
				mark: { type: "rule", strokeWidth: 2.2 },
				encoding: {
					x: { value: 0 },
					x2: { value: 30 },
					y: { ...y, field: "at" },
					color,
					strokeDash: frame.dash,
				},
			},
			{
				data: { values: headings },
				// It may run on into the margin in which the ceiling is named; rather the name alone than half of what stands after it.
				mark: textMark(theme.ink, {
					text: { expr: `length(datum.text) <= ${room} ? datum.text : truncate(datum.name, ${room})` },
				}),
				encoding: { x: { value: 38 }, y: { ...y, field: "at" } },
			},
			momentRule(theme, { ...time, field: "t" }),
		],
	};
}
