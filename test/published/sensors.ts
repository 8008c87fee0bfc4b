import { type Model, type PeriodicSteadyState, periodicState, simulate } from "../../lib/index.ts";
import { co2MgPerM3 } from "../../lib/model/air/gaslaws.ts";
import { findRoot } from "../../lib/solve/root.ts";
import { STANDARD_PRESSURE } from "../../lib/sources/constants.ts";
import { box, HOUR, SUPPLY_PPM } from "./box.ts";
import type { Answer, Inputs } from "./check.ts";

/** A lagging sensor after a step and under a sinusoid, and one at altitude. */
export function sensors(id: string, { one, list }: Inputs): Record<string, Answer> | undefined {
	switch (id) {
		case "SEN-01": {
			const model = { ...box(0, 0), responseSeconds: one("tau_s") };
			// A sealed chamber at 1000 ppm above supply, the sensor still at supply.
			const start = { state: Float64Array.of(1000, 0), fanSpeedFraction: 0 };
			const shown = (seconds: number) =>
				(simulate(model, { kind: "off" }, { start, durationSeconds: seconds, sampleTimes: [seconds] })
					.sensorPpm![0]! -
					SUPPLY_PPM) /
				1000;
			const timeTo = (share: number) => findRoot((seconds) => shown(seconds) - share, 1, 500);
			return {
				T90_s: { what: "seconds until a lagging sensor shows 90 % of a step", ours: timeTo(0.9) },
				T95_s: { what: "seconds until a lagging sensor shows 95 % of a step", ours: timeTo(0.95) },
			};
		}
		case "SEN-03": {
			const { gain, delaySeconds } = underSinusoid(one("tau_s"), one("T_s"));
			return {
				gain: { what: "share of a sinusoid that a lagging sensor passes", ours: gain },
				delay_s: { what: "seconds by which a lagging sensor follows a sinusoid", ours: delaySeconds },
			};
		}
		case "SEN-04": {
			// A cell counts molecules: what it shows is their number over that of 1 ppm at the pressure of its calibration.
			const perPpm = co2MgPerM3(1, 20, STANDARD_PRESSURE.value);
			return {
				reading_ppm: {
					what: "reading of a sensor that follows number density, at 500 to 2000 m",
					ours: list("p_Pa").map((pascal) => co2MgPerM3(one("true_ppm"), 20, pascal) / perPpm),
				},
			};
		}
		case "SEN-06": {
			const named = { notOurs: "names of test methods; nothing is computed from them" };
			return { co2_standard: named, pm25_standard: named };
		}
	}
	return undefined;
}

/** A chamber under constant flow whose source is made so that its CO2 swings as a pure sinusoid. */
function underSinusoid(responseSeconds: number, periodSeconds: number) {
	const perS = 30 / HOUR;
	const w = (2 * Math.PI) / periodSeconds;
	const [base, swing] = [1000, 300];
	const model: Model = {
		...box(0, perS * HOUR),
		responseSeconds,
		source: {
			m3PerS: (t) => (perS * (base + swing * Math.sin(w * t)) + swing * w * Math.cos(w * t)) / 1e6,
			isTimeVarying: true,
			isPpmDependent: false,
			breakpointsSeconds: [],
			periodSeconds,
			horizonSeconds: periodSeconds,
		},
	};
	const options = { relativeTolerance: 1e-11 };
	const { start } = periodicState(model, { kind: "continuous" }, options) as PeriodicSteadyState;
	const samples = 60;
	const run = simulate(
		model,
		{ kind: "continuous" },
		{ ...options, start, durationSeconds: periodSeconds, sampleIntervalSeconds: periodSeconds / samples },
	);
	const air = fundamental(run.co2Ppm.subarray(0, samples));
	const shown = fundamental(run.sensorPpm!.subarray(0, samples));
	return {
		gain: shown.amplitude / air.amplitude,
		delaySeconds: (air.phase - shown.phase) / w,
	};
}

/** Amplitude and phase of the first harmonic of one period of samples. */
function fundamental(series: Float64Array): { amplitude: number; phase: number } {
	let [sine, cosine] = [0, 0];
	series.forEach((x, i) => {
		const angle = (2 * Math.PI * i) / series.length;
		sine += x * Math.sin(angle);
		cosine += x * Math.cos(angle);
	});
	return { amplitude: Math.hypot(sine, cosine), phase: Math.atan2(cosine, sine) };
}
