import type { Cycle } from "../../model/schedule/schedule.ts";
import { makeCycle, makeCyclePeaks } from "../../solve/cycles/cyclestats.ts";
import { findPeriodicSteadyState } from "../../solve/periodic.ts";
import { simulate } from "../../solve/simulate.ts";
import { quantile } from "../../statistics/quantile.ts";
import { computeRanks } from "../../statistics/ranks.ts";
import type { ComplianceProbability, Sensitivity } from "../choosetypes.ts";
import { type ChoiceContext, highestFeltPpm } from "../evaluate.ts";
import { type Chance, chanceOf } from "./chanceconstraint.ts";
import { type Draws, findCorrelation, makeDraw } from "./draws.ts";
import { findFieldTest } from "./fieldtest.ts";

/** Draws shown in the band of the sawtooth, and points of it. */
const BAND_DRAWS = 200;
const BAND_POINTS = 81;
/** Of so many inputs, each with at least such a share of the variance, it is worked out what a test is worth. */
const MAX_TESTS = 3;
const MIN_SHARE = 0.02;

/** The chance of one setting, and the inputs that it depends on. */
export function estimateComplianceProbability(
	context: ChoiceContext,
	chance: Pick<Chance, "draws" | "evaluator">,
	seed: number,
	cycle: Cycle,
	expectAir: (input: number) => number | null = () => null,
): ComplianceProbability {
	const { draws, evaluator } = chance;
	const values = evaluator.values(context.target.statistic, cycle);
	const probability = chanceOf(chance, cycle);
	const sorted = values.toSorted();
	return {
		draws: values.length,
		seed,
		p05Ppm: quantile(sorted, 0.05),
		medianPpm: quantile(sorted, 0.5),
		p95Ppm: quantile(sorted, 0.95),
		probability,
		standardError: Math.sqrt((probability * (1 - probability)) / values.length),
		inputs: computeSensitivities(context, draws, values, cycle, expectAir),
		band: computeBand(draws, values, cycle),
	};
}

/** The sawtooth in draws taken evenly over all of them, from the lowest figure to the highest. */
function computeBand({ all }: Draws, values: Float64Array, cycle: Cycle): ComplianceProbability["band"] {
	const schedule = makeCycle(cycle.onSeconds, cycle.offSeconds);
	const order = Array.from(values.keys()).sort((a, b) => values[a]! - values[b]!);
	const span = 2 * (cycle.onSeconds + cycle.offSeconds);
	// The share first: rounding must not carry the last point past the end.
	const timesSeconds = Float64Array.from({ length: BAND_POINTS }, (_, i) => span * (i / (BAND_POINTS - 1)));
	const some = Math.min(BAND_DRAWS, all.length);
	const runs = Array.from({ length: some }, (_, k) => {
		const { model, balance } = all[order[Math.floor(((k + 0.5) * all.length) / some)]!]!.highest;
		const steadyState = findPeriodicSteadyState(model, schedule);
		const run = simulate(model, schedule, {
			durationSeconds: span,
			sampleTimes: timesSeconds,
			...(steadyState.exists ? { start: steadyState.start } : {}),
		});
		return balance.crop === 0 ? run.co2Ppm : run.stagnantPpm!;
	});
	const at = (p: number) =>
		Float64Array.from(timesSeconds, (_, i) => quantile(Float64Array.from(runs, (run) => run[i]!).sort(), p));
	return { timesSeconds, p05Ppm: at(0.05), medianPpm: at(0.5), p95Ppm: at(0.95) };
}

function computeSensitivities(
	{ target }: ChoiceContext,
	{ scenario, inputs, deviates }: Draws,
	values: Float64Array,
	cycle: Cycle,
	expectAir: (input: number) => number | null,
): Sensitivity[] {
	const ranked = computeRanks(values);
	const strengths = deviates.map((column) => computeRankCorrelation(computeRanks(column), ranked) ** 2);
	const total = strengths.reduce((sum, x) => sum + x, 0);
	const draw = makeDraw(scenario, inputs, highestFeltPpm(target));
	// Those that go with it move as far as it lets expect; what else may happen does not.
	const peakWith = (input: number, z: number) => {
		const { path } = inputs[input]!;
		const { highest, timerFactor } = draw((i) =>
			i === input
				? z
				: inputs[i]!.disturbance === null
					? z * findCorrelation(scenario.correlations, path, inputs[i]!.path)
					: null,
		);
		return makeCyclePeaks(highest.model)({
			onSeconds: cycle.onSeconds * timerFactor,
			offSeconds: cycle.offSeconds * timerFactor,
		});
	};
	const at95 = 1.6448536269514722;
	const shares = strengths.map((strength) => (total > 0 ? strength / total : 0));
	// What hardly moves the answer needs no test.
	const worthwhile = new Set(
		Array.from(shares.keys())
			.filter((i) => inputs[i]!.disturbance === null && shares[i]! >= MIN_SHARE)
			.sort((a, b) => shares[b]! - shares[a]!)
			.slice(0, MAX_TESTS),
	);
	return inputs
		.map(({ path, quantity, disturbance }, i) => ({
			path,
			disturbance,
			text: quantity.text,
			peakAtLowPpm: peakWith(i, -at95),
			peakAtHighPpm: peakWith(i, at95),
			varianceShare: shares[i]!,
			fieldTest: disturbance === null ? findFieldTest(path) : null,
			expectedAirM3PerDay: worthwhile.has(i) ? expectAir(i) : null,
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
