import { quantileValue, withValues } from "../../compare/uncertaininputs.ts";
import { buildModel } from "../../model/build.ts";
import type { Model } from "../../model/chamber.ts";
import { periodicFanSpeedFraction } from "../../model/fan/deliveredair.ts";
import { type FanDynamics, fullSpeedSeconds } from "../../model/fan/fanspeed.ts";
import type { CycleSchedule } from "../../model/schedule/schedule.ts";
import { makeTimeline, playTimeline, type Timeline } from "../../model/schedule/timeline.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { type CompiledModel, compile } from "../../solve/compile.ts";
import { type CycleColumns, periodicColumns } from "../../solve/cycles/closedform.ts";
import {
	makeCycle,
	makeCycleMaxHourlyMeans,
	makeCyclePeaks,
	makeCycleStats,
} from "../../solve/cycles/cyclestats.ts";
import { withMaximumSource } from "../../solve/cycles/maximumsource.ts";
import { findPeriodicSteadyState } from "../../solve/periodic.ts";
import { computeSwitchStates } from "../../solve/propagate/exact.ts";
import { simulate } from "../../solve/simulate.ts";
import { quantile } from "../../statistics/quantile.ts";
import { computeRanks } from "../../statistics/ranks.ts";
import type { ComplianceProbability, FieldTest, Sensitivity } from "../choosetypes.ts";
import { type Draws, findCorrelation } from "./draws.ts";

type Statistic = "peak" | "mean" | "worst hour";

/** The judged figure of a cycle in each draw. */
export interface DrawEvaluator {
	/** [ppm], in the order of the draws. */
	values(onSeconds: number, offSeconds: number): Float64Array;
	/**
	 * At most so many draws are above the ceiling; as soon as there are more, no further ones are looked at.
	 * @param factor what the fast excess is multiplied by; default: what the central model says of this very setting
	 */
	isReliable(
		onSeconds: number,
		offSeconds: number,
		ceilingPpm: number,
		maxAbove: number,
		factor?: number,
	): boolean;
	/** Exact over fast excess of the central model [-]. */
	factor(onSeconds: number, offSeconds: number): number;
	/** Fast judgement of the central model less the exact one [ppm], which the values are corrected by. */
	errorPpm(onSeconds: number, offSeconds: number): number;
}

/** Draws that are judged in one go before it is asked whether too many have failed. */
const CHUNK = 512;

/**
 * Judges a cycle in all draws at once, the exact figure of the central model being the measure of how.
 *
 * One zone: in closed form, on columns. Two zones: from the states at the two switches. A fan that spins up enters by the
 * seconds at full speed that move the same air, and a worst hour by the mean; what that misses of the excess is taken from
 * the central model, judged both ways.
 * @param hardest order in which draws are looked at, those that fail first in front
 */
export function makeDrawEvaluator(
	given: readonly (Model | CompiledModel)[],
	centre: Model | CompiledModel,
	statistic: Statistic,
	hardest?: readonly number[],
): DrawEvaluator {
	const models = given.map(compile);
	const central = compile(centre);
	const exact = makeExactEvaluator(central, statistic);
	const makeEvaluator = (some: readonly CompiledModel[]) =>
		(central.model.stagnantFraction ?? 0) > 0
			? makeSwitchStatesEvaluator(some, statistic)
			: makeColumnsEvaluator(some, statistic);
	const centrally = makeEvaluator([central]);
	const ratio = (on: number, off: number) => {
		const { intakePpm } = central.model;
		const fast = centrally(on, off)[0]! - intakePpm;
		return fast > 0 ? (exact(on, off) - intakePpm) / fast : 1;
	};
	const ordered = hardest?.map((k) => models[k]!) ?? models;
	const chunks = Array.from({ length: Math.ceil(models.length / CHUNK) }, (_, i) => {
		const some = ordered.slice(i * CHUNK, (i + 1) * CHUNK);
		return { some, evaluate: makeEvaluator(some) };
	});
	const all = makeEvaluator(models);
	return {
		values(on, off) {
			const factor = ratio(on, off);
			return all(on, off).map((ppm, k) => {
				const { intakePpm } = models[k]!.model;
				return intakePpm + factor * (ppm - intakePpm);
			});
		},
		factor: ratio,
		isReliable(on, off, ceilingPpm, maxAbove, factor = ratio(on, off)) {
			let above = 0;
			for (const { some, evaluate } of chunks) {
				const ppm = evaluate(on, off);
				for (let k = 0; k < ppm.length; k++) {
					const { intakePpm } = some[k]!.model;
					if (intakePpm + factor * (ppm[k]! - intakePpm) > ceilingPpm) above++;
				}
				if (above > maxAbove) return false;
			}
			return true;
		},
		errorPpm: (on, off) => centrally(on, off)[0]! - exact(on, off),
	};
}

