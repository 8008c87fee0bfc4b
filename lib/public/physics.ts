/**
 * The formulas by themselves, in plain SI numbers.
 * @module lullgust/physics
 */

export {
	airDensityKgPerM3,
	co2MgPerM3,
	co2VolumeM3,
} from "../model/air/gaslaws.ts";
export {
	airAfterBurst,
	dewPointC,
	enthalpyKJPerKg,
	humidityRatio,
	latentShare,
	type MoistAir,
	saturationPa,
	specificVolumeM3PerKgDryAir,
	vapourGPerM3,
	wallC,
	waterCarriedKgPerM3,
} from "../model/air/moistair.ts";
export { type StatedAccuracy, sensorAccuracyPpm } from "../model/air/sensoraccuracy.ts";
export { secondsToLevel, type Washout } from "../model/air/washout.ts";
export { ohmPerM, voltageDrop, type WireSize } from "../model/fan/conductor.ts";
export {
	atSpeed,
	combineFans,
	type FanCurve,
	type FanPoint,
	fanPressurePa,
	findOperatingPoint,
	type OperatingPoint,
	powerAtSpeed,
} from "../model/fan/fancurve.ts";
export {
	type Duct,
	ductResistance,
	openingResistance,
	orificeFlowM3PerS,
	type SystemCurve,
	systemPressurePa,
} from "../model/fan/systemcurve.ts";
export { EXPOSURE_LIMITS, pressureAtAltitudePa } from "../sources/constants.ts";
export type { PublishedValue } from "../sources/published.ts";
