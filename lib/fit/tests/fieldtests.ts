import type { CleanSeries } from "../../logs/log.ts";
import { buildModel } from "../../model/build.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { change, changesOf, togetherOf } from "../changes.ts";
import { residualsOf } from "../estimate/residuals.ts";
import type { Fit, FitOptions } from "../fittypes.ts";
import { judgeBursts } from "./burstoutliers.ts";
import { burstParameters, burstRows, burstsUntold, burstWarnings, covarianceOf } from "./burstreport.ts";
import { burstsOfLog } from "./burstsoflog.ts";

/**
 * Counted bursts in the empty, dosed chamber: air changes of one burst and, from two lengths, the delivered flow and the on-time
 * that the fan loses to speeding up. All of the log is fitted at once, with leak, lag and starting values; see `countBursts` and `burstLaw`.
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
	const loaded = buildModel(scenario);
	// Bursts are counted with crop and substrate out.
	const model = { ...loaded, volumeM3: scenario.chamber.volume.value };
	const found = burstsOfLog(scenario, model, series, options);
	const { count, onSeconds, used, flow, offset } = found;
	const held = flow.fixed === true;
	const lengths = [...new Set(onSeconds.filter((one) => one !== null))].sort((a, b) => a - b);
	const parts = held || lengths.length > 1;
	const first = lengths[0]!;
	const { mixing = 1, spinUpSeconds = 0, coastDownSeconds = 0 } = model;
	const { least } = count.estimate;
	const places = onSeconds.map((_, k) => count.changesAt + k);
	const judgement = judgeBursts(
		onSeconds.map((on, k) => ({
			onSeconds: on,
			excessPpm: count.aroundPpm(k).before - model.supplyPpm,
			airChanges: least.values[places[k]!]!,
		})),
		places.map((i) => places.map((j) => covarianceOf(count, i, j))),
		{
			perSecond: { start: (mixing * flow.start) / model.volumeM3, fixed: held },
			longLoss: { start: spinUpSeconds - coastDownSeconds, fixed: !parts },
			zeroPpm: { start: 0, fixed: offset.fixed === true, prior: offset.prior?.standardDeviation },
			coastSeconds: coastDownSeconds,
		},
	);
	const { parameters, free, correlation, worstPair } = burstParameters(model, series, found, judgement, {
		firstSeconds: first,
		held,
		parts,
	});
	const bursts = burstRows(model, series, count, judgement, onSeconds);
	const residuals = residualsOf(scenario, series, count.estimate);
	const loss = parameters.find(({ name }) => name === "spin-up loss")!;
	const spinUp = Math.max(judgement.law.longLossSeconds + coastDownSeconds, 0);
	const changes = !residuals.follows
		? []
		: [
				...changesOf(scenario, loaded, parameters, null),
				...(parts && loss.told
					? [change("fan.spin-up", spinUp, Math.sqrt(judgement.law.covariance[1]![1]!), 1, "s")]
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
			series.fan === null ? `${onSeconds.length} bursts found in the log` : "from the log's fan column",
		parameters,
		free,
		correlation,
		worstPair,
		confounded: burstsUntold(parameters, first, series.log.intervalSeconds),
		profiles: [],
		residuals,
		curve: {
			timesSeconds: series.timesSeconds,
			loggedPpm: series.co2Ppm,
			sensorPpm: drawn(count.estimate.readingPpm),
			chamberPpm: drawn(count.estimate.chamberPpm).map((ppm) => ppm - judgement.law.zeroPpm),
			excluded: series.excluded,
			bursts: bursts.flatMap(({ atSeconds, onSeconds: on }) =>
				on === null ? [] : [{ startSeconds: atSeconds, endSeconds: atSeconds + on }],
			),
		},
		bursts,
		days: null,
		daily: null,
		rate: null,
		stopped: { reason: least.stopped, steps: least.steps },
		next: parts
			? null
			: {
					test: "bursts of a second length",
					why: "flow and spin-up loss show apart only over two lengths",
					command: `lullgust fit bursts.csv --test bursts --burst ${first}s --burst ${3 * first}s --scenario ${scenario.fileName}`,
				},
		changes,
		together: togetherOf({ changes, free, correlation }),
		warnings: [...series.warnings, ...burstWarnings(scenario, found, judgement, bursts, residuals.follows)],
	};
}
