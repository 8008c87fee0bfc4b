import { describe, expect, it } from "vitest";
import { balance } from "../../lib/model/chamber.ts";
import { periodicCycle } from "../../lib/solve/cycles/closedform.ts";
import { settingMap } from "../../lib/solve/cycles/settingmap.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { cabinet, everything, zoned } from "./models.ts";

const to999 = Float64Array.from({ length: 999 }, (_, i) => i + 1);

describe("the map of settings", () => {
	it("holds for all 998,001 settings of a three-digit timer what the scalar closed form gives, to 1e-12", () => {
		for (const infiltrationM3PerS of [0, cabinet.infiltrationM3PerS, 0.01]) {
			const model = { ...cabinet, infiltrationM3PerS };
			const map = settingMap(model, { onSeconds: to999, offSeconds: to999 });
			const b = balance(model);
			const rise = (1e6 * model.generationM3PerS) / model.volumeM3;
			let worst = 0;
			for (let i = 0; i < 999; i++)
				for (let j = i % 7; j < 999; j += 7) {
					const one = periodicCycle(
						model.intakePpm,
						rise,
						b.infiltrationPerS + b.fanPerS,
						b.infiltrationPerS,
						i + 1,
						j + 1,
					);
					for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const)
						worst = Math.max(worst, Math.abs(map[key][i * 999 + j]! / one[key] - 1));
				}
			expect(worst).toBeLessThan(1e-12);
		}
	});

	it("fills arrays that are handed in", () => {
		const grid = { onSeconds: [4, 12], offSeconds: [100, 540, 900] };
		const first = settingMap(cabinet, grid);
		const again = settingMap({ ...cabinet, intakePpm: 500 }, grid, first);
		expect(again.peakPpm).toBe(first.peakPpm);
		expect(again.peakPpm[4]! - settingMap(cabinet, grid).peakPpm[4]!).toBeCloseTo(70, 9);
	});

	it("judges other linear models setting by setting, and refuses a source that changes", () => {
		const grid = { onSeconds: [4, 12], offSeconds: [100, 540] };
		const map = settingMap(zoned, grid);
		const one = periodicState(zoned, { kind: "cycle", onSeconds: 12, offSeconds: 540 });
		expect(one.exists && one.peakPpm).toBe(map.peakPpm[3]);
		expect(() => settingMap(everything, grid)).toThrow(/neither on time nor on CO2/);
	});
});
