import type { FlushCurve, Scenario, Substrate, Temperature } from "../scenario/scenario.ts";
import { co2VolumeM3 } from "./air.ts";
import type { Source } from "./chamber.ts";

const DAY = 86_400;

/** Temperature at a time [°C]: a cosine over the day around the mean. */
function celsiusAt(temperature: Temperature, seconds: number): number {
	const phase = (2 * Math.PI * (seconds - temperature.warmestSeconds)) / DAY;
	return temperature.mean.value + temperature.swing.value * Math.cos(phase);
}

/**
 * Multiplier of a flush at a time: low + (high - low)[σ((t - rise)/w) - σ((t - fall)/w)], σ logistic, w a quarter of the width.   (10)
 */
function flushFactor(flush: FlushCurve, seconds: number): number {
	const w = flush.width.value / 4;
	const rise = 1 / (1 + Math.exp(-(seconds - flush.rise.value) / w));
	const fall = 1 / (1 + Math.exp(-(seconds - flush.fall.value) / w));
	return flush.low.value + (flush.high.value - flush.low.value) * (rise - fall);
}

/** Rate at a time from a table, straight lines between, level before and after [kg/(kg s)]. */
function tableRate(rates: NonNullable<Substrate["rates"]>, seconds: number): number {
	const next = rates.findIndex((row) => row.timeSeconds > seconds);
	if (next === 0) return rates[0]!.rate.value;
	if (next === -1) return rates.at(-1)!.rate.value;
	const [a, b] = [rates[next - 1]!, rates[next]!];
	const share = (seconds - a.timeSeconds) / (b.timeSeconds - a.timeSeconds);
	return a.rate.value + share * (b.rate.value - a.rate.value);
}

/** CO2 of one substrate at a time, before inhibition [kg/s]. */
function kgPerS(substrate: Substrate, celsius: number, seconds: number): number {
	const { mass, rate, rates, stageFactor, q10, reference, flush } = substrate;
	return (
		mass.value *
		(rates === null ? rate.value : tableRate(rates, seconds)) *
		stageFactor.value *
		q10.value ** ((celsius - reference.value) / 10) *
		(flush === null ? 1 : flushFactor(flush, seconds))
	);
}

/**
 * CO2 given off by all the substrate of a scenario, as a pure gas at chamber conditions:
 *
 *     G = Σ mass · rate · Q10^((T - Tref)/10) · stage · flush(t) / (1 + C/Ki) · R T/(M p)      (11)
 *
 * @returns a number [m3/s] when it is constant, else a source
 */
export function respiration(scenario: Scenario): number | Source {
	const { substrate, chamber } = scenario;
	const pascal = chamber.pressure.value;
	const swings = chamber.temperature.swing.value > 0;
	const grows = substrate.some((s) => s.flush !== null || (s.rates !== null && s.rates.length > 1));
	const feels = substrate.some((s) => s.inhibition !== null);
	const uninhibited = (seconds: number) => {
		const celsius = celsiusAt(chamber.temperature, seconds);
		return substrate.map((s) => co2VolumeM3(kgPerS(s, celsius, seconds), celsius, pascal));
	};
	if (!swings && !grows && !feels) return uninhibited(0).reduce((sum, x) => sum + x, 0);
	// An integrator asks several times for the same moment: once a zone, and at the end of one step and the start of the next.
	let at = Number.NaN;
	let parts: number[] = [];
	return {
		m3PerS(timeSeconds, ppm) {
			if (timeSeconds !== at) {
				at = timeSeconds;
				if (swings || grows || parts.length === 0) parts = uninhibited(timeSeconds);
			}
			let sum = 0;
			for (let i = 0; i < parts.length; i++) {
				const half = substrate[i]!.inhibition;
				sum += half === null ? parts[i]! : parts[i]! / (1 + Math.max(ppm, 0) / half.value);
			}
			return sum;
		},
		variesInTime: swings || grows,
		variesWithPpm: feels,
		breaksSeconds: [...new Set(substrate.flatMap((s) => (s.rates ?? []).map((row) => row.timeSeconds)))]
			.filter((t) => t > 0)
			.sort((a, b) => a - b),
		repeatsSeconds: swings && !grows ? DAY : null,
		horizonSeconds: grows ? Math.ceil(Math.max(...substrate.map(lastChange)) / DAY) * DAY : DAY,
	};
}

/** When a substrate has done all it will [s]. */
function lastChange({ flush, rates }: Substrate): number {
	return Math.max(
		DAY,
		flush === null ? 0 : flush.fall.value + 2 * flush.width.value,
		rates?.at(-1)?.timeSeconds ?? 0,
	);
}
