import type { ZoneModel } from "./zones.ts";

/**
 * A switch that looks at a level. With `on` above `off` it takes down what rises, as a fan does with CO2; with `on` below `off` it keeps up
 * what falls, as a humidifier does.
 */
export interface Relay {
	/** Name of the actuator that it drives, whose own schedule does not count. */
	readonly actuator: string;
	/** Name of the zone or sensor that it looks at. */
	readonly of: string;
	readonly on: number;
	/** Level at which it switches off; null: after its shortest time, by the clock. */
	readonly off: number | null;
	/** From the crossing of a level to the switch [s]. Default 0. */
	readonly delaySeconds?: number;
	/** It looks only so often [s]. Default: all the time. */
	readonly everySeconds?: number;
	/** It stays so long at least [s]. Default 0. */
	readonly shortestOnSeconds?: number;
	readonly shortestOffSeconds?: number;
}

/** Where vapour of a zone turns into liquid and back: a surface, and the air itself where it is saturated. */
export interface LiquidStore {
	readonly zone: string;
	/** Vapour density beyond which the air holds no more [g/m3]. */
	readonly saturation: number;
	/** Saturation at the surface [g/m3], at most that of the air: above it the surface sweats, below it dries while it is wet. */
	readonly surface: number;
	/** Exchange with the surface, K [m3/s]. */
	readonly m3PerS: number;
}

/** Zones in which switches look at levels, and vapour condenses. */
export interface SwitchedZones extends ZoneModel {
	readonly relays?: readonly Relay[];
	readonly stores?: readonly LiquidStore[];
}
