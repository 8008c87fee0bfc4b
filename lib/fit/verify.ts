import { evaluateSchedule } from "../compare/compare.ts";
import { cleanSeries } from "../logs/clean/clean.ts";
import type { CleanSeries, Log } from "../logs/log.ts";
import { buildModel } from "../model/build.ts";
import { type Model, startModelAt } from "../model/chamber.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type RunStats, runStats } from "../solve/simulate.ts";
import { DAY, sinceMidnight } from "../time.ts";
import { checkCall } from "./checkcall.ts";
import { isTooSlow } from "./estimate/fitsearch.ts";
import { chooseCleaning, fitSeries } from "./fit.ts";
import type { FitName, FitOptions } from "./fitoptions.ts";
import type { Fit } from "./fittypes.ts";
import { compareDayNight, compareMeans } from "./logcomparison.ts";
import { statedAccuracyPpm } from "./model/accuracy.ts";
import { findSchedule } from "./model/fitrun.ts";
import { buildLoggedChamber } from "./model/loggedchamber.ts";
import { scaleSource } from "./model/throughsolver.ts";
import { findRetune } from "./retune.ts";
import { fitHumidity } from "./tests/humidity.ts";
import type { Verification } from "./verification.ts";

export type VerifyOptions = Pick<
	FitOptions,
	"schedule" | "phaseSeconds" | "keep" | "column" | "warmUpSeconds" | "temperature" | "fanState"
>;

/** A reading stands out of its neighbours' scatter by no more than so many standard deviations. */
const MAX_SCATTER = 4;

/**
 * Compares a log with what the scenario predicts for the schedule that ran, the sensor's response included.
 *
 * Only the initial values of the log and, when nobody noted them, phase and rate error of the timer are fitted. A second fit, of
 * CO2 output and, where the log determines it, of the flow, estimates what the chamber went through and what crop and fan do now.
 *
 * @param scenario as `parseScenario` gives it
 * @param log as `readLog` gives it
 * @param options which schedule ran, which column counts
 * @returns RMS residual and peaks [ppm], the verdict, and a setting for now
 * @throws InputError as `fitLog`
 *
 * Source: this project.
 * @example
 * const times = Array.from({ length: 121 }, (_, minute) => minute);
 * const log = readLog(["minutes,CO2 (ppm)", ...times.map((t) => `${t},${500 + 5 * t}`)].join("\n"));
 * verifyLog(parseScenario(starterScenario()), log, { schedule: "short and often" }).isWithin // => false
 */
export function verifyLog(scenario: Scenario, log: Log, options: VerifyOptions = {}): Verification {
	checkCall(scenario, log, options);
	return verifySeries(scenario, cleanSeries(log, chooseCleaning(scenario, options)), options);
}

