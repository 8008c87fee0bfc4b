import { stackFlowM3PerS } from "../../model/air/gaslaws.ts";
import { freeVolumeM3 } from "../../model/build.ts";
import {
	computeDeliveredFlow,
	deliveredFlow,
	ductOf,
	fanCurveOf,
	fanVolts,
	findFanOperation,
	flowConditionsOf,
	freeDeliveryOf,
	withPressureDropRatioOfFilter,
} from "../../model/fan/deliveredflow.ts";
import {
	combineFans,
	type FanPoint,
	fanPressurePa,
	findOperatingPoint,
	flowRange,
} from "../../model/fan/fancurve.ts";
import {
	ductAreaM2,
	type SystemCurve,
	systemPressurePa,
	withPressureDropRatio,
} from "../../model/fan/systemcurve.ts";
import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import { LOADED_PRESSURE_DROP_RATIO } from "../../sources/airpath.ts";
import { SOUND_SHARE } from "../../sources/fans.ts";
import type {
	FanFinding,
	FilterFinding,
	MeasuredFlowFinding,
	OpenDuctFinding,
	RigFinding,
} from "../findings.ts";
import type { FanReport } from "../rigtypes.ts";

const CURVE_INTERVALS = 60;
/** Below this share of its free flow a fan delivers next to nothing [-]: judgement. */
export const NEAR_SHUT_OFF_SHARE = 0.05;
const [SOUND_LOW, SOUND_HIGH] = [SOUND_SHARE.low! / 100, SOUND_SHARE.high! / 100];

/** Curves and operating points; null when the file has no curve. */
export function fanReport(scenario: Scenario): FanReport | null {
	const delivery = flowConditionsOf(scenario);
	const { fan } = scenario;
	const work = findFanOperation(delivery);
	const one = fanCurveOf(fan);
	if (work === null || one === null) return null;
	const { curve, system, operatingPoint } = work;
	const volts = fanVolts(delivery);
	const [least, greatest] = flowRange(curve);
	const flows = Array.from(
		{ length: CURVE_INTERVALS + 1 },
		(_, k) => least + ((greatest - least) * k) / CURVE_INTERVALS,
	);
	if (curve.shape === "points")
		flows.push(...curve.points.map(({ flowM3PerS }) => flowM3PerS).filter((flow) => !flows.includes(flow)));
	flows.sort((a, b) => a - b);
	const sample = (pressure: (flow: number) => number): FanPoint[] =>
		flows.map((flowM3PerS) => ({ flowM3PerS, pressurePa: pressure(flowM3PerS) }));
	const another = (other: SystemCurve) =>
		operatingPoint.exists || operatingPoint.cause !== "undervoltage"
			? findOperatingPoint(curve, other)
			: operatingPoint;
	const dirty = fan.filter === null ? null : withPressureDropRatio(system, LOADED_PRESSURE_DROP_RATIO.value);
	return {
		curve: sample((flow) => fanPressurePa(curve, flow)),
		cleanSystemCurve: sample((flow) => systemPressurePa(system, flow)),
		loadedSystemCurve: dirty === null ? null : sample((flow) => systemPressurePa(dirty, flow)),
		operatingPoint,
		loadedOperatingPoint: dirty === null ? null : another(dirty),
		withoutVoltageDrop:
			volts?.voltageDropV == null
				? null
				: (findFanOperation(delivery, "central", volts.supplyVolts)?.operatingPoint ?? null),
		soundFilterFactor:
			fan.filter === null
				? null
				: findSoundFilterFactor((factor) => another(withPressureDropRatio(system, 1 / factor))),
		doubleFilterArea: fan.filter === null ? null : another(withPressureDropRatio(system, 0.5)),
		catalogueM3PerS: freeDeliveryOf(combineFans(one, fan.count, fan.arrangement)),
	};
}

/** Greatest factor on the filter's area that is tried; beyond it the filter takes nothing. */
const MAX_FILTER_FACTOR = 1e9;

