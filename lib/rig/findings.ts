import type { WireSize } from "../model/fan/conductor.ts";
import type { OperatingPoint } from "../model/fan/fancurve.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { WiringFault } from "./wiring/faults/faults.ts";

/** `ok`, attention, or stop: do not switch it on like this. */
export type RigVerdict = "ok" | "attention" | "stop";

/** Why a fan has no operating point. */
export type NoOperatingPointCause = Extract<OperatingPoint, { readonly exists: false }>["cause"];

/** A code, a verdict and the numbers behind it, in SI; the sentences are made where they are read. */
interface Finding<Code extends string> {
	/** What was checked. */
	readonly code: Code;
	/** Name of the schedule, or code of the wiring fault, that it is about; null: the rig as a whole. */
	readonly about: string | null;
	readonly verdict: RigVerdict;
}

/** Where the fans work, or what flow the file gives. */
export type FanFinding = Finding<"fan"> &
	(
		| { readonly outcome: "flow given"; readonly flowM3PerS: number }
		| {
				readonly outcome: "no operating point";
				readonly cause: NoOperatingPointCause;
				readonly catalogueM3PerS: number;
		  }
		| {
				readonly outcome: "near shut-off" | "near stall" | "sound" | "near free delivery";
				readonly flowM3PerS: number;
				readonly pressurePa: number;
				/** Delivered flow over the flow at zero pressure [0..1]. */
				readonly freeDeliveryShare: number;
				readonly catalogueM3PerS: number;
				/** With twice the filter area [m3/s]; null without a filter. */
				readonly doubleFilterAreaM3PerS: number | null;
				/** Times the filter area, and area [m2], with which the fan works soundly; null where none does or none is known. */
				readonly soundFilterFactor: number | null;
				readonly soundFilterAreaM2: number | null;
		  }
	);

/** A measured flow against the one that the curve predicts, filter clean to loaded. */
export interface MeasuredFlowFinding extends Finding<"measured flow"> {
	readonly outcome: "agrees" | "below the curve" | "above the curve" | "above the catalogue";
	readonly measuredM3PerS: number;
	readonly cleanM3PerS: number;
	/** null without a filter. */
	readonly loadedM3PerS: number | null;
	/** Distance to the nearer end of what is predicted, as a share of it [-]. */
	readonly deviationShare: number;
	readonly catalogueM3PerS: number;
	/** Allowed where no uncertainty is given [-]. */
	readonly toleranceShare: number;
}

/** What a filter at twice its clean pressure drop leaves. */
export interface FilterFinding extends Finding<"filter"> {
	readonly loadedM3PerS: number;
	readonly lossShare: number;
	/** Why the fan then has no operating point; null where it has one. */
	readonly cause: NoOperatingPointCause | null;
}

/** Leakage through openings without a flap while the fan is off. */
export interface OpenDuctFinding extends Finding<"open duct"> {
	readonly stackFlowM3PerS: number;
	readonly openingDistanceM: number;
	/** Inside less outside [K]. */
	readonly temperatureDifferenceK: number;
	/** What `chamber.leak` counts [m3/s]. */
	readonly leakageM3PerS: number;
}

/** Whether a burst is long enough. */
export interface BurstFinding extends Finding<"burst"> {
	readonly outcome: "sound" | "doubtful" | "short" | "mostly duct air";
	readonly onSeconds: number;
	readonly airM3: number;
	readonly idealM3: number;
	/** Share of flow times on-time that is lost [-]; below 0: a gain. */
	readonly lossShare: number;
	readonly freshM3: number;
	/** null without a duct. */
	readonly ductVolumeM3: number | null;
	readonly minUsefulSeconds: number;
}

/** Whether a schedule stays under the ceiling with what this rig delivers. */
export interface CeilingFinding extends Finding<"ceiling"> {
	readonly statistic: Scenario["target"]["on"];
	readonly cleanPpm: number;
	/** null without a filter. */
	readonly loadedPpm: number | null;
	readonly ceilingPpm: number;
	readonly isMet: boolean;
	/** With the loaded filter; true without a filter. */
	readonly isMetLoaded: boolean;
}

/** A voltage that does not suit a part. */
export type VoltageMismatch =
	| {
			readonly mismatch: "above the fan's range";
			readonly maxSupplyVolts: number;
			readonly maxFanVolts: number;
	  }
	| {
			readonly mismatch: "below the fan's range";
			readonly reachingVolts: number;
			readonly minFanVolts: number;
	  }
	| {
			readonly mismatch: "other nominal voltage";
			readonly part: "fan" | "timer";
			readonly nominalVolts: number;
	  };

export interface VoltageFinding extends Finding<"voltage"> {
	readonly supplyVolts: number;
	readonly fanVolts: number;
	readonly mismatches: readonly VoltageMismatch[];
	/** The supply suits the fan; the cable takes too much. */
	readonly isCableTooLong: boolean;
}