/** As `verifyLog`, for a series that is cleaned already. */
export function verifySeries(
	scenario: Scenario,
	series: CleanSeries,
	options: VerifyOptions = {},
): Verification {
	const { name, schedule } = findSchedule(scenario, options.schedule);
	const base = buildModel(scenario);
	const chamber = buildLoggedChamber(scenario, series, options);
	// Samples that cannot show a cycle still show its mean.
	const averagesCycles =
		schedule?.kind === "cycle" &&
		series.fan === null &&
		options.phaseSeconds === undefined &&
		isTooSlow(series.log.sampleIntervalSeconds, schedule.onSeconds + schedule.offSeconds);
	// Prediction and refit hold the same values, so what is not known of them is in both alike.
	const as: FitOptions = { ...options, prior: [], exact: true, averagesCycles };
	// What the file itself calls uncertain belongs into the errors of what is refitted.
	const prior: readonly FitName[] = scenario.chamber.leak.low === null ? ["offset"] : ["leak", "offset"];
	const refit = { ...as, prior };
	// What crop and fan do now is told by the last day of a long log.
	const recent = selectLastDay(series);
	const both = averagesCycles ? null : fitSeries(scenario, recent, { ...refit, free: REFITTED });
	// A response that the file does not state is taken from the log where it shows one.
	const isResponseStated = scenario.sensor !== null && scenario.sensor.response.origin.kind !== "default";
	const logged = both?.parameters.find(({ name }) => name === "response");
	const told = isResponseStated || logged?.isIdentifiable !== true ? null : logged;
	const isFlowReliable =
		both !== null && (["generation", "flow"] as const).every((name) => isReliable(both, name));
	const free: readonly FitName[] = isFlowReliable ? REFITTED : ["generation"];
	const today = isFlowReliable ? both : fitSeries(scenario, recent, { ...refit, free });
	// The ceiling is compared with the readings as they are, not against what an offset might take off them.
	const whole = fitSeries(scenario, series, {
		...refit,
		free,
		prior: prior.filter((name) => name !== "offset"),
	});
	// Until a chamber has recovered from a door nothing can be compared.
	const held: FitOptions = told === null ? as : { ...as, fix: { response: told.value } };
	const predicted = fitSeries(scenario, whole.series, { ...held, free: [] });
	const estimated = estimateChamber(whole, chamber.model, scenario);
	const figures = compareMeans(predicted);
	const allowed = statedAccuracyPpm(scenario, figures.loggedMeanPpm);
	// No model talks a reading away: the peak is at least the highest reading less what neighbouring readings scatter.
	const { rmsPpm, lag1Autocorrelation } = whole.residuals;
	const scatterPpm = MAX_SCATTER * rmsPpm * Math.sqrt(1 - lag1Autocorrelation ** 2);
	const offsetPpm = scenario.sensor?.offset.value ?? 0;
	const { isAdequate } = whole.residuals;
	// Of a model that does not follow only the readings are left.
	const peakPpm = isAdequate
		? Math.max(estimated.peakPpm, averagesCycles ? 0 : figures.loggedPeakPpm - offsetPpm - scatterPpm)
		: figures.loggedPeakPpm - offsetPpm;
	const { on, ceiling } = scenario.target;
	const criterionPpm =
		on === "mean" ? estimated.meanPpm : on === "worst hour" ? estimated.maxHourlyMeanPpm : peakPpm;
	const check = (
		kind: Verification["checks"][number]["name"],
		value: number,
		most: number,
	): Verification["checks"][number] => ({
		name: kind,
		isWithin: Math.abs(value) <= most,
		value,
		allowed: most,
		unit: "ppm",
	});
	const { patternPpm } = whole.residuals;
	const checks = [
		...(averagesCycles
			? []
			: [check("agreement", predicted.residuals.rmsPpm, allowed), check("pattern", rmsPpm, patternPpm)]),
		check("mean", figures.loggedMeanPpm - figures.predictedMeanPpm, allowed),
		check("peak", criterionPpm, ceiling.value),
		check("trend", figures.trendPpm, allowed),
	];
	const isSettled = today.residuals.isAdequate && today.termination.reason !== "iteration limit";
	const generation = isSettled ? divideByAssumed(today, "generation") : null;
	const flow = isSettled && isFlowReliable ? divideByAssumed(today, "flow") : null;
	const isWithin = checks.every((one) => one.isWithin);
	const humidity = fitHumidity(whole);
	return {
		kind: "verification",
		scenario,
		series,
		scheduleName: name ?? "",
		fanFrom: predicted.fanFrom,
		temperature: chamber.temperature,
		isWithin,
		checks,
		rmsPpm: predicted.residuals.rmsPpm,
		accuracyPpm: allowed,
		loggedPeakPpm: figures.loggedPeakPpm,
		predictedReadingPeakPpm: figures.predictedPeakPpm,
		estimatedPeakPpm: isAdequate ? peakPpm : null,
		estimatedPeakStandardErrorPpm: isAdequate ? computePeakError(whole, chamber.model, scenario) : null,
		averagesCycles,
		response: isResponseStated
			? null
			: {
					seconds: predicted.parameters.find(({ name }) => name === "response")!.value,
					standardError: told?.standardError ?? null,
				},
		loggedMeanPpm: figures.loggedMeanPpm,
		predictedMeanPpm: figures.predictedMeanPpm,
		predictedPpm: schedule === null ? null : evaluateSchedule(scenario, base, schedule).criterion.valuePpm,
		...compareDayNight(predicted),
		generation,
		flow,
		...findRetune(
			scenario,
			today,
			chamber.temperature,
			{ generation, flow },
			criterionPpm > ceiling.value,
			isWithin,
		),
		...(humidity !== null && { humidity }),
		curve: predicted.curve,
		residuals: predicted.residuals,
		warnings: [
			...today.warnings.filter(({ code }) => code !== "inadequate model" && code !== "baseline step"),
			...whole.warnings.filter(({ code }) => code === "baseline step"),
		],
	};
}

