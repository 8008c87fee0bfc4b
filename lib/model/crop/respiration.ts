import type { FlushCurve, Scenario, Substrate, Temperature } from "../../scenario/scenario.ts";
import { DAY, MIDNIGHT, type SecondsSinceMidnight } from "../../time.ts";
import { co2VolumeM3 } from "../air/gaslaws.ts";
import type { Source } from "../chamber.ts";

/** Temperature of a chamber over time. */
export interface TemperatureProfile {
	/** [°C] */
	celsiusAt(time: SecondsSinceMidnight): number;
	/** It is not the same all the time. */
	readonly isTimeVarying: boolean;
	/** Period after which it repeats [s]; null when it never does. */
	readonly periodSeconds: number | null;
	/** Times by the clock at which it has a kink [s], ascending. */
	readonly breakpointsSeconds: readonly number[];
}

/** The temperature that a scenario has: a cosine over the day around the mean. */
export function createTemperatureProfile({
	mean,
	amplitude,
	warmestSeconds,
}: Temperature): TemperatureProfile {
	const [celsius, by] = [mean.value, amplitude.value];
	return {
		celsiusAt: (time) =>
			by === 0 ? celsius : celsius + by * Math.cos((2 * Math.PI * (time - warmestSeconds)) / DAY),
		isTimeVarying: by > 0,
		periodSeconds: DAY,
		breakpointsSeconds: [],
	};
}

/**
 * Multiplier of a flush at a time: low + (high - low)[σ((t - rise)/w) - σ((t - fall)/w)], σ logistic, w a quarter of the width.   (10)
 */
function flushFactor(flush: FlushCurve, seconds: SecondsSinceMidnight): number {
	const w = flush.width.value / 4;
	const rise = 1 / (1 + Math.exp(-(seconds - flush.rise.value) / w));
	const fall = 1 / (1 + Math.exp(-(seconds - flush.fall.value) / w));
	return flush.low.value + (flush.high.value - flush.low.value) * (rise - fall);
}

/** Rate at a time from a table, straight lines between, level before and after [kg/(kg s)]. */
function tableRate(rates: NonNullable<Substrate["rates"]>, seconds: SecondsSinceMidnight): number {
	const next = rates.findIndex((row) => row.timeSeconds > seconds);
	if (next === 0) return rates[0]!.respirationRate.value;
	if (next === -1) return rates.at(-1)!.respirationRate.value;
	const [a, b] = [rates[next - 1]!, rates[next]!];
	const share = (seconds - a.timeSeconds) / (b.timeSeconds - a.timeSeconds);
	return a.respirationRate.value + share * (b.respirationRate.value - a.respirationRate.value);
}

/** CO2 of one substrate at a temperature and time, before inhibition [kg/s]. */
function substrateGeneration(
	substrate: Substrate,
): (celsius: number, seconds: SecondsSinceMidnight) => number {
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
 * @param temperature of the chamber; by default as the scenario has it
 * @returns a number [m3/s] when it is constant, else a source
 */
export function computeGeneration(
	scenario: Scenario,
	temperature: TemperatureProfile = createTemperatureProfile(scenario.chamber.temperature),
): number | Source {
	const { substrate, chamber } = scenario;
	const pascal = chamber.pressure.value;
	const isSwinging = temperature.isTimeVarying;
	const isChanging = substrate.some(isGrowing);
	const isInhibited = substrate.some((s) => s.halfInhibitionPpm !== null);
	const generate = substrate.map(substrateGeneration);
	const halves = substrate.map((s) => s.halfInhibitionPpm?.value ?? Number.POSITIVE_INFINITY);
	/** Each substrate's CO2 at the moment `at`, before inhibition [m3/s]. */
	const parts = new Float64Array(substrate.length);
	let at = Number.NaN;
	const update = (time: SecondsSinceMidnight) => {
		at = time;
		const celsius = temperature.celsiusAt(time);
		const m3PerKg = co2VolumeM3(1, celsius, pascal);
		for (let i = 0; i < parts.length; i++) parts[i] = m3PerKg * generate[i]!(celsius, time);
	};
	update(MIDNIGHT);
	if (!isSwinging && !isChanging && !isInhibited) return parts.reduce((sum, x) => sum + x, 0);
	return {
		m3PerS(time, ppm) {
			// An integrator asks several times for one moment: once a zone, and at the seam of two steps.
			if (time !== at && (isSwinging || isChanging)) update(time);
			let sum = 0;
			for (let i = 0; i < parts.length; i++) sum += parts[i]! / (1 + Math.max(ppm, 0) / halves[i]!);
			return sum;
		},
		isTimeVarying: isSwinging || isChanging,
		isPpmDependent: isInhibited,
		breakpointsSeconds: [
			...new Set([
				...substrate.flatMap((s) => (s.rates ?? []).map((row) => row.timeSeconds)).filter((t) => t > 0),
				...temperature.breakpointsSeconds,
			]),
		].sort((a, b) => a - b),
		periodSeconds: isSwinging && !isChanging ? temperature.periodSeconds : null,
		horizonSeconds: isChanging ? Math.ceil(Math.max(...substrate.map(lastChange)) / DAY) * DAY : DAY,
	};
}

/** What a substrate gives off changes over the days. */
export const isGrowing = ({ flush, rates }: Substrate): boolean =>
	flush !== null || (rates !== null && rates.length > 1);

/** When a substrate has done all it will [s]. */
function lastChange({ flush, rates }: Substrate): number {
	return Math.max(
		DAY,
		flush === null ? 0 : flush.fall.value + 2 * flush.width.value,
		rates?.at(-1)?.timeSeconds ?? 0,
	);
}
