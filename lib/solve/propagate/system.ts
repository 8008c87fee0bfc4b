import type { Balance, Model } from "../../model/chamber.ts";
import { DAY, sinceMidnight } from "../../time.ts";

/** The right-hand side of the balance, in ppm above the supply air, set to a segment by `begin`. */
export interface System {
	/** Times are local from here on [s]: `startSeconds` is when local time is 0, `level` the fan's speed at that moment. */
	begin(startSeconds: number, on: boolean, level: number): void;
	/** Writes the slopes at a local time [ppm/s] into `slope` and returns it. */
	derivative<T extends Float64Array | number[]>(t: number, y: T, slope: T): T;
	/** Shortest time constant of air, exchange and sensor [s]; infinite when nothing moves. */
	shortestSeconds(fanRuns: boolean): number;
}

export function makeSystem(model: Model, b: Balance): System {
	const { stagnant, sensor, sensed } = b;
	const { source, intakeExcess, intakePpm } = model;
	let origin = 0;
	let tau = 0;
	let target = 0;
	let away = 0;
	const give = (t: number, x: number) =>
		source === undefined ? model.generationM3PerS : source.m3PerS(sinceMidnight(origin + t), intakePpm + x);
	return {
		begin(startSeconds, on, level) {
			origin = startSeconds;
			tau = (on ? model.spinUpTauSeconds : model.coastDownTauSeconds) ?? 0;
			target = on ? 1 : 0;
			away = tau > 0 ? level - target : 0;
		},
		derivative(t, y, slope) {
			const x = y[0]!;
			const fan = away === 0 ? target : target + away * Math.exp(-t / tau);
			const g = give(t, x);
			const drawn = intakeExcess === undefined ? 0 : intakeExcess.ppmAt(sinceMidnight(origin + t));
			slope[0] = b.riseMixed * g - (b.infiltrationPerS + b.fanPerS * fan) * (x - drawn);
			if (stagnant >= 0) {
				const z = y[stagnant]!;
				const h = source?.isPpmDependent ? give(t, z) : g;
				slope[0]! += b.interzonalMixedPerS * (z - x);
				slope[stagnant] = b.riseStagnant * h + b.interzonalStagnantPerS * (x - z);
			}
			if (sensor >= 0) slope[sensor] = b.sensorPerS * (y[sensed]! - y[sensor]!);
			return slope;
		},
		shortestSeconds(fanRuns) {
			const fastest = Math.max(
				b.infiltrationPerS + (fanRuns ? b.fanPerS : 0) + b.interzonalMixedPerS,
				b.interzonalStagnantPerS,
				b.sensorPerS,
			);
			return fastest > 0 ? 1 / fastest : Number.POSITIVE_INFINITY;
		},
	};
}

/** Times inside a segment at which source or intake air have a kink, in local time [s], ascending. */
export function findBreakpoints(model: Model, start: number, duration: number): number[] {
	const { source, intakeExcess } = model;
	const hasKinks = source?.isTimeVarying === true && source.breakpointsSeconds.length > 0;
	if (!hasKinks && intakeExcess === undefined) return [];
	const breakpoints = new Set<number>();
	const add = (times: readonly number[], period: number | null) => {
		if (times.length === 0) return;
		const first = period === null ? 0 : Math.floor(start / period);
		const last = period === null ? 0 : Math.floor((start + duration) / period);
		for (let k = first; k <= last; k++)
			for (const time of times) {
				const local = time + k * (period ?? 0) - start;
				if (local > 0 && local < duration) breakpoints.add(local);
			}
	};
	if (hasKinks) add(source.breakpointsSeconds, source.periodSeconds);
	if (intakeExcess !== undefined) add(intakeExcess.breakpointsSeconds, DAY);
	return [...breakpoints].sort((a, b) => a - b);
}
