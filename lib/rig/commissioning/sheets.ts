import type { Dose } from "../../lesson/bench.ts";
import type { Scenario } from "../../scenario/scenario.ts";

/** P1: direction of the air and a dry run on the bench. */
export interface BenchSheet {
	readonly id: "P1";
	/** The board switches the negative. */
	readonly isNegativeSwitching: boolean;
	/** null where it is not known. */
	readonly supplyVolts: number | null;
	/** Resistance under which a short circuit is suspected [ohm]. */
	readonly shortCircuitOhms: number;
	readonly fanAmps: number | null;
	readonly fanVolts: number | null;
	/** Allowed error of burst and pause [s]: one count of the display, and a share of the time. */
	readonly onToleranceSeconds: number;
	readonly offToleranceSeconds: number;
	/** Cycles to time in one go [-]; 0 without a cycle. */
	readonly timedCycles: number;
}

/** P2: delivered flow, by the time in which it fills a bag. */
export interface BagSheet {
	readonly id: "P2";
	readonly flowM3PerS: number;
	/** The bag that fills in a time that one can stop [m3]; null where none does. */
	readonly bagM3: number | null;
	readonly fillSeconds: number | null;
	/** Times that a flow within `flowShare` of the expected one takes [s]. */
	readonly minFillSeconds: number | null;
	readonly maxFillSeconds: number | null;
	readonly flowShare: number;
}

/** P3: the sensor's offset, outdoors. */
export interface ZeroSheet {
	readonly id: "P3";
	readonly settleSeconds: number;
	/** Global mean of a year [ppm]. */
	readonly outdoorPpm: number;
	readonly year: number;
	readonly intakePpm: number;
}

/** P4: leakage, from the decay of CO2 with the fan off. */
export interface LeakSheet {
	readonly id: "P4";
	readonly startPpm: number;
	readonly endPpm: number;
	/** Share of the excess that must be gone [0..1]. */
	readonly decayShare: number;
	/** null without leakage. */
	readonly decaySeconds: number | null;
	readonly leakageAirChangesPerS: number | null;
	/** The decay takes longer than one waits for it. */
	readonly isTight: boolean;
	readonly logSeconds: number;
}

/** Bursts of one length. */
export interface BurstGroup {
	readonly onSeconds: number;
	readonly count: number;
	/** Mixed air of one burst over the air of the chamber [-]. */
	readonly airChanges: number;
	/** What is left after each of them [ppm]. */
	readonly readings: readonly number[];
}

/** P5: air changes of a burst, counted. */
export interface BurstsSheet {
	readonly id: "P5";
	/** null: the bursts of this fan cannot be counted. */
	readonly groups: readonly BurstGroup[] | null;
	/** Why not. */
	readonly obstacle: "no flow" | "flow too high" | null;
	readonly pauseSeconds: number;
	/** One of the groups has the schedule's own on-time. */
	readonly includesSchedule: boolean;
	readonly durationSeconds: number;
}

/** P6: CO2 output, from the rise in the closed chamber. */
export interface RiseSheet {
	readonly id: "P6";
	readonly startPpm: number;
	/** By hand, at first [ppm/min]; ends of the range of the respiration rate. */
	readonly risePpmPerMinute: number;
	readonly lowPpmPerMinute: number;
	readonly highPpmPerMinute: number;
	readonly stopPpm: number;
	/** Time to that level [s]; null where it is never reached. */
	readonly stopSeconds: number | null;
	readonly purgeSeconds: number;
	readonly minSeconds: number;
	readonly maxSeconds: number;
	readonly logSeconds: number;
	/** What is expected on the way. */
	readonly readings: readonly { readonly seconds: number; readonly ppm: number }[];
}

/** Peak, mean and trough [ppm]. */
export interface ExpectedStats {
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
}

/** P7: the schedule as it will run, with a logger. */
export interface AcceptanceSheet {
	readonly id: "P7";
	/** In the air; null without a schedule. */
	readonly air: ExpectedStats | null;
	/** As the sensor shows it; null where its response is not given. */
	readonly logged: ExpectedStats | null;
	readonly statistic: Scenario["target"]["on"];
	readonly ceilingPpm: number;
	/** What the model misses the target with [ppm]; null where it meets it. */
	readonly missedPpm: number | null;
	readonly accuracyPpm: number;
	readonly accuracyShare: number;
	/** After a burst, before anything evaporates [0..1]. */
	readonly relativeHumidityAfterBurst: number | null;
	readonly settlingSeconds: number | null;
}

/** P8: what happens when the power fails. */
export interface PowerCutSheet {
	readonly id: "P8";
	readonly powerUp: "on" | "off" | null;
	/** The longest off-time [s]; null where nothing switches. */
	readonly offSeconds: number | null;
	/** Rise of CO2 in that off-time, at most [ppm]. */
	readonly risePpm: number | null;
	readonly rigs: number;
}

/** The sheets in the order of the work. */
export type CommissioningSheets = readonly [
	BenchSheet,
	BagSheet,
	ZeroSheet,
	LeakSheet,
	BurstsSheet,
	RiseSheet,
	AcceptanceSheet,
	PowerCutSheet,
];

/** What the sheets of a rig have in common, and the sheets, in numbers; the sentences are made where they are read. */
export interface CommissioningPlan {
	/** Name of the schedule that is to run; null where the file has none. */
	readonly schedule: string | null;
	/** Its shortest burst and its longest pause [s]; null where it does not switch. */
	readonly cycle: { readonly onSeconds: number; readonly offSeconds: number } | null;
	readonly sensor: {
		/** Response time (t63) [s], given or assumed. */
		readonly responseSeconds: number;
		readonly isAssumed: boolean;
		/** After a change the reading is left alone for so long [s]. */
		readonly waitSeconds: number;
		/** Longest sampling interval that a log is worth reading with [s]. */
		readonly maxSampleIntervalSeconds: number;
	};
	/** How the empty chamber is brought to a level [ppm], and what that takes where it may be dosed by hand. */
	readonly dosing: { readonly targetPpm: number; readonly dose: Dose | null };
	readonly sheets: CommissioningSheets;
}
