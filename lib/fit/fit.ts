import { type CleanOptions, cleanSeries, excludeDoorOpenings } from "../logs/clean/clean.ts";

import type { CleanSeries, Log } from "../logs/log.ts";
import type { Model } from "../model/chamber.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Parameter } from "../statistics/leastsquares.ts";
import { writeChange } from "./changes.ts";
import { checkCall } from "./checkcall.ts";
import { splitDays } from "./days.ts";
import { type Estimate, estimate, type FitSamples } from "./estimate/estimate.ts";
import { type FitPlan, planParameters } from "./estimate/fitplan.ts";
import { checkEnough, listInitials, searchBest } from "./estimate/fitsearch.ts";
import { findLackOfFit } from "./estimate/lackoffit.ts";
import { findRecoveries } from "./estimate/recovery.ts";
import { collectPatterns } from "./estimate/residualpatterns.ts";
import { computeResiduals } from "./estimate/residuals.ts";
import { findStep, withRounding } from "./estimate/rounding.ts";
import { findOtherSchedule, onTimeWaves } from "./estimate/schedulecheck.ts";
import { settleTest } from "./estimate/settle.ts";
import { findShift } from "./estimate/shiftsearch.ts";
import type { FitName, FitOptions } from "./fitoptions.ts";
import { type Attempt, type Judged, reportFit } from "./fitreport.ts";
import type { Fit } from "./fittypes.ts";
import { stepName, withBaselineSteps } from "./model/baselinesteps.ts";
import {
	type CropShape,
	findCropNames,
	fixCrop,
	planShape,
	withCrop,
	withCropShape,
	withTrend,
} from "./model/cropshape.ts";
import { averageOverPhases } from "./model/cycleaverage.ts";
import { createFitModel, type FanRun, type FitModel } from "./model/fitmodel.ts";
import { findFanHistory, findSchedule, listOnSeconds } from "./model/fitrun.ts";
import { buildLoggedChamber } from "./model/loggedchamber.ts";
import { findBursts } from "./model/switchevents.ts";
import { fitBursts } from "./tests/fieldtests.ts";
import { fitHumidity } from "./tests/humidity.ts";

/**
 * Estimates the values of a scenario from a log of CO2: CO2 output, delivered flow, leakage, sensor response, each with its standard error.
 *
 * @param scenario as `parseScenario` gives it
 * @param log as `readLog` gives it
 * @param options which test was run, what is free or fixed, which schedule ran
 * @returns estimates with standard errors and 95 % intervals [m3/s], [s], [ppm], what cannot be determined, and changes to write back
 * @throws InputError when the log holds too few readings, when it is not clear which schedule ran, or for an option that makes no sense
 *
 * Source: this project; generalised least squares with first-order autoregressive residuals.
 * @example
 * const times = Array.from({ length: 121 }, (_, minute) => minute);
 * const log = readLog(["minutes,CO2 (ppm)", ...times.map((t) => `${t},${500 + 5 * t}`)].join("\n"));
 * fitLog(parseScenario(starterScenario()), log, { test: "rise" }).parameters.length > 0 // => true
 */
export function fitLog(scenario: Scenario, log: Log, options: FitOptions = {}): Fit {
	checkCall(scenario, log, options);
	const fit = fitSeries(scenario, cleanSeries(log, chooseCleaning(scenario, options)), options);
	const humidity = fitHumidity(fit);
	if (humidity === null) return fit;
	const { value, standardError } = humidity.evaporation;
	const change = writeChange("water.evaporation", value, standardError, 3600, "m3/h");
	return { ...fit, humidity, changes: humidity.isIdentifiable ? [...fit.changes, change] : fit.changes };
}

/** How a log is cleaned for these options: what is kept, which channel, and the bursts that are no door openings. */
export function chooseCleaning(
	scenario: Scenario,
	options: Pick<FitOptions, "keep" | "column" | "warmUpSeconds" | "schedule" | "test" | "fanState">,
): CleanOptions {
	const { schedule } = findSchedule(scenario, options.schedule, options.test);
	return {
		...(options.keep === undefined ? {} : { keep: options.keep }),
		...(options.column === undefined ? {} : { column: options.column }),
		...(options.warmUpSeconds === undefined ? {} : { warmUpSeconds: options.warmUpSeconds }),
		...(schedule?.kind === "cycle" ? { schedule } : {}),
		fanState: options.fanState,
		isAperiodic: schedule?.kind === "daily" || schedule?.kind === "switches",
	};
}

