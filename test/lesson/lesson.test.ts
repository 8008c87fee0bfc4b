import { describe, expect, test } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { InputError } from "../../lib/errors.ts";
import { dose } from "../../lib/lesson/bench.ts";
import { findCeilingSettings } from "../../lib/lesson/ceilingsettings.ts";
import { lesson } from "../../lib/lesson/lesson.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { type Sample, scenarioText } from "../reports/sample.ts";

const taught = lesson();
const ofFile = (text: string) =>
	lesson({ scenario: parseScenario(text, "cabinet.yaml", { schedules: "optional" }) });
/** With a fan that is at full speed at once, which is far quicker to work out. */
const instant = (options: Sample = {}) =>
	scenarioText(options).replace(", spin-up: 0.8 s, coast-down: 1.5 s", "");

/** Every number in a value, with its path. */
function* numbersIn(value: unknown, path = ""): Generator<[string, number]> {
	if (typeof value === "number") yield [path, value];
	else if (typeof value === "object" && value !== null)
		for (const [key, part] of Object.entries(value)) yield* numbersIn(part, `${path}.${key}`);
}
const notFinite = (value: unknown): string[] =>
	[...numbersIn(value)].filter(([, number]) => !Number.isFinite(number)).map(([path]) => path);

describe("the class example", () => {
	test("is said to be invented and has the figures of cases worked out by hand", () => {
		expect(taught.isInvented).toBe(true);
		expect(taught.notes).toEqual([{ code: "invented" }]);
		// Once an hour is case E of the regimes in fixtures/published.
		expect(taught.schedules[0]!.summary.peakPpm).toBeCloseTo(2903.343151645, 6);
		expect(taught.bucket.continuousPpm).toBeCloseTo(920, 9);
		expect(60 * taught.bucket.risePpmPerS).toBeCloseTo(2500 / 60, 9);
		expect(taught.washout.nominalTimeConstantSeconds).toBeCloseTo(12, 12);
	});

	test("moves the same air in every line of the third panel, and its mean and peak come down to the flat line", () => {
		const { cycles, continuousPpm } = taught.equalAir;
		for (const { parts, schedule } of cycles) {
			expect(schedule.onSeconds).toBeCloseTo(60 / parts, 9);
			expect(schedule.onSeconds + schedule.offSeconds).toBeCloseTo(3600 / parts, 9);
		}
		const above = cycles.map(({ stats }) => stats.meanPpm - continuousPpm);
		expect(above.every((ppm, i) => ppm > 0 && (i === 0 || ppm < above[i - 1]!))).toBe(true);
	});

	test("has its schedules on the two lines, and every random chamber too", () => {
		const { chambers, schedules } = taught.collapse;
		for (const { airChangesPerBurst: n, mean, peak } of [...chambers, ...schedules]) {
			expect(mean / (n / 2 / Math.tanh(n / 2) - 1)).toBeCloseTo(1, 8);
			expect(peak / (n / (1 - Math.exp(-n)) - 1)).toBeCloseTo(1, 8);
		}
		expect(chambers).toHaveLength(60);
	});

	test("has slopes 1 and 2 where bursts are short", () => {
		const [first, second] = taught.collapse.lines;
		const step = Math.log(second!.airChangesPerBurst / first!.airChangesPerBurst);
		expect(Math.log(second!.peak / first!.peak) / step).toBeCloseTo(1, 1);
		expect(Math.log(second!.mean / first!.mean) / step).toBeCloseTo(2, 2);
	});

	test("prices mean and peak by settings that just hold the ceiling", () => {
		const { penalty, model, ceilingPpm } = taught;
		if (!penalty.isFeasible) throw new Error(penalty.reason);
		expect(penalty.continuousM3PerDay).toBeCloseTo((24 * 0.5e-3 * 1e6) / 580, 6);
		for (const figure of ["mean", "peak"] as const)
			for (const { onSeconds, offSeconds, airM3PerDay } of [...penalty[figure], penalty.example[figure]]) {
				const steadyState = periodicState(model, { kind: "cycle", onSeconds, offSeconds });
				expect(steadyState.exists && steadyState[`${figure}Ppm`]).toBeCloseTo(ceilingPpm, 6);
				expect(airM3PerDay).toBeCloseTo((24 * 60 * onSeconds) / (onSeconds + offSeconds), 9);
			}
		const { example } = penalty;
		expect(example.mean.onSeconds + example.mean.offSeconds).toBeCloseTo(example.cycleSeconds, 9);
		expect(example.peakPenalty).toBeGreaterThan(10 * example.meanPenalty);
	});

	test("has a wall that no pause of any fan passes", () => {
		const { maxOffTime } = taught;
		if (!maxOffTime.isFeasible) throw new Error(maxOffTime.reason);
		expect(maxOffTime.maxOffSeconds).toBeCloseTo(835.2, 6);
		for (const { settings } of maxOffTime.fans)
			for (const { offSeconds } of settings) expect(offSeconds).toBeLessThan(maxOffTime.maxOffSeconds);
		expect(maxOffTime.fans[2]!.settings.at(-1)!.offSeconds / maxOffTime.maxOffSeconds).toBeGreaterThan(0.99);
	});

	test("shows less of the peak the slower the sensor is, and the same mean", () => {
		const { sensors, air } = taught.sensor;
		const peaks = [air, ...sensors.map(({ shown }) => shown)];
		for (const [i, { peakPpm, meanPpm }] of peaks.entries()) {
			if (i > 0) expect(peakPpm).toBeLessThan(peaks[i - 1]!.peakPpm);
			expect(meanPpm).toBeCloseTo(air.meanPpm, 6);
		}
	});

	test("answers the misconceptions with numbers that plain arithmetic gives", () => {
		const m = taught.misconceptions;
		expect(m.weight.heavier).toBeCloseTo(0.0016 * (44.0095 / 28.9647 - 1), 12);
		expect(m.humidity.after).toBeCloseTo(0.5 + 0.4 * Math.exp(-1), 9);
		expect(m.ripple.halfTheCyclePpm / m.ripple.givenPpm).toBeCloseTo(0.5, 9);
		expect(m.ripple.strongerFanPpm).toBeGreaterThan(m.ripple.givenPpm);
		for (const { offSeconds, onSeconds } of m.pauses) {
			const periodic = periodicState(taught.model, { kind: "cycle", onSeconds, offSeconds });
			expect(periodic.exists && periodic.peakPpm).toBeCloseTo(1000, 6);
		}
	});

	test("has nothing in it that is not finite", () => {
		expect(notFinite(taught)).toEqual([]);
	});
});

