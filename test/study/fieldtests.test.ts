import { describe, expect, test } from "vitest";
import { buildModel } from "../../lib/model/build.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { countBursts } from "../../lib/study/countedbursts.ts";
import { fitSeries } from "../../lib/study/fit.ts";
import type { Fit, FitName } from "../../lib/study/fitting.ts";
import { seriesOf, syntheticSeries } from "./syntheticlog.ts";

const scenario = parseScenario(
	`
chamber: { volume: 200 L, leak: 0.3 /h, temperature: 20 C }
intake: { co2: 420 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg, rate: 180 mg/(kg h) }
fan: { flow: 60 m3/h, spin-up: 1 s }
sensor: { response: 30 s }
schedules: { usual: { on: 10 s, off: 590 s } }
`,
	"cabinet.yaml",
);
const model = buildModel(scenario);
const empty = { ...model, generationM3PerS: 0, startPpm: 3500 };
const of = (fit: Fit, name: FitName) => fit.parameters.find((one) => one.name === name)!;

describe("counted bursts", () => {
	const switches: number[] = [];
	for (let k = 0; k < 8; k++) {
		const start = 400 + k * 400;
		switches.push(start, start + (k < 5 ? 5 : 10));
	}
	const bursts = (noisePpm: number, sensorSeconds = 30) =>
		syntheticSeries({
			model: { ...empty, sensorSeconds },
			schedule: { kind: "switches", switchSeconds: switches, startsWith: "off" },
			durationSeconds: 3600,
			stepSeconds: 5,
			noisePpm,
			rho: 0,
			seed: 3,
		});

	test("one burst from 3000 to 1500 ppm over 420 ppm of intake air is 0.871 air changes", () => {
		// ln(2580/1080), worked out by hand.
		const times = Float64Array.from({ length: 40 }, (_, i) => i * 10);
		const co2 = times.map((t) => (t < 200 ? 3000 : 1500));
		const found = countBursts(times, co2, new Uint8Array(40), 420);
		expect(found.bursts).toHaveLength(1);
		expect(found.bursts[0]!.airChanges).toBeCloseTo(Math.log(2580 / 1080), 6);
		expect(found.bursts[0]!.airChanges).toBeCloseTo(0.871, 3);
	});

	test("two lengths tell flow and spin-up loss within their errors and the acceptance of 15 per cent", () => {
		const fit = fitSeries(scenario, bursts(6), { test: "bursts", burstSeconds: [5, 10] });
		expect(fit.curve.bursts).toHaveLength(8);
		const flow = of(fit, "flow");
		const loss = of(fit, "spin-up loss");
		expect(Math.abs(flow.value - model.fanM3PerS)).toBeLessThan(3 * flow.standardError!);
		expect(Math.abs(flow.value / model.fanM3PerS - 1)).toBeLessThan(0.05);
		expect(Math.abs(loss.value - 1)).toBeLessThan(3 * loss.standardError!);
		expect(loss.standardError!).toBeLessThan(0.4);
		expect(fit.changes.map(({ path }) => path)).toContain("fan.flow");
		expect(fit.confounded).toEqual([]);
	});

	test("one length tells the air changes of a burst, and says that spin-up hides in them", () => {
		const one = { ...bursts(6), co2Ppm: bursts(6).co2Ppm };
		const half = seriesOf(one.timesSeconds.slice(0, 470), one.co2Ppm.slice(0, 470), 5);
		const fit = fitSeries(scenario, half, { test: "bursts", burstSeconds: [5] });
		const perBurst = of(fit, "per burst");
		// 5 s less the spin-up of 1 s, 60 m3/h in 0.2 m3 less nothing: the substrate takes no known volume.
		const expected = (model.fanM3PerS * (5 - (1 - Math.exp(-5)))) / model.volumeM3;
		expect(Math.abs(perBurst.value / expected - 1)).toBeLessThan(0.05);
		expect(fit.confounded[0]!.names).toEqual(["flow", "spin-up loss"]);
		expect(fit.next!.command).toContain("--burst 5s --burst 15s");
	});

	test("a log without bursts is refused with what to do", () => {
		const flat = seriesOf(
			Float64Array.from({ length: 100 }, (_, i) => i * 10),
			new Float64Array(100).fill(3000),
			10,
		);
		expect(() => fitSeries(scenario, flat, { test: "bursts", burstSeconds: [5] })).toThrow(
			/no burst is to be seen.*dose the chamber/,
		);
	});
});

test("a closed-chamber rise tells respiration: 20 ppm a minute in 200 L are 0.24 L/h", () => {
	// G = V dC/dt: 0.2 m3 × 1200 ppm/h, worked out by hand.
	const times = Float64Array.from({ length: 61 }, (_, i) => i * 30);
	const co2 = times.map((t) => 800 + (20 / 60) * t);
	const fit = fitSeries(scenario, seriesOf(times, co2, 30), {
		test: "rise",
		fix: { leak: 0, lag: 0 },
	});
	expect(of(fit, "respiration").value * 3.6e6).toBeCloseTo(0.24, 6);
	expect(fit.changes.map(({ path }) => path)).toEqual(["substrate[0].rate"]);
});

test("a tracer decay tells the leak, and with the fan on the flow", () => {
	const series = (on: boolean, durationSeconds: number, stepSeconds: number) =>
		syntheticSeries({
			model: { ...empty, sensorSeconds: 30, fanM3PerS: model.fanM3PerS / 20 },
			schedule: { kind: on ? "continuous" : "off" },
			durationSeconds,
			stepSeconds,
			noisePpm: 8,
			rho: 0.3,
			seed: 5,
		});
	const leak = of(fitSeries(scenario, series(false, 7200, 60), { test: "decay" }), "leak");
	expect(Math.abs(leak.value - model.leakM3PerS)).toBeLessThan(3 * leak.standardError!);
	expect(leak.standardError!).toBeLessThan(0.02 * leak.value);
	const flow = of(
		fitSeries(scenario, series(true, 900, 5), {
			test: "decay",
			fan: "on",
			fix: { lag: "30 s" },
		}),
		"flow",
	);
	expect(Math.abs(flow.value - model.fanM3PerS / 20)).toBeLessThan(3 * flow.standardError!);
	expect(flow.told).toBe(true);
});
