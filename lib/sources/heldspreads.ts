import { published } from "./published.ts";

const practice = (value: number, unit: string) =>
	published(value, unit, "common practice, no source", "judgement", "weak");

/**
 * How far a value that is given as one number may be off, from its centre to its 95 % end: what a fit holds is known no better
 * because nobody said how well. Shares are of the value.
 */
export const HELD_SPREADS = {
	/** CO2 of the air drawn in: as given, and where nothing is given. */
	intake: practice(50, "ppm"),
	unknownIntake: practice(100, "ppm"),
	volume: practice(0.05, ""),
	substrateVolume: practice(0.2, ""),
	mass: practice(0.02, ""),
	leak: practice(0.5, ""),
	flow: practice(0.2, ""),
	rate: practice(0.2, ""),
	response: practice(0.2, ""),
	pressure: practice(0.02, ""),
	/** Of the chamber as the file has it, and by a thermometer inside. */
	temperature: practice(1, "K"),
	thermometer: practice(0.5, "K"),
	/** A value held by `fix`, the offset of a sensor so held, and an instant read from a clock. */
	fixed: practice(0.05, ""),
	fixedOffset: practice(10, "ppm"),
	instant: practice(1, "s"),
} as const;
