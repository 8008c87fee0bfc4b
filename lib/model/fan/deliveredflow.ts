import type { FanTrain, Quantity, Scenario, Supply, Wire } from "../../scenario/scenario.ts";
import { LOADED_PRESSURE_DROP_RATIO } from "../../sources/airpath.ts";
import { SOUND_SHARE, STANDARD_AIR_DENSITY } from "../../sources/fans.ts";
import { EXTRA_LOW_VOLTAGE } from "../../sources/supplies.ts";
import { formatQuantity } from "../../units/format.ts";
import { airDensityKgPerM3 } from "../air/gaslaws.ts";
import { ohmPerM, voltageDrop } from "./conductor.ts";
import {
	atSpeed,
	combineFans,
	type FanCurve,
	findOperatingPoint,
	flowRange,
	type OperatingPoint,
} from "./fancurve.ts";
import { type Duct, ductResistance, openingResistance, type SystemCurve } from "./systemcurve.ts";

/** What decides how much air a fan delivers. */
export interface FlowConditions {
	readonly fan: FanTrain;
	readonly supply: Supply | null;
	readonly wire: Wire | null;
	/** Air that the fan moves, and that the wire hangs in [°C], [Pa]. */
	readonly celsius: number;
	readonly pascal: number;
}

/** What decides the flow of a scenario's fan. */
export const flowConditionsOf = ({ fan, supply, wire, intake, chamber }: Scenario): FlowConditions => ({
	fan,
	supply,
	wire,
	celsius: intake.temperature.value,
	pascal: chamber.pressure.value,
});

/** Which end of each uncertain input is taken: the central value, or the one with the least or the most flow. */
export type FlowCase = "central" | "least" | "most";

/** Value of an input that helps the flow when it is great, or when it is small. */
const valueInCase = (quantity: Quantity, flowCase: FlowCase, helps: "great" | "small"): number => {
	if (flowCase === "central") return quantity.value;
	return ((flowCase === "most") === (helps === "great") ? quantity.high : quantity.low) ?? quantity.value;
};

/** Voltage from the supply to the fans. */
export interface FanVolts {
	/** Of the supply; the rated one where no supply is given [V]. */
	readonly supplyVolts: number;
	/** Lost in the wire at the fans' rated current, which can be more than there is; null when wire or current is not given [V]. */
	readonly voltageDropV: number | null;
	/** What reaches the fans [V]. */
	readonly volts: number;
}

/** Above the extra-low voltage that an adapter gives: a part on the mains. */
export const isMains = (voltage: Quantity | null): boolean => (voltage?.value ?? 0) > EXTRA_LOW_VOLTAGE.value;

/** Voltage that reaches the fans; null when neither supply nor rated voltage is given, and for fans on the mains. */
export function fanVolts(
	{ fan, supply, wire, celsius }: FlowConditions,
	flowCase: FlowCase = "central",
): FanVolts | null {
	const source = supply?.voltage ?? fan.voltage;
	// Supply and cable of a file are those of the low-voltage side.
	if (source === null || isMains(fan.voltage)) return null;
	const supplyVolts = valueInCase(source, flowCase, "great");
	if (wire === null || fan.current === null) return { supplyVolts, voltageDropV: null, volts: supplyVolts };
	const ampere = fan.count * valueInCase(fan.current, flowCase, "small");
	const voltageDropV = voltageDrop(
		valueInCase(wire.length, flowCase, "small"),
		ohmPerM(wire.size, celsius),
		ampere,
	);
	return { supplyVolts, voltageDropV, volts: Math.max(0, supplyVolts - voltageDropV) };
}

/** The curve of one fan as plain numbers; null when the delivered flow is given. */
export function fanCurveOf({ curve }: FanTrain, flowCase: FlowCase = "central"): FanCurve | null {
	if (curve === null) return null;
	if (curve.shape !== "points") {
		return {
			shape: curve.shape,
			freeDeliveryM3PerS: valueInCase(curve.freeDelivery, flowCase, "great"),
			shutOffPa: valueInCase(curve.shutOff, flowCase, "great"),
		};
	}
	return {
		shape: "points",
		points: curve.points.map(({ flow, pressure }) => ({
			flowM3PerS: valueInCase(flow, flowCase, "great"),
			pressurePa: valueInCase(pressure, flowCase, "great"),
		})),
	};
}

