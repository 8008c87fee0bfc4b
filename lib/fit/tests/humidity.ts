import { buildModel } from "../../model/build.ts";
import type { Model } from "../../model/chamber.ts";
import { buildHumidity } from "../../model/humidity.ts";
import { humidityZones } from "../../model/humidityzones.ts";
import type { SwitchesSchedule } from "../../model/schedule/schedule.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { compileSwitched, startSwitched, walkSwitched } from "../../solve/zones/switchedwalk.ts";
import { lag1Autocorrelation } from "../../statistics/autocorrelation.ts";
import { leastSquares } from "../../statistics/leastsquares.ts";
import { DAY } from "../../time.ts";
import type { Fit, HumidityFit } from "../fittypes.ts";

/** Readings that are asked for at least, and the misses beyond which the model does not follow the log [% RH]. */
const MIN_READINGS = 30;
const MAX_RMS_PERCENT = 5;
/** Error against the value, up to which it is written back. */
const MAX_RELATIVE_ERROR = 0.3;
/** Slopes are taken over this share of a value. */
const NUDGE = 1e-4;

/** Bursts as a list of switches from the first sample on. */
function switchesOf(bursts: Fit["curve"]["bursts"]): SwitchesSchedule {
	const startsOn = (bursts[0]?.startSeconds ?? 1) <= 0;
	const times = bursts.flatMap(({ startSeconds, endSeconds }) => [startSeconds, endSeconds]);
	return { kind: "switches", switchSeconds: times.filter((t) => t > 0), startsWith: startsOn ? "on" : "off" };
}

/**
 * Evaporation, and the output of a humidifier, from the one humidity column of a log: CO2 sees the leak, humidity the leak and K.
 * @returns null where the scenario has no `water`, or the log no such column
 */
