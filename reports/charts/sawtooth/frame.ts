import { timeAxis, timeUnit } from "../axes.ts";
import { linear } from "../marks.ts";
import { type ChartTheme, strokeOf } from "../theme.ts";
import type { ChartData } from "./picture.ts";

/** What the plot and the fan strip below it share: the time axis, and each series' colour and dash. */
export interface Frame {
	readonly timeScale: object;
	/** [s] */
	readonly ticks: readonly number[];
	/** Vega expression of a tick's text. */
	readonly tickText: string;
	readonly timeTitle: string;
	readonly color: object;
	readonly dash: object;
}

const CLOCK =
	"format(floor(datum.value / 3600) % 24, '02d') + ':' + format(floor(datum.value / 60) % 60, '02d')";

export function frameOf(picture: ChartData, theme: ChartTheme): Frame {
	const { windowSeconds, isTimeOfDay, timeTitle } = picture;
	const unit = timeUnit(windowSeconds);
	const keys = picture.series.map((_, place) => String(place));
	const strokes = keys.map((_, place) => strokeOf(theme, place));
	const bySeries = (range: readonly unknown[]) => ({
		field: "key",
		type: "nominal",
		scale: { domain: keys, range },
		legend: null,
	});
	return {
		timeScale: linear(0, windowSeconds),
		ticks: timeAxis(0, windowSeconds, unit).ticks.map((tick) => tick * unit.seconds),
		tickText: isTimeOfDay ? CLOCK : `format(datum.value / ${unit.seconds}, '~r')`,
		timeTitle: isTimeOfDay ? timeTitle : `${timeTitle} (${unit.symbol})`,
		color: bySeries(strokes.map(({ color }) => color)),
		dash: bySeries(strokes.map(({ dash }) => dash)),
	};
}

/** A rule through the moment that the reader points at; all rows of its data stand at one time. */
export const momentRule = (theme: ChartTheme, time: object) => ({
	data: { name: "moment" },
	transform: [{ filter: "datum.key === '0'" }],
	mark: { type: "rule", color: theme.soft, strokeWidth: 1 },
	encoding: { x: time },
});
