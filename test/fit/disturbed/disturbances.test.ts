import { describe, expect, test } from "vitest";
import { fitSeries } from "../../../lib/fit/fit.ts";
import type { FitName } from "../../../lib/fit/fitoptions.ts";
import type { Fit } from "../../../lib/fit/fittypes.ts";
import { verifySeries } from "../../../lib/fit/verify.ts";
import { parseScenario } from "../../../lib/scenario/parse.ts";
import { verificationVerdict } from "../../../reports/verify/verifywords.ts";
import { disturbedLog, scenarioOf, seriesOfLog, uniforms } from "./disturbedlog.ts";
import { drawLog } from "./premises.ts";

const DAY = 86_400;
const of = (fit: Fit, name: FitName) => fit.parameters.find((one) => one.name === name)!;
const VALUES = ["generation", "flow", "leak", "response"] as const;

test.each([1, 5, 11])(
	"log %d with two doors tells what it tells without them, within two errors and with errors no twice as wide",
	(seed) => {
		const { truth, scenario } = drawLog(seed);
		const random = uniforms(seed + 99);
		const doors = [0.3, 0.65].map((share) => ({
			atSeconds: (share + 0.1 * random()) * 3600 * truth.hours,
			seconds: 60 + 240 * random(),
			perSecond: 1 / 100,
		}));
		const [shut, open] = [truth, { ...truth, doors }].map((one) =>
			fitSeries(scenario, seriesOfLog(scenario, disturbedLog(one))),
		) as [Fit, Fit];
		expect(open.residuals.isAdequate).toBe(true);
		for (const name of VALUES) {
			const { value, standardError } = of(shut, name);
			expect(Math.abs(of(open, name).value - value)).toBeLessThan(2 * standardError!);
			expect(of(open, name).standardError!).toBeLessThan(2 * standardError!);
		}
		const stretches = open.series.exclusions.find(({ reason }) => reason === "door opening")!.intervals;
		for (const { atSeconds } of doors)
			expect(
				stretches.some(
					({ fromSeconds, toSeconds }) => fromSeconds <= atSeconds + 300 && atSeconds < toSeconds,
				),
			).toBe(true);
	},
);

test.each([
	[2, 30],
	[3, -30],
	[8, 80],
])(
	"in log %d a baseline that steps by %d ppm in noise of 15 ppm is found and fitted with the rest",
	(seed, ppm) => {
		const drawn = drawLog(seed);
		const truth = { ...drawn.truth, noisePpm: 15 };
		const at = 0.55 * 3600 * truth.hours;
		const { scenario } = drawn;
		const fit = fitSeries(
			scenario,
			seriesOfLog(scenario, disturbedLog({ ...truth, steps: [{ atSeconds: at, ppm }] })),
		);
		const found = fit.warnings.filter((one) => one.code === "baseline step");
		expect(found).toHaveLength(1);
		expect(Math.abs(found[0]!.atSeconds - at)).toBeLessThan(20 * truth.stepSeconds);
		expect(Math.abs(found[0]!.ppm - ppm)).toBeLessThan(3 * found[0]!.standardError!);
		expect(fit.residuals.isAdequate).toBe(true);
	},
);

describe("a crop that changes over a week by temperature and growth", () => {
	/** 1 mg of CO2 at 18 °C [m3]. */
	const M3_PER_MG = (8.314 * 291.15) / (44.01 * 1000 * 101_325);
	const celsius = (t: number) => 18 + 3 * Math.cos((2 * Math.PI * (t - 15 * 3600)) / DAY);
	const days = 5;
	const log = disturbedLog({
		...drawLog(1).truth,
		airM3: 0.4,
		sourceM3PerS: (t) =>
			((5 * 200 * M3_PER_MG) / 3600) *
			2.8 ** ((celsius(t) - 18) / 10) *
			((celsius(t) + 273.15) / 291.15) *
			Math.exp(0.03 * (t / DAY - days / 2)),
		flowM3PerS: 50 / 3600,
		leakM3PerS: (0.3 * 0.4) / 3600,
		lagSeconds: 70,
		onSeconds: 10,
		offSeconds: 590,
		phaseSeconds: -200,
		timerRateError: 0,
		hours: 24 * days,
		stepSeconds: 60,
		noisePpm: 8,
		rho: 0.4,
		roundPpm: 1,
	});
	const scenario = parseScenario(
		`
chamber: { volume: 400 L, leak: 0.3 /h, temperature: { mean: 18 C, swing: 3 K } }
intake: { co2: 420 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg, rate: 200 mg/(kg h), q10: 2, reference: 18 C }
fan: { flow: 60 m3/h }
sensor: { response: 60 s }
schedules: { usual: { on: 10 s, off: 590 s } }
`,
		"cabinet.yaml",
	);
	const cleaned = seriesOfLog(scenario, log);
	const series = { ...cleaned, log: { ...cleaned.log, startsAtSeconds: 0 } };

	test("tells its Q10, its growth and its rate", () => {
		const fit = fitSeries(scenario, series, { free: ["q10", "trend"] });
		expect(fit.residuals.isAdequate).toBe(true);
		for (const [name, truth] of [
			["q10", 2.8],
			["trend", 0.03],
		] as const)
			expect(Math.abs(of(fit, name).value - truth)).toBeLessThan(3 * of(fit, name).standardError!);
		expect(of(fit, "q10").standardError!).toBeLessThan(0.1);
		expect(fit.changes.map(({ path }) => path)).toContain("substrate[0].q10");
	});
});

test.each([
	[120, 60, 1],
	[130, 120, 1],
	[120, 60, 1.5],
])(
	"a logger that sees a cycle of %d s every %d s verifies mean and trend, and derives the peak, of a crop × %d",
	(period, stepSeconds, crop) => {
		const belief = {
			litres: 400,
			leakPerH: 0.3,
			flowM3PerH: 70,
			kg: 5,
			rate: 250,
			responseSeconds: 60,
			onSeconds: 4,
			offSeconds: period - 4,
		};
		const scenario = scenarioOf(belief);
		const log = disturbedLog({
			...drawLog(1).truth,
			airM3: 0.4,
			sourceM3PerS: (crop * 5 * 250 * 8.314 * 291.15) / (3600 * 44.01 * 1000 * 101_325),
			flowM3PerS: 70 / 3600,
			leakM3PerS: (0.3 * 0.4) / 3600,
			lagSeconds: 60,
			onSeconds: 4,
			offSeconds: period - 4,
			phaseSeconds: -31,
			timerRateError: 0,
			hours: 24,
			stepSeconds,
			noisePpm: 8,
			rho: 0.4,
		});
		const found = verifySeries(scenario, seriesOfLog(scenario, log));
		expect(found.averagesCycles).toBe(true);
		expect(found.checks.map(({ name }) => name)).toEqual(["mean", "peak", "trend"]);
		expect(found.isWithin).toBe(crop === 1);
		expect(Math.abs(found.estimatedPeakPpm! - log.peakPpm)).toBeLessThan(5);
		expect(found.estimatedPeakStandardErrorPpm).not.toBeNull();
		expect(verificationVerdict(found).more.join(" ")).toContain("too far apart to show a cycle");
	},
);
