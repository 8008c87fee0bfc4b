import { expect, test } from "vitest";
import { leastSquares } from "../../lib/statistics/leastsquares.ts";
import { createQrAccumulator } from "../../lib/statistics/qraccumulator.ts";
import { quantile } from "../../lib/statistics/quantile.ts";
import { regressProducts } from "../../lib/statistics/regressproducts.ts";

test("what is known beforehand is a row more: of readings 4 ± 1 and knowledge 1 ± 0.5 the mean is weighed by the squares", () => {
	const found = leastSquares({
		parameters: [{ name: "a", initial: 0, prior: { mean: 1, standardDeviation: 0.5 } }],
		rows: (values, to) => to.add(4 - values[0]!, [1]),
	});
	expect(found.values[0]).toBeCloseTo((4 * 1 + 1 * 4) / (1 + 4), 12);
	expect(found.rows).toBe(1);
	expect(found.degreesOfFreedom).toBe(1);
	expect(found.unscaledCovariance[0]![0]).toBeCloseTo(1 / 5, 12);
});

test("regression by cross products leaves what each column leaves, and a column that is none of its own gets 0", () => {
	// Columns 1, x and 2x over x = 0, 1, 2 with y = 1, 3, 4: mean 8/3, slope 3/2, left 1/6.
	const rows = [
		[1, 0, 0, 1],
		[1, 1, 2, 3],
		[1, 2, 4, 4],
	];
	const products = (): Float64Array =>
		Float64Array.from({ length: 16 }, (_, at) =>
			rows.reduce((sum, row) => sum + row[at >> 2]! * row[at & 3]!, 0),
		);
	const found = regressProducts(products(), 4, 1);
	expect(found.before).toBeCloseTo(26 - 64 / 3, 12);
	expect(found.after).toBeCloseTo(1 / 6, 12);
	expect([...found.values].map((one) => Number(one.toFixed(9)))).toEqual([
		Number((7 / 6).toFixed(9)),
		1.5,
		0,
	]);
	expect(regressProducts(products(), 4, 3).before).toBeCloseTo(1 / 6, 12);
});

test("a triangle of more rows than a block holds has the products of all rows", () => {
	const qr = createQrAccumulator(2);
	const [n, sum, squares] = [300, (299 * 300) / 2, (299 * 300 * 599) / 6];
	for (let i = 0; i < n; i++) qr.add(2 * i, [-1, i]);
	const { r, qtr } = qr.finish();
	expect(r[0]! ** 2).toBeCloseTo(n, 6);
	expect(r[0]! * r[1]!).toBeCloseTo(-sum, 4);
	expect(r[1]! ** 2 + r[3]! ** 2).toBeCloseTo(squares, 1);
	expect(r[0]! * qtr[0]!).toBeCloseTo(-2 * sum, 4);
});

test("quantiles lie between the order statistics (type 7 of Hyndman and Fan)", () => {
	expect(quantile([1, 2, 4, 8], 0.5)).toBe(3);
	expect(quantile([1, 2, 4, 8], 0)).toBe(1);
	expect(quantile([1, 2, 4, 8], 1)).toBe(8);
	expect(quantile([1, 2, 4, 8], 0.9)).toBeCloseTo(6.8, 12);
});
