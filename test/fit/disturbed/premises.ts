import type { FitOptions } from "../../../lib/fit/fitoptions.ts";
import type { Scenario } from "../../../lib/scenario/scenario.ts";
import { type Premises, scenarioOf, uniforms } from "./disturbedlog.ts";

/** A log to be made, what its grower believes, and how it is to be fitted. */
export interface Drawn {
	readonly truth: Premises;
	readonly scenario: Scenario;
	readonly options: FitOptions;
}

/** Litres of pure CO2 that 1 mg makes at 18 °C, over 1000: 8.314 · 291.15 / (44.01 g/mol · 101,325 Pa), in m3. */
const M3_PER_MG = (8.314 * 291.15) / (44.01 * 1000 * 101_325);

/** A cabinet that differs from what its grower believes in every value, on a timer whose clock nobody noted. */
export function drawLog(seed: number, wrong: { readonly flow?: number; readonly crop?: number } = {}): Drawn {
	const random = uniforms(7919 * seed + 13);
	const between = (low: number, high: number) => low + (high - low) * random();
	const oneOf = <T>(...all: T[]): T => all[Math.floor(random() * all.length)]!;
	const litres = between(150, 800);
	const period = between(240, 1200);
	const onSeconds = between(5, 30);
	const airChangesPerBurst = between(0.25, 1.2);
	const flowM3PerH = (3600 * airChangesPerBurst * litres) / 1000 / onSeconds;
	const leakPerH = between(0.1, 1);
	const responseSeconds = oneOf(20, 60, 90, 120);
	// So much CO2 that the mean stands some 300 to 1500 ppm above the intake.
	const meanAirPerH = leakPerH + airChangesPerBurst * (3600 / period);
	const sourceM3PerH = (between(300, 1500) * 1e-6 * meanAirPerH * litres) / 1000;
	const kg = Math.min(sourceM3PerH / M3_PER_MG / 200, 0.7 * litres);
	const stepSeconds = oneOf(20, 30, 60);
	const truth: Premises = {
		airM3: litres / 1000,
		intakePpm: 420,
		sourceM3PerS: sourceM3PerH / 3600,
		flowM3PerS: flowM3PerH / 3600,
		leakM3PerS: (leakPerH * litres) / 1000 / 3600,
		lagSeconds: responseSeconds * between(0.7, 1.4),
		onSeconds,
		offSeconds: period - onSeconds,
		phaseSeconds: -between(0, 1) * period,
		timerRateError: oneOf(0, between(-0.01, 0.01)),
		hours: between(18, 60),
		stepSeconds: Math.min(stepSeconds, period / 6),
		noisePpm: between(4, 16),
		rho: oneOf(0, between(0.2, 0.8)),
		roundPpm: oneOf(1, 1, 10),
		seed,
	};
	const off = () => Math.exp(between(-0.5, 0.5));
	const rate = (sourceM3PerH / M3_PER_MG / kg) * (wrong.crop ?? off());
	const scenario = scenarioOf({
		litres,
		leakPerH: leakPerH * off(),
		flowM3PerH: flowM3PerH * (wrong.flow ?? off()),
		kg,
		rate,
		responseSeconds,
		onSeconds,
		offSeconds: truth.offSeconds,
	});
	return { truth, scenario, options: {} };
}

/** Logs that no values of the model follow, each with what went on while they were written. */
export const FAULTS: Readonly<Record<string, (drawn: Drawn) => Drawn>> = {
	"a crop that doubles": (drawn) =>
		changed(drawn, (of, end) => ({
			sourceM3PerS: (t) => number(of.sourceM3PerS) * (0.67 + (0.67 * t) / end),
		})),
	"a crop that is harvested": (drawn) =>
		changed(drawn, (of, end) => ({
			sourceM3PerS: (t) => number(of.sourceM3PerS) * (t < 0.6 * end ? 1.2 : 0.6),
		})),
	"a filter that clogs": (drawn) =>
		changed(drawn, (of, end) => ({ flowM3PerS: (t) => number(of.flowM3PerS) * (1.3 - (0.6 * t) / end) })),
	"air outside that swings by 150 ppm": (drawn) =>
		changed(drawn, (of) => ({
			intakePpm: (t) => number(of.intakePpm) + 150 * Math.sin((2 * Math.PI * t) / 86_400),
		})),
	"a sensor that drifts by 200 ppm": (drawn) =>
		changed(drawn, (_, end) => ({ driftPpm: (t) => (200 * t) / end })),
	"a power cut of a fifth of the log": (drawn) =>
		changed(drawn, (of, end) => ({
			flowM3PerS: (t) => (t > 0.4 * end && t < 0.6 * end ? 0 : number(of.flowM3PerS)),
		})),
	"another schedule": ({ truth, scenario, options }) => ({
		truth: { ...truth, offSeconds: 1.37 * truth.offSeconds },
		scenario,
		options,
	}),
};

const number = (of: number | ((seconds: number) => number)): number => (typeof of === "number" ? of : of(0));

const changed = (
	{ truth, scenario, options }: Drawn,
	by: (truth: Premises, endSeconds: number) => Partial<Premises>,
): Drawn => ({ truth: { ...truth, ...by(truth, 3600 * truth.hours) }, scenario, options });
