import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { buildModel } from "../../lib/model/build.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { startRunAt } from "../../lib/model/startrun.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { simulate } from "../../lib/solve/simulate.ts";

const model = buildModel(
	parseScenario(`
chamber: { volume: 300 L, leak: 0.3 /h, temperature: { mean: 18 C, swing: 3 K } }
substrate: { species: oyster, mass: 5 kg, rate: 150 mg/(kg h) }
fan: { flow: 60 m3/h, spin-up: 1 s, coast-down: 2 s }
sensor: { response: 60 s }
schedules: { a: off }
`),
);
const day = 86_400;
const schedules: Record<string, Schedule> = {
	"a cycle that does not divide the day": {
		kind: "cycle",
		onSeconds: 12,
		offSeconds: 701,
		startsWith: "off",
	},
	"another cycle at night": {
		kind: "daily",
		parts: [
			{ fromSeconds: 7 * 3600, schedule: { kind: "cycle", onSeconds: 60, offSeconds: 600 } },
			{ fromSeconds: 22 * 3600, schedule: { kind: "off" } },
		],
	},
	"a list that runs once": {
		kind: "switches",
		switchSeconds: [3600, 50_000, 50_500, 60_000, 70_000],
		startsWith: "off",
	},
	"a list that repeats": { kind: "switches", switchSeconds: [100, 1000, 5000], repeatSeconds: 9000 },
	"a fan that never stops": { kind: "continuous" },
};

describe("a run that starts at 14:00", () => {
	it.each(Object.entries(schedules))(
		"goes on as a run from midnight does from 14:00 on: %s",
		(_, schedule) => {
			const at = 14 * 3600;
			const times = Array.from({ length: 200 }, (_, i) => at + 431 * i);
			const whole = simulate(model, schedule, {
				durationSeconds: at + day,
				sampleTimes: times,
				startPpm: 900,
			});
			const { end } = simulate(model, schedule, { durationSeconds: at, sampleTimes: [at], startPpm: 900 });
			const moved = startRunAt(model, schedule, at);
			const rest = simulate(moved.model, moved.schedule, {
				durationSeconds: day,
				sampleTimes: times.map((t) => t - at),
				start: end,
			});
			expect(rest.fanOn).toEqual(whole.fanOn);
			for (const key of ["co2Ppm", "sensorPpm"] as const)
				for (const [i, ppm] of rest[key]!.entries()) expect(ppm / whole[key]![i]!).toBeCloseTo(1, 5);
		},
	);

	it("is the same run where it starts at midnight, and is refused at no time at all", () => {
		for (const schedule of Object.values(schedules))
			expect(startRunAt(model, schedule, 0)).toEqual({ model, schedule });
		expect(() => startRunAt(model, { kind: "off" }, Number.NaN)).toThrow(InputError);
	});
});
