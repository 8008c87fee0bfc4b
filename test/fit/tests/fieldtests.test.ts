import { expect, test } from "vitest";
import type { FitName } from "../../../lib/fit/fitoptions.ts";
import type { Fit } from "../../../lib/fit/fittypes.ts";
import { buildModel } from "../../../lib/model/build.ts";
import { parseScenario } from "../../../lib/scenario/parse.ts";
import { fitSeries } from "../exactfit.ts";
import { seriesOf, syntheticSeries } from "../syntheticlog.ts";

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

test("a closed-chamber rise tells respiration: 20 ppm a minute in 200 L are 0.24 L/h", () => {
	// G = V dC/dt: 0.2 m3 × 1200 ppm/h, worked out by hand.
	const times = Float64Array.from({ length: 61 }, (_, i) => i * 30);
	const co2 = times.map((t) => 800 + (20 / 60) * t);
	const fit = fitSeries(scenario, seriesOf(times, co2, 30), {
		test: "rise",
		fix: { leak: 0, response: 0 },
	});
	expect(of(fit, "generation").value * 3.6e6).toBeCloseTo(0.24, 6);
	expect(fit.changes.map(({ path, isGiven }) => [path, isGiven === true])).toEqual([
		["chamber.leak", true],
		["substrate[0].rate", false],
		["substrate[0].reference", false],
		["sensor.response", true],
	]);
});

test("a tracer decay tells the leak, and with the fan on the flow", () => {
	const series = (on: boolean, durationSeconds: number, stepSeconds: number) =>
		syntheticSeries({
			model: { ...empty, responseSeconds: 30, deliveredM3PerS: model.deliveredM3PerS / 20 },
			schedule: { kind: on ? "continuous" : "off" },
			durationSeconds,
			stepSeconds,
			noisePpm: 8,
			rho: 0.3,
			seed: 5,
		});
	const leak = of(fitSeries(scenario, series(false, 7200, 60), { test: "decay" }), "leak");
	expect(Math.abs(leak.value - model.infiltrationM3PerS)).toBeLessThan(3 * leak.standardError!);
	expect(leak.standardError!).toBeLessThan(0.02 * leak.value);
	const flow = of(
		fitSeries(scenario, series(true, 900, 5), {
			test: "decay",
			fan: "on",
			fix: { response: "30 s" },
		}),
		"flow",
	);
	expect(Math.abs(flow.value - model.deliveredM3PerS / 20)).toBeLessThan(3 * flow.standardError!);
	expect(flow.isIdentifiable).toBe(true);
});