/** What hangs on the supply, against its rating. */
export interface SupplyFinding extends Finding<"supply"> {
	readonly rigs: number;
	readonly loadAmps: number;
	readonly supplyAmps: number;
	readonly loadShare: number;
	readonly neededAmps: number;
}

/** All fans starting together after a power cut. */
export interface StartFinding extends Finding<"start"> {
	readonly startingAmps: number;
	readonly supplyAmps: number;
	readonly neededAmps: number;
	readonly isOverSupply: boolean;
	/** The cable takes so much that timers reset. */
	readonly isSagging: boolean;
	readonly voltageDropShare: number | null;
}

/** A supply beyond class 2. */
export interface Class2Finding extends Finding<"class 2"> {
	readonly volts: number;
	/** 0: not known. */
	readonly watts: number;
}

export interface WireFinding extends Finding<"wire"> {
	readonly size: WireSize;
	readonly runningAmps: number;
	readonly ampacityA: number;
	readonly isAmpacityGiven: boolean;
	readonly isBundled: boolean;
}

/** Voltage drop in the cable. */
export interface VoltageDropFinding extends Finding<"drop"> {
	readonly size: WireSize;
	/** One way [m]. */
	readonly lengthM: number;
	readonly voltageDropV: number;
	readonly voltageDropShare: number;
	readonly fanVolts: number;
	readonly flowLossShare: number | null;
	/** Left while all fans start [V]. */
	readonly startingVolts: number;
	/** Parts that get too little to start. */
	readonly undervoltedParts: readonly ("fan" | "timer")[];
	/** Longest cable with a good drop, one way [m]. */
	readonly goodLengthM: number;
}

export interface FuseFinding extends Finding<"fuse"> {
	readonly outcome: "ok" | "missing" | "none fits" | "above the wire" | "below the load" | "little margin";
	readonly runningAmps: number;
	readonly fuseAmps: number | null;
	/** Standard fuse for this load; null when none fits under the ampacity of the wire. */
	readonly suggestedFuseAmps: number | null;
	readonly ampacityA: number | null;
	/** Rating of a supply that limits itself before such a fuse blows [A]; null where the fuse protects. */
	readonly limitingSupplyAmps: number | null;
}

export interface ContactFinding extends Finding<"contact"> {
	readonly switchedAmps: number;
	readonly ratingAmps: number;
	/** The rating is for motors (inductive), not resistive. */
	readonly isMotorRating: boolean;
	/** What counts for motors [A]. */
	readonly usableAmps: number;
	readonly load: "overloaded" | "tight" | "carried";
	/** Too little to keep a power contact clean. */
	readonly isBelowMinimum: boolean;
}

export interface ContactLifeFinding extends Finding<"contact life"> {
	/** Electrical life, given or usual. */
	readonly operations: number;
	readonly operationsPerMonth: number;
	readonly months: number;
	/** At a cautious life of motor contacts; null when the operations are given. */
	readonly cautiousMonths: number | null;
	/** What `limits.life` asks for; null where it is not given. */
	readonly wantedMonths: number | null;
}

export interface PulseFinding extends Finding<"pulse"> {
	readonly shortestSeconds: number;
}

/** What each power cut does to a schedule. */
export interface PowerUpFinding extends Finding<"power-up"> {
	readonly powerUp: "on" | "off";
	readonly longestOffSeconds: number;
	/** Greatest rise of CO2 in that pause [ppm]. */
	readonly risePpm: number;
}

/** A fault of the wiring of the file; null: it has none. */
export interface WiringFinding extends Finding<"wiring"> {
	readonly fault: WiringFault | null;
	/** Line of the file; null where it is not known. */
	readonly line: number | null;
}

/** What wiring and keys of the file say differently. */
export type WiringDifference =
	| {
			readonly what: "fan current" | "supply voltage" | "supply current" | "fuse";
			readonly wired: readonly number[];
			readonly given: number;
	  }
	| { readonly what: "fan count"; readonly wired: number; readonly given: number }
	| { readonly what: "timer type"; readonly wired: readonly string[]; readonly given: string };

export interface WiringDifferenceFinding extends Finding<"wiring and file"> {
	readonly differences: readonly WiringDifference[];
}

/** One thing that was checked. */
export type RigFinding =
	| FanFinding
	| MeasuredFlowFinding
	| FilterFinding
	| OpenDuctFinding
	| BurstFinding
	| CeilingFinding
	| VoltageFinding
	| SupplyFinding
	| StartFinding
	| Class2Finding
	| WireFinding
	| VoltageDropFinding
	| FuseFinding
	| ContactFinding
	| ContactLifeFinding
	| PulseFinding
	| PowerUpFinding
	| WiringFinding
	| WiringDifferenceFinding;
