import type { Schedule } from "../model/schedule.ts";
import type { Worth } from "../sources/published.ts";
import type { Dimension } from "../units.ts";

export type { Worth };

/** Where a value came from. */
export type Origin =
	| { readonly kind: "given"; readonly line: number; readonly column: number; readonly source?: string }
	| { readonly kind: "default"; readonly source: string; readonly worth: Worth }
	| { readonly kind: "fitted"; readonly log: string; readonly on?: string };

/** A number with its uncertainty and its history. The numbers are in SI (m3, m3/s, K or °C as the dimension says, s, kg …). */
export interface Quantity {
	/** Central value. Of a range of a ratio quantity it is the geometric mean, else the midpoint. */
	readonly value: number;
	/** Ends of the range or spread; null when the value was given as one number. */
	readonly low: number | null;
	readonly high: number | null;
	readonly dimension: Dimension;
	/** As its author wrote it: `60..400 mg/(kg h)`. */
	readonly text: string;
	readonly origin: Origin;
}

/** Temperature [°C]: constant, or a daily swing whose warmest moment is `warmestSeconds` after midnight. */
export interface Temperature {
	/** Mean [°C]. */
	readonly mean: Quantity;
	/** Half the difference between warmest and coolest [K]; 0 when constant. */
	readonly swing: Quantity;
	/** Time of day of the warmest moment [s after midnight]. */
	readonly warmestSeconds: number;
}

/** Rise and fall of respiration through a flush: low → high around `rise`, high → low around `fall`. */
export interface FlushCurve {
	/** Multiplier before and after the flush [-]. */
	readonly low: Quantity;
	/** Multiplier at the height of the flush [-]. */
	readonly high: Quantity;
	/** Time of the middle of the rise [s from the start]. */
	readonly rise: Quantity;
	/** Time of the middle of the fall [s from the start]. */
	readonly fall: Quantity;
	/** Time in which the logistic goes from 12 % to 88 % [s]. */
	readonly width: Quantity;
}

export interface Substrate {
	/** Key of `lib/sources/fungi.ts`. */
	readonly species: string;
	/** Key of the stage table, with its multiplier on the rate. */
	readonly stage: string;
	readonly stageFactor: Quantity;
	/** Fresh mass [kg]. */
	readonly mass: Quantity;
	/** CO2 given off per fresh mass at the reference temperature [kg CO2 per kg and s]. */
	readonly rate: Quantity;
	/** Temperature the rate belongs to [°C]. */
	readonly reference: Quantity;
	/** Factor per 10 K [-]. */
	readonly q10: Quantity;
	/** CO2 at which respiration has fallen to half [ppm]; null: no inhibition. */
	readonly inhibition: Quantity | null;
	/** Space it takes [m3], from `volume` or mass / density; null when neither is known. */
	readonly volume: Quantity | null;
	readonly flush: FlushCurve | null;
	/** Rates by time instead of one rate, straight lines between; [s], [kg/(kg s)]. */
	readonly rates: readonly { readonly timeSeconds: number; readonly rate: Quantity }[] | null;
}

export interface Scenario {
	readonly name: string;
	readonly notes: string | null;
	readonly fileName: string;
	/** The text it was read from, to the letter. */
	readonly text: string;
	readonly chamber: {
		/** Inner volume, before the substrate is taken off [m3]. */
		readonly volume: Quantity;
		/** Leak: a flow [m3/s], or air changes of the free volume [1/s] (see its dimension). */
		readonly leak: Quantity;
		readonly temperature: Temperature;
		/** Relative humidity [0..1]. */
		readonly humidity: Quantity;
		/** Air pressure [Pa], from `pressure` or `altitude`. */
		readonly pressure: Quantity;
		/** Mixing factor m [0..1]. */
		readonly mixing: Quantity;
		readonly stagnant: {
			/** Share of the free volume [0..1). */
			readonly share: Quantity;
			/** Share of the CO2 source that stands in it [0..1]. */
			readonly source: Quantity;
			/** Exchange with the mixed zone: a flow [m3/s], or air changes of the stagnant zone [1/s]. */
			readonly exchange: Quantity;
		} | null;
	};
	readonly intake: {
		/** CO2 of the air drawn in [ppm]. */
		readonly co2: Quantity;
		/** [°C] */
		readonly temperature: Quantity;
		/** [0..1] */
		readonly humidity: Quantity;
	};
	readonly substrate: readonly Substrate[];
	readonly fan: {
		/** Delivered flow while on [m3/s]. */
		readonly flow: Quantity;
		/** First-order time constants [s]. */
		readonly spinUp: Quantity;
		readonly coastDown: Quantity;
	};
	readonly sensor: {
		/** Time to 63 % of a step [s]. */
		readonly response: Quantity;
		readonly zone: "mixed" | "stagnant";
	} | null;
	readonly timer: {
		readonly ranges: readonly {
			readonly lowSeconds: number;
			readonly highSeconds: number;
			readonly stepSeconds: number;
			/** Unit that the display counts in, as the step was written. */
			readonly unit: "s" | "min" | "h";
		}[];
		/** Both periods are set in one range; else each has its own. */
		readonly shared: boolean;
		/** Digits of its display. */
		readonly digits: number;
		/** State it begins in when power returns; null: not known. */
		readonly powerUp: "on" | "off" | null;
		/** Contact rating [A]. */
		readonly contact: Quantity | null;
		/** Switching operations the contact is rated for [-]. */
		readonly operations: Quantity | null;
	} | null;
	/** What a chosen setting must keep to. */
	readonly limits: {
		/** Shortest on-time and off-time considered, longest cycle [s]. */
		readonly burst: Quantity | null;
		readonly pause: Quantity | null;
		readonly cycle: Quantity | null;
		/** The contact must last so long [s]. */
		readonly life: Quantity | null;
		/** Hours (over midnight when `to` is the earlier) in which no cycle is shorter than this [s after midnight], [s]. */
		readonly quiet: {
			readonly fromSeconds: number;
			readonly toSeconds: number;
			readonly cycle: Quantity;
		} | null;
	};
	readonly target: {
		/** [ppm] */
		readonly ceiling: Quantity;
		/** Lower end of a wanted band [ppm]; null when there is only a ceiling. */
		readonly floor: Quantity | null;
		/** The figure that is held against the ceiling. */
		readonly on: "peak" | "mean" | "worst hour";
	};
	/** CO2 at the start of a run [ppm]. */
	readonly start: Quantity;
	/** In the order of the file; none when the caller allows that. */
	readonly schedules: readonly {
		readonly name: string;
		readonly schedule: Schedule;
		readonly line: number;
		readonly column: number;
	}[];
}

/** One line of the list of inputs in a report. */
export interface InputRow {
	/** `chamber.leak` */
	readonly path: string;
	/** `leak` in plain words */
	readonly label: string;
	readonly quantity: Quantity;
}
