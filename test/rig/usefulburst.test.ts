import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import { findCycleLimits } from "../../lib/choose/evaluate.ts";
import { checkRig } from "../../lib/rig/check.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

const SHIPPED = "fixtures/scenarios/";
const shipped = readdirSync(SHIPPED).map((name) => parseScenario(readFileSync(SHIPPED + name, "utf8"), name));

/** Chambers, fans, ducts, flaps, filters and limits by chance. */
function drawScenario(random: () => number): Scenario {
	const within = (low: number, high: number) => (low * (high / low) ** random()).toFixed(2);
	const pick = (list: readonly string[]) => list[Math.floor(random() * list.length)]!;
	return parseScenario(
		`
chamber: { volume: ${within(150, 900)} L, leak: 0.3 /h, temperature: ${pick(["18 C", "20 C", "24 C"])} }
intake: { co2: 450 ppm, temperature: 20 C }
substrate: { species: oyster, mass: ${within(1, 6)} kg, rate: 120 mg/(kg h) }
fan: { curve: { free-flow: ${within(40, 200)} m3/h, shut-off: 80 Pa }, spin-up: ${within(0.1, 4)} s, coast-down: 1 s${pick(["", ", flap: 2 Pa"])}${pick(["", ", filter: { kind: HEPA, area: 600 cm2 }"])}, duct: { length: ${within(0.5, 25)} m, diameter: 100 mm } }
timer: { ranges: [0.1..99.9 s by 0.1 s, 1..999 s by 1 s] }
target: { ceiling: 1100 ppm }
${pick(["", "", "limits: { burst: 2 s }", "limits: { burst: 9 s }"])}`,
		"x.yaml",
		{ schedules: "optional" },
	);
}

const rigTakes = (scenario: Scenario, onSeconds: number, offSeconds: number): boolean => {
	const schedule = { kind: "cycle", onSeconds, offSeconds } as const;
	const { findings } = checkRig({ ...scenario, schedules: [{ name: "a", schedule, line: 1, column: 1 }] });
	return findings.find(({ code }) => code === "burst")!.verdict === "ok";
};

describe("the shortest useful burst", () => {
	const random = seededUniform(13);
	const drawn = Array.from({ length: 30 }, () => drawScenario(random));

	it("is the same for rig and choose, on all shipped scenarios and on 30 others, whatever the pause", () => {
		const reasons = new Set<number>();
		for (const scenario of [...shipped, ...drawn]) {
			const { minOnSeconds } = findCycleLimits(scenario);
			reasons.add(minOnSeconds);
			for (const offSeconds of [3, 20_000])
				for (const factor of [0.99, 1, 1.01])
					expect([factor, rigTakes(scenario, factor * minOnSeconds, offSeconds)]).toEqual([
						factor,
						factor >= 1,
					]);
		}
		expect(reasons.size).toBeGreaterThan(12);
	});

	it("is kept by what choose recommends and offers beside it: rig takes each", () => {
		let found = 0;
		for (const scenario of [...shipped, ...drawn.slice(0, 6)]) {
			const choice = chooseSetting(scenario, { draws: 0 });
			if (!choice.isFeasible) continue;
			found++;
			for (const { schedule } of [choice.recommended, ...Object.values(choice.alternatives)])
				expect(rigTakes(scenario, schedule.onSeconds, schedule.offSeconds)).toBe(true);
		}
		expect(found).toBeGreaterThan(6);
	});
});