/** The duct as plain numbers; null when there is none. */
export function ductOf({ duct }: FanTrain, flowCase: FlowCase = "central"): Duct | null {
	if (duct === null) return null;
	const { length, diameter, bends, kind } = duct;
	return {
		lengthM: valueInCase(length, flowCase, "small"),
		diameterM: valueInCase(diameter, flowCase, "great"),
		bends,
		kind,
	};
}

/** So much stops any fan; beyond it a pressure is no number any more [Pa s/m3], [Pa s2/m6]. */
const MAX_RESISTANCE = 1e100;

/** What the air has to get through. */
export function systemCurveOf(
	{ fan, celsius, pascal }: FlowConditions,
	flowCase: FlowCase = "central",
): SystemCurve {
	const { filter, vent, flap } = fan;
	const density = airDensityKgPerM3(celsius, pascal);
	const duct = ductOf(fan, flowCase);
	const rated =
		filter === null
			? 0
			: valueInCase(filter.at, flowCase, "great") *
				(filter.area === null ? 1 : valueInCase(filter.area, flowCase, "great"));
	return {
		flapPa: flap === null ? 0 : valueInCase(flap, flowCase, "small"),
		filterPaSPerM3:
			filter === null
				? 0
				: Math.min(
						MAX_RESISTANCE,
						(valueInCase(filter.pressureDropRatio, flowCase, "small") *
							valueInCase(filter.drop, flowCase, "small")) /
							rated,
					),
		ductPaS2PerM6: Math.min(
			MAX_RESISTANCE,
			(duct === null ? 0 : ductResistance(duct, density)) +
				(vent === null ? 0 : openingResistance(valueInCase(vent, flowCase, "great"), density)),
		),
	};
}

/** All fans as one, at the voltage that reaches them and in the air that they move. */
export interface FanOperation {
	readonly curve: FanCurve;
	readonly system: SystemCurve;
	readonly operatingPoint: OperatingPoint;
}

/**
 * Fans and path where they meet; null when the delivered flow is given.
 * @param volts voltage at the fans, instead of the one that supply and wire give [V]
 */
export function findFanOperation(
	delivery: FlowConditions,
	flowCase: FlowCase = "central",
	volts?: number,
): FanOperation | null {
	const { fan, celsius, pascal } = delivery;
	const one = fanCurveOf(fan, flowCase);
	if (one === null) return null;
	const system = systemCurveOf(delivery, flowCase);
	const reaching = volts ?? fanVolts(delivery, flowCase)?.volts ?? null;
	const speed = reaching === null || fan.voltage === null ? 1 : Math.max(0, reaching / fan.voltage.value);
	const density = airDensityKgPerM3(celsius, pascal) / STANDARD_AIR_DENSITY.value;
	const curve = combineFans(atSpeed(one, speed, density), fan.count, fan.arrangement);
	const least = fan.voltageRange?.low ?? 0;
	if (reaching !== null && reaching <= 0)
		return { curve, system, operatingPoint: tooLow("no voltage reaches the fan") };
	if (reaching !== null && reaching < least) {
		const reason = `only ${formatQuantity(reaching, "voltage")} reach a fan that starts at ${formatQuantity(least, "voltage")}`;
		return { curve, system, operatingPoint: tooLow(reason) };
	}
	return { curve, system, operatingPoint: findOperatingPoint(curve, system) };
}

const tooLow = (reason: string): OperatingPoint => ({ exists: false, cause: "undervoltage", reason });