/** Smallest factor on the filter's area with which a fan works soundly; null when none does. */
function findSoundFilterFactor(pointWith: (factor: number) => FanReport["operatingPoint"]): number | null {
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

const flowOf = (point: FanReport["operatingPoint"]): number => (point.exists ? point.flowM3PerS : 0);

/** What fans, filter and openings do to the air. */
export function airFindings(scenario: Scenario, report: FanReport | null): RigFinding[] {
	return [
		fanFinding(scenario, report),
		...measuredFlowFinding(scenario, report),
		...filterFinding(report),
		...openDuctFinding(scenario),
	];
}

function fanFinding(scenario: Scenario, report: FanReport | null): FanFinding {
	const head = { code: "fan", about: null } as const;
	if (report === null)
		return { ...head, verdict: "ok", outcome: "flow given", flowM3PerS: deliveredFlow(scenario).value };
	const { operatingPoint, catalogueM3PerS, doubleFilterArea, soundFilterFactor } = report;
	if (!operatingPoint.exists) {
		const { cause } = operatingPoint;
		return { ...head, verdict: "stop", outcome: "no operating point", cause, catalogueM3PerS };
	}
	const { flowM3PerS, pressurePa, freeDeliveryShare } = operatingPoint;
	const isNearShutOff = freeDeliveryShare < NEAR_SHUT_OFF_SHARE;
	const isWeak = freeDeliveryShare < SOUND_LOW;
	const area = scenario.fan.filter?.area?.value;
	return {
		...head,
		verdict: isNearShutOff ? "stop" : isWeak ? "attention" : "ok",
		outcome: isNearShutOff
			? "near shut-off"
			: isWeak
				? "near stall"
				: freeDeliveryShare > SOUND_HIGH
					? "near free delivery"
					: "sound",
		flowM3PerS,
		pressurePa,
		freeDeliveryShare,
		catalogueM3PerS,
		doubleFilterAreaM3PerS: doubleFilterArea === null ? null : flowOf(doubleFilterArea),
		soundFilterFactor,
		soundFilterAreaM2: soundFilterFactor === null || area === undefined ? null : soundFilterFactor * area,
	};
}

/** What a measured flow, or one from a curve, is off by where no uncertainty is given: judgement. */
const DEFAULT_FLOW_UNCERTAINTY = 0.1;

/** Whether the flow that was measured is one that the curve predicts, filter clean to loaded. */
function measuredFlowFinding(scenario: Scenario, report: FanReport | null): MeasuredFlowFinding[] {
	const { flow, filter } = scenario.fan;
	if (flow === null || report === null) return [];
	const { catalogueM3PerS } = report;
	const clean = computeDeliveredFlow(flowConditionsOf(scenario))!;
	const loaded =
		computeDeliveredFlow(
			flowConditionsOf(withPressureDropRatioOfFilter(scenario, LOADED_PRESSURE_DROP_RATIO.value)),
		) ?? clean;
	const lowEnd = ({ low, value }: Quantity): number => low ?? value * (1 - DEFAULT_FLOW_UNCERTAINTY);
	const highEnd = ({ high, value }: Quantity): number => high ?? value * (1 + DEFAULT_FLOW_UNCERTAINTY);
	const isBelow = highEnd(flow) < lowEnd(loaded);
	const agrees = !isBelow && lowEnd(flow) <= highEnd(clean);
	const isImpossible = lowEnd(flow) > catalogueM3PerS;
	return [
		{
			code: "measured flow",
			about: null,
			verdict: isImpossible ? "stop" : agrees ? "ok" : "attention",
			outcome: isImpossible
				? "above the catalogue"
				: agrees
					? "agrees"
					: isBelow
						? "below the curve"
						: "above the curve",
			measuredM3PerS: flow.value,
			cleanM3PerS: clean.value,
			loadedM3PerS: filter === null ? null : loaded.value,
			deviationShare: clean.value > 0 ? Math.abs(flow.value / (isBelow ? loaded.value : clean.value) - 1) : 1,
			catalogueM3PerS,
			toleranceShare: DEFAULT_FLOW_UNCERTAINTY,
		},
	];
}

function filterFinding(report: FanReport | null): FilterFinding[] {
	if (report === null || report.loadedOperatingPoint === null || !report.operatingPoint.exists) return [];
	const { loadedOperatingPoint, operatingPoint } = report;
	const loadedM3PerS = flowOf(loadedOperatingPoint);
	const isWeak =
		!loadedOperatingPoint.exists ||
		(loadedOperatingPoint.freeDeliveryShare < SOUND_LOW && operatingPoint.freeDeliveryShare >= SOUND_LOW);
	return [
		{
			code: "filter",
			about: null,
			verdict: isWeak ? "attention" : "ok",
			loadedM3PerS,
			lossShare: 1 - loadedM3PerS / operatingPoint.flowM3PerS,
			cause: loadedOperatingPoint.exists ? null : loadedOperatingPoint.cause,
		},
	];
}

/** Height between two openings for which the stack flow is told [m]. */
const OPENING_DISTANCE_M = 0.5;

function openDuctFinding(scenario: Scenario): OpenDuctFinding[] {
	const { fan, intake, chamber } = scenario;
	const duct = ductOf(fan);
	const area = duct === null ? fan.vent?.value : ductAreaM2(duct);
	const inside = chamber.temperature.mean.value;
	const outside = intake.temperature.value;
	if (area === undefined || fan.flap !== null || inside === outside) return [];
	const stackFlow = stackFlowM3PerS(area, OPENING_DISTANCE_M, outside, inside);
	const { leak } = chamber;
	const leakageM3PerS = leak.dimension === "flow" ? leak.value : leak.value * freeVolumeM3(scenario);
	if (leakageM3PerS >= stackFlow) return [];
	return [
		{
			code: "open duct",
			about: null,
			verdict: "attention",
			stackFlowM3PerS: stackFlow,
			openingDistanceM: OPENING_DISTANCE_M,
			temperatureDifferenceK: inside - outside,
			leakageM3PerS,
		},
	];
}
