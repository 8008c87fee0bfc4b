import { type CleanOptions, cleanSeries } from "../logs/clean/clean.ts";

import type { CleanSeries, Log } from "../logs/log.ts";
import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { studentQuantile } from "../statistics/student.ts";
import { confoundedOf, nextTest } from "./advice.ts";
import { changesOf, togetherOf } from "./changes.ts";
import { dailyOf, dayName, daysOf, fitDays, type LogDay, withDay, writtenName } from "./days.ts";
import { ellipseOf, profileOf } from "./estimate/confidenceregions.ts";
import type { Estimate, Samples } from "./estimate/estimate.ts";
import { LABELS, plan } from "./estimate/fitplan.ts";
import { best, checkEnough, starts } from "./estimate/fitsearch.ts";
import { isTold, NOT_FOLLOWED, searchWarnings } from "./estimate/identifiability.ts";
import { residualsOf } from "./estimate/residuals.ts";
import type { Fit, FitName, FitOptions, FittedParameter } from "./fittypes.ts";
import { chamberThrough, type FitModel, fitModel } from "./model/fitmodel.ts";
import { fanRun, onTimes, type Run, schedulesRan } from "./model/fitrun.ts";
import { burstsOf } from "./model/switchevents.ts";
import { fitBursts } from "./tests/fieldtests.ts";

/**
 * What a log of CO2 teaches about a scenario.
 * @throws InputError when the log holds too few samples, when it is not clear which schedule ran, or for an option that makes no sense
 */
export function fitLog(scenario: Scenario, log: Log, options: FitOptions = {}): Fit {
	return fitSeries(scenario, cleanSeries(log, cleaningOf(scenario, options)), options);
}

/** How a log is cleaned for these options: what is kept, which channel, and the bursts that are no door openings. */
export function cleaningOf(
	scenario: Scenario,
	options: Pick<FitOptions, "keep" | "column" | "warmUpSeconds" | "schedule" | "test">,
): CleanOptions {
	const { schedule } = schedulesRan(scenario, options.schedule, options.test);
	return {
		...(options.keep === undefined ? {} : { keep: options.keep }),
		...(options.column === undefined ? {} : { column: options.column }),
		...(options.warmUpSeconds === undefined ? {} : { warmUpSeconds: options.warmUpSeconds }),
		...(schedule?.kind === "cycle" ? { schedule } : {}),
	};
}

/** As `fitLog`, for a series that is cleaned already. */
export function fitSeries(scenario: Scenario, series: CleanSeries, options: FitOptions = {}): Fit {
	const test = options.test ?? "log";
	if (test === "bursts")
		return fitBursts(scenario, series, {
			...options,
			burstSeconds: options.burstSeconds ?? onTimes(scenario, options),
		});
	const { timesSeconds, co2Ppm, excluded } = series;
	const samples: Samples = { timesSeconds, co2Ppm, excluded, stepSeconds: series.log.intervalSeconds };
	const until = timesSeconds.at(-1) ?? 0;
	const loaded = buildModel(scenario);
	// A decay is logged with crop and substrate out, unless respiration is sought with it.
	const empty = test === "decay" && options.free?.includes("respiration") !== true;
	const base = empty ? { ...loaded, volumeM3: scenario.chamber.volume.value } : loaded;
	const run = fanRun(scenario, series, options);
	const days = options.days === true ? daysOf(series.log, until) : [];
	const model = fitModel(
		base,
		run.fan,
		until,
		days.map(({ fromSeconds }) => fromSeconds),
	);
	const first = plan(scenario, base, series, model, run, options, test);
	checkEnough(first, samples);
	const found = best(model, samples, starts(first, base, run, samples, options));
	return report(scenario, series, options, test, base, run, model, found, days, until);
}

/** Starts matter to nobody, and days are too many. */
const NOT_PROFILED = /^(start|reading|respiration of .*)$/;

