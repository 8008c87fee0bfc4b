import type { Trace } from "./sawtooth.ts";

/** Steps of the slider over the window. */
export const STEPS = 240;

/** What a reading line reads: every curve at each of its steps, from a low to a high value where cycles are shorter than a step. */
export interface Readings {
	readonly spanSeconds: number;
	readonly isTimeOfDay: boolean;
	readonly series: readonly (readonly [name: string, low: readonly number[], high: readonly number[]])[];
}

export function readingsOf(
	spanSeconds: number,
	isTimeOfDay: boolean,
	curves: readonly { readonly name: string; readonly trace: Trace; readonly cycleSeconds: number | null }[],
): Readings {
	const step = spanSeconds / STEPS;
	const series = curves.map(({ name, trace: { timesSeconds, co2Ppm }, cycleSeconds }) => {
		const [low, high]: [number[], number[]] = [[], []];
		const isRange = cycleSeconds !== null && cycleSeconds < 4 * step;
		let i = 0;
		for (let k = 0; k <= STEPS; k++) {
			const t = k * step;
			while (i < timesSeconds.length - 2 && timesSeconds[i + 1]! < t) i++;
			const [a, b] = [timesSeconds[i]!, timesSeconds[i + 1] ?? timesSeconds[i]!];
			const share = b > a ? Math.min(1, Math.max(0, (t - a) / (b - a))) : 0;
			const at = co2Ppm[i]! + share * ((co2Ppm[i + 1] ?? co2Ppm[i]!) - co2Ppm[i]!);
			let [least, most] = [at, at];
			if (isRange)
				for (let j = i; j >= 0 && timesSeconds[j]! > t - cycleSeconds!; j--) {
					least = Math.min(least, co2Ppm[j]!);
					most = Math.max(most, co2Ppm[j]!);
				}
			low.push(Math.round(least));
			high.push(Math.round(most));
		}
		return [name, low, high] as const;
	});
	return { spanSeconds, isTimeOfDay, series };
}
