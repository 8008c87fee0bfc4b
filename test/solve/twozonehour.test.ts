import { expect, it } from "vitest";
import { makeCycleMaxHourlyMeans } from "../../lib/solve/cycles/cyclestats.ts";
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
