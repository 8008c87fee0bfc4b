import { sinceMidnight } from "../../time.ts";
import { makeDormandPrince } from "../propagate/rungekutta.ts";
import { type DenseOutput, makeStepSegment } from "../propagate/solutionsegment.ts";
import type { CompiledZones, ZoneObserver } from "./compilezones.ts";
import type { Interval } from "./intervals.ts";
import { largestLoss, type SparseMatrix } from "./operator.ts";
import type { Pull, ZoneSystem } from "./series.ts";

/** Longest and first step, in shortest time constants. */
const MAX_STEP = 3;
const FIRST_STEP = 0.2;
const MAX_STEPS = 5e6;

/** Carries zones whose sources are functions through an interval; false where the observer ends the run. */
export function makeZoneRungeKutta({ balance }: CompiledZones, relativeTolerance: number) {
	const { states: n, origin, varying } = balance;
	let system: ZoneSystem;
	let pulls: readonly Pull[] = [];
	let interval: Interval;
	const add = (
		{ firsts, columns, values }: SparseMatrix,
		share: number,
		y: Float64Array,
		slope: Float64Array,
	) => {
		for (let row = 0; row < n; row++)
			for (let e = firsts[row]!; e < firsts[row + 1]!; e++)
				slope[row]! += share * values[e]! * (columns[e] === n ? 1 : y[columns[e]!]!);
	};
	const speedOf = (by: number, t: number) => {
		if (by < 0) return 1;
		const pull = pulls.find(({ actuator }) => actuator === by);
		return (
			(interval.isOn[by] ? 1 : 0) + (pull === undefined ? 0 : pull.away * Math.exp(-t / pull.tauSeconds))
		);
	};
	const derivative = (t: number, y: Float64Array, slope: Float64Array) => {
		slope.fill(0);
		add(system.matrix, 1, y, slope);
		for (const { matrix, away, tauSeconds } of pulls) add(matrix, away * Math.exp(-t / tauSeconds), y, slope);
		for (const { state, by, perM3, perS } of varying)
			slope[state]! +=
				speedOf(by, t) * perM3 * perS(sinceMidnight(interval.startSeconds + t), origin + y[state]!);
	};
	const { integrate, budget } = makeDormandPrince(
		n,
		derivative,
		relativeTolerance,
		relativeTolerance * Math.max(origin, 1),
	);
	budget.steps = MAX_STEPS;
	return (
		state: Float64Array,
		of: ZoneSystem,
		moving: readonly Pull[],
		at: Interval,
		onSolution: ZoneObserver["onSolution"],
	): boolean => {
		[system, pulls, interval] = [of, moving, at];
		const loss = moving.reduce(
			(sum, { matrix, away }) => sum + Math.max(away, 0) * largestLoss(matrix),
			of.lossPerS,
		);
		const shortest = 1 / loss;
		const fastest = moving.reduce((least, { tauSeconds }) => Math.min(least, tauSeconds), shortest);
		const onStep =
			onSolution === undefined
				? undefined
				: (from: number, to: number, dense: DenseOutput) =>
						onSolution(
							makeStepSegment(origin, at.startSeconds, from, to, at.isOn[0] ?? false, dense),
							at.isOn,
						) !== "stop";
		return integrate(
			state,
			at.durationSeconds,
			Math.min(FIRST_STEP * fastest, at.durationSeconds),
			MAX_STEP * shortest,
			onStep,
			at.startSeconds,
		);
	};
}
