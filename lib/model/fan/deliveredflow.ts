import type { FanTrain, Quantity, Scenario, Supply, Wire } from "../../scenario/scenario.ts";
import { SOUND_SHARE, STANDARD_AIR } from "../../sources/fans.ts";
import { formatQuantity } from "../../units/units.ts";
import { airDensityKgPerM3 } from "../air/gaslaws.ts";
import { ohmPerM, voltageDrop } from "./conductor.ts";
import {
	atSpeed,
	type FanCurve,
	flowSpan,
	type OperatingPoint,
	operatingPoint,
	together,
} from "./fancurve.ts";
import { type AirPath, type Duct, ductResistance, openingResistance } from "./systemcurve.ts";

/** What decides how much air a fan delivers. */
export interface Delivery {
	readonly fan: FanTrain;
	readonly supply: Supply | null;
	readonly wire: Wire | null;
	/** Air that the fan moves, and that the wire hangs in [°C], [Pa]. */
	readonly celsius: number;
	readonly pascal: number;
}

/** What decides the flow of a scenario's fan. */
export const deliveryOf = ({ fan, supply, wire, intake, chamber }: Scenario): Delivery => ({
	fan,
	supply,
	wire,
	celsius: intake.temperature.value,
	pascal: chamber.pressure.value,
});

/** Which end of each uncertain input is taken: the central value, or the one with the least or the most flow. */
export type Lean = "central" | "least" | "most";

/** Value of an input that helps the flow when it is great, or when it is small. */
const lean = (quantity: Quantity, end: Lean, helps: "great" | "small"): number => {
	if (end === "central") return quantity.value;
	return ((end === "most") === (helps === "great") ? quantity.high : quantity.low) ?? quantity.value;
};

/** Voltage from the supply to the fans. */
export interface FanVolts {
	/** Of the supply; the rated one where no supply is given [V]. */
	readonly supplyVolts: number;
	/** Lost in the wire at the fans' rated current, which can be more than there is; null when wire or current is not given [V]. */
	readonly dropVolts: number | null;
	/** What reaches the fans [V]. */
	readonly volts: number;
}

/** Voltage that reaches the fans; null when neither supply nor rated voltage is given. */
export function fanVolts({ fan, supply, wire, celsius }: Delivery, end: Lean = "central"): FanVolts | null {
	const source = supply?.voltage ?? fan.voltage;
	if (source === null) return null;
	const supplyVolts = lean(source, end, "great");
	if (wire === null || fan.current === null) return { supplyVolts, dropVolts: null, volts: supplyVolts };
	const ampere = fan.count * lean(fan.current, end, "small");
	const dropVolts = voltageDrop(lean(wire.length, end, "small"), ohmPerM(wire.size, celsius), ampere);
	return { supplyVolts, dropVolts, volts: Math.max(0, supplyVolts - dropVolts) };
}

/** The curve of one fan as plain numbers; null when the delivered flow is given. */
export function fanCurveOf({ curve }: FanTrain, end: Lean = "central"): FanCurve | null {
	if (curve === null) return null;
	if (curve.shape !== "points") {
		return {
			shape: curve.shape,
			freeFlowM3PerS: lean(curve.freeFlow, end, "great"),
			shutOffPa: lean(curve.shutOff, end, "great"),
		};
	}
	return {
		shape: "points",
		points: curve.points.map(({ flow, pressure }) => ({
			flowM3PerS: lean(flow, end, "great"),
			pressurePa: lean(pressure, end, "great"),
		})),
	};
}

/** The duct as plain numbers; null when there is none. */
export function ductOf({ duct }: FanTrain, end: Lean = "central"): Duct | null {
	if (duct === null) return null;
	const { length, diameter, bends, kind } = duct;
	return { lengthM: lean(length, end, "small"), diameterM: lean(diameter, end, "great"), bends, kind };
}

/** What the air has to get through. */
export function airPathOf({ fan, celsius, pascal }: Delivery, end: Lean = "central"): AirPath {
	const { filter, vent, flap } = fan;
	const density = airDensityKgPerM3(celsius, pascal);
	const duct = ductOf(fan, end);
	const rated =
		filter === null
			? 0
			: lean(filter.at, end, "great") * (filter.area === null ? 1 : lean(filter.area, end, "great"));
	return {
		flapPa: flap === null ? 0 : lean(flap, end, "small"),
		filterPaSPerM3:
			filter === null ? 0 : (lean(filter.load, end, "small") * lean(filter.drop, end, "small")) / rated,
		ductPaS2PerM6:
			(duct === null ? 0 : ductResistance(duct, density)) +
			(vent === null ? 0 : openingResistance(lean(vent, end, "great"), density)),
	};
}

/** All fans as one, at the voltage that reaches them and in the air that they move. */
export interface FanAtWork {
	readonly curve: FanCurve;
	readonly path: AirPath;
	readonly point: OperatingPoint;
}

