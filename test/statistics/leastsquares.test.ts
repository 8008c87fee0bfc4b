import { expect, test } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { leastSquares } from "../../lib/statistics/leastsquares.ts";

const points = [
	[0, 5.1],
	[1, 3.2],
	[2, 1.9],
	[3, 1.3],
	[5, 0.4],
] as const;

/** y = a e^(-k x), with a count of how often the rows were asked for. */
function decay(initial: readonly [number, number]) {
	const asked = { count: 0 };
	const problem = {
		parameters: [
			{ name: "a", initial: initial[0] },
			{ name: "k", initial: initial[1] },
		],
		rows(values: ArrayLike<number>, to: { add(residual: number, slopes: readonly number[]): void }) {
			asked.count += 1;
			const [a, k] = [values[0]!, values[1]!];
			for (const [x, y] of points) {
				const e = Math.exp(-k * x);
				to.add(y - a * e, [e, -a * x * e]);
			}
		},
	};
	return { asked, problem };
}

const sumOfSquares = (a: number, k: number) =>
	points.reduce((sum, [x, y]) => sum + (y - a * Math.exp(-k * x)) ** 2, 0);

test("the least is where no small move makes it less", () => {
	const { values, cost, termination } = leastSquares(decay([1, 0.1]).problem);
	expect(termination).toBe("converged");
	expect(cost).toBeCloseTo(sumOfSquares(values[0]!, values[1]!), 12);
	for (const [da, dk] of [
		[1e-4, 0],
		[-1e-4, 0],
		[0, 1e-4],
		[0, -1e-4],
	] as const)
		expect(sumOfSquares(values[0]! + da, values[1]! + dk)).toBeGreaterThan(cost);
});

test("a coarse gain tolerance ends the search sooner, and so does a coarse step tolerance", () => {
	const looks = (options: object) => {
		const { asked, problem } = decay([1, 0.1]);
		const { termination } = leastSquares(problem, options);
		expect(termination).toBe("converged");
		return asked.count;
	};
	const fine = looks({});
	expect(looks({ costTolerance: 1e-2 })).toBeLessThan(fine);
	// Without a gain tolerance the step decides.
	const byStep = looks({ costTolerance: 0, stepTolerance: 1e-7 });
	expect(looks({ costTolerance: 0, stepTolerance: 0.1 })).toBeLessThan(byStep);
});

test("the iteration limit is told", () => {
	const { termination, iterations } = leastSquares(decay([1, 0.1]).problem, { maxIterations: 2 });
	expect({ termination, iterations }).toEqual({ termination: "iteration limit", iterations: 2 });
});

test("a start where the model is not finite, or outside its bounds, is refused", () => {
	const { problem } = decay([1, 0.1]);
	const broken = { ...problem, parameters: [problem.parameters[0]!, { name: "k", initial: -1e6 }] };
	expect(() => leastSquares(broken)).toThrow(
		new InputError("the model is not finite at the starting values"),
	);
	const outside = { ...problem, parameters: [{ name: "a", initial: -1, lower: 0 }, problem.parameters[1]!] };
	expect(() => leastSquares(outside)).toThrow(/a.*needs a start within 0\.\.Infinity, got -1/);
});