export function fitHumidity(fit: Fit): HumidityFit | null {
	const { scenario: file, series, curve, parameters } = fit;
	const channels = series.log.channels.filter(({ kind }) => kind === "humidity");
	if (file.water === null || fit.test !== "log" || channels.length !== 1) return null;
	const [channel] = channels;
	const places = Array.from(series.log.timesSeconds.keys()).filter((i) => channel!.values[i]! >= 0);
	if (places.length < MIN_READINGS) return null;
	const times = places.map((i) => series.log.timesSeconds[i]!);
	const logged = places.map((i) => 100 * channel!.values[i]!);
	const fitted = (name: "flow" | "leak" | "generation") => parameters.find((one) => one.name === name);
	const { source: _, ...base } = buildModel(file);
	const air: Model = {
		...base,
		deliveredM3PerS: fitted("flow")?.value ?? base.deliveredM3PerS,
		generationM3PerS: fitted("generation")?.value ?? base.generationM3PerS,
		infiltrationM3PerS: fitted("leak")?.value ?? base.infiltrationM3PerS,
	};
	const scenario = atCelsius(file, fit.conditions.celsius);
	const schedule = switchesOf(curve.bursts);
	const hasMist = file.water.humidifier !== null;
	const damp = buildHumidity(scenario, air)!;
	const unit = Math.max(damp.evaporationM3PerS, 1e-6);

	/** The humidity at the readings, its mean and the time that the humidifier is on. */
	const run = ([k, mist, start]: Iterable<number>, through: Model) => {
		const water = { ...file.water!, evaporation: { ...file.water!.evaporation, value: k! * unit } };
		const own = { ...buildHumidity({ ...scenario, water }, through)!, outputGPerS: mist! * damp.outputGPerS };
		const compiled = compileSwitched(humidityZones(own, schedule));
		const shown: number[] = [];
		let [integral, mistSeconds, next] = [0, 0, 0];
		const end = times.at(-1)!;
		walkSwitched(compiled, end + 1e-6, startSwitched(compiled, start!), {
			onSolution(piece, isOn) {
				const to = piece.startSeconds + piece.durationSeconds;
				for (; next < times.length && times[next]! <= to; next++)
					shown.push(piece.ppmAt(0, Math.max(0, times[next]! - piece.startSeconds)));
				integral += piece.integralTo(0, piece.durationSeconds);
				if (isOn[1] === true) mistSeconds += piece.durationSeconds;
			},
		});
		return { own, shown, meanPercent: integral / end, mistShare: mistSeconds / end };
	};
	const solve = (observed: readonly number[], through = air, from: ArrayLike<number> = [1, 1]) =>
		leastSquares(
			{
				parameters: [
					{ name: "evaporation", initial: from[0]!, lower: 1e-4, upper: 1e4 },
					{ name: "mist", initial: from[1]!, lower: 0, upper: 1e3, fixed: !hasMist },
					{ name: "start", initial: Math.min(99, observed[0]!), lower: 0, upper: 100 },
				],
				rows(values, to) {
					const { shown } = run(values, through);
					const free = hasMist ? [0, 1, 2] : [0, 2];
					const moved = free.map((place) => {
						const step = -NUDGE * Math.max(values[place]!, 1e-3);
						const other = run(
							values.map((x, i) => (i === place ? x + step : x)),
							through,
						).shown;
						return other.map((x, i) => (x - shown[i]!) / step);
					});
					for (const [i, x] of shown.entries())
						to.add(
							observed[i]! - x,
							moved.map((column) => column[i]!),
						);
				},
			},
			{ costTolerance: 1e-9, stepTolerance: 1e-5, maxIterations: 30 },
		);
	const found = solve(logged);
	const { own, shown, meanPercent, mistShare } = run(found.values, air);
	const residuals = shown.map((x, i) => logged[i]! - x);
	const rmsPercent = Math.sqrt(residuals.reduce((sum, r) => sum + r * r, 0) / residuals.length);
	const rho = lag1Autocorrelation(residuals, times, series.log.sampleIntervalSeconds);
	const widened = Math.sqrt((1 + rho) / (1 - rho));
	const errorOf = (place: number, scale: number, others = 0) => {
		const one = found.standardErrors[place];
		return one == null ? null : Math.hypot(one * widened * scale, others);
	};
	// What the air of the fit is off by goes into K.
	const byAir = (["flow", "leak"] as const).map((name) => {
		const error = fitted(name)?.standardError ?? 0;
		const key = name === "flow" ? "deliveredM3PerS" : "infiltrationM3PerS";
		if (error === 0) return 0;
		return (
			unit * (solve(logged, { ...air, [key]: air[key] + error }, found.values).values[0]! - found.values[0]!)
		);
	});
	const evaporation = {
		value: found.values[0]! * unit,
		standardError: errorOf(0, unit, Math.hypot(...byAir)),
	};
	const higher = solve(
		logged.map((x) => Math.min(100, x + 1)),
		air,
		found.values,
	);
	const grams = DAY * own.saturationGPerM3;
	return {
		channel: channel!.name,
		evaporation,
		humidifierOutput: hasMist
			? {
					value: (found.values[1]! * damp.outputGPerS) / 1000,
					standardError: errorOf(1, damp.outputGPerS / 1000),
				}
			: null,
		shiftPerPercent: higher.values[0]! * unit - evaporation.value,
		rmsPercent,
		readings: times.length,
		evaporatedGPerDay: grams * evaporation.value * (1 - meanPercent / 100) + DAY * own.heatDrivenGPerS,
		humidifierGPerDay: DAY * own.outputGPerS * mistShare,
		isIdentifiable:
			evaporation.standardError !== null &&
			evaporation.standardError <= MAX_RELATIVE_ERROR * evaporation.value &&
			rmsPercent <= MAX_RMS_PERCENT,
	};
}

/** The scenario at the temperature of its log. */
function atCelsius(scenario: Scenario, celsius: number): Scenario {
	const { chamber } = scenario;
	const mean = { ...chamber.temperature.mean, value: celsius };
	return { ...scenario, chamber: { ...chamber, temperature: { ...chamber.temperature, mean } } };
}
