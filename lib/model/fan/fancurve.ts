import { type SystemCurve, systemPressurePa } from "./systemcurve.ts";

/** Static pressure that a fan makes against the flow that it moves, at one speed: falling from point to point. */
export type FanCurve =
	| {
			readonly shape: "linear" | "parabolic";
			/** Flow at no pressure [m3/s]. */
			readonly freeDeliveryM3PerS: number;
			/** Pressure at no flow [Pa]. */
			readonly shutOffPa: number;
	  }
	| {
			readonly shape: "points";
			/** By rising flow, straight lines between; the curve ends with them. */
			readonly points: readonly FanPoint[];
	  };

export interface FanPoint {
	readonly flowM3PerS: number;
	readonly pressurePa: number;
}

/** Ends of a curve: its least and its greatest flow [m3/s]. */
export function flowRange(curve: FanCurve): readonly [least: number, greatest: number] {
	if (curve.shape !== "points") return [0, curve.freeDeliveryM3PerS];
	return [curve.points[0]?.flowM3PerS ?? 0, curve.points.at(-1)?.flowM3PerS ?? 0];
}

/**
 * Pressure of a fan at a flow within its curve:
 *
 *     p = P (1 - q/Q)   linear        p = P (1 - (q/Q)^2)   parabolic      (21)
 *
 * @param curve its shape and ends [m3/s], [Pa], or its points
 * @param flowM3PerS q [m3/s]
 * @returns pressure [Pa]
 * @throws never
 *
 * Source: shapes of data sheets, from memory.
 * @example fanPressurePa({ shape: "parabolic", freeDeliveryM3PerS: 0.02, shutOffPa: 60 }, 0.01) // => 45
 */
export function fanPressurePa(curve: FanCurve, flowM3PerS: number): number {
	if (curve.shape === "points") return interpolatePa(curve.points, flowM3PerS);
	const share = flowM3PerS / curve.freeDeliveryM3PerS;
	// (1 - x)(1 + x) keeps its digits near the free end, where 1 - x^2 loses them.
	return curve.shutOffPa * (1 - share) * (curve.shape === "linear" ? 1 : 1 + share);
}

function interpolatePa(points: readonly FanPoint[], flow: number): number {
	const right = points.findIndex(({ flowM3PerS }) => flowM3PerS >= flow);
	const b = points[right === -1 ? points.length - 1 : Math.max(right, 0)]!;
	const a = points[points.indexOf(b) - 1] ?? b;
	if (flow === b.flowM3PerS || a === b) return b.pressurePa;
	const part = (flow - a.flowM3PerS) / (b.flowM3PerS - a.flowM3PerS);
	return a.pressurePa * (1 - part) + b.pressurePa * part;
}

/** The same shape with every flow and every pressure times a factor. */
function scaleCurve(curve: FanCurve, flow: number, pressure: number): FanCurve {
	if (curve.shape !== "points") {
		return {
			shape: curve.shape,
			freeDeliveryM3PerS: curve.freeDeliveryM3PerS * flow,
			shutOffPa: curve.shutOffPa * pressure,
		};
	}
	return {
		shape: "points",
		points: curve.points.map(({ flowM3PerS, pressurePa }) => ({
			flowM3PerS: flowM3PerS * flow,
			pressurePa: pressurePa * pressure,
		})),
	};
}

/**
 * A fan at another speed and in other air, by the affinity laws:  Q ~ n,  p ~ rho n^2   (22)
 * @param curve at its own speed and density
 * @param speed speed over that of the curve [-]
 * @param density density over that of the curve [-]
 * @returns the curve at that speed and density [m3/s], [Pa]
 * @throws never
 *
 * Source: affinity (fan) laws, textbooks, from memory.
 * @example fanPressurePa(atSpeed({ shape: "linear", freeDeliveryM3PerS: 0.02, shutOffPa: 60 }, 0.5), 0) // => 15
 */
