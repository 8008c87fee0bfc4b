import type { Schedule } from "../model/schedule/schedule.ts";
import type { EvidenceGrade } from "../sources/published.ts";
import type { Dimension } from "../units/dimensions.ts";

export type { EvidenceGrade };

/** Where a value came from. */
export type Origin =
	| { readonly kind: "given"; readonly line: number; readonly column: number; readonly source?: string }
	| { readonly kind: "default"; readonly source: string; readonly evidence: EvidenceGrade }
	| { readonly kind: "fitted"; readonly log: string; readonly on?: string }
	| { readonly kind: "calculated"; readonly from: string };

/** How an uncertain value is drawn: the ends are the 5 % and 95 % quantiles, of a uniform one its bounds. */
export type Distribution = "uniform" | "normal" | "log-normal";

/** What may happen to a rig in service, beside what its inputs may be. */
export type DisturbanceKey = "filter" | "warm-day" | "intake" | "flush" | "voltage" | "fan" | "timer";

/** A number with its uncertainty and its history. The numbers are in SI (m3, m3/s, K or °C as the dimension says, s, kg …). */
export interface Quantity {
	/** Central value. Of a range of a ratio quantity it is the geometric mean, else the midpoint. */
	readonly value: number;
	/** Ends of the range or spread; null when the value was given as one number. */
	readonly low: number | null;
	readonly high: number | null;
	readonly dimension: Dimension;
	/** How it is drawn, where its author said so; else normal, or log-normal where the centre is the geometric mean of the ends. */
	readonly distribution?: Distribution;
	/** As its author wrote it: `60..400 mg/(kg h)`. */
	readonly text: string;
	readonly origin: Origin;
}

/** Temperature [°C]: constant, or a daily cycle whose maximum is at `warmestSeconds` after midnight. */
export interface Temperature {
	/** Mean [°C]. */
	readonly mean: Quantity;
	/** Half the difference between warmest and coolest [K]; 0 when constant. */
	readonly amplitude: Quantity;
	/** Time of day of the warmest moment [s after midnight]. */
	readonly warmestSeconds: number;
}

/** Stated accuracy of a sensor: the two parts add up. */
export interface Accuracy {
	/** [ppm] */
	readonly ppm: Quantity;
	/** Share of the reading [0..1]. */
	readonly share: Quantity;
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
	readonly respirationRate: Quantity;
	/** Temperature the rate belongs to [°C]. */
	readonly reference: Quantity;
	/** Factor per 10 K [-]. */
	readonly q10: Quantity;
	/** CO2 at which respiration has fallen to half [ppm]; null: no inhibition. */
	readonly halfInhibitionPpm: Quantity | null;
	/** Space it takes [m3], from `volume` or mass / density; null when neither is known. */
	readonly volume: Quantity | null;
	readonly flush: FlushCurve | null;
	/** Rates by time instead of one rate, straight lines between; [s], [kg/(kg s)]. */
	readonly rates: readonly { readonly timeSeconds: number; readonly respirationRate: Quantity }[] | null;
}

/** Fans, and what their air has to get through. */
export interface FanTrain {
	/** Curve of one fan at its rated voltage; null where none is given. */
	readonly curve:
		| {
				readonly shape: "linear" | "parabolic";
				/** [m3/s] */
				readonly freeDelivery: Quantity;
				/** [Pa] */
				readonly shutOff: Quantity;
		  }
		| {
				readonly shape: "points";
				/** [m3/s], [Pa] */
				readonly points: readonly { readonly flow: Quantity; readonly pressure: Quantity }[];
		  }
		| null;
	/** Equal fans on the timer. */
	readonly count: number;
	/** How their air flows; their wires are parallel in any case. */
	readonly arrangement: "parallel" | "series";
	/** Rated voltage [V]. */
	readonly voltage: Quantity | null;
	/** Voltages from `low` to `high` at which it starts and runs [V]. */
	readonly voltageRange: Quantity | null;
	/** Running and starting current of one fan [A]. */
	readonly current: Quantity | null;
	readonly startingCurrent: Quantity | null;
	readonly filter: {
		/** Drop of the clean filter [Pa] at a face velocity [m/s] or a flow [m3/s] (see its dimension). */
		readonly drop: Quantity;
		readonly at: Quantity;
		/** [m2]; null where the drop is told at a flow. */
		readonly area: Quantity | null;
		/** Times the clean drop that it takes [-]: 1 when clean. */
		readonly pressureDropRatio: Quantity;
	} | null;
	readonly duct: {
		/** [m] */
		readonly length: Quantity;
		readonly diameter: Quantity;
		/** Bends of 90 degrees. */
		readonly bends: number;
		readonly kind: "rigid" | "flexible" | "sagging";
		/** Air in it [m3]; null: length times cross-section. */
		readonly volume: Quantity | null;
	} | null;
	/** Opening on the other side [m2]. */
	readonly vent: Quantity | null;
	/** Pressure at which a flap opens [Pa]. */
	readonly flap: Quantity | null;
}

