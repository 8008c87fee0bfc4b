import type { FanVolts } from "../model/fan/deliveredflow.ts";
import type { FanPoint, OperatingPoint } from "../model/fan/fancurve.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { RigFinding, RigVerdict } from "./findings.ts";
import type { Wiring } from "./wiring/netlist/netlist.ts";
import type { WiringVerdict } from "./wiring/wiring.ts";

/** Key of the file that is not given, so that something was not checked. */
export type NotAssessedPath =
	| "fan.curve"
	| "fan.filter"
	| "fan.duct"
	| "fan.spin-up"
	| "fan.duct.length"
	| "fan.voltage"
	| "fan.window"
	| "fan.current"
	| "fan.start-current"
	| "supply"
	| "supply.current"
	| "wire"
	| "wire.ampacity"
	| "fuse"
	| "timer"
	| "timer.type"
	| "timer.contact"
	| "timer.operations"
	| "timer.power-up"
	| "wiring";

/** Fans and path as curves to draw, and where they meet. */
export interface FanReport {
	/** All fans as one, at the voltage that reaches them. */
	readonly curve: readonly FanPoint[];
	/** What the path takes with the filter clean, and with twice its pressure drop; null without a filter. */
	readonly cleanSystemCurve: readonly FanPoint[];
	readonly loadedSystemCurve: readonly FanPoint[] | null;
	readonly operatingPoint: OperatingPoint;
	readonly loadedOperatingPoint: OperatingPoint | null;
	/** As it would be without the drop in the wire; null when no drop is known. */
	readonly withoutVoltageDrop: OperatingPoint | null;
	/** Times the filter's area with which the fans work soundly [-]; null without a filter, or where no area does. */
	readonly soundFilterFactor: number | null;
	/** With twice the face of the filter; null without a filter. */
	readonly doubleFilterArea: OperatingPoint | null;
	/** Catalogue flow of all fans [m3/s]. */
	readonly catalogueM3PerS: number;
}

/** What the bursts of a schedule deliver; of different bursts the shortest. */
export interface BurstDelivery {
	readonly name: string;
	readonly inWords: string;
	/** Shortest on-time [s]. */
	readonly onSeconds: number;
	/** Air that it moves, spin-up and coast-down counted [m3]. */
	readonly airM3: number;
	/** Flow times on-time [m3]. */
	readonly idealM3: number;
	/** What the spin-up costs of the ideal, less what the coast-down adds [-]; below 0: a gain. */
	readonly lossShare: number;
	/** Air that is left for the chamber when the duct's own comes first [m3]. */
	readonly freshM3: number;
}

/** Currents of the rig, and what supply, wire and fuse make of them; null where something is not given. */
export interface PowerReport {
	/** All fans of one timer, running and starting [A]. */
	readonly fanAmps: number;
	readonly fanStartingAmps: number;
	/** The board with the fan switched on [A]. */
	readonly timerAmps: number;
	/** One rig, fans and timer, running and starting [A]. */
	readonly runningAmps: number;
	readonly startingAmps: number;
	/** All rigs of the supply, running, and starting together after a power cut [A]. */
	readonly allRunningAmps: number;
	readonly allStartingAmps: number;
	readonly supplyAmps: number | null;
	/** Rating that carries it with a margin and through a common start [A]. */
	readonly neededAmps: number;
	/** Energy a day by schedule [J]. */
	readonly energy: readonly { readonly name: string; readonly joulesPerDay: number }[];
	readonly volts: FanVolts | null;
	/** Drop in the wire over the supply's voltage [0..1], running, and with all fans of the timer starting. */
	readonly voltageDropShare: number | null;
	readonly startingVoltageDropShare: number | null;
	/** What the drop costs of the flow [-]. */
	readonly flowLossShare: number | null;
	/** What the wire may carry [A]. */
	readonly ampacityA: number | null;
	readonly fuseAmps: number | null;
	/** Standard fuse for this load; null when none fits under the wire's ampacity. */
	readonly suggestedFuseAmps: number | null;
}

/** How a schedule wears the contact. */
export interface ContactLife {
	readonly name: string;
	readonly operationsPerMonth: number;
	/** At its rated operations, given or usual [months]. */
	readonly months: number;
	/** At the cautious figure for motors [months]; null when the operations are given. */
	readonly cautiousMonths: number | null;
}

/** A wiring and what is to be said of it. */
export interface RigWiring {
	readonly origin: "given" | "standard";
	readonly wiring: Wiring;
	readonly verdict: WiringVerdict;
}

/** Everything about the rig that the file lets one judge. */
export interface RigReport {
	readonly scenario: Scenario;
	/** The worst of the items. */
	readonly verdict: RigVerdict;
	/** Worst first. */
	readonly findings: readonly RigFinding[];
	/** null when the file gives the delivered flow. */
	readonly fan: FanReport | null;
	readonly delivery: readonly BurstDelivery[];
	/** Shortest burst that is worth its start [s]. */
	readonly minUsefulBurstSeconds: number;
	/** Air in the duct, which comes first [m3]; null without a duct. */
	readonly ductVolumeM3: number | null;
	/** null when the fan's current is not given. */
	readonly power: PowerReport | null;
	/** null for a timer without a contact. */
	readonly contactLife: readonly ContactLife[] | null;
	/** The wiring of the file, or the usual one for its parts; null when neither can be had. */
	readonly wiring: RigWiring | null;
	/** Keys that are not given and what hangs on them. */
	readonly notAssessed: readonly NotAssessedPath[];
}