/** The flow that fans deliver, worked out from their curve; 0 when they deliver none, with the reason in its text. */
export function computeDeliveredFlow(delivery: FlowConditions): Quantity | null {
	const work = findFanOperation(delivery);
	if (work === null) return null;
	const flowAt = (flowCase: FlowCase): number => {
		const { operatingPoint } = findFanOperation(delivery, flowCase)!;
		return operatingPoint.exists ? operatingPoint.flowM3PerS : 0;
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
		text: work.operatingPoint.exists
			? `${words(value)}${span}`
			: `${words(value)}${span}: ${work.operatingPoint.reason}`,
		origin: { kind: "calculated", from: sourceWords(delivery) },
	};
}

/** Flow that all fans of a scenario deliver while on [m3/s]: as given, else calculated from the curve. */
export function deliveredFlow(scenario: Scenario): Quantity {
	const flow = scenario.fan.flow ?? computeDeliveredFlow(flowConditionsOf(scenario));
	if (flow === null) throw new Error("a fan without flow and curve got past its schema");
	return flow;
}

/** The same chamber with its flow written down, a calculated one too: as it is, or another one [m3/s]. */
export function withDeliveredFlow(scenario: Scenario, m3PerS?: number): Scenario {
	const flow = deliveredFlow(scenario);
	return {
		...scenario,
		fan: { ...scenario.fan, flow: m3PerS === undefined ? flow : { ...flow, value: m3PerS } },
	};
}

/** The same chamber with a filter that takes so many times its clean drop; 1: clean. */
export function withPressureDropRatioOfFilter(scenario: Scenario, pressureDropRatio: number): Scenario {
	const { fan } = scenario;
	if (fan.filter === null) return scenario;
	const load = {
		...fan.filter.pressureDropRatio,
		value: pressureDropRatio,
		low: null,
		high: null,
		text: `${pressureDropRatio}`,
	};
	return { ...scenario, fan: { ...fan, filter: { ...fan.filter, pressureDropRatio: load } } };
}

/**
 * Pressure drop, over the clean one, up to which a filter is judged [-]: the upper end of what `choose` draws, else that of the load in
 * the file, else twice, at which a filter is replaced.
 */
export function loadedPressureDropRatio({ fan, disturbances }: Scenario): number {
	const { value, high, origin } = fan.filter?.pressureDropRatio ?? { value: 1, high: null, origin: null };
	const drawn = disturbances.find(({ key }) => key === "filter")?.quantity.high ?? null;
	return (
		drawn ?? high ?? (origin?.kind === "given" ? value : Math.max(value, LOADED_PRESSURE_DROP_RATIO.value))
	);
}

/** What is doubtful about a calculated flow. */
export type FlowWarning =
	| { readonly code: "fan delivers nothing"; readonly path: "fan.curve"; readonly reason: string }
	| {
			readonly code: "fan near shut-off" | "fan near free delivery";
			readonly path: "fan.curve";
			/** Flow over the flow at zero pressure, and the sound middle of the curve [%]. */
			readonly freeDeliveryPercent: number;
			readonly soundLowPercent: number;
			readonly soundHighPercent: number;
	  };

/** What a reader should know before trusting a calculated flow. */
export function findFlowWarnings(delivery: FlowConditions): FlowWarning[] {
	const point = findFanOperation(delivery)?.operatingPoint;
	if (point === undefined) return [];
	const path = "fan.curve";
	if (!point.exists) return [{ code: "fan delivers nothing", path, reason: point.reason }];
	const freeDeliveryPercent = Math.round(100 * point.freeDeliveryShare);
	const sound = { soundLowPercent: SOUND_SHARE.low!, soundHighPercent: SOUND_SHARE.high! };
	if (freeDeliveryPercent < sound.soundLowPercent)
		return [{ code: "fan near shut-off", path, freeDeliveryPercent, ...sound }];
	if (freeDeliveryPercent > sound.soundHighPercent)
		return [{ code: "fan near free delivery", path, freeDeliveryPercent, ...sound }];
	return [];
}

/** "fan.curve through fan.filter and fan.duct at 11.7 V" */
function sourceWords(delivery: FlowConditions): string {
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
export const freeDeliveryOf = (curve: FanCurve): number => flowRange(curve)[1];