function makeExactEvaluator(
	central: CompiledModel,
	statistic: Statistic,
): (on: number, off: number) => number {
	if (statistic === "worst hour") return makeCycleMaxHourlyMeans(central);
	if (statistic === "peak") return makeCyclePeaks(central);
	const stats = makeCycleStats(central);
	return (on, off) => stats(on, off).meanPpm;
}

/** Two zones: the CO2 of the crop at the end of the pause, or halfway to that at the end of the burst. */
function makeSwitchStatesEvaluator(
	models: readonly CompiledModel[],
	statistic: Statistic,
): (on: number, off: number) => Float64Array {
	return (on, off) => {
		const timeline = makeTimeline(makeCycle(on, off));
		return Float64Array.from(models, (compiled) => {
			const run = cycleFullSpeedSeconds(compiled.model, timeline, on + off);
			const { afterPause, afterBurst } = computeSwitchStates(compiled, run, on + off - run);
			return compiled.model.intakePpm + (statistic === "peak" ? afterPause : (afterPause + afterBurst) / 2);
		});
	};
}

/** Closed form over all draws. */
function makeColumnsEvaluator(
	compiled: readonly CompiledModel[],
	statistic: Statistic,
): (on: number, off: number) => Float64Array {
	const models = compiled.map(({ model }) => model);
	const balances = compiled.map(({ balance }) => balance);
	const column = (f: (k: number) => number) => Float64Array.from(models, (_, k) => f(k));
	const [first] = models;
	// Unless the fan's time constants are drawn too, one figure serves all.
	const oneFan = models.every(
		(m) =>
			m.spinUpTauSeconds === first?.spinUpTauSeconds && m.coastDownTauSeconds === first?.coastDownTauSeconds,
	);
	const columns: CycleColumns = {
		intakePpm: column((k) => models[k]!.intakePpm),
		risePpmPerS: column((k) => balances[k]!.riseMixed * compiled[k]!.sourceM3PerS),
		onPerS: column((k) => balances[k]!.infiltrationPerS + balances[k]!.fanPerS),
		offPerS: column((k) => balances[k]!.infiltrationPerS),
		onSeconds: new Float64Array(models.length),
		offSeconds: new Float64Array(models.length),
	};
	const out = {
		peakPpm: new Float64Array(models.length),
		meanPpm: new Float64Array(models.length),
		troughPpm: new Float64Array(models.length),
	};
	return (on, off) => {
		const timeline = makeTimeline(makeCycle(on, off));
		if (oneFan && first !== undefined)
			columns.onSeconds.fill(cycleFullSpeedSeconds(first, timeline, on + off));
		else
			for (const [k, model] of models.entries())
				columns.onSeconds[k] = cycleFullSpeedSeconds(model, timeline, on + off);
		for (let k = 0; k < models.length; k++) columns.offSeconds[k] = on + off - columns.onSeconds[k]!;
		periodicColumns(columns, out);
		return statistic === "peak" ? out.peakPpm : out.meanPpm;
	};
}

/** Seconds at full speed that move the air of one cycle, at most the cycle. */
function cycleFullSpeedSeconds(fan: FanDynamics, cycle: Timeline, period: number): number {
	const level = periodicFanSpeedFraction(fan, cycle, period);
	let seconds = 0;
	for (const { isOn, durationSeconds, fanSpeedFraction } of playTimeline(cycle, period, fan, level))
		seconds += fullSpeedSeconds(fan, isOn, fanSpeedFraction, durationSeconds);
	return Math.min(seconds, period);
}

/** Draws shown in the band of the sawtooth, and points of it. */
const BAND_DRAWS = 200;
const BAND_POINTS = 81;

/** Odds of one setting. */
export function estimateComplianceProbability(
	scenario: Scenario,
	draws: Draws,
	seed: number,
	cycle: CycleSchedule,
): ComplianceProbability {
	const { onSeconds, offSeconds } = cycle;
	const { on, ceiling, floor } = scenario.target;
	const central = compile(withMaximumSource(buildModel(scenario)));
	const values = makeDrawEvaluator(draws.models, central, on).values(onSeconds, offSeconds);
	const means =
		floor === null ? null : makeDrawEvaluator(draws.models, central, "mean").values(onSeconds, offSeconds);
	const count = values.length;
	let compliantCount = 0;
	for (let k = 0; k < count; k++)
		if (values[k]! <= ceiling.value && (means === null || means[k]! >= floor!.value)) compliantCount++;
	const probability = compliantCount / count;
	const sorted = values.toSorted();
	return {
		draws: count,
		seed,
		p05Ppm: quantile(sorted, 0.05),
		medianPpm: quantile(sorted, 0.5),
		p95Ppm: quantile(sorted, 0.95),
		probability,
		standardError: Math.sqrt((probability * (1 - probability)) / count),
		inputs: computeSensitivities(draws, values, cycle),
		band: computeBand(draws, values, cycle),
	};
}

