import {
	fanCurveOf,
	fanVolts,
	findFanOperation,
	flowConditionsOf,
	freeDeliveryOf,
	loadedPressureDropRatio,
} from "../../model/fan/deliveredflow.ts";
import {
	combineFans,
	fanPressurePa,
	findOperatingPoint,
	flowRange,
	type OperatingPoint,
} from "../../model/fan/fancurve.ts";
import { type SystemCurve, systemPressurePa, withPressureDropRatio } from "../../model/fan/systemcurve.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { SOUND_SHARE } from "../../sources/fans.ts";

const CURVE_INTERVALS = 60;
/** Ends of the sound part of a fan curve, as delivered flow over free flow [-]. */
export const [SOUND_LOW, SOUND_HIGH] = [SOUND_SHARE.low! / 100, SOUND_SHARE.high! / 100];

export type FanReport = NonNullable<ReturnType<typeof fanReport>>;

/** Fans and path as curves to draw, and where they meet; null when the file has no curve. */
export function fanReport(scenario: Scenario) {
	const conditions = flowConditionsOf(scenario);
	const { fan } = scenario;
	const work = findFanOperation(conditions);
	const one = fanCurveOf(fan);
	if (work === null || one === null) return null;
	const { curve, system, operatingPoint } = work;
	const volts = fanVolts(conditions);
	const [least, greatest] = flowRange(curve);
	const flows = Array.from(
		{ length: CURVE_INTERVALS + 1 },
		(_, k) => least + ((greatest - least) * k) / CURVE_INTERVALS,
	);
	if (curve.shape === "points")
		flows.push(...curve.points.map(({ flowM3PerS }) => flowM3PerS).filter((flow) => !flows.includes(flow)));
	flows.sort((a, b) => a - b);
	const sample = (pressure: (flow: number) => number) =>
		flows.map((flowM3PerS) => ({ flowM3PerS, pressurePa: pressure(flowM3PerS) }));
	const meet = (other: SystemCurve): OperatingPoint =>
		operatingPoint.exists || operatingPoint.cause !== "undervoltage"
			? findOperatingPoint(curve, other)
			: operatingPoint;
	const withRatio = (ratio: number): OperatingPoint => meet(withPressureDropRatio(system, ratio));
	const hasFilter = fan.filter !== null;
	const loaded = withPressureDropRatio(
		system,
		loadedPressureDropRatio(scenario) / (fan.filter?.pressureDropRatio.value ?? 1),
	);
	return {
		/** All fans as one, at the voltage that reaches them. */
		curve: sample((flow) => fanPressurePa(curve, flow)),
		/** What the path takes with the filter as the file has it, and loaded; null without a filter. */
		cleanSystemCurve: sample((flow) => systemPressurePa(system, flow)),
		loadedSystemCurve: hasFilter ? sample((flow) => systemPressurePa(loaded, flow)) : null,
		operatingPoint,
		loadedOperatingPoint: hasFilter ? meet(loaded) : null,
		/** As it would be without the drop in the wire; null when no drop is known. */
		withoutVoltageDrop:
			volts?.voltageDropV == null
				? null
				: (findFanOperation(conditions, "central", volts.supplyVolts)?.operatingPoint ?? null),
		/** Times the filter's area with which the fans work soundly [-]; null without a filter, or where no area does. */
		soundFilterFactor: hasFilter ? findSoundFilterFactor((factor) => withRatio(1 / factor)) : null,
		/** With twice the face of the filter; null without a filter. */
		doubleFilterArea: hasFilter ? withRatio(0.5) : null,
		/** Catalogue flow of all fans [m3/s]. */
		catalogueM3PerS: freeDeliveryOf(combineFans(one, fan.count, fan.arrangement)),
	};
}

/** Greatest factor on the filter's area that is tried; beyond it the filter takes nothing. */
const MAX_FILTER_FACTOR = 1e9;

/** Smallest factor on the filter's area with which a fan works soundly; null when none does. */
function findSoundFilterFactor(pointWith: (factor: number) => OperatingPoint): number | null {
	const isSound = (factor: number): boolean => {
		const point = pointWith(factor);
		return point.exists && point.freeDeliveryShare >= SOUND_LOW;
	};
	if (!isSound(MAX_FILTER_FACTOR)) return null;
	if (isSound(1)) return 1;
	let [low, high] = [1, MAX_FILTER_FACTOR];
	while (high / low > 1.001) {
		const middle = Math.sqrt(low * high);
		if (isSound(middle)) high = middle;
		else low = middle;
	}
	return high;
}
