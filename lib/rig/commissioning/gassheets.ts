import type { Model } from "../../model/chamber.ts";
import { simulate } from "../../solve/simulate.ts";
import { OUTDOOR_CO2 } from "../../sources/constants.ts";
import { HOUR } from "../../time.ts";
import { burstPauseSeconds, planBursts } from "./burstplan.ts";
import type { SheetFacts } from "./sheetfacts.ts";
import type { BurstsSheet, LeakSheet, ZeroSheet } from "./sheets.ts";

/** Share of the excess that must be gone before a decay determines the leakage, and when one stops waiting [s]: judgement. */
const DECAYED = 0.3;
const MAX_DECAY_SECONDS = 3 * HOUR;

export function planZeroSheet({ sensor, model }: SheetFacts): ZeroSheet {
	const year = Math.max(...Object.keys(OUTDOOR_CO2).map(Number));
	return {
		id: "P3",
		settleSeconds: Math.max(1200, 10 * sensor.responseSeconds),
		outdoorPpm: OUTDOOR_CO2[year]!.value,
		year,
		intakePpm: model.intakePpm,
	};
}

export function planLeakSheet({ emptyModel, dosing: { targetPpm } }: SheetFacts): LeakSheet {
	const decaySeconds = predictDecaySeconds(emptyModel, targetPpm);
	const isTight = decaySeconds === null || decaySeconds > MAX_DECAY_SECONDS;
	return {
		id: "P4",
		startPpm: targetPpm,
		endPpm: emptyModel.intakePpm + (1 - DECAYED) * (targetPpm - emptyModel.intakePpm),
		decayShare: DECAYED,
		decaySeconds,
		leakageAirChangesPerS: decaySeconds === null ? null : emptyModel.infiltrationM3PerS / emptyModel.volumeM3,
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
	const { timesSeconds, co2Ppm } = simulate(
		model,
		{ kind: "off" },
		{
			startPpm: levelPpm,
			durationSeconds: slowest,
			sampleTimes: Float64Array.from({ length: count + 1 }, (_, k) => slowest * (k / count) ** 3),
		},
	);
	const goal = model.intakePpm + (1 - DECAYED) * (levelPpm - model.intakePpm);
	const after = co2Ppm.findIndex((ppm) => ppm <= goal);
	if (after < 1) return null;
	const [t0, t1, c0, c1] = [
		timesSeconds[after - 1]!,
		timesSeconds[after]!,
		co2Ppm[after - 1]!,
		co2Ppm[after]!,
	];
	return t0 + ((t1 - t0) * (c0 - goal)) / (c0 - c1);
}

export function planBurstsSheet(facts: SheetFacts): BurstsSheet {
	const { cycle, model } = facts;
	const groups = planBursts(facts);
	const pauseSeconds = burstPauseSeconds(facts);
	const bursts = groups?.reduce((sum, { count }) => sum + count, 0) ?? 0;
	return {
		id: "P5",
		groups,
		obstacle: groups !== null ? null : model.deliveredM3PerS === 0 ? "no flow" : "flow too high",
		pauseSeconds,
		includesSchedule: groups?.some(({ onSeconds }) => onSeconds === cycle?.onSeconds) ?? false,
		durationSeconds: (bursts + 1) * pauseSeconds + 600,
	};
}