/** The sawtooth in draws taken evenly over all of them, from the lowest figure to the highest. */
function computeBand(
	{ models }: Draws,
	values: Float64Array,
	cycle: CycleSchedule,
): ComplianceProbability["band"] {
	const order = Array.from(values.keys()).sort((a, b) => values[a]! - values[b]!);
	const span = 2 * (cycle.onSeconds + cycle.offSeconds);
	const timesSeconds = Float64Array.from({ length: BAND_POINTS }, (_, i) => (i * span) / (BAND_POINTS - 1));
	const some = Math.min(BAND_DRAWS, models.length);
	const runs = Array.from({ length: some }, (_, k) => {
		const model = models[order[Math.floor(((k + 0.5) * models.length) / some)]!]!;
		const steadyState = findPeriodicSteadyState(model, cycle);
		const run = simulate(model, cycle, {
			durationSeconds: span,
			sampleTimes: timesSeconds,
			...(steadyState.exists ? { start: steadyState.start } : {}),
		});
		return model.balance.crop === 0 ? run.co2Ppm : run.stagnantPpm!;
	});
	const at = (p: number) =>
		Float64Array.from(timesSeconds, (_, i) => quantile(Float64Array.from(runs, (run) => run[i]!).sort(), p));
	return { timesSeconds, p05Ppm: at(0.05), medianPpm: at(0.5), p95Ppm: at(0.95) };
}

/** What narrows an input, by the start of its path. */
const FIELD_TESTS: readonly (readonly [string, FieldTest])[] = [
	["substrate", "rise test"],
	["fan.flow", "delivered flow"],
	["fan", "bursts of two lengths"],
	["chamber.leak", "leak test"],
	["chamber.mixing", "counted bursts"],
	["chamber.stagnant", "log in two places"],
	["chamber.volume", "inside dimensions"],
	["chamber.temperature", "temperature log"],
	["intake.co2", "intake log"],
];

function findFieldTest(path: string): FieldTest {
	if (/^substrate\[\d+\]\.(mass|volume)/.test(path)) return "weighing";
	return FIELD_TESTS.find(([start]) => path.startsWith(start))?.[1] ?? "measurement";
}

function computeSensitivities(
	draws: Draws,
	values: Float64Array,
	{ onSeconds, offSeconds }: CycleSchedule,
): Sensitivity[] {
	const { scenario } = draws;
	const ranked = computeRanks(values);
	const strengths = draws.deviates.map((column) => computeRankCorrelation(computeRanks(column), ranked) ** 2);
	const total = strengths.reduce((sum, x) => sum + x, 0);
	// Those that go with it move as far as it lets expect.
	const peakWith = (path: string, z: number) => {
		const moved = withValues(
			scenario,
			new Map(
				draws.inputs.map(({ quantity, path: other }) => [
					quantity,
					quantileValue(quantity, z * findCorrelation(scenario.correlations, path, other)),
				]),
			),
		);
		return makeCyclePeaks(withMaximumSource(buildModel(moved)))(onSeconds, offSeconds);
	};
	const at95 = 1.6448536269514722;
	return draws.inputs
		.map((row, i) => ({
			path: row.path,
			text: row.quantity.text,
			peakAtLowPpm: peakWith(row.path, -at95),
			peakAtHighPpm: peakWith(row.path, at95),
			varianceShare: total > 0 ? strengths[i]! / total : 0,
			fieldTest: findFieldTest(row.path),
		}))
		.sort((a, b) => b.varianceShare - a.varianceShare);
}

function computeRankCorrelation(a: Float64Array, b: Float64Array): number {
	const middle = (a.length - 1) / 2;
	let [ab, aa, bb] = [0, 0, 0];
	for (let k = 0; k < a.length; k++) {
		ab += (a[k]! - middle) * (b[k]! - middle);
		aa += (a[k]! - middle) ** 2;
		bb += (b[k]! - middle) ** 2;
	}
	return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0;
}
