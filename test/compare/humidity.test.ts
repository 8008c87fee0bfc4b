import { describe, expect, it } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { solveHumidity, waterBalance } from "../../lib/compare/humidity.ts";
import { buildModel } from "../../lib/model/build.ts";
import { buildHumidity } from "../../lib/model/humidity.ts";
import { afterBursts } from "../../lib/model/humidityzones.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { makeTimeline } from "../../lib/model/schedule/timeline.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";

const file = ({
	water = "{ evaporation: 1.2 m3/h }",
	chamber = "volume: 200 L, leak: 0.05 m3/h, temperature: 18 C",
	intake = "temperature: 20 C, humidity: 50 %",
	fan = "flow: 60 m3/h",
	target = "",
	schedules = "",
} = {}) =>
	parseScenario(
		`
chamber: { ${chamber} }
intake: { co2: 420 ppm, ${intake} }
substrate: { mass: 5 kg, rate: 155 mg/(kg h), reference: 18 C }
fan: { ${fan} }
${water === "" ? "" : `water: ${water}`}
${target === "" ? "" : `target: { humidity: ${target} }`}
${schedules}`,
		"damp.yaml",
		{ schedules: "optional" },
	);
const burst: Schedule = { kind: "cycle", onSeconds: 6, offSeconds: 324 };
const figures = (changes?: Parameters<typeof file>[0], schedule: Schedule = burst) => {
	const scenario = file(changes);
	return waterBalance(scenario, buildModel(scenario), schedule).humidity!;
};

