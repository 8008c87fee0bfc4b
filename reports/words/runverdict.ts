import type { Comparison } from "../../lib/compare/comparison.ts";
import { evaluateCriterion } from "../../lib/solve/criterion.ts";
import type { RunStats } from "../../lib/solve/simulate.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { formatPpm, formatTime } from "./format.ts";
import {
	airPhrase,
	basisShort,
	cropZoneName,
	highRespirationWords,
	judgedPhrase,
	keepsTarget,
	offTimeWarnings,
	type Verdict,
} from "./verdict.ts";

/** A run, evaluated against the target. */
export interface EvaluatedRun {
	readonly stats: RunStats;
	/** The judged value [ppm]. */
	readonly valuePpm: number;
	readonly isMet: boolean;
}

/** Evaluates a run against the target of the one schedule of a comparison. */
export function evaluateRun(stats: RunStats, { model, schedules }: Comparison): EvaluatedRun {
	const { criterion } = schedules[0]!.summary;
	const { valuePpm, isMet } = evaluateCriterion(stats, criterion, model);
	return { stats, valuePpm, isMet };
}

/** Whether a run meets the target; then what its schedule does in the settled pattern. */
export function verdictOfRun(comparison: Comparison, stats: RunStats, units: UnitSystem): Verdict {
	const { name, summary } = comparison.schedules[0]!;
	const { criterion } = summary;
	const run = evaluateRun(stats, comparison);
	const zone = cropZoneName(comparison);
	const co2 = zone === null ? "CO₂" : `CO₂ in the ${zone}`;
	const own = judgedPhrase({ criterion: { ...criterion, valuePpm: run.valuePpm } });
	const isBelowFloor = criterion.floorPpm !== null && stats.meanPpm < criterion.floorPpm;
	const isAllowed =
		criterion.statistic !== "peak" &&
		stats.firstExceedanceSeconds !== null &&
		run.valuePpm <= criterion.ceilingPpm;
	const grounds = [
		`In this run of ${formatDuration(stats.durationSeconds)} under “${name}”, ${co2} ${exceedanceWords(stats, criterion.ceilingPpm)}: ${own}.`,
		...(isBelowFloor
			? [`Its mean of ${formatPpm(stats.meanPpm)} is below the floor of ${formatPpm(criterion.floorPpm!)}.`]
			: []),
		...(isAllowed ? [`The target applies to the ${criterion.statistic}, so this is allowed.`] : []),
	];
	const settled = `Over ${basisShort(summary)}, the schedule ${keepsTarget(criterion)}, with ${airPhrase(summary, units)}.`;
	return {
		answer: run.isMet ? "Yes" : "No",
		grounds: grounds.join(" "),
		more: [settled, ...offTimeWarnings(comparison), ...highRespirationWords(comparison)],
	};
}

/** "passes the 1000 ppm ceiling first after 3 h and is above it 12.5 % of the time" */
function exceedanceWords(
	{ firstExceedanceSeconds, exceedancePercent }: RunStats,
	ceilingPpm: number,
): string {
	const ceiling = `the ${formatPpm(ceilingPpm)} ceiling`;
	if (firstExceedanceSeconds === null) return `stays under ${ceiling}`;
	const share = exceedancePercent < 0.1 ? "under 0.1" : exceedancePercent.toFixed(1);
	const crossing =
		firstExceedanceSeconds === 0
			? `starts above ${ceiling}`
			: `passes ${ceiling} first after ${formatTime(firstExceedanceSeconds)}`;
	return `${crossing} and is above it ${share} % of the time`;
}
