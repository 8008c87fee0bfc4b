import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { computeCovariance } from "../../lib/statistics/covariance.ts";
import { createQrAccumulator } from "../../lib/statistics/qraccumulator.ts";

/** Triangle of a matrix that is given by rows. */
const triangleOf = (rows: readonly (readonly number[])[]): Float64Array => {
	const qr = createQrAccumulator(rows[0]!.length);
	for (const row of rows) qr.add(0, row);
	return qr.finish().r;
};

/** Inverse of JᵀJ by Gauss and Jordan: the normal equations, which the library does without. */
function inverseOfNormal(rows: readonly (readonly number[])[]): number[][] {
	const n = rows[0]!.length;
	const a = Array.from({ length: n }, (_, i) =>
		Array.from({ length: 2 * n }, (_, j) =>
			j < n ? rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0) : j - n === i ? 1 : 0,
		),
	);
	for (let p = 0; p < n; p++) {
		const pivot = a[p]![p]!;
		a[p] = a[p]!.map((x) => x / pivot);
		for (let i = 0; i < n; i++) {
			const factor = a[i]![p]!;
			if (i !== p) a[i] = a[i]!.map((x, j) => x - factor * a[p]![j]!);
		}
	}
	return a.map((row) => row.slice(n));
}

test("a straight line through 1, 2, 3 and 4 has the covariance that its normal equations give by hand", () => {
	// JᵀJ = [4 10; 10 30], its inverse [30 -10; -10 4]/20; with s² = 2: [3 -1; -1 0.4].
	const { covariance, standardErrors, correlation, unidentifiable } = computeCovariance(
		Float64Array.of(2, 5, 0, Math.sqrt(5)),
		2,
		2,
	);
	const byHand = [
		[3, -1],
		[-1, 0.4],
	];
	for (const [i, row] of byHand.entries())
		for (const [j, value] of row.entries()) expect(covariance[i]![j]).toBeCloseTo(value, 13);
	expect(standardErrors[0]).toBeCloseTo(Math.sqrt(3), 13);
	expect(standardErrors[1]).toBeCloseTo(Math.sqrt(0.4), 13);
	expect(correlation[0]![1]).toBeCloseTo(-1 / Math.sqrt(1.2), 13);
	expect(correlation[1]![0]).toBe(correlation[0]![1]);
	expect(unidentifiable).toEqual([]);
});

test("slopes without structure have that of the normal equations, times the variance", () => {
	// A multiplicative generator that the library does not use.
	let state = 12_345;
	const random = () => {
		state = (state * 48_271) % 2_147_483_647;
		return state / 2_147_483_647 - 0.5;
	};
	for (const n of [1, 2, 3, 5, 8]) {
		const rows = Array.from({ length: 4 * n }, () => Array.from({ length: n }, (_, j) => random() * 10 ** j));
		const { covariance } = computeCovariance(triangleOf(rows), n, 0.7);
		const normal = inverseOfNormal(rows);
		for (let i = 0; i < n; i++)
			for (let j = 0; j < n; j++) {
				const size = Math.sqrt(normal[i]![i]! * normal[j]![j]!);
				// The normal equations lose the square of the condition, some 1e4 with columns of unit length.
				expect(Math.abs(covariance[i]![j]! - 0.7 * normal[i]![j]!)).toBeLessThan(1e-9 * size);
			}
	}
});

interface Certified {
	readonly id: string;
	readonly inputs: { readonly x: readonly number[] };
	readonly expected: {
		readonly b: readonly number[];
		readonly sd: readonly number[];
		readonly residual_sd: number;
	};
}
const published: readonly Certified[] = JSON.parse(
	readFileSync(new URL("../../fixtures/published/leastsquares.json", import.meta.url), "utf8"),
);

test.each(["NLS-BoxBOD", "NLS-Misra1a"])(
	"%s: slopes at the certified parameters give the certified standard deviations",
	(id) => {
		const { inputs, expected } = published.find((one) => one.id === id)!;
		const [b1, b2] = expected.b as [number, number];
		// y = b1 (1 - exp(-b2 x))
		const rows = inputs.x.map((x) => [1 - Math.exp(-b2 * x), b1 * x * Math.exp(-b2 * x)]);
		const { standardErrors } = computeCovariance(triangleOf(rows), 2, expected.residual_sd ** 2);
		// Certified to 11 digits.
		for (const [k, sd] of expected.sd.entries())
			expect(Math.abs(standardErrors[k]! / sd - 1)).toBeLessThan(1e-9);
	},
);

test("a unit changes an error by its factor and nothing else, be it a billion", () => {
	const rows = [1, 2, 3, 4].map((x) => [1, 1e9 * x]);
	const { standardErrors, correlation, unidentifiable } = computeCovariance(triangleOf(rows), 2, 2);
	expect(standardErrors[0]! / Math.sqrt(3)).toBeCloseTo(1, 12);
	expect((1e9 * standardErrors[1]!) / Math.sqrt(0.4)).toBeCloseTo(1, 12);
	expect(correlation[0]![1]).toBeCloseTo(-1 / Math.sqrt(1.2), 12);
	expect(unidentifiable).toEqual([]);
});

test("two parameters of which only the sum shows have no error, and the third keeps its own", () => {
	const rows = [1, 2, 3, 4].map((x) => [1, 1, x - 2.5]);
	const { standardErrors, covariance, correlation, unidentifiable } = computeCovariance(
		triangleOf(rows),
		3,
		2,
	);
	expect(unidentifiable).toEqual([[0, 1]]);
	expect(standardErrors.slice(0, 2)).toEqual([null, null]);
	// Σ (x - 2.5)² = 5
	expect(standardErrors[2]).toBeCloseTo(Math.sqrt(2 / 5), 12);
	expect(covariance[0]!.every(Number.isNaN)).toBe(true);
	expect(correlation[2]![1]).toBeNaN();
	expect(correlation[2]![2]).toBeCloseTo(1, 12);
});

test("a parameter without any effect is named alone", () => {
	const { standardErrors, unidentifiable } = computeCovariance(
		triangleOf([1, 2, 3, 4].map((x) => [x, 0])),
		2,
		3,
	);
	expect(unidentifiable).toEqual([[1]]);
	// Σ x² = 30
	expect(standardErrors[0]).toBeCloseTo(Math.sqrt(3 / 30), 12);
	expect(standardErrors[1]).toBeNull();
});

test("without a variance there is no error, but what cannot be separated is still known", () => {
	const { standardErrors, covariance, unidentifiable } = computeCovariance(
		triangleOf([1, 2, 3].map((x) => [x, -2 * x])),
		2,
		null,
	);
	expect(standardErrors).toEqual([null, null]);
	expect(covariance.flat().every(Number.isNaN)).toBe(true);
	expect(unidentifiable).toEqual([[0, 1]]);
});