export const atSpeed = (curve: FanCurve, speed: number, density = 1): FanCurve =>
	scaleCurve(curve, speed, density * speed * speed);

/**
 * Power that a fan takes at another speed, over that of its curve:  P ~ rho n^3   (22)
 * @param speed speed over that of the curve [-]
 * @param density density over that of the curve [-]
 * @returns power over power [-]
 * @throws never
 *
 * Source: affinity (fan) laws, textbooks, from memory.
 * @example powerAtSpeed(0.5) // => 0.125
 */
export const powerAtSpeed = (speed: number, density = 1): number => density * speed * speed * speed;

/**
 * Equal fans as one: side by side their flows add up, one behind the other their pressures.   (22a)
 * @param curve of one fan
 * @param count how many [-]
 * @param arrangement `parallel`, side by side, or `series`, one behind the other
 * @returns the curve of all [m3/s], [Pa]
 * @throws never
 *
 * Source: textbooks, from memory.
 * @example fanPressurePa(combineFans({ shape: "linear", freeDeliveryM3PerS: 0.02, shutOffPa: 60 }, 2, "series"), 0) // => 120
 */
export const combineFans = (curve: FanCurve, count: number, arrangement: "parallel" | "series"): FanCurve =>
	arrangement === "parallel" ? scaleCurve(curve, count, 1) : scaleCurve(curve, 1, count);

/** Where a fan works, or why it does not. */
export type OperatingPoint =
	| {
			readonly exists: true;
			readonly flowM3PerS: number;
			readonly pressurePa: number;
			/** Delivered over greatest flow of the curve [0..1]. */
			readonly freeDeliveryShare: number;
	  }
	| {
			readonly exists: false;
			/** The path takes more pressure than the fan makes; the crossing is right of the curve's last point; too little voltage. */
			readonly cause: "stall" | "beyond the curve" | "undervoltage";
			readonly reason: string;
	  };

/**
 * The flow at which a fan makes just the pressure that the path takes: (21) = (23), to the last bits, by halving a bracket.
 * @param curve of the fan [m3/s], [Pa]
 * @param system of filter, duct and flap [Pa], [Pa s/m3], [Pa s2/m6]
 * @returns flow [m3/s] and pressure [Pa], or why there is none: `stall`, `beyond the curve`
 * @throws never
 *
 * Source: operating point of fan and system, textbooks, from memory.
 * @example findOperatingPoint({ shape: "linear", freeDeliveryM3PerS: 0.02, shutOffPa: 60 }, { flapPa: 0, filterPaSPerM3: 3000, ductPaS2PerM6: 0 }).flowM3PerS.toFixed(3) // => "0.010"
 */
export function findOperatingPoint(curve: FanCurve, system: SystemCurve): OperatingPoint {
	let [low, high] = flowRange(curve);
	const greatest = high;
	const excess = (flow: number) => fanPressurePa(curve, flow) - systemPressurePa(system, flow);
	// A path that takes its pressure only once air flows is closed to a fan that just balances it.
	if (!(excess(low) > 0)) {
		return {
			exists: false,
			cause: "stall",
			reason:
				low === 0
					? "the flap takes more pressure than the fan makes at no flow, so no air passes"
					: "filter and duct take more pressure than the curve goes up to: the fan stalls, left of its curve",
		};
	}
	if (excess(high) > 0) {
		return {
			exists: false,
			cause: "beyond the curve",
			reason:
				"filter and duct take less pressure than the last point of the curve; add a point at a greater flow",
		};
	}
	while (true) {
		const middle = low + (high - low) / 2;
		if (middle <= low || middle >= high) break;
		if (excess(middle) > 0) low = middle;
		else high = middle;
	}
	const flow = Math.abs(excess(low)) < Math.abs(excess(high)) ? low : high;
	return {
		exists: true,
		flowM3PerS: flow,
		pressurePa: systemPressurePa(system, flow),
		freeDeliveryShare: flow / greatest,
	};
}
