import type { ChartSpec } from "../svg.ts";
import { type ChartTheme, chartConfig } from "../theme.ts";
import { co2Plot } from "./co2plot.ts";
import { barPoints, fanStrip } from "./fanstrip.ts";
import { frameOf } from "./frame.ts";
import { type ChartData, chartRows } from "./picture.ts";

/** Width of the plot in the static picture [px]. */
export const PLOT_WIDTH = 760;

/** Where the reader points: the CO2 of each series at one time; no rows until then. */
interface MomentRow {
	readonly key: string;
	readonly t: number;
	readonly c: number | null;
}

/** Data sets of a sawtooth chart whose plot is this wide [px]. */
export function sawtoothRows(picture: ChartData, widthPx: number) {
	const { line, band, fan } = chartRows(picture, widthPx);
	return { line, band, fan: barPoints(fan), moment: [] as readonly MomentRow[] };
}

/** CO2 of all schedules over one window with the ceiling as a labelled rule, above a strip that shows when each fan runs. */
export function sawtoothSpec(picture: ChartData, theme: ChartTheme): ChartSpec {
	const frame = frameOf(picture, theme);
	return {
		config: chartConfig(theme),
		padding: 4,
		spacing: 10,
		vconcat: [co2Plot(picture, frame, theme, PLOT_WIDTH), fanStrip(picture, frame, theme, PLOT_WIDTH)],
	} as ChartSpec;
}