/** Standard error of the estimated peak: by how much it moves with each fitted value, and how these go together. */
function computePeakError(fit: Fit, base: Model, scenario: Scenario): number | null {
	const { parameters, free, correlation } = fit;
	const best = estimateChamber(fit, base, scenario).peakPpm;
	const moved = free.map((name) => {
		const { standardError } = parameters.find((one) => one.name === name)!;
		if (standardError === null || !PEAK_DEPENDS_ON.includes(name)) return 0;
		const shifted = parameters.map((one) =>
			one.name === name ? { ...one, value: one.value + standardError } : one,
		);
		return estimateChamber({ ...fit, parameters: shifted }, base, scenario).peakPpm - best;
	});
	if (!moved.some((one) => one !== 0)) return null;
	const variance = moved.reduce(
		(sum, a, i) =>
			sum + moved.reduce((part, b, j) => part + (a === 0 || b === 0 ? 0 : a * b * correlation[i]![j]!), 0),
		0,
	);
	return Math.sqrt(Math.max(variance, 0));
}

const PEAK_DEPENDS_ON: readonly FitName[] = ["generation", "flow", "leak", "initialCo2"];

/** A log of more than two days, with all but its last day left out. */
function selectLastDay(series: CleanSeries): CleanSeries {
	const { timesSeconds, excluded } = series;
	const last = timesSeconds.at(-1) ?? 0;
	if (last <= 2 * DAY) return series;
	return { ...series, excluded: excluded.map((code, i) => (timesSeconds[i]! < last - DAY ? 1 : code)) };
}

/** What the chamber went through as the fitted values have it, between the samples too; `base` is the chamber in the time of the log. */
function estimateChamber(fit: Fit, base: Model, scenario: Scenario): RunStats {
	const value = (name: FitName) => fit.parameters.find((one) => one.name === name)!.value;
	const factor = base.generationM3PerS > 0 ? value("generation") / base.generationM3PerS : 1;
	const { bursts, timesSeconds, excluded } = fit.curve;
	// The start that was found is that of the first reading that counts.
	const from = timesSeconds[excluded.indexOf(0)] ?? 0;
	const { source } = startModelAt(base, sinceMidnight(from));
	const durationSeconds = Math.max((timesSeconds.at(-1) ?? 0) - from, 1);
	const onAtStart = bursts.some(({ startSeconds, endSeconds }) => startSeconds <= from && endSeconds > from);
	const switches = bursts
		.flatMap(({ startSeconds, endSeconds }) => [startSeconds - from, endSeconds - from])
		.filter((time) => time > 0 && time < durationSeconds);
	return runStats(
		{
			...base,
			generationM3PerS: base.generationM3PerS * factor,
			...(source === undefined ? {} : { source: scaleSource(source, factor) }),
			deliveredM3PerS: value("flow"),
			infiltrationM3PerS: value("leak"),
			// The bursts are the equal square ones already.
			spinUpTauSeconds: 0,
			coastDownTauSeconds: 0,
		},
		{ kind: "switches", switchSeconds: switches, startsWith: onAtStart ? "on" : "off" },
		{ durationSeconds, startPpm: value("initialCo2"), ceilingPpm: scenario.target.ceiling.value },
	);
}

/** A wrong lag would push leak and respiration about, so it is refitted with them. */
const REFITTED: readonly FitName[] = ["generation", "flow", "response"];
/** Relative error up to which a value refitted beside another one is believed. */
const MAX_RELATIVE_ERROR = 0.2;

function isReliable({ parameters }: Fit, name: FitName): boolean {
	const one = parameters.find((parameter) => parameter.name === name);
	return (
		one !== undefined &&
		one.standardError !== null &&
		one.standardError <= MAX_RELATIVE_ERROR * Math.abs(one.value)
	);
}

/** A refitted value over where its search started, which is what the scenario has for this log. */
function divideByAssumed(fit: Fit, name: FitName): Verification["generation"] {
	const one = fit.parameters.find((parameter) => parameter.name === name);
	if (one === undefined || one.standardError === null || !(one.initial > 0)) return null;
	return { factor: one.value / one.initial, standardError: one.standardError / one.initial };
}
