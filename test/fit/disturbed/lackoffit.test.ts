import { describe, expect, test } from "vitest";
import { fitSeries } from "../../../lib/fit/fit.ts";
import type { FitName } from "../../../lib/fit/fitoptions.ts";
import type { Fit } from "../../../lib/fit/fittypes.ts";
import { disturbedLog, type Premises, scenarioOf, seriesOfLog } from "./disturbedlog.ts";
import { type Drawn, drawLog, FAULTS } from "./premises.ts";

const fitOf = ({ truth, scenario, options }: Drawn): Fit =>
	fitSeries(scenario, seriesOfLog(scenario, disturbedLog(truth)), options);
const of = (fit: Fit, name: FitName) => fit.parameters.find((one) => one.name === name)!;
const seeds = (from: number, count: number) => Array.from({ length: count }, (_, k) => from + k);

describe("whether a model follows a log", () => {
	test("of a chamber that is as the model has it, whatever its values, clock and noise, is denied in none of 24", () => {
		const denied = seeds(1, 24).filter((seed) => !fitOf(drawLog(seed)).residuals.isAdequate);
		expect(denied).toEqual([]);
	});

	test.each(Object.entries(FAULTS))(
		"with %s is denied, and then nothing is told and nothing written",
		(_, fault) => {
			for (const seed of seeds(1, 3)) {
				const fit = fitOf(fault(drawLog(seed)));
				expect(fit.residuals.isAdequate).toBe(false);
				expect(fit.residuals.lackOfFit.length).toBeGreaterThan(0);
				expect(fit.parameters.filter(({ isIdentifiable }) => isIdentifiable)).toEqual([]);
				expect(fit.changes).toEqual([]);
				expect(fit.confounded).toEqual([]);
				expect(fit.recommendedTest).toBeNull();
			}
		},
	);
});

describe("a grower who is wrong about the chamber", () => {
	test.each([
		[10, 15],
		[10, 1 / 15],
		[0.1, 15],
		[0.1, 1 / 15],
	])("by × %d in the flow and × %d in the crop gets the values that a right one gets", (flow, crop) => {
		for (const seed of seeds(2, 1)) {
			const right = drawLog(seed, { flow: 1, crop: 1 });
			const wrong = drawLog(seed, { flow, crop });
			const [expected, found] = [right, wrong].map(fitOf) as [Fit, Fit];
			for (const name of ["generation", "flow", "response"] as const)
				expect(Math.abs(of(found, name).value - of(expected, name).value)).toBeLessThan(
					0.5 * of(expected, name).standardError!,
				);
		}
	});
});

describe("a clock that a log hardly shows", () => {
	test("stays within one cycle, in 87 readings of nothing but noise", () => {
		const { scenario } = drawLog(3);
		const period = 600;
		const noise = disturbedLog({
			...drawLog(3).truth,
			onSeconds: 0,
			sourceM3PerS: 0,
			startPpm: 420,
			noisePpm: 30,
			hours: 86 / 60,
			stepSeconds: 60,
		});
		const timed = {
			...scenario,
			schedules: [
				{ ...scenario.schedules[0]!, schedule: { kind: "cycle", onSeconds: 10, offSeconds: 590 } as const },
			],
		};
		const fit = fitSeries(timed, seriesOfLog(timed, noise));
		expect(fit.curve.timesSeconds).toHaveLength(87);
		expect(Math.abs(of(fit, "phase").value)).toBeLessThan(2 * period);
		expect(fit.curve.bursts.length).toBeLessThan(12);
		expect(fit.residuals.isAdequate && of(fit, "flow").isIdentifiable).toBe(false);
	});
});

describe("field tests that went wrong say what was wrong, and never ask for the same again", () => {
	const scenario = scenarioOf({
		litres: 200,
		leakPerH: 0.3,
		flowM3PerH: 60,
		kg: 5,
		rate: 150,
		responseSeconds: 60,
		onSeconds: 10,
		offSeconds: 590,
	});
	const chamber: Premises = {
		airM3: 0.2,
		intakePpm: 420,
		sourceM3PerS: 0,
		flowM3PerS: 60 / 3600,
		leakM3PerS: (0.3 * 0.2) / 3600,
		lagSeconds: 60,
		onSeconds: 0,
		offSeconds: 600,
		phaseSeconds: 0,
		hours: 1,
		stepSeconds: 30,
		noisePpm: 6,
		rho: 0.3,
		startPpm: 500,
		seed: 5,
	};
	const crop = 1e-7;
	test.each([
		["rise", "an empty chamber", { startPpm: 430 }, "small rise"],
		["rise", "a fan that was on", { startPpm: 2500, sourceM3PerS: crop, leakM3PerS: 1e-4 }, "rise falls"],
		["decay", "a crop left inside", { sourceM3PerS: crop, leakM3PerS: 1e-5 }, "decay rises"],
		["decay", "a dose that was too small", { startPpm: 500, hours: 0.2 }, "small dose"],
		[
			"decay",
			"a log too short for a tight chamber",
			{ startPpm: 2500, leakM3PerS: 1e-7, hours: 0.1, noisePpm: 40, rho: 0 },
			"short decay",
		],
	] as const)("a %s test with %s", (kind, _, change, code) => {
		const log = disturbedLog({ ...chamber, ...change });
		const fit = fitSeries(scenario, seriesOfLog(scenario, log, { test: kind }), { test: kind });
		expect(fit.shortcoming?.code).toBe(code);
		expect(of(fit, kind === "rise" ? "generation" : "leak").isIdentifiable).toBe(false);
		expect(fit.recommendedTest?.command ?? "").not.toContain(`--test ${kind}`);
	});
});
