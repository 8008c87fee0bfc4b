import { expect, test } from "vitest";
import { lag1Autocorrelation } from "../../lib/statistics/autocorrelation.ts";
import { normalQuantile } from "../../lib/statistics/normal.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { remlAutocorrelation } from "../../lib/statistics/reml.ts";

/** Seeded first-order autoregressive noise about levels of `run` samples each: residuals from the means, and the slopes over the levels. */
function levels(rho: number, count: number, run: number, seed: number) {
	const random = seededUniform(seed);
	const normal = () => normalQuantile(random());
	let noise = normal();
	const noisy = Float64Array.from({ length: count }, () => {
		const now = noise;
		noise = rho * noise + Math.sqrt(1 - rho * rho) * normal();
		return now;
	});
	const free = count / run;
	const rows = new Float64Array((free + 1) * count);
	const residuals = noisy.slice();
	for (let level = 0; level < free; level++) {
		const mean = noisy.slice(level * run, (level + 1) * run).reduce((sum, x) => sum + x / run, 0);
		for (let i = level * run; i < (level + 1) * run; i++) {
			rows[level * count + i] = 1;
			residuals[i]! -= mean;
			rows[free * count + i] = residuals[i]!;
		}
	}
	return { rows, residuals, times: Float64Array.from({ length: count }, (_, i) => 5 * i) };
}

test.each([0.3, 0.6, 0.8])(
	"noise of correlation %d about a level for every eight samples shows it by restricted likelihood, where the residuals alone show too little",
	(rho) => {
		let [restricted, plain] = [0, 0];
		const logs = 30;
		for (let seed = 1; seed <= logs; seed++) {
			const { rows, residuals, times } = levels(rho, 160, 8, 77 + seed);
			restricted += remlAutocorrelation(rows, times, 5) / logs;
			plain += lag1Autocorrelation(residuals, times, 5) / logs;
		}
		expect(Math.abs(restricted - rho)).toBeLessThan(0.08);
		expect(rho - plain).toBeGreaterThan(0.1);
	},
);

test("white noise has none, or next to none, and a parameter without effect changes nothing", () => {
	const { rows, times } = levels(0, 160, 8, 5);
	const found = remlAutocorrelation(rows, times, 5);
	expect(found).toBeLessThan(0.2);
	const idle = new Float64Array(rows.length + 160);
	idle.set(rows, 160);
	expect(remlAutocorrelation(idle, times, 5)).toBe(found);
});