/** As `fitLog`, for a series that is cleaned already. */
export function fitSeries(file: Scenario, series: CleanSeries, all: FitOptions = {}): Fit {
	const test = all.test ?? "log";
	const { scenario, options: asked } = fixCrop(file, all);
	// How the crop changes is found on top of what else is asked for.
	const cropNames = findCropNames(asked.free);
	const { free: named, ...rest } = asked;
	const others = named?.filter((name) => name !== "flush" && !cropNames.some((one) => one === name));
	const isOnTop = others === undefined || (others.length === 0 && cropNames.length > 0);
	const options: FitOptions = isOnTop ? rest : { ...rest, free: others };
	if (test === "bursts")
		return fitBursts(scenario, series, {
			...asked,
			burstSeconds: asked.burstSeconds ?? listOnSeconds(scenario, asked),
		});
	const until = series.timesSeconds.at(-1) ?? 0;
	const chamber = buildLoggedChamber(scenario, series, options);
	const base = chamber.model;
	const run = findFanHistory(scenario, series, options);
	const days = options.days === true ? splitDays(series.log, until) : [];
	const isLog = test === "log";
	const stepPpm = findStep(series);
	const { fan } = run;
	const cycle =
		fan.kind === "scheduled" &&
		fan.schedule.kind === "cycle" &&
		fan.schedule.onSeconds > 0 &&
		fan.schedule.offSeconds > 0 &&
		options.averagesCycles !== true
			? fan.schedule
			: null;
	/** The chamber with a crop that changes so. */
	const cropOf = (shape: CropShape): Model => {
		const { model } = buildLoggedChamber(withCrop(scenario, shape), series, options);
		return withTrend(model, shape.get("trend") ?? 0, until);
	};

	/** A fit of the samples that count, with a shift of the baseline from each of these moments on; from the scenario's values or from those of the one before. */
	const attempt = (of: CleanSeries, stepsAt: readonly number[], before?: Attempt): Attempt => {
		const { timesSeconds, co2Ppm, excluded } = of;
		const samples: FitSamples = { timesSeconds, co2Ppm, excluded, stepSeconds: of.log.sampleIntervalSeconds };
		const modelOf = (chamber: Model, fan: FanRun) =>
			createFitModel(
				chamber,
				fan,
				until,
				days.map(({ fromSeconds }) => fromSeconds),
				undefined,
				timesSeconds[excluded.indexOf(0)],
			);
		const inner = modelOf(base, run.fan);
		const wholeOf = (inner: FitModel, fan: FanRun): FitModel => {
			const changing = withCropShape(inner, cropNames, (shape) => modelOf(cropOf(shape), fan));
			return withBaselineSteps(
				options.averagesCycles === true ? averageOverPhases(changing, run.seek) : changing,
				stepsAt,
			);
		};
		const model = wholeOf(inner, run.fan);
		const timer = cycle && {
			cycle,
			modelOf: (schedule: Schedule) => {
				const fan = { kind: "scheduled" as const, schedule };
				return wholeOf(modelOf(base, fan), fan);
			},
		};
		const planned = planParameters(scenario, chamber, of, inner, run, options, test);
		const plan: FitPlan = {
			...planned,
			parameters: [
				...planned.parameters,
				...cropNames.map((name) => planShape(scenario, name)),
				...stepsAt.map((_, k): Parameter => ({ name: stepName(k), initial: 0 })),
			],
		};
		checkEnough(plan.parameters, samples);
		const response = model.names.indexOf("response");
		const freeOf = (parameters: readonly Parameter[]) =>
			parameters.flatMap(({ fixed }, k) => (fixed === true ? [] : [k]));
		const isSought = freeOf(plan.parameters).some((k) => !NOT_SOUGHT.test(plan.parameters[k]!.name));
		let judged: Judged | null = null;
		const judge = (found: Estimate, planned: readonly Parameter[]): Judged => {
			if (judged?.found === found) return judged;
			const free = freeOf(planned);
			const looked = { model, samples, found, free };
			const patterns = !isSought
				? null
				: collectPatterns(looked, undefined, timer === null ? null : onTimeWaves(timer, found, samples));
			const residuals = computeResiduals(scenario, of, found, (accuracyPpm) =>
				patterns === null
					? []
					: findLackOfFit(
							{ ...looked, planned, patterns, stepPpm, timer },
							findBursts(model.switchEvents(found.least.values), until),
							found.least.values[response]!,
							accuracyPpm,
						),
			);
			judged = { found, free, patterns, residuals };
			return judged;
		};
		const search = (parameters: readonly Parameter[]): Estimate =>
			before === undefined
				? searchBest(
						model,
						samples,
						listInitials(parameters, base, run, samples, options),
						base,
						// A burst between two samples leaves a false minimum without any lag.
						(found) =>
							found.least.isAtBound[response] !== true && judge(found, parameters).residuals.isAdequate,
					)
				: estimate(
						model,
						samples,
						parameters.map((one, k) => ({ ...one, initial: before.found.least.values[k] ?? one.initial })),
					);
		const settled = settleTest(plan, search, options.free === undefined ? test : "log", base.intakePpm);
		const { plan: read, found } = settled;
		return {
			...settled,
			...judge(found, read.parameters),
			plan: { ...read, held: withRounding(read.held, options.exact === true ? 0 : stepPpm, found.noisePpm) },
			series: of,
			stepsAt,
			model,
			samples,
		};
	};

	const first = attempt(series, []);
	let at = first;
	for (let turn = 0; isLog && turn < MAX_DISTURBANCES; turn++) {
		const next = settleDisturbance(at, base, until, attempt, options);
		if (next === null) break;
		at = next;
	}
	if (at !== first) {
		// What a disturbance led astray need not find its way back alone.
		const again = attempt(at.series, at.stepsAt);
		if (again.found.noisePpm < at.found.noisePpm) at = again;
	}
	const { lackOfFit } = at.residuals;
	if (cycle !== null && options.exact !== true && lackOfFit.length > 0) {
		const other = findOtherSchedule(scenario, base, run, cycle, at, at.plan.parameters);
		at = { ...at, residuals: { ...at.residuals, lackOfFit: [...other, ...lackOfFit] } };
	}
	const shape: CropShape = new Map(
		cropNames.map((name) => [name, at.found.least.values[at.model.names.indexOf(name)]!]),
	);
	const learnt =
		cropNames.length === 0
			? { scenario, generationM3PerS: base.generationM3PerS }
			: { scenario: withCrop(scenario, shape), generationM3PerS: cropOf(shape).generationM3PerS };
	return reportFit(
		scenario,
		options,
		Object.keys(all.fix ?? {}),
		test,
		chamber,
		run,
		at,
		days,
		until,
		learnt,
	);
}

