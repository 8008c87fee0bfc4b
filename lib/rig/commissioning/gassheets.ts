import type { Model } from "../../model/chamber.ts";
import { power } from "../../power.ts";
import { simulate } from "../../solve/simulate.ts";
import { OUTDOOR_CO2 } from "../../sources/constants.ts";
import { HOUR } from "../../time.ts";
import type { SheetFacts } from "./sheetfacts.ts";

/** Share of the excess that must be gone before a decay determines the leakage, and when one stops waiting [s]: judgement. */
const DECAYED = 0.3;
const MAX_DECAY_SECONDS = 3 * HOUR;

/** P3: the sensor's offset, outdoors, where the air has the global mean of a year. */
export function planZeroSheet({ sensor, model }: SheetFacts) {
	const year = Math.max(...Object.keys(OUTDOOR_CO2).map(Number));
	return {
		id: "P3" as const,
		settleSeconds: Math.max(1200, 10 * sensor.responseSeconds),
		outdoorPpm: OUTDOOR_CO2[year]!.value,
		year,
		intakePpm: model.intakePpm,
	};
}

/** P4: leakage, from the decay of CO2 with the fan off. */
export function planLeakSheet({ emptyModel, dosing: { targetPpm } }: SheetFacts) {
	const decaySeconds = predictDecaySeconds(emptyModel, targetPpm);
	const isTight = decaySeconds === null || decaySeconds > MAX_DECAY_SECONDS;
	return {
		id: "P4" as const,
		startPpm: targetPpm,
		endPpm: emptyModel.intakePpm + (1 - DECAYED) * (targetPpm - emptyModel.intakePpm),
		/** Share of the excess that must be gone [0..1]. */
		decayShare: DECAYED,
		/** null without leakage. */
		decaySeconds,
		leakageAirChangesPerS: decaySeconds === null ? null : emptyModel.infiltrationM3PerS / emptyModel.volumeM3,
		/** The decay takes longer than one waits for it. */
		isTight,
		logSeconds: isTight ? MAX_DECAY_SECONDS : Math.max(HOUR, decaySeconds),
	};
}

/** Time until the excess in the mixed air has fallen by the share wanted [s]; null without a leak. */
function predictDecaySeconds(model: Model, levelPpm: number): number | null {
	if (!(model.infiltrationM3PerS > 0)) return null;
	// The excess of all air together falls at least this slowly; stepping finds it for two zones as well.
	const slowest = (20 * model.volumeM3) / model.infiltrationM3PerS;
	const count = 4000;
	const sampleTimes = Float64Array.from({ length: count + 1 }, (_, k) => slowest * power(k / count, 3));
	const run = { startPpm: levelPpm, durationSeconds: slowest, sampleTimes };
	const { timesSeconds, co2Ppm } = simulate(model, { kind: "off" }, run);
	const goal = model.intakePpm + (1 - DECAYED) * (levelPpm - model.intakePpm);
	const after = co2Ppm.findIndex((ppm) => ppm <= goal);
	if (after < 1) return null;
	const [t0, t1] = timesSeconds.subarray(after - 1) as unknown as [number, number];
	const [c0, c1] = co2Ppm.subarray(after - 1) as unknown as [number, number];
	return t0 + ((t1 - t0) * (c0 - goal)) / (c0 - c1);
}