test("the doses are those of the trade", () => {
	// 2000 ppm in 10 L: one breath of half a litre at 4 %, 0.07 g of soda (84.0 g give 24.06 L at 20 °C), 20 mL of CO2.
	const one = dose(0.01, 2000);
	expect(one.co2M3).toBeCloseTo(20e-6, 12);
	expect(one.breaths).toBeCloseTo(1, 12);
	expect(one.bakingSodaKg * 1000).toBeCloseTo((20e-3 / 24.055) * 84.0066, 5);
	expect(one.dryIceKg * 1000).toBeCloseTo((20e-3 / 24.055) * 44.0095, 5);
	expect(taught.bench.room.risePpm).toBeCloseTo((1e6 * 24.055e-3 * 1000) / 44.0095 / 50, -1);
	const { scoopings, holeM3 } = taught.bench.water;
	for (const { everySeconds, share, peakM3, troughM3 } of scoopings) {
		expect(troughM3 + (120e-6 * everySeconds) / 60).toBeCloseTo(peakM3, 12);
		expect(peakM3 * (1 - share)).toBeCloseTo(troughM3, 12);
		expect(holeM3).toBeGreaterThan(troughM3);
		expect(holeM3).toBeLessThan(peakM3);
	}
});

describe("a lesson of a scenario", () => {
	test("has the figures that a comparison has, and moves the same air although the fan spins up", () => {
		const own = ofFile(scenarioText());
		expect(own.isInvented).toBe(false);
		expect(own.schedules.map(({ name }) => name)).toEqual(["rare and long", "short and often"]);
		const { schedules } = compareSchedules(parseScenario(scenarioText(), "cabinet.yaml"));
		for (const { name, summary } of own.schedules)
			expect(summary).toEqual(schedules.find((schedule) => schedule.name === name)!.summary);
		const [whole, , many] = own.equalAir.cycles;
		// The fan coasts down longer than it spins up, so that short bursts move a little more than their share.
		expect(many!.schedule.onSeconds).toBeLessThan(whole!.schedule.onSeconds / 20);
		expect(notFinite(own)).toEqual([]);
	});

	test.each([
		[
			"leakage alone meets the ceiling",
			"leak: 0.3 /h",
			"leak: 90 /h",
			"leakage suffices",
			"leakage suffices",
		],
		["the fan is far too weak", "flow: 70 m3/h", "flow: 0.1 m3/h", "fan too weak", "every fan too weak"],
		[
			"the crop stands in a stagnant zone",
			"altitude: 300 m",
			"stagnant: { share: 20 %, source: 80 %, exchange: 1 /h }",
			"stagnant zone",
			"every fan too weak",
		],
	])("says why where %s", (_, from, to, price, wall) => {
		const own = ofFile(instant().replace(from, to));
		expect(own.penalty).toMatchObject({ isFeasible: false, reason: price });
		expect(own.maxOffTime).toMatchObject({ isFeasible: false, reason: wall, maxFanFactor: 4 });
		expect(notFinite(own)).toEqual([]);
	});

	test("shows the longest off-time where only a stronger fan meets the ceiling", () => {
		const own = ofFile(instant().replace("flow: 70 m3/h", "flow: 0.8 m3/h"));
		expect(own.penalty.isFeasible).toBe(false);
		expect(
			own.maxOffTime.isFeasible && own.maxOffTime.fans.map(({ settings }) => settings.length > 0),
		).toEqual([false, true, true]);
	});

	test("leaves out what is no plain cycle, says so, and makes a cycle up where none is left", () => {
		const mixed = ofFile(
			instant({
				schedules: [
					["never off", "continuous"],
					["off", "off"],
					["often", "{ on: 4 s, off: 236 s }"],
				],
			}),
		);
		expect(mixed.schedules.map(({ name }) => name)).toEqual(["often"]);
		expect(mixed.notes).toContainEqual({ code: "schedules left out", count: 2 });
		const none = ofFile(instant({ schedules: [["never off", "continuous"]] }));
		expect(none.schedules).toHaveLength(1);
		expect(none.schedules[0]!.airChangesPerBurst).toBeGreaterThan(0.9);
		expect(none.notes).toContainEqual({ code: "cycle made up" });
	});

	test("holds a source that changes at its highest", () => {
		const swinging = instant().replace(
			"temperature: 17 C",
			'temperature: { mean: 17 C, swing: 2 K, warmest: "15:00" }',
		);
		const own = ofFile(swinging);
		expect(own.notes).toContainEqual({ code: "highest source" });
		expect(own.model.source).toBeUndefined();
		expect(own.model.generationM3PerS).toBeGreaterThan(ofFile(instant()).model.generationM3PerS);
	});

	test("refuses a chamber without fan or CO2, with the place", () => {
		expect(() => ofFile(instant().replace("flow: 70 m3/h", "flow: 0 m3/h"))).toThrow(InputError);
	});
});

test("settings at the ceiling are left out where a fan is too weak for them", () => {
	expect(findCeilingSettings({ ...taught.model, deliveredM3PerS: 1e-5 }, 1000, "peak", [0.1, 1])).toEqual([]);
	expect(findCeilingSettings(taught.model, 420, "peak", [0.1, 1])).toEqual([]);
});
