import { expect, it } from "vitest";
import { makeHourTest } from "../../lib/choose/search/worsthourtest.ts";
import { compile } from "../../lib/solve/compile.ts";
import { makeCycleMaxHourlyMeans, makeCycleStats } from "../../lib/solve/cycles/cyclestats.ts";
import { makeEquivalentCycle, withInstantFan } from "../../lib/solve/cycles/equivalentcycle.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

it("the worst hour of two zones with a fan that spins up is that of the equivalent instant fan to a twentieth of the excess", () => {
	const random = seededUniform(31);
	const within = (low: number, high: number) => low * (high / low) ** random();
	let most = 0;
	for (let n = 0; n < 150; n++) {
		const model = {
			volumeM3: within(0.05, 20),
			intakePpm: 400,
			generationM3PerS: within(1e-7, 1e-5),
			infiltrationM3PerS: n % 3 === 0 ? 0 : within(1e-7, 1e-3),
			deliveredM3PerS: within(1e-3, 0.2),
			stagnantFraction: within(0.05, 0.6),
			stagnantSourceShare: random(),
			interzonalM3PerS: within(1e-4, 0.1),
			spinUpTauSeconds: within(0.3, 4),
			coastDownTauSeconds: within(0.3, 6),
		};
		const cycle = { onSeconds: within(3, 300), offSeconds: within(20, 5000) };
		const exact = makeCycleMaxHourlyMeans(model)(cycle) - 400;
		const near = makeCycleMaxHourlyMeans(withInstantFan(model))(makeEquivalentCycle(model)(cycle)) - 400;
		most = Math.max(most, Math.abs(near / exact - 1));
	}
	expect(most).toBeLessThan(0.05);
});

it("a search that would ask too many exact worst hours gives up and says what has an answer", () => {
	const steady = compile({
		volumeM3: 0.3,
		intakePpm: 400,
		generationM3PerS: 1.1e-7,
		infiltrationM3PerS: 2.5e-5,
		deliveredM3PerS: 0.0167,
		stagnantFraction: 0.2,
		stagnantSourceShare: 0.4,
		interzonalM3PerS: 8e-6,
		spinUpTauSeconds: 1,
		coastDownTauSeconds: 2,
	});
	const cycle = { onSeconds: 5, offSeconds: 700 };
	const ceiling = makeCycleMaxHourlyMeans(steady)(cycle);
	const isUnder = makeHourTest(steady, makeCycleStats(steady), ceiling, 2);
	expect([isUnder(cycle), isUnder({ ...cycle, offSeconds: 701 })]).toEqual([true, false]);
	expect(() => isUnder({ ...cycle, offSeconds: 702 })).toThrow(
		/gave up after the exact worst hour of 2 cycles/,
	);
});
