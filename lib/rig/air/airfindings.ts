import { freeVolumeM3 } from "../../model/build.ts";
import {
	computeDeliveredFlow,
	deliveredFlow,
	flowConditionsOf,
	loadedPressureDropRatio,
	withPressureDropRatioOfFilter,
} from "../../model/fan/deliveredflow.ts";
import type { OperatingPoint } from "../../model/fan/fancurve.ts";
import { idleFlowM3PerS, OPENING_DISTANCE_M } from "../../model/fan/usefulburst.ts";
import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import { finding, verdictOf } from "../finding.ts";
import { type FanReport, SOUND_HIGH, SOUND_LOW } from "./fanreport.ts";

/** Below this share of its free flow a fan delivers next to nothing [-]: judgement. */
export const NEAR_SHUT_OFF_SHARE = 0.05;

/** What fans, filter and openings do to the air. */
export const airFindings = (scenario: Scenario, report: FanReport | null) => [
	fanFinding(scenario, report),
	...measuredFlowFinding(scenario, report),
	...filterFinding(scenario, report),
	...openDuctFinding(scenario),
];

const flowOf = (point: OperatingPoint): number => (point.exists ? point.flowM3PerS : 0);

/** Where the fans work, or what flow the file gives. */
function fanFinding(scenario: Scenario, report: FanReport | null) {
	if (report === null)
		return finding("fan", "ok", { outcome: "flow given", flowM3PerS: deliveredFlow(scenario).value });
	const { operatingPoint, catalogueM3PerS, doubleFilterArea, soundFilterFactor } = report;
	if (!operatingPoint.exists) {
		const { cause } = operatingPoint;
		return finding("fan", "stop", { outcome: "no operating point", cause, catalogueM3PerS });
	}
	const { flowM3PerS, pressurePa, freeDeliveryShare } = operatingPoint;
	const isNearShutOff = freeDeliveryShare < NEAR_SHUT_OFF_SHARE;
	const isWeak = freeDeliveryShare < SOUND_LOW;
	const isNearFree = freeDeliveryShare > SOUND_HIGH;
	const area = scenario.fan.filter?.area?.value;
	return finding("fan", verdictOf(isNearShutOff, isWeak), {
		outcome: isNearShutOff
			? "near shut-off"
			: isWeak
				? "near stall"
				: isNearFree
					? "near free delivery"
					: "sound",
		flowM3PerS,
		pressurePa,
		/** Delivered flow over the flow at zero pressure [0..1]. */
		freeDeliveryShare,
		catalogueM3PerS,
		/** With twice the filter area [m3/s]; null without a filter. */
		doubleFilterAreaM3PerS: doubleFilterArea === null ? null : flowOf(doubleFilterArea),
		/** Times the filter area, and area [m2], with which the fan works soundly; null where none does or none is known. */
		soundFilterFactor,
		soundFilterAreaM2: soundFilterFactor === null || area === undefined ? null : soundFilterFactor * area,
	});
}

/** What a measured flow, or one from a curve, is off by where no uncertainty is given: judgement. */
const DEFAULT_FLOW_UNCERTAINTY = 0.1;
const lowEnd = ({ low, value }: Quantity): number => low ?? value * (1 - DEFAULT_FLOW_UNCERTAINTY);
const highEnd = ({ high, value }: Quantity): number => high ?? value * (1 + DEFAULT_FLOW_UNCERTAINTY);

/** Whether the flow that was measured is one that the curve predicts, filter clean to loaded. */
function measuredFlowFinding(scenario: Scenario, report: FanReport | null) {
	const { flow, filter } = scenario.fan;
	if (flow === null || report === null) return [];
	const { catalogueM3PerS } = report;
	const withFilter = (given: Scenario) => computeDeliveredFlow(flowConditionsOf(given));
	const clean = withFilter(scenario)!;
	const loaded =
		withFilter(withPressureDropRatioOfFilter(scenario, loadedPressureDropRatio(scenario))) ?? clean;
	const isBelow = highEnd(flow) < lowEnd(loaded);
	const agrees = !isBelow && lowEnd(flow) <= highEnd(clean);
	const isImpossible = lowEnd(flow) > catalogueM3PerS;
	return [
		finding("measured flow", verdictOf(isImpossible, !agrees), {
			outcome: isImpossible
				? "above the catalogue"
				: agrees
					? "agrees"
					: isBelow
						? "below the curve"
						: "above the curve",
			measuredM3PerS: flow.value,
			cleanM3PerS: clean.value,
			/** null without a filter. */
			loadedM3PerS: filter === null ? null : loaded.value,
			/** Distance to the nearer end of what is predicted, as a share of it [-]. */
			deviationShare: clean.value > 0 ? Math.abs(flow.value / (isBelow ? loaded.value : clean.value) - 1) : 1,
			catalogueM3PerS,
			/** Allowed where no uncertainty is given [-]. */
			toleranceShare: DEFAULT_FLOW_UNCERTAINTY,
		}),
	];
}

/** What a loaded filter leaves, by the load that `choose` counts with. */
function filterFinding(scenario: Scenario, report: FanReport | null) {
	if (report === null || report.loadedOperatingPoint === null || !report.operatingPoint.exists) return [];
	const { loadedOperatingPoint: loaded, operatingPoint: clean } = report;
	const isWeak =
		!loaded.exists || (loaded.freeDeliveryShare < SOUND_LOW && clean.freeDeliveryShare >= SOUND_LOW);
	return [
		finding("filter", verdictOf(false, isWeak), {
			pressureDropRatio: loadedPressureDropRatio(scenario),
			loadedM3PerS: flowOf(loaded),
			lossShare: 1 - flowOf(loaded) / clean.flowM3PerS,
			/** Why the fan then has no operating point; null where it has one. */
			cause: loaded.exists ? null : loaded.cause,
		}),
	];
}

/** Leakage through the fan's path while the fan is off. */
function openDuctFinding(scenario: Scenario) {
	const { intake, chamber } = scenario;
	const stackFlow = idleFlowM3PerS(scenario) ?? 0;
	const { leak } = chamber;
	const leakageM3PerS = leak.dimension === "flow" ? leak.value : leak.value * freeVolumeM3(scenario);
	if (leakageM3PerS >= stackFlow) return [];
	return [
		finding("open duct", "attention", {
			stackFlowM3PerS: stackFlow,
			openingDistanceM: OPENING_DISTANCE_M,
			/** Inside less outside [K]. */
			temperatureDifferenceK: chamber.temperature.mean.value - intake.temperature.value,
			/** What `chamber.leak` counts [m3/s]. */
			leakageM3PerS,
		}),
	];
}