/**
 * Fans and path where they meet; null when the delivered flow is given.
 * @param volts voltage at the fans, instead of the one that supply and wire give [V]
 */
export function fanAtWork(delivery: Delivery, end: Lean = "central", volts?: number): FanAtWork | null {
	const { fan, celsius, pascal } = delivery;
	const one = fanCurveOf(fan, end);
	if (one === null) return null;
	const path = airPathOf(delivery, end);
	const reaching = volts ?? fanVolts(delivery, end)?.volts ?? null;
	const speed = reaching === null || fan.voltage === null ? 1 : Math.max(0, reaching / fan.voltage.value);
	const density = airDensityKgPerM3(celsius, pascal) / STANDARD_AIR.value;
	const curve = together(atSpeed(one, speed, density), fan.count, fan.arrangement);
	const least = fan.window?.low ?? 0;
	if (reaching !== null && reaching <= 0) return { curve, path, point: tooLow("no voltage reaches the fan") };
	if (reaching !== null && reaching < least) {
		const reason = `only ${formatQuantity(reaching, "voltage")} reach a fan that starts at ${formatQuantity(least, "voltage")}`;
		return { curve, path, point: tooLow(reason) };
	}
	return { curve, path, point: operatingPoint(curve, path) };
}

const tooLow = (reason: string): OperatingPoint => ({ exists: false, cause: "undervoltage", reason });

/** The flow that fans deliver, worked out from their curve; 0 when they deliver none, with the reason in its text. */
export function deliveredFlow(delivery: Delivery): Quantity | null {
	const work = fanAtWork(delivery);
	if (work === null) return null;
	const flowAt = (end: Lean): number => {
		const { point } = fanAtWork(delivery, end)!;
		return point.exists ? point.flowM3PerS : 0;
	};
	const value = flowAt("central");
	const ends = { low: flowAt("least"), high: flowAt("most") };
	const uncertain = ends.low < value || ends.high > value;
	const words = (flow: number) => formatQuantity(flow, "flow");
	const span = uncertain ? ` (${words(ends.low)} to ${words(ends.high)})` : "";
	return {
		value,
		low: uncertain ? ends.low : null,
		high: uncertain ? ends.high : null,
		dimension: "flow",
		text: work.point.exists ? `${words(value)}${span}` : `${words(value)}${span}: ${work.point.reason}`,
		origin: { kind: "worked out", from: sourceWords(delivery) },
	};
}

/** The same chamber with a filter that takes so many times its clean drop; 1: clean. */
export function withFilterLoad(scenario: Scenario, times: number): Scenario {
	const { fan } = scenario;
	if (fan.filter === null) return scenario;
	const load = { ...fan.filter.load, value: times, low: null, high: null, text: `${times}` };
	const changed = { ...fan, filter: { ...fan.filter, load } };
	const flow =
		fan.flow.origin.kind === "worked out" ? deliveredFlow(deliveryOf({ ...scenario, fan: changed })) : null;
	return { ...scenario, fan: flow === null ? changed : { ...changed, flow } };
}

/** What a reader should know before trusting a flow that was worked out. */
export function flowWarnings(delivery: Delivery): string[] {
	const point = fanAtWork(delivery)?.point;
	if (point === undefined) return [];
	if (!point.exists) return [`fan.curve: ${point.reason}; the fan is counted as delivering nothing.`];
	const percent = Math.round(100 * point.shareOfFree);
	const sound = `${SOUND_SHARE.low}..${SOUND_SHARE.high} %`;
	if (percent < SOUND_SHARE.low!)
		return [
			`fan.curve: works at ${percent} % of its free flow, left of the sound ${sound}, near its stall; the real flow may be much less. Take more filter area or a fan with more pressure.`,
		];
	if (percent > SOUND_SHARE.high!)
		return [
			`fan.curve: works at ${percent} % of its free flow, right of the sound ${sound}; check that filter, duct and openings are all given.`,
		];
	return [];
}

/** "fan.curve through fan.filter and fan.duct at 11.7 V" */
function sourceWords(delivery: Delivery): string {
	const { fan, supply, wire } = delivery;
	const through = (["filter", "duct", "vent", "flap"] as const)
		.filter((key) => fan[key] !== null)
		.map((key) => `fan.${key}`);
	const list =
		through.length < 2 ? through.join("") : `${through.slice(0, -1).join(", ")} and ${through.at(-1)}`;
	const volts = supply === null && wire === null ? null : fanVolts(delivery);
	return [
		"fan.curve",
		list === "" ? "with nothing before or behind it" : `through ${list}`,
		...(volts === null || fan.voltage === null ? [] : [`at ${formatQuantity(volts.volts, "voltage")}`]),
	].join(" ");
}

/** Greatest flow of a curve, all fans together [m3/s]. */
export const freeFlowOf = (curve: FanCurve): number => flowSpan(curve)[1];