function report(
	scenario: Scenario,
	series: CleanSeries,
	options: FitOptions,
	test: "log" | "rise" | "decay",
	base: Model,
	run: Run,
	model: FitModel,
	found: Estimate,
	days: readonly LogDay[],
	until: number,
): Fit {
	const { least } = found;
	const t = studentQuantile(0.975, Math.max(least.degreesOfFreedom, 1));
	const planned = plan(scenario, base, series, model, run, options, test);
	const profiles =
		options.profile === true
			? planned.flatMap(({ name, fixed }, k) =>
					fixed === true || NOT_PROFILED.test(name) || least.standardErrors[k] === null
						? []
						: [profileOf(name as FitName, k, planned, found, t)],
				)
			: [];
	const bursts = burstsOf(model.edges(least.values), until);
	const untold = new Set(least.untold.flat());
	const parameters = planned.map((parameter, k): FittedParameter => {
		const name = parameter.name as FitName;
		const [label, dimension] = LABELS[name] ?? [`CO2 given off on ${dayName(days[k]!)}`, "flow" as const];
		const value = least.values[k]!;
		const standardError = parameter.fixed === true || untold.has(k) ? null : found.standardErrors[k]!;
		const profile = profiles.find((one) => one.name === name);
		const reach = standardError === null ? null : t * standardError;
		const lower = parameter.lower ?? Number.NEGATIVE_INFINITY;
		return {
			name,
			label,
			dimension,
			value,
			standardError,
			low: profile?.low ?? (reach === null ? null : Math.max(value - reach, lower)),
			high: profile?.high ?? (reach === null ? null : value + reach),
			start: parameter.start,
			lower,
			upper: parameter.upper ?? Number.POSITIVE_INFINITY,
			status: parameter.fixed === true ? "fixed" : parameter.prior === undefined ? "free" : "prior",
			atBound: least.atBound[k]!,
			told: isTold(name, value, standardError, parameter.prior, {
				volumeM3: base.volumeM3,
				stepSeconds: series.log.intervalSeconds,
			}),
		};
	});
	const free = parameters.flatMap(({ status }, k) => (status === "fixed" ? [] : [k]));
	const correlation = free.map((i) => free.map((j) => least.correlation[i]![j]!));
	const ofDays = days.length === 0 ? null : fitDays(days, parameters, series.log.startUtcSeconds);
	const daily = ofDays === null ? null : dailyOf(ofDays, parameters, found, t);
	const fit = {
		kind: "fit" as const,
		test,
		scenario,
		series,
		scheduleName: run.scheduleName,
		fanFrom: run.words,
		parameters,
		free: free.map((k) => parameters[k]!.name),
		correlation,
		worstPair: ellipseOf(parameters, free, found, t),
		profiles,
		residuals: residualsOf(scenario, series, found),
		curve: {
			timesSeconds: series.timesSeconds,
			loggedPpm: series.co2Ppm,
			sensorPpm: found.readingPpm,
			chamberPpm: found.chamberPpm,
			excluded: series.excluded,
			bursts,
			throughBursts: chamberThrough(model, least.values, bursts),
		},
		bursts: null,
		days: ofDays,
		daily,
		stopped: {
			reason: least.stopped === "step limit" ? ("step limit" as const) : least.stopped,
			steps: least.steps,
		},
	};
	const rate = rateOf(scenario, base, daily === null ? parameters : [daily.mean]);
	const written = writtenName(daily);
	const confounded = confoundedOf(fit, least.untold);
	// A model that misses the log by more than the sensor can err has learnt nothing worth keeping.
	const learnt = parameters.map((one) => ({ ...one, name: written(one.name) }));
	const changes = !fit.residuals.follows
		? []
		: withDay(changesOf(scenario, buildModel(scenario), learnt, rate), ofDays, daily);
	return {
		...fit,
		rate,
		confounded,
		next: nextTest(fit, confounded),
		changes,
		together: togetherOf({ ...fit, free: fit.free.map(written), changes }),
		warnings: [
			...series.warnings,
			...(fit.residuals.follows ? [] : [NOT_FOLLOWED]),
			...edgeWarnings(parameters),
			...searchWarnings(found),
		],
	};
}

/** Respiration per fresh mass of the first substrate, all substrates scaled alike [kg/(kg s)]. */
function rateOf(scenario: Scenario, base: Model, parameters: readonly FittedParameter[]): Fit["rate"] {
	const one = parameters.find(({ name }) => name === "respiration");
	const first = scenario.substrate[0];
	if (one === undefined || one.status === "fixed" || first === undefined || !(base.generationM3PerS > 0))
		return null;
	const per = (first.rate.value * first.stageFactor.value) / base.generationM3PerS;
	return {
		value: one.value * per,
		standardError: one.standardError === null ? null : one.standardError * per,
	};
}

const edgeWarnings = (parameters: readonly FittedParameter[]): string[] =>
	parameters.flatMap(({ atBound, label, status }) =>
		atBound && status !== "fixed"
			? [`${label}: the best value lies on the edge of what is possible; its error is one-sided`]
			: [],
	);