export interface Supply {
	/** [V] */
	readonly voltage: Quantity;
	/** Rating [A]. */
	readonly current: Quantity | null;
	/** Timers with such fans on it. */
	readonly rigs: number;
}

export interface Wire {
	readonly size: { readonly awg: number } | { readonly mm2: number };
	/** One way [m]. */
	readonly length: Quantity;
	readonly isBundled: boolean;
	/** What it may carry [A], as told. */
	readonly ampacity: Quantity | null;
}

/** Parts by name, each with its kind and ratings; nets by name, each a list of `part.terminal`. */
export interface PlainWiring {
	readonly parts: Readonly<Record<string, { readonly kind: string; readonly [key: string]: unknown }>>;
	readonly nets: Readonly<Record<string, readonly string[]>>;
	/** Where each thing stands in the file, by its path within the wiring: `parts.FAN.v`, `nets.G`. */
	readonly places: Readonly<Record<string, { readonly line: number; readonly column: number }>>;
}

/** Values whose errors go together, as one fit found them. */
export interface Correlations {
	/** Paths as the inputs are listed: `fan.flow`, `substrate[0].rate`. */
	readonly between: readonly string[];
	/** Their correlations [-], symmetric, 1 on the diagonal. */
	readonly matrix: readonly (readonly number[])[];
	/** Log they were fitted to, and the day. */
	readonly fitted?: string | undefined;
	readonly on?: string | undefined;
}

