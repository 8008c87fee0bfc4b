import type { CleanSeries } from "../../logs/log.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { findChangeCorrelations, listChanges, writeChange, writtenAs } from "../changes.ts";
import { conditionsOf } from "../estimate/figures.ts";
import { computeResiduals } from "../estimate/residuals.ts";
import type { FitOptions } from "../fitoptions.ts";
import type { Fit, FittedParameter } from "../fittypes.ts";
import { buildLoggedChamber } from "../model/loggedchamber.ts";
import { meanCelsius } from "../model/temperature.ts";
import { findConfoundedOfBursts, listBurstRows, warnOfBursts } from "./burstfindings.ts";
import { type BurstScreening, screenBursts } from "./burstoutliers.ts";
import { burstCovariance, reportParameters } from "./burstreport.ts";
import { findLogBursts } from "./burstsoflog.ts";

/**
 * Counted bursts in the empty, dosed chamber: air changes of one burst and, from two lengths, the delivered flow and the on-time
 * that the fan loses to speeding up. All of the log is fitted at once, with leak, lag and starting values; see `countBursts` and `regressBursts`.
 *
 * With a fan column that can be trusted its bursts count, else the falls of CO2 are taken for bursts.
 * @param options `burstSeconds`: the one or two on-times
 * @throws InputError when fewer than three bursts are to be seen, or they do not have the lengths that were named
 */
export function fitBursts(
	scenario: Scenario,
	series: CleanSeries,
	options: FitOptions & { readonly burstSeconds: readonly number[] },
): Fit {
	const { model: loaded, temperature } = buildLoggedChamber(scenario, series, { ...options, test: "bursts" });
	// Bursts are counted with crop and substrate out, or as good as out.
	const model = { ...loaded, volumeM3: scenario.chamber.volume.value };
	const found = findLogBursts(scenario, { model, temperature }, series, options);
	const { count, onSeconds, used, flow, offset } = found;
	const isFlowFixed = flow.fixed === true;
	const lengths = [...new Set(onSeconds.filter((one) => one !== null))].sort((a, b) => a - b);
	const isLostOnSought = isFlowFixed || lengths.length > 1;
	const first = lengths[0]!;
	const { mixingEfficiency = 1, spinUpTauSeconds = 0, coastDownTauSeconds = 0 } = model;
	const { least } = count.estimate;
	const places = onSeconds.map((_, k) => count.changesAt + k);
	const screening = screenBursts(
		onSeconds.map((onSeconds, k) => ({
			onSeconds,
			excessPpm: count.aroundPpm(k).before - model.intakePpm,
			airChanges: least.values[places[k]!]!,
		})),
		places.map((i) => places.map((j) => burstCovariance(count, i, j))),
		{
			perSecond: { initial: (mixingEfficiency * flow.initial) / model.volumeM3, fixed: isFlowFixed },
			longBurstLostOn: { initial: spinUpTauSeconds - coastDownTauSeconds, fixed: !isLostOnSought },
			zeroPpm: { initial: 0, fixed: offset.fixed === true, prior: offset.prior?.standardDeviation },
			coastSeconds: coastDownTauSeconds,
		},
	);
	const residuals = computeResiduals(scenario, series, count.estimate);
	const celsius = meanCelsius(temperature);
	const { parameters, free, correlation, mostCorrelatedPair, budget, names, held } = reportParameters(
		model,
		series,
		found,
		screening,
		{
			firstSeconds: first,
			isFlowFixed,
			isLostOnSought,
			lengths: series.fan === null && options.exact !== true ? onSeconds : null,
			scenario,
			celsius,
			isAdequate: residuals.isAdequate,
		},
	);
	const bursts = listBurstRows(model, series, count, screening, onSeconds);
	const loss = parameters.find(({ name }) => name === "lost on-time")!;
	const spinUp = Math.max(screening.regression.longBurstLostOnSeconds + coastDownTauSeconds, 0);
	const changes = !residuals.isAdequate
		? []
		: [
				...listChanges(
					scenario,
					// A rate that was found with the bursts is none of this test's results.
					parameters.filter(({ name, status }) => name !== "generation" || status === "fixed"),
					celsius,
					{ names: Object.keys(options.fix ?? {}), assumedM3PerS: model.generationM3PerS },
				),
				...(isLostOnSought && loss.isIdentifiable
					? [writeChange("fan.spin-up", spinUp, longLossError(loss, screening, first), 1, "s")]
					: []),
			];
	// What is not used was not modelled.
	const drawn = (ppm: Float64Array) =>
		ppm.map((value, i) => {
			const time = series.timesSeconds[i]!;
			return time < used.fromSeconds || time > used.toSeconds ? Number.NaN : value;
		});
	return {
		kind: "fit",
		test: "bursts",
		scenario,
		series,
		scheduleName: null,
		fanFrom:
			series.fan === null
				? { code: "bursts in the log", count: onSeconds.length }
				: { code: "fan column", state: series.fan.timing?.state ?? null },
		parameters,
		free,
		correlation,
		mostCorrelatedPair,
		confounded: residuals.isAdequate
			? findConfoundedOfBursts(parameters, first, series.log.sampleIntervalSeconds)
			: [],
		profiles: [],
		riseShape: null,
		conditions: conditionsOf(scenario, celsius),
		residuals,
		curve: {
			timesSeconds: series.timesSeconds,
			loggedPpm: series.co2Ppm,
			sensorPpm: drawn(count.estimate.readingPpm),
			chamberPpm: drawn(count.estimate.chamberPpm).map((ppm) => ppm - screening.regression.zeroPpm),
			excluded: series.excluded,
			bursts: bursts.flatMap(({ atSeconds, onSeconds }) =>
				onSeconds === null ? [] : [{ startSeconds: atSeconds, endSeconds: atSeconds + onSeconds }],
			),
		},
		bursts,
		days: null,
		daily: null,
		respirationRate: null,
		temperature,
		termination: { reason: least.termination, iterations: least.iterations },
		shortcoming: null,
		recommendedTest:
			isLostOnSought || !residuals.isAdequate
				? null
				: {
						test: "second burst length",
						names: ["flow", "lost on-time"],
						reason: { code: "one burst length" },
						command: `lullgust fit bursts.csv --test bursts --burst ${first}s --burst ${3 * first}s --scenario ${scenario.fileName}`,
					},
		changes,
		changeCorrelations: findChangeCorrelations(
			changes,
			(name) => {
				const as = names.indexOf(`${name} ${writtenAs(scenario, name)}`);
				return as < 0 ? names.indexOf(name) : as;
			},
			budget,
			held,
		),
		warnings: warnOfBursts(scenario, found, screening, bursts, residuals.isAdequate),
	};
}

/** The loss of the shortest burst is a share of that of a long one, and so is its error [s]. */
function longLossError(
	{ standardError }: Pick<FittedParameter, "standardError">,
	{ regression }: BurstScreening,
	firstSeconds: number,
): number | null {
	const [, slope] = regression.predictAir(firstSeconds).jacobian;
	return standardError === null ? null : (standardError * regression.perSecond) / Math.abs(slope);
}
