import { expect, test } from "vitest";
import { levenbergStep, type StepFrom } from "../../lib/statistics/levenberg.ts";

const free = (n: number) => ({
	now: new Float64Array(n),
	lower: new Float64Array(n).fill(-Infinity),
	upper: new Float64Array(n).fill(Infinity),
});
/** ‖R p - Qᵀr‖², written out. */
const objective = ({ r, qtr, n }: StepFrom, p: ArrayLike<number>): number => {
	let sum = 0;
	for (let i = 0; i < n; i++) {
		let left = qtr[i]!;
		for (let j = 0; j < n; j++) left -= r[i * n + j]! * p[j]!;
		sum += left ** 2;
	}
	return sum;
};
const scaledLength = ({ scale, n }: StepFrom, p: ArrayLike<number>): number =>
	Math.sqrt(Array.from({ length: n }, (_, j) => (scale[j]! * p[j]!) ** 2).reduce((sum, x) => sum + x, 0));

/** 2 a + b = 4 and 3 b = 6, solved by a = 1 and b = 2. */
const small = (radius: number): StepFrom => ({
	r: Float64Array.of(2, 1, 0, 3),
	qtr: Float64Array.of(4, 6),
	n: 2,
	scale: Float64Array.of(2, 3),
	radius,
	...free(2),
});

test("where the radius allows it, the step is that of Gauss and Newton", () => {
	const { step, predicted, length } = levenbergStep(small(100));
	expect(step[0]).toBeCloseTo(1, 12);
	expect(step[1]).toBeCloseTo(2, 12);
	// All of 4² + 6² goes; ‖D p‖ = √(2² + 6²).
	expect(predicted).toBeCloseTo(52, 11);
	expect(length).toBeCloseTo(Math.sqrt(40), 12);
});

test("a parameter on its bound that pushes outward stays, and the others move as if it were fixed", () => {
	const { step, predicted } = levenbergStep({ ...small(100), upper: Float64Array.of(Infinity, 0) });
	// With b = 0: 2 a = 4, and 6² is left.
	expect([...step]).toEqual([expect.closeTo(2, 12), 0]);
	expect(predicted).toBeCloseTo(16, 11);
});

test("a parameter on its bound that pulls inward leaves it", () => {
	const { step } = levenbergStep({ ...small(100), lower: new Float64Array(2) });
	expect([...step]).toEqual([expect.closeTo(1, 12), expect.closeTo(2, 12)]);
});

test("a step that leads over a bound ends there, and the others take the rest", () => {
	const { step, predicted } = levenbergStep({ ...small(100), upper: Float64Array.of(Infinity, 0.5) });
	// With b = 0.5: 2 a + 0.5 = 4; 1.5 of 6 goes in the second row.
	expect([...step]).toEqual([expect.closeTo(1.75, 12), 0.5]);
	expect(predicted).toBeCloseTo(52 - 4.5 ** 2, 11);
});

test("a parameter on which no row depends does not move, and takes no digits from the others", () => {
	const { step, predicted } = levenbergStep({
		r: Float64Array.of(2, 0, 1, 0, 0, 0, 0, 0, 3),
		qtr: Float64Array.of(4, 0, 6),
		n: 3,
		scale: Float64Array.of(2, 0, 3),
		radius: 100,
		...free(3),
	});
	expect([...step]).toEqual([expect.closeTo(1, 12), 0, expect.closeTo(2, 12)]);
	expect(predicted).toBeCloseTo(52, 11);
});

/** Triangles and right sides without structure, by a generator that the library does not use. */
function* cases(): Generator<StepFrom> {
	let state = 4711;
	const random = (): number => {
		state = (state * 16_807) % 2_147_483_647;
		return (2 * state) / 2_147_483_647 - 1;
	};
	for (let k = 0; k < 40; k++) {
		const n = 1 + (k % 5);
		const r = new Float64Array(n * n);
		for (let i = 0; i < n; i++) for (let j = i; j < n; j++) r[i * n + j] = random() * 10 ** (j - 1);
		const scale = Float64Array.from({ length: n }, (_, j) =>
			Math.sqrt(Array.from({ length: n }, (_, i) => r[i * n + j]! ** 2).reduce((sum, x) => sum + x, 0)),
		);
		const qtr = Float64Array.from({ length: n }, random);
		const whole = levenbergStep({ r, qtr, n, scale, radius: 1e12, ...free(n) });
		yield { r, qtr, n, scale, radius: whole.length * (0.05 + 0.4 * (random() + 1)), ...free(n) };
	}
}

test("within a radius the step meets the damped normal equations with one damping for all parameters", () => {
	let damped = 0;
	for (const from of cases()) {
		const { r, qtr, n, scale, radius } = from;
		const { step, length, predicted } = levenbergStep(from);
		// To a tenth of the radius, as the search of the damping promises.
		expect(length).toBeLessThan(1.1001 * radius);
		expect(length).toBeCloseTo(scaledLength(from, step), 10);
		expect(predicted).toBeCloseTo(objective(from, new Float64Array(n)) - objective(from, step), 10);
		// (RᵀR + μ D²) p = Rᵀ Qᵀr: each row gives μ.
		const residual = Float64Array.from({ length: n }, (_, i) => {
			let left = qtr[i]!;
			for (let j = 0; j < n; j++) left -= r[i * n + j]! * step[j]!;
			return left;
		});
		const gradient = Array.from({ length: n }, (_, j) => {
			let sum = 0;
			for (let i = 0; i < n; i++) sum += r[i * n + j]! * residual[i]!;
			return sum / scale[j]!;
		});
		const damping =
			gradient.reduce((sum, g, j) => sum + g * scale[j]! * step[j]!, 0) / scaledLength(from, step) ** 2;
		expect(damping).toBeGreaterThan(-1e-12);
		for (const [j, g] of gradient.entries())
			expect(Math.abs(g - damping * scale[j]! * step[j]!)).toBeLessThan(1e-9);
		if (damping > 1e-9) {
			damped++;
			expect(length).toBeGreaterThan(0.8999 * radius);
		}
	}
	expect(damped).toBeGreaterThan(20);
});

test("no point within nine tenths of the radius is better", () => {
	let state = 99;
	const random = (): number => {
		state = (state * 16_807) % 2_147_483_647;
		return (2 * state) / 2_147_483_647 - 1;
	};
	for (const from of cases()) {
		const best = objective(from, levenbergStep(from).step);
		for (let k = 0; k < 50; k++) {
			const point = Float64Array.from(from.scale, (d) => random() / d);
			const factor = (0.8999 * from.radius * Math.abs(random())) / scaledLength(from, point);
			const tried = point.map((x) => x * factor);
			expect(objective(from, tried)).toBeGreaterThan(best - 1e-9);
		}
	}
});