describe("the humidity of a chamber", () => {
	it("is not worked out where the file does not ask for it", () => {
		const scenario = file({ water: "" });
		expect(scenario.water).toBeNull();
		expect(waterBalance(scenario, buildModel(scenario), burst).humidity).toBeNull();
	});

	it("carries out as much water as a chamber that is held at that humidity, to 1e-12", () => {
		const scenario = file();
		const flowing: Schedule = { kind: "continuous" };
		const worked = waterBalance(scenario, buildModel(scenario), flowing);
		const percent = worked.humidity!.meanPercent;
		expect(worked.humidity!.highestPercent - worked.humidity!.lowestPercent).toBeLessThan(1e-9);
		const held = file({
			water: "",
			chamber: `volume: 200 L, leak: 0.05 m3/h, temperature: 18 C, humidity: ${percent} %`,
		});
		const summed = waterBalance(held, buildModel(held), flowing);
		expect(worked.moistureLossGPerDay / summed.moistureLossGPerDay).toBeCloseTo(1, 12);
	});

	it("comes to the sum over bursts as they get shorter, and swings by less with the same air", () => {
		const swings = [6, 0.6, 0.06].map((onSeconds) => {
			const { highestPercent, lowestPercent, meanPercent, carriedOutGPerDay } = figures(undefined, {
				kind: "cycle",
				onSeconds,
				offSeconds: 54 * onSeconds,
			});
			const scenario = file({
				water: "",
				chamber: `volume: 200 L, leak: 0.05 m3/h, temperature: 18 C, humidity: ${meanPercent} %`,
			});
			const held = waterBalance(scenario, buildModel(scenario), {
				kind: "cycle",
				onSeconds,
				offSeconds: 54 * onSeconds,
			});
			return {
				swing: highestPercent - lowestPercent,
				off: Math.abs(held.moistureLossGPerDay / carriedOutGPerDay - 1),
			};
		});
		for (const i of [1, 2]) {
			expect(swings[i]!.swing).toBeLessThan(0.15 * swings[i - 1]!.swing);
			expect(swings[i]!.off).toBeLessThan(0.15 * swings[i - 1]!.off);
		}
		expect(swings[2]!.off).toBeLessThan(1e-3);
	});

	it("is that of the intake without evaporation, and saturated without air", () => {
		const dry = figures({ water: "{ evaporation: 0 m3/h }", intake: "temperature: 18 C, humidity: 50 %" });
		for (const percent of [dry.lowestPercent, dry.meanPercent, dry.highestPercent])
			expect(percent).toBeCloseTo(50, 9);
		expect(dry.evaporatedGPerDay).toBe(0);
		const shut = figures({ chamber: "volume: 200 L, leak: 0 m3/h, temperature: 18 C" }, { kind: "off" });
		expect(shut.highestPercent).toBeLessThanOrEqual(100);
		expect(shut.meanPercent).toBeGreaterThan(99.99);
		expect(shut.carriedOutGPerDay).toBeCloseTo(0, 6);
		const lost = figures({
			fan: "flow: 0.001 m3/h",
			chamber: "volume: 200 L, leak: 0 m3/h, temperature: 18 C",
		});
		expect(lost.fogHoursPerDay).toBeGreaterThan(23);
	});

	it("gives out, runs off and takes in the same water, counted flow by flow, to 1e-9", () => {
		for (const water of [
			"{ evaporation: 1.2 m3/h }",
			"{ evaporation: 1.2 m3/h, humidifier: { output: 300 g/h, after-burst: 8 s } }",
			"{ evaporation: 2.5 m3/h, humidifier: { output: 60 g/h, on: 30 s, off: 5 min }, walls: { transmittance: 5.3 W/(m2 K), room: 14 C } }",
			"{ evaporation: 0.3 m3/h, humidifier: { output: 250 g/h, after-burst: 60 s }, walls: { transmittance: 5.3 W/(m2 K), room: 12 C } }",
		]) {
			const scenario = file({ water });
			const model = buildModel(scenario);
			const damp = buildHumidity(scenario, model)!;
			let out = 0;
			const found = solveHumidity(scenario, damp, burst, (solution, isOn) => {
				const { durationSeconds } = solution;
				const excess = solution.integralTo(0, durationSeconds) - damp.intakePercent * durationSeconds;
				const flow = model.infiltrationM3PerS + (isOn[0] ? model.deliveredM3PerS : 0);
				out += (flow * excess * damp.saturationGPerM3) / 100 / damp.dryShare;
			});
			const perDay = 86_400 / found.windowSeconds;
			const given = found.evaporatedGPerDay + found.humidifierGPerDay;
			expect(found.basis, water).toBe("periodic");
			expect(Math.abs(given - found.runOffGPerDay - out * perDay) / given, water).toBeLessThan(1e-9);
			expect(found.carriedOutGPerDay).toBeCloseTo(out * perDay, 6);
		}
	});

	it("is held by a hygrostat between its two levels, after a burst too", () => {
		const held = figures(
			{
				water: "{ evaporation: 0.6 m3/h, humidifier: { output: 100 g/h, below: 85 %, until: 90 % } }",
				fan: "flow: 1 m3/h",
			},
			{ kind: "continuous" },
		);
		expect(held.basis).toBe("periodic");
		expect(held.lowestPercent).toBeCloseTo(85, 6);
		expect(held.highestPercent).toBeCloseTo(90, 6);
		const late = figures(
			{
				water:
					"{ evaporation: 0.6 m3/h, humidifier: { output: 100 g/h, below: 85 %, until: 90 %, delay: 20 s } }",
				fan: "flow: 1 m3/h",
			},
			{ kind: "continuous" },
		);
		expect(late.lowestPercent).toBeLessThan(84.9);
		expect(late.highestPercent).toBeGreaterThan(90.5);
	});

	it("recovers after a burst as its floor asks, and mist after the burst shortens that", () => {
		const [slow, fast] = ["", ", humidifier: { output: 100 g/h, after-burst: 4 s }"].map((mist) =>
			figures({ water: `{ evaporation: 3 m3/h${mist} }`, target: "{ floor: 88 % }" }),
		);
		expect(slow!.lowestPercent).toBeLessThan(88);
		expect(slow!.recoverySeconds!).toBeGreaterThan(30);
		expect(slow!.belowSecondsPerDay / (86_400 / 330)).toBeCloseTo(slow!.recoverySeconds!, 6);
		expect(fast!.recoverySeconds!).toBeLessThan(0.7 * slow!.recoverySeconds!);
		expect(figures({ target: "{ floor: 95 % }" }).recoverySeconds).toBeNull();
	});

	it("fogs and wets the walls where the humidifier is many times too big, and where the room is cold", () => {
		const big = figures({
			water: "{ evaporation: 1.2 m3/h, humidifier: { output: 300 g/h, after-burst: 60 s } }",
		});
		expect(big.fogHoursPerDay).toBeGreaterThan(1);
		expect(big.highestPercent).toBe(100);
		const cold = figures({
			water: "{ evaporation: 4 m3/h, walls: { transmittance: 5.3 W/(m2 K), room: 10 C } }",
		});
		// The wall is at 12.5 °C, at which air of 18 °C sweats above 70 %.
		expect(cold.wetWallHoursPerDay).toBeGreaterThan(12);
		expect(cold.highestPercent).toBeLessThan(
			figures({ water: "{ evaporation: 4 m3/h }" }).highestPercent - 3,
		);
	});

	it("counts in the verdict where the target asks for it", () => {
		const schedules = "schedules: { burst: { on: 6 s, off: 324 s } }";
		const judge = (target: string) => compareSchedules(file({ target, schedules }));
		expect(judge("{ floor: 60 % }").best).toBe("burst");
		const missed = judge("{ floor: 85 % }");
		expect(missed.best).toBeNull();
		expect(missed.schedules[0]!.summary.criterion.humidity).toMatchObject({ floorPercent: 85, isMet: false });
		expect(judge("{ floor: 60 %, ceiling: 70 % }").best).toBeNull();
	});

	it("of a crop whose evaporation nobody measured goes by its species and stage", () => {
		const { evaporation } = file({ water: "", target: "{ floor: 85 % }" }).water!;
		expect(evaporation.origin.kind).toBe("default");
		expect(evaporation.value * 3600).toBeCloseTo(5 * 0.15, 9);
		expect(evaporation.low! * 3600).toBeCloseTo(5 * 0.04, 9);
	});
});

describe("a humidifier after each burst", () => {
	const runs = (schedule: Schedule, seconds: number) =>
		afterBursts(makeTimeline(schedule), seconds).segments.map(({ startSeconds, durationSeconds, isOn }) => [
			startSeconds,
			durationSeconds,
			isOn,
		]);
	it("starts where the fan stops, and goes on over the end of a cycle", () => {
		expect(runs(burst, 8)).toEqual([
			[0, 6, false],
			[6, 8, true],
			[14, 316, false],
		]);
		expect(runs({ kind: "cycle", onSeconds: 6, offSeconds: 4 }, 7)).toEqual([
			[0, 3, true],
			[3, 3, false],
			[6, 4, true],
		]);
		expect(runs({ kind: "cycle", onSeconds: 6, offSeconds: 4 }, 30).every(([, , isOn]) => isOn)).toBe(true);
	});
	it("does not start without a burst", () => {
		expect(runs({ kind: "continuous" }, 8)).toEqual([[0, Number.POSITIVE_INFINITY, false]]);
	});
});