/** CO2 of the intake air through the day: a cosine whose maximum is at `highestSeconds`, or one level by day and one by night [ppm]. */
export type DailyIntake =
	| { readonly shape: "swing"; readonly amplitude: Quantity; readonly highestSeconds: number }
	| { readonly shape: "day and night"; readonly day: Quantity; readonly night: Quantity };

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
		/** The room that the air is drawn from, whose air is worked out; `co2` is then that of outdoors. */
		readonly room: {
			/** [m3] */
			readonly volume: Quantity;
			/** A flow [m3/s], or air changes [1/s] (see its dimension). */
			readonly ventilation: Quantity;
			/** [ppm] */
			readonly outdoorCo2: Quantity;
			readonly people: readonly {
				/** [met] */
				readonly met: Quantity;
				readonly count: number;
				readonly fromSeconds: number;
				readonly toSeconds: number;
			}[];
			readonly chambers: number;
			readonly isStaggered: boolean;
			readonly exhaust: "inside" | "outdoors";
		} | null;
		/** How it goes through the day around that mean; null: it stays. */
		readonly daily: DailyIntake | null;
		/** [°C] */
		readonly temperature: Quantity;
		/** [0..1] */
		readonly humidity: Quantity;
	};
	readonly substrate: readonly Substrate[];
	readonly fan: {
		/** Flow delivered by all fans while on [m3/s]; null: it is calculated from the curve, by `deliveredFlow`. */
		readonly flow: Quantity | null;
		/** First-order time constants [s]. */
		readonly spinUp: Quantity;
		readonly coastDown: Quantity;
	} & FanTrain;
	readonly supply: Supply | null;
	readonly wire: Wire | null;
	/** Rating of the fuse [A]. */
	readonly fuse: Quantity | null;
	/** The netlist as it stands in the file; it is judged by the rig. */
	readonly wiring: PlainWiring | null;
	readonly sensor: {
		/** Time to 63 % of a step [s]. */
		readonly response: Quantity;
		readonly zone: "mixed" | "stagnant";
		/** What it reads too high [ppm]; below 0, too low. Predictions leave it out; fitting and verifying a log use it. */
		readonly offset: Quantity;
		/** What its data sheet promises; the errors of a fit and the verdict on a log use it. */
		readonly accuracy: Accuracy;
	} | null;
	/** What evaporates, is given and condenses; null where neither the file nor its target asks for humidity. */
	readonly water: {
		/** Evaporation K: the air that would leave saturated [m3/s]. */
		readonly evaporation: Quantity;
		readonly humidifier: {
			/** [kg/s] */
			readonly output: Quantity;
			readonly control:
				| { readonly kind: "after burst"; readonly seconds: number }
				| { readonly kind: "clock"; readonly onSeconds: number; readonly offSeconds: number }
				| {
						readonly kind: "hygrostat";
						/** [0..1] */
						readonly below: Quantity;
						readonly until: Quantity;
						readonly delaySeconds: number;
				  };
		} | null;
		readonly walls: {
			/** Inner area [m2]; null: that of a box. */
			readonly area: Quantity | null;
			/** U [W/(m2 K)] */
			readonly transmittance: Quantity;
			/** Temperature around [°C]. */
			readonly room: Quantity;
		} | null;
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
		readonly isShared: boolean;
		/** Digits of its display. */
		readonly digits: number;
		/** State it begins in when power returns; null: not known. */
		readonly powerUp: "on" | "off" | null;
		readonly type: "relay" | "negative-switching" | null;
		/** Nominal voltage [V]. */
		readonly voltage: Quantity | null;
		/** What the board itself takes, with the fan switched on and while it waits [A]. */
		readonly current: Quantity;
		readonly standbyCurrent: Quantity;
		/** Contact rating for motors, and for resistive loads [A]. */
		readonly contactRating: Quantity | null;
		readonly resistiveRating: Quantity | null;
		/** Switching operations the contact is rated for [-]. */
		readonly ratedOperations: Quantity | null;
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
		/** The figure that is held against the floor. */
		readonly floorOn: "mean" | "trough" | "peak";
		/** Ceilings and floors on other figures, which must be kept too. */
		readonly further: readonly {
			readonly side: "ceiling" | "floor";
			readonly on: "peak" | "mean" | "worst hour" | "trough";
			readonly level: Quantity;
		}[];
		/** Relative humidity to be held as well [0..1]; null: not asked. */
		readonly humidity: {
			readonly floor: Quantity | null;
			/** The value that the floor is for. */
			readonly on: "trough" | "mean";
			/** For the peak. */
			readonly ceiling: Quantity | null;
		} | null;
		/** Chance with which a chosen setting is to meet it [0..1]; null: not said. */
		readonly confidence: Quantity | null;
	};
	/** What may happen in service: factors on the clean filter's drop, respiration, voltage, flow and timer, and what is added to temperature [K] and intake [ppm]. */
	readonly disturbances: readonly { readonly key: DisturbanceKey; readonly quantity: Quantity }[];
	/** CO2 at the start of a run [ppm]. */
	readonly start: Quantity;
	/** Which spreads go together; none when nothing was fitted. */
	readonly correlations: readonly Correlations[];
	/** Fans that a CO2 sensor switches, among the schedules of the file. */
	readonly sensorSwitches: readonly {
		readonly name: string;
		/** Levels at which the sensor starts and stops the fan [ppm]; without the second it stops after its shortest on-time. */
		readonly above: Quantity;
		readonly until: Quantity | null;
		readonly responseSeconds: number;
		/** The sensor is read so often [s]; 0: all the time. */
		readonly everySeconds: number;
		readonly offsetPpm: number;
		readonly shortestOnSeconds: number;
		readonly shortestOffSeconds: number;
	}[];
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
