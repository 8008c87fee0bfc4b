import type { FlushCurve, Scenario, Substrate, Temperature } from "../../scenario/scenario.ts";
import { co2VolumeM3 } from "../air/gaslaws.ts";
import type { Source } from "../chamber.ts";

const DAY = 86_400;

/** Temperature at a time [°C]: a cosine over the day around the mean. */
function celsiusAt(temperature: Temperature, seconds: number): number {
	const amplitude = temperature.amplitude.value;
	if (amplitude === 0) return temperature.mean.value;
	const phase = (2 * Math.PI * (seconds - temperature.warmestSeconds)) / DAY;
	return temperature.mean.value + amplitude * Math.cos(phase);
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
	if (next === 0) return rates[0]!.respirationRate.value;
	if (next === -1) return rates.at(-1)!.respirationRate.value;
	const [a, b] = [rates[next - 1]!, rates[next]!];
	const share = (seconds - a.timeSeconds) / (b.timeSeconds - a.timeSeconds);
	return a.respirationRate.value + share * (b.respirationRate.value - a.respirationRate.value);
}

/** CO2 of one substrate at a temperature and time, before inhibition [kg/s]. */
function substrateGeneration(substrate: Substrate): (celsius: number, seconds: number) => number {
	const { mass, respirationRate, rates, stageFactor, q10, reference, flush } = substrate;
	const perRate = mass.value * stageFactor.value;
	const perKelvin = Math.log(q10.value) / 10;
	return (celsius, seconds) =>
		perRate *
		(rates === null ? respirationRate.value : tableRate(rates, seconds)) *
		Math.exp(perKelvin * (celsius - reference.value)) *
		(flush === null ? 1 : flushFactor(flush, seconds));
}

/**
 * CO2 given off by all the substrate of a scenario, as a pure gas at chamber conditions:
 *
 *     G = Σ mass · rate · Q10^((T - Tref)/10) · stage · flush(t) / (1 + C/Ki) · R T/(M p)      (11)
 *
 * @returns a number [m3/s] when it is constant, else a source
 */
export function computeGeneration(scenario: Scenario): number | Source {
	const { substrate, chamber } = scenario;
	const pascal = chamber.pressure.value;
	const isSwinging = chamber.temperature.amplitude.value > 0;
	const isGrowing = substrate.some((s) => s.flush !== null || (s.rates !== null && s.rates.length > 1));
	const isInhibited = substrate.some((s) => s.halfInhibitionPpm !== null);
	const generate = substrate.map(substrateGeneration);
	const halves = substrate.map((s) => s.halfInhibitionPpm?.value ?? Number.POSITIVE_INFINITY);
	/** Each substrate's CO2 at the moment `at`, before inhibition [m3/s]. */
	const parts = new Float64Array(substrate.length);
	let at = Number.NaN;
	const update = (seconds: number) => {
		at = seconds;
		const celsius = celsiusAt(chamber.temperature, seconds);
		const m3PerKg = co2VolumeM3(1, celsius, pascal);
		for (let i = 0; i < parts.length; i++) parts[i] = m3PerKg * generate[i]!(celsius, seconds);
	};
	update(0);
	if (!isSwinging && !isGrowing && !isInhibited) return parts.reduce((sum, x) => sum + x, 0);
	return {
		m3PerS(timeSeconds, ppm) {
			// An integrator asks several times for one moment: once a zone, and at the seam of two steps.
			if (timeSeconds !== at && (isSwinging || isGrowing)) update(timeSeconds);
			let sum = 0;
			for (let i = 0; i < parts.length; i++) sum += parts[i]! / (1 + Math.max(ppm, 0) / halves[i]!);
			return sum;
		},
		isTimeVarying: isSwinging || isGrowing,
		isPpmDependent: isInhibited,
		breakpointsSeconds: [...new Set(substrate.flatMap((s) => (s.rates ?? []).map((row) => row.timeSeconds)))]
			.filter((t) => t > 0)
			.sort((a, b) => a - b),
		periodSeconds: isSwinging && !isGrowing ? DAY : null,
		horizonSeconds: isGrowing ? Math.ceil(Math.max(...substrate.map(lastChange)) / DAY) * DAY : DAY,
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
