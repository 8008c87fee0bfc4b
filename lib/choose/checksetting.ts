import { InputError, show } from "../errors.ts";
import type { Cycle } from "../model/schedule/schedule.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { listLimits, passedPpm, statisticValue } from "../solve/criterion.ts";
import { evaluateFound } from "./choose.ts";
import type { ChooseOptions, LimitName, SettingCheck, SettingFault, TimerSetting } from "./choosetypes.ts";
import { findHumidityFault } from "./damp.ts";
import { type ChoiceContext, evaluateCycle, makeSearchProblem } from "./evaluate.ts";
import { findWarnings, makeContext, readOptions, searchTimer } from "./prepare.ts";
import { chanceOf, makeReliableProblem } from "./probability/chanceconstraint.ts";
import { makeDrawEvaluator } from "./probability/drawevaluator.ts";
import { drawModels } from "./probability/draws.ts";
import { estimateComplianceProbability } from "./probability/probability.ts";
import type { FoundSetting, SearchResult } from "./search/gridsearch.ts";
import { allowedBursts, firstWhere } from "./search/search.ts";
import { gradeChance } from "./status.ts";

/**
 * Judges a pair of on- and off-time, such as the one that is keyed in now: CO2, air, its chance, what is wrong with it, and the
 * nearest better pair on the dial.
 *
 * @param scenario as `parseScenario` gives it
 * @param cycle on- and off-time [s]
 * @param options chance [%], number of draws, seed
 * @returns how it stands, its faults, and the nearest pair that meets the target; CO2 [ppm], times [s], air [m3/day]
 * @throws InputError for times or options that make no sense
 *
 * Source: this project.
 * @example checkSetting(parseScenario(starterScenario()), { onSeconds: 1, offSeconds: 7000 }, { draws: 100 }).status // => "fails"
 */
export function checkSetting(scenario: Scenario, cycle: Cycle, options: ChooseOptions = {}): SettingCheck {
	const { draws: count, seed, reliabilityPercent, onProgress } = readOptions(scenario, options);
	for (const key of ["onSeconds", "offSeconds"] as const)
		if (!(Number.isFinite(cycle[key]) && cycle[key] > 0))
			throw new InputError(`${key} needs a time above 0 s, got ${show(cycle[key])}`);
	const context = makeContext(scenario);
	const problem = makeSearchProblem(context);
	const searched = searchTimer(scenario, () => problem);
	onProgress(0.2);
	const drawn = count > 0 ? drawModels(scenario, count, seed) : null;
	const draws = drawn?.inputs.length ? drawn : null;
	const chance = draws && { draws, evaluator: makeDrawEvaluator(draws, context), reliabilityPercent };
	onProgress(0.5);
	const evaluated = evaluateCycle(context, cycle);
	const probability = chance === null ? null : chanceOf(chance, cycle);
	const isSure = probability === null || probability >= reliabilityPercent / 100;
	const { isMet } = evaluated.summary.criterion;
	const reliable =
		chance && searchTimer(scenario, (grid) => makeReliableProblem(problem, context, chance, grid));
	onProgress(0.9);
	const nearest =
		(reliable && findNearest(context, reliable, cycle)) ?? findNearest(context, searched, cycle);
	const setting = findOnDial(searched, cycle);
	const holds = isMet && isSure;
	const check: SettingCheck = {
		...evaluated,
		scenario,
		setting,
		status: holds ? "holds" : probability === null ? "fails" : gradeChance(probability),
		reliabilityPercent: chance === null ? null : reliabilityPercent,
		probability,
		faults: [
			...findTargetFaults(evaluated.summary),
			...findHumidityFaults(context, cycle),
			...(probability === null || isSure
				? []
				: [{ code: "chance", probability, reliabilityPercent } as const]),
			...(setting === null ? [{ code: "not on the dial" } as const] : []),
			...findLimitFaults(context, cycle),
		],
		complianceProbability:
			chance === null ? null : estimateComplianceProbability(context, chance, seed, cycle),
		better: holds && setting !== null ? null : nearest && evaluateFound(context, nearest, chance),
		warnings: findWarnings(scenario, count > 0),
	};
	onProgress(1);
	return check;
}

function findTargetFaults(summary: SettingCheck["summary"]): SettingFault[] {
	return listLimits(summary.criterion).flatMap((limit) => {
		const { side, statistic, ppm } = limit;
		const valuePpm = statisticValue(summary, statistic);
		return passedPpm(valuePpm, limit) > 0
			? [{ code: "target", side, statistic, limitPpm: ppm, valuePpm } as const]
			: [];
	});
}

function findHumidityFaults({ damp }: ChoiceContext, cycle: Cycle): SettingFault[] {
	const fault = damp && findHumidityFault(damp, cycle);
	return fault === null ? [] : [{ code: "humidity", ...fault }];
}

function findLimitFaults({ limits }: ChoiceContext, { onSeconds, offSeconds }: Cycle): SettingFault[] {
	const { minOnSeconds, minOffSeconds, maxCycleSeconds, minCycleSeconds } = limits;
	const cycle = onSeconds + offSeconds;
	const fault = (
		limit: LimitName,
		seconds: number,
		limitSeconds: number,
		isPassed: boolean,
	): SettingFault[] => (isPassed ? [{ code: "limit", limit, seconds, limitSeconds }] : []);
	return [
		...fault("burst", onSeconds, minOnSeconds, onSeconds < minOnSeconds),
		...fault("pause", offSeconds, minOffSeconds, offSeconds < minOffSeconds),
		...fault("cycle", cycle, maxCycleSeconds, cycle > maxCycleSeconds),
		...fault("life", cycle, minCycleSeconds, cycle < minCycleSeconds),
	];
}

function findOnDial(
	searched: readonly SearchResult[],
	{ onSeconds, offSeconds }: Cycle,
): TimerSetting | null {
	for (const { displayGrid } of searched) {
		const on = displayGrid.on.find(({ seconds }) => seconds === onSeconds);
		const off = displayGrid.off.find(({ seconds }) => seconds === offSeconds);
		if (on !== undefined && off !== undefined) return { on, off };
	}
	return null;
}

/** Of the pairs that meet the target the one whose times are nearest, as ratios. */
function findNearest(
	{ limits }: ChoiceContext,
	searched: readonly SearchResult[],
	{ onSeconds, offSeconds }: Cycle,
): FoundSetting | null {
	let nearest: (FoundSetting & { distance: number }) | null = null;
	for (const { grid, displayGrid, shortest } of searched)
		for (const [offIndex, first] of shortest.entries()) {
			if (first < 0) continue;
			const off = grid.offSeconds[offIndex]!;
			const { to } = allowedBursts(grid, limits, off);
			// At or beside the burst that was asked for, but no shorter than what the pause needs.
			const at = firstWhere(first, to, (k) => grid.onSeconds[k]! >= onSeconds);
			for (const onIndex of [at - 1, at]) {
				if (onIndex < first || onIndex >= to) continue;
				const on = grid.onSeconds[onIndex]!;
				const distance = Math.abs(Math.log(on / onSeconds)) + Math.abs(Math.log(off / offSeconds));
				if (nearest === null || distance < nearest.distance)
					nearest = { displayGrid, place: { onIndex, offIndex }, distance };
			}
		}
	return nearest;
}