/** Starts and clock are found in any log; whether a model follows is asked where more is. */
const NOT_SOUGHT = /^(initialCo2|initialReading|phase|timerRateError|switchShift|offShift)$/;

/** Doors and shifts of the baseline are looked for so often; more shifts are a sensor that drifts. */
const MAX_DISTURBANCES = 5;
const MAX_STEPS = 2;

/** The fit once more, without doors until the chamber has recovered from them, or with a shift of the baseline; null where there is nothing more to be seen. */
function settleDisturbance(
	before: Attempt,
	base: Model,
	until: number,
	attempt: (of: CleanSeries, stepsAt: readonly number[], before: Attempt) => Attempt,
	{ keep = [] }: FitOptions,
): Attempt | null {
	const { series, stepsAt, model, found, patterns } = before;
	if (patterns === null) return null;
	const value = (name: FitName) => found.least.values[model.names.indexOf(name)]!;
	if (!keep.includes("door opening")) {
		const onSeconds = findBursts(model.switchEvents(found.least.values), until).reduce(
			(sum, { startSeconds, endSeconds }) => sum + endSeconds - startSeconds,
			0,
		);
		const air = value("leak") + ((base.mixingEfficiency ?? 1) * value("flow") * onSeconds) / until;
		const doors = findRecoveries(series, found.readingPpm, {
			airChangesPerS: air / base.volumeM3,
			responseSeconds: value("response"),
		});
		const without = excludeDoorOpenings(series, doors);
		if (without.excluded.some((code, i) => code !== series.excluded[i]))
			return attempt(without, stepsAt, before);
	}
	if (keep.includes("baseline step") || stepsAt.length >= MAX_STEPS) return null;
	const shift = findShift(before, patterns);
	if (shift === null) return null;
	const next = attempt(series, [...stepsAt, series.timesSeconds[shift]!], before);
	return next.found.noisePpm < found.noisePpm ? next : null;
}
