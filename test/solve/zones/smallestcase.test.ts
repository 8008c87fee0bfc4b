import { expect, it } from "vitest";
import type { Model } from "../../../lib/model/chamber.ts";
import { zonesOfChamber } from "../../../lib/model/chamberzones.ts";
import { periodicState } from "../../../lib/solve/periodic.ts";
import { solveZones } from "../../../lib/solve/zones/periodiczones.ts";
import { seededUniform } from "../../../lib/statistics/random.ts";

it("a chamber with or without stagnant zone, sensor, leak and a slow fan is the smallest case of zones, to 1e-12", () => {
	const off = { free: 0, sensed: 0 };
	const random = seededUniform(3);
	const within = (low: number, high: number) => low * (high / low) ** random();
	for (let run = 0; run < 48; run++) {
		const model: Model = {
			volumeM3: within(0.05, 20),
			intakePpm: 400,
			generationM3PerS: within(1e-7, 1e-5),
			infiltrationM3PerS: run % 3 === 0 ? 0 : within(1e-7, 1e-3),
			deliveredM3PerS: within(1e-3, 0.2),
			mixingEfficiency: run % 5 === 0 ? 1 : within(0.3, 1),
			...(run % 2 === 0 && {
				stagnantFraction: within(0.05, 0.6),
				stagnantSourceShare: random(),
				interzonalM3PerS: within(1e-5, 1e-2),
			}),
			...(run % 4 > 1 && { responseSeconds: within(5, 100), sensorZone: run % 8 > 3 ? "stagnant" : "mixed" }),
			...(run % 6 > 3 && { spinUpTauSeconds: within(0.3, 3), coastDownTauSeconds: within(0.3, 5) }),
		};
		const schedule = { kind: "cycle", onSeconds: within(2, 60), offSeconds: within(60, 3000) } as const;
		const old = periodicState(model, schedule);
		const { levels, basis } = solveZones(zonesOfChamber(model, schedule));
		expect(basis).toBe("periodic");
		if (!old.exists) throw new Error("no periodic state");
		const kind = model.responseSeconds === undefined ? "free" : "sensed";
		const same = (x: number, y: number) => {
			off[kind] = Math.max(off[kind], Math.abs(x / y - 1));
		};
		for (const [name, expected] of [
			["chamber", old.mixed],
			["chamber, stagnant", old.stagnant],
			["chamber, sensor", old.sensor],
		] as const)
			if (expected !== null)
				for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const)
					same(levels[name]![key], expected[key]);
	}
	expect(off.free).toBeLessThan(1e-12);
	// With a sensor the chamber's own path squares a matrix some twenty times, and loses the digits that the next test finds here.
	expect(off.sensed).toBeLessThan(3e-11);
});

it("zones and sensor meet the periodic state worked out to 50 digits", () => {
	const model: Model = {
		volumeM3: 0.173594445462596,
		intakePpm: 400,
		generationM3PerS: 0.00000383784426491785,
		infiltrationM3PerS: 0,
		deliveredM3PerS: 0.1046442957452544,
		mixingEfficiency: 0.7200130382790331,
		stagnantFraction: 0.3480008996785342,
		stagnantSourceShare: 0.6831710010301322,
		interzonalM3PerS: 0.0042751971629925185,
		responseSeconds: 85.1143557321479,
	};
	const schedule = { kind: "cycle", onSeconds: 39.036191232348955, offSeconds: 1147.7802453994761 } as const;
	const { start } = solveZones(zonesOfChamber(model, schedule));
	for (const [name, ppm] of [
		["chamber", 26761.137493995597],
		["chamber, stagnant", 27062.01967608045],
		["chamber, sensor", 24879.44367949343],
	] as const)
		expect(Math.abs(start[name]! / ppm - 1)).toBeLessThan(3e-15);
});
