import type { FitWarning } from "../findings.ts";
import type { Fit } from "../fittypes.ts";
import type { Estimate } from "./estimate.ts";
import type { FitPlan } from "./fitplan.ts";
import { withSpread } from "./heldvalues.ts";

/** A test's log as it was read in the end. */
export interface SettledTest {
	readonly plan: FitPlan;
	readonly found: Estimate;
	readonly riseShape: Fit["riseShape"];
	readonly warnings: readonly FitWarning[];
}

type Search = (parameters: FitPlan["parameters"]) => Estimate;

/** Searches a log, and settles what a field test leaves to the log itself: the background of a decay, the bend of a rise. */
export function settleTest(
	plan: FitPlan,
	search: Search,
	test: "log" | "rise" | "decay",
	intakePpm: number,
): SettledTest {
	const found = search(plan.parameters);
	const plain = { plan, found, riseShape: null, warnings: [] };
	if (test === "decay") return settleBackground(plain, search, intakePpm);
	return test === "rise" ? settleShape(plain, search) : plain;
}

/** Tail and knowledge contradict each other beyond so many of their common standard deviations. */
const MAX_STANDARD_DEVIATIONS = 3;

/**
 * What the tail alone says of the background follows from the estimate with its prior: precisions add up. Where that lies too far from what
 * is known of intake and sensor, the knowledge is wrong, and the tail alone is gone by.
 */
function settleBackground(settled: SettledTest, search: Search, intakePpm: number): SettledTest {
	const { plan, found } = settled;
	const k = plan.parameters.findIndex(({ name }) => name === "offset");
	const prior = plan.parameters[k]?.prior;
	const error = found.standardErrors[k];
	if (prior === undefined || error == null) return settled;
	const [own, known] = [1 / error ** 2, 1 / prior.standardDeviation ** 2];
	const tail = own - known;
	// The tail says next to nothing.
	if (!(tail > 0.01 * known)) return settled;
	const background = (found.least.values[k]! * own - prior.mean * known) / tail;
	const off = Math.abs(background - prior.mean) / Math.hypot(1 / Math.sqrt(tail), prior.standardDeviation);
	if (off <= MAX_STANDARD_DEVIATIONS) return settled;
	const parameters = plan.parameters.map((one, at) => {
		const { prior: _, ...open } = one;
		return at === k ? open : one;
	});
	const freed = search(parameters);
	return {
		...settled,
		plan: { ...plan, parameters },
		found: freed,
		warnings: [
			{
				code: "background contradicts intake",
				backgroundPpm: intakePpm + freed.least.values[k]!,
				standardError: freed.standardErrors[k] ?? 0,
				expectedPpm: intakePpm + prior.mean,
				expectedError: prior.standardDeviation,
			},
		],
	};
}

/** A parameter more must lower the sum of squares, in units of the residual variance, by so much (Akaike 1974, from memory). */
const AKAIKE = 2;

/**
 * A closed chamber's rise bends as its leak sets in. Without a bend that the log, or what is known of the leak, speaks for, the rise is read
 * as straight; how far a leak may still bend it stays in the errors.
 */
function settleShape(settled: SettledTest, search: Search): SettledTest {
	const { plan, found } = settled;
	const { least, varianceInflation } = found;
	const k = plan.parameters.findIndex(({ name }) => name === "leak");
	const { prior, fixed } = plan.parameters[k]!;
	const error = found.standardErrors[k];
	if (fixed === true || error == null || least.variance === null) return settled;
	const straight = plan.parameters.map((one, at) => {
		const { prior: _, ...open } = one;
		return at === k ? { ...open, initial: 0, fixed: true } : one;
	});
	const without = found.cost(
		straight.map((one, at) => (at === k ? one : { ...one, initial: least.values[at]! })),
	);
	const known = prior === undefined ? 0 : (prior.mean / prior.standardDeviation) ** 2;
	const deltaAic = (without.cost + known - least.cost) / (least.variance * varianceInflation) - AKAIKE;
	if (deltaAic > 0) return { ...settled, riseShape: { code: "bent", deltaAic } };
	return {
		...settled,
		plan: {
			...plan,
			parameters: straight,
			held: withSpread(plan.held, "leak", Math.hypot(least.values[k]!, error)),
		},
		found: search(straight),
		riseShape: { code: "straight", deltaAic },
	};
}
