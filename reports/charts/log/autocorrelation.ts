import { power } from "../../../lib/power.ts";
import { plainAxis, timeUnit } from "../axes.ts";
import type { CurvePlot } from "../curveplot.ts";

/** How alike residuals are that lie so many usual steps apart. */
interface AutocorrelationChartData {
	readonly stepSeconds: number;
	/** At 0, 1, 2 … steps. */
	readonly values: readonly number[];
	/** Of neighbours, as the errors count it. */
	readonly lag1: number;
	/** Samples that it was worked out from. */
	readonly used: number;
}

/** 95 % of a normal distribution, in standard deviations. */
const Z = 1.96;

/** A bar for each distance, the fading that the errors reckon with, and what chance alone would show. */
export function autocorrelationPlot(picture: AutocorrelationChartData): CurvePlot {
	const { stepSeconds, values, lag1, used } = picture;
	const last = Math.max(values.length - 1, 1);
	const unit = timeUnit(last * stepSeconds);
	const at = (steps: number): number => (steps * stepSeconds) / unit.seconds;
	const chance = Z / Math.sqrt(Math.max(used, 1));
	const low = Math.min(-0.2, -1.2 * chance, ...values);
	const y = plainAxis(low < -0.2 ? Math.max(-1, 1.1 * low) : low, 1, 5);
	const end = at(last + 0.5);
	return {
		x: { title: `apart (${unit.symbol})`, ...plainAxis(at(-0.5), end, 8) },
		y: { title: "correlation of residuals", ...y },
		curves: [
			{
				name: "found in the residuals",
				place: 0,
				points: values.flatMap((value, k) => [
					{ x: at(k), y: 0 },
					{ x: at(k), y: value },
					{ x: at(k), y: Number.NaN },
				]),
			},
			{
				name: "as the errors reckon with it",
				place: 1,
				points: values.map((_, k) => ({ x: at(k), y: power(lag1, k) })),
			},
			{
				name: "between these lines: chance alone",
				place: 2,
				points: [
					{ x: at(-0.5), y: chance },
					{ x: end, y: chance },
					{ x: end, y: Number.NaN },
					{ x: at(-0.5), y: -chance },
					{ x: end, y: -chance },
				],
			},
		],
	};
}
