import { type Picture, type Series, windowOf } from "./picture.ts";

/** A picture as short JSON: whole steps, each as the difference from the one before. */
export interface PackedPicture extends Omit<Picture, "series"> {
	/** Length of a time step [s] and height of a CO2 step [ppm]. */
	readonly step: readonly [seconds: number, ppm: number];
	readonly series: readonly {
		readonly name: string;
		readonly words: string;
		readonly t: readonly number[];
		readonly c: readonly number[];
		/** Starts and ends in turn. */
		readonly fan: readonly number[] | null;
	}[];
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

/** Packs a picture with steps far finer than a pixel. */
export function pack(picture: Picture): PackedPicture {
	const [first, last] = windowOf(picture);
	const second = 10 ** Math.floor(Math.log10((last - first) / 20_000));
	const ppm = 1;
	return {
		...picture,
		step: [second, ppm],
		series: picture.series.map((series) => ({
			name: series.name,
			words: series.words,
			t: differences(series.timesSeconds, second),
			c: differences(series.co2Ppm, ppm),
			fan:
				series.bursts &&
				differences(
					series.bursts.flatMap((burst) => [burst.startSeconds, burst.endSeconds]),
					second,
				),
		})),
	};
}

/** Undoes `pack`, to within half a step. */
export function unpack({ step, series, ...rest }: PackedPicture): Picture {
	const [second, ppm] = step;
	return {
		...rest,
		series: series.map(({ name, words, t, c, fan }): Series => {
			const edges = fan && sums(fan, second);
			return {
				name,
				words,
				timesSeconds: sums(t, second),
				co2Ppm: sums(c, ppm),
				bursts:
					edges &&
					Array.from({ length: edges.length >> 1 }, (_, index) => ({
						startSeconds: edges[2 * index] ?? 0,
						endSeconds: edges[2 * index + 1] ?? 0,
					})),
			};
		}),
	};
}
