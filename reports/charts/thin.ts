import type { Curve } from "../../lib/study/curves.ts";

/**
 * The same curve with at most `limit` points (four or more): first, last, lowest and highest of equal shares of its
 * points, so that no peak and no trough is lost.
 */
export function thinned(curve: Curve, limit: number): Curve {
	const { timesSeconds, co2Ppm, sensorPpm } = curve;
	const count = timesSeconds.length;
	if (count <= limit) return curve;
	const shares = Math.max(1, Math.floor(limit / 4));
	const kept: number[] = [];
	for (let share = 0; share < shares; share++) {
		const from = Math.floor((share * count) / shares);
		const to = Math.floor(((share + 1) * count) / shares);
		let low = from;
		let high = from;
		for (let i = from; i < to; i++) {
			if (co2Ppm[i]! < co2Ppm[low]!) low = i;
			if (co2Ppm[i]! > co2Ppm[high]!) high = i;
		}
		kept.push(...new Set([from, Math.min(low, high), Math.max(low, high), to - 1]));
	}
	const pick = (values: Float64Array): Float64Array => Float64Array.from(kept, (index) => values[index]!);
	return {
		...curve,
		timesSeconds: pick(timesSeconds),
		co2Ppm: pick(co2Ppm),
		sensorPpm: sensorPpm && pick(sensorPpm),
	};
}
