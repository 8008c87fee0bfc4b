import { normalQuantile } from "../../lib/statistics/normal.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

/** A chamber, its timer and its logger; nothing of it comes from the library but the random numbers. */
export interface LoggedFan {
	readonly volumeM3: number;
	readonly intakePpm: number;
	/** [m3/s] */
	readonly generation: number;
	readonly flow: number;
	readonly leak: number;
	readonly responseSeconds: number;
	readonly onSeconds: number;
	readonly offSeconds: number;
	/** When the first burst begins [s]. */
	readonly firstSeconds: number;
	readonly stepSeconds: number;
	readonly lengthSeconds: number;
	readonly noisePpm: number;
	/** What a logger writes of the fan. */
	readonly kind: "now" | "since" | "fraction";
	readonly seed: number;
}

/** The file that the logger writes: time, CO2, fan. */
export function writeLoggedFan(of: LoggedFan): string {
	const { volumeM3, stepSeconds, onSeconds, offSeconds, firstSeconds, responseSeconds, kind } = of;
	const random = seededUniform(of.seed);
	const period = onSeconds + offSeconds;
	/** On since the beginning of the log [s], up to a moment. */
	const onUpTo = (t: number): number => {
		const u = t - firstSeconds + period;
		return Math.floor(u / period) * onSeconds + Math.min(u % period, onSeconds);
	};
	const isOn = (t: number): boolean => (t - firstSeconds + 2 * period) % period < onSeconds;
	const instants: number[] = [];
	for (let t = firstSeconds - period; t < of.lengthSeconds; t += period) instants.push(t, t + onSeconds);
	const k = 1 / responseSeconds;
	let x = of.intakePpm + 400;
	let r = x - 20;
	let now = 0;
	const advance = (to: number): void => {
		if (to <= now) return;
		const rate = (of.leak + (isOn((now + to) / 2) ? of.flow : 0)) / volumeM3;
		const level = of.intakePpm + (1e6 * of.generation) / volumeM3 / rate;
		const [a, b] = [Math.exp(-rate * (to - now)), Math.exp(-k * (to - now))];
		r = level + ((x - level) * k * (a - b)) / (k - rate) + (r - level) * b;
		x = level + (x - level) * a;
		now = to;
	};
	const rows = ["time (s),CO2 (ppm),fan"];
	let next = 0;
	for (let t = 0; t <= of.lengthSeconds; t += stepSeconds) {
		for (; next < instants.length && instants[next]! <= t; next++) advance(instants[next]!);
		advance(t);
		const on = onUpTo(t) - onUpTo(t - stepSeconds);
		const fan =
			kind === "now" ? Number(isOn(t)) : kind === "since" ? Number(on > 1e-9) : (on / stepSeconds).toFixed(4);
		rows.push(`${t},${Math.round(r + of.noisePpm * normalQuantile(random()))},${fan}`);
	}
	return rows.join("\n");
}
