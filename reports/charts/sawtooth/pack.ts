import { powerOfTen } from "../../../lib/power.ts";
import type { ChartData, Series } from "./picture.ts";

/** A picture as short JSON: whole steps, each as the difference from the one before. */
export interface PackedChartData extends Omit<ChartData, "series"> {
	/** Length of a time step [s]; a CO2 step is 1 ppm. */
	readonly stepSeconds: number;
	readonly series: readonly (Omit<Series, "timesSeconds" | "co2Ppm" | "fan"> & {
		readonly t: readonly number[];
		readonly c: readonly number[];
		readonly fan: {
			/** Starts and ends in turn. */
			readonly edges: readonly number[];
			/** Places of the bursts that stand for several. */
			readonly merged: readonly number[];
			readonly cycleSeconds: number | null;
		};
	})[];
}

const differences = (values: ArrayLike<number>, step: number): number[] => {
	let before = 0;
	return Array.from(values, (value) => {
		const now = Math.round(value / step);
		const change = now - before;
		before = now;
		return change;
	});
};

const sums = (changes: readonly number[], step: number): Float64Array => {
	let now = 0;
	return Float64Array.from(changes, (change) => {
		now += change;
		return now * step;
	});
};

/** Packs a picture in steps far finer than a pixel. */
export function pack(picture: ChartData): PackedChartData {
	const stepSeconds = powerOfTen(Math.floor(Math.log10(picture.windowSeconds / 20_000)));
	return {
		...picture,
		stepSeconds,
		series: picture.series.map(({ timesSeconds, co2Ppm, fan, ...series }) => ({
			...series,
			t: differences(timesSeconds, stepSeconds),
			c: differences(co2Ppm, 1),
			fan: {
				edges: differences(
					fan.bursts.flatMap((burst) => [burst.startSeconds, burst.endSeconds]),
					stepSeconds,
				),
				merged: fan.bursts.flatMap((burst, place) => (burst.isMerged ? [place] : [])),
				cycleSeconds: fan.cycleSeconds,
			},
		})),
	};
}

/** Undoes `pack`, to within half a step. */
export const unpack = ({ stepSeconds, series, ...rest }: PackedChartData): ChartData => ({
	...rest,
	series: series.map(({ t, c, fan, ...own }) => {
		const edges = sums(fan.edges, stepSeconds);
		const bursts = Array.from({ length: edges.length >> 1 }, (_, place) => ({
			startSeconds: edges[2 * place]!,
			endSeconds: edges[2 * place + 1]!,
			isMerged: fan.merged.includes(place),
		}));
		return {
			...own,
			timesSeconds: sums(t, stepSeconds),
			co2Ppm: sums(c, 1),
			fan: { bursts, cycleSeconds: fan.cycleSeconds },
		};
	}),
});
