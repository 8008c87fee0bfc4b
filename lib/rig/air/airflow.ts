import { stackFlowM3PerS } from "../../model/air/gaslaws.ts";
import { freeVolumeM3 } from "../../model/build.ts";
import {
	computeDeliveredFlow,
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
import type { Scenario } from "../../scenario/scenario.ts";
import { LOADED_PRESSURE_DROP_RATIO } from "../../sources/airpath.ts";
import { SOUND_SHARE } from "../../sources/fans.ts";
import type { FanReport, FormatValue, RigFinding } from "../rigtypes.ts";

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

/** Rounded up to two digits. */
function roundUp(value: number): number {
	const step = 10 ** (Math.floor(Math.log10(value)) - 1);
	return Number((Math.ceil(value / step) * step).toPrecision(2));
}

/** What helps a fan that delivers next to nothing. */
function nearShutOffRemedy(
	{ filter, count }: Scenario["fan"],
	factor: number | null,
	say: FormatValue,
): string {
	const stronger = `${count > 1 ? "fans" : "a fan"} with more static pressure`;
	if (filter === null) return `Take a wider or shorter duct, a lighter flap, or ${stronger}.`;
	if (factor === null)
		return `Take ${stronger}, a wider or shorter duct, or a lighter flap: a larger filter alone does not help.`;
	const area =
		filter.area === null
			? `${roundUp(factor)} times the filter area`
			: `a filter of ${say(roundUp(factor * filter.area.value), "area")} or more`;
	return `Take ${area}, with which the fan works soundly, or ${stronger}; and check that the area in the file is meant so.`;
}

const flowOf = (point: FanReport["operatingPoint"]): number => (point.exists ? point.flowM3PerS : 0);

/** What the air is told to do, and does. */
export function airItems(scenario: Scenario, report: FanReport | null, say: FormatValue): RigFinding[] {
	return [
		...fanItem(scenario, report, say),
		...measuredItem(scenario, report, say),
		...filterItem(report, say),
		...openDuctItem(scenario, say),
	];
}

function fanItem({ fan }: Scenario, report: FanReport | null, say: FormatValue): RigFinding[] {
	if (report === null) {
		return [
			{
				id: "fan",
				about: null,
				verdict: "ok",
				finding: `The file gives the delivered flow, ${say(fan.flow.value, "flow")}, which is taken as it is.`,
				reason: "What a fan delivers through filter and duct is less than its catalogue flow, always.",
				remedy:
					"If the figure is from a box or a catalogue, measure it with the bag test, or give fan.curve instead.",
				values: [{ label: "delivered flow", value: fan.flow.value, dimension: "flow" }],
			},
		];
	}
	const { operatingPoint, catalogueM3PerS, doubleFilterArea, soundFilterFactor } = report;
	const plainly = fan.flow.origin.kind === "calculated";
	const fans = fan.count > 1 ? "fans deliver" : "fan delivers";
	const delivers = plainly ? `The ${fans}` : `By the curve the ${fans}`;
	const reason = `A fan works where its curve meets what filter and duct take; sound is the middle of the curve, ${SOUND_SHARE.low}..${SOUND_SHARE.high} % of the free flow.`;
	if (!operatingPoint.exists) {
		return [
			{
				id: "fan",
				about: null,
				verdict: "stop",
				finding: `${delivers} nothing that can be counted on: ${operatingPoint.reason}.`,
				reason,
				remedy:
					operatingPoint.cause === "undervoltage"
						? "Feed it at its rated voltage, with a shorter or thicker wire."
						: operatingPoint.cause === "beyond the curve"
							? "Give the curve up to its free flow, at 0 Pa."
							: "More filter area, a wider or shorter duct, a lighter flap, or a fan with more static pressure.",
				values: [{ label: "catalogue flow", value: catalogueM3PerS, dimension: "flow" }],
			},
		];
	}
	const { flowM3PerS, pressurePa, freeDeliveryShare } = operatingPoint;
	const isNearShutOff = freeDeliveryShare < NEAR_SHUT_OFF_SHARE;
	const weak = freeDeliveryShare < SOUND_LOW;
	const more =
		doubleFilterArea === null
			? ""
			: ` Twice the filter area gives ${say(flowOf(doubleFilterArea), "flow")}, the cheapest remedy.`;
	return [
		{
			id: "fan",
			about: null,
			verdict: isNearShutOff ? "stop" : weak ? "attention" : "ok",
			finding: `${delivers} ${isNearShutOff ? "next to nothing, " : ""}${say(flowM3PerS, "flow")} at ${say(pressurePa, "pressure")}: ${freeDeliveryShare < 0.001 ? `less than ${say(0.001, "fraction")}` : say(freeDeliveryShare, "fraction")} of ${fan.count > 1 ? "their" : "its"} free flow${
				isNearShutOff
					? ""
					: weak
						? ", near its stall, where real fans surge and the curve is least certain"
						: freeDeliveryShare > SOUND_HIGH
							? ", at the free end of its curve"
							: ""
			}.`,
			reason,
			remedy: isNearShutOff
				? nearShutOffRemedy(fan, soundFilterFactor, say)
				: weak
					? `Let the air through more easily, or take a fan with more static pressure.${more}`
					: null,
			values: [
				{ label: "delivered flow", value: flowM3PerS, dimension: "flow" },
				{ label: "pressure", value: pressurePa, dimension: "pressure" },
				{ label: "share of the free flow", value: freeDeliveryShare, dimension: "fraction" },
				{ label: "catalogue flow", value: catalogueM3PerS, dimension: "flow" },
			],
		},
	];
}

/** What a measured flow, or one from a curve, is off by where no spread is told: judgement. */
const DEFAULT_FLOW_UNCERTAINTY = 0.1;

/** Whether the flow that was measured is one that the curve promises, filter clean to loaded. */
function measuredItem(scenario: Scenario, report: FanReport | null, say: FormatValue): RigFinding[] {
	const { flow } = scenario.fan;
	if (flow.origin.kind === "calculated" || report === null) return [];
	const clean = computeDeliveredFlow(flowConditionsOf(scenario))!;
	const loaded =
		computeDeliveredFlow(
			flowConditionsOf(withPressureDropRatioOfFilter(scenario, LOADED_PRESSURE_DROP_RATIO.value)),
		) ?? clean;
	const [low, high] = [
		flow.low ?? flow.value * (1 - DEFAULT_FLOW_UNCERTAINTY),
		flow.high ?? flow.value * (1 + DEFAULT_FLOW_UNCERTAINTY),
	];
	const [least, most] = [
		loaded.low ?? loaded.value * (1 - DEFAULT_FLOW_UNCERTAINTY),
		clean.high ?? clean.value * (1 + DEFAULT_FLOW_UNCERTAINTY),
	];
	const less = high < least;
	const agrees = !less && low <= most;
	const impossible = low > report.catalogueM3PerS;
	const range =
		scenario.fan.filter === null
			? say(clean.value, "flow")
			: `${say(loaded.value, "flow")} with the filter loaded to ${say(clean.value, "flow")} with it clean`;
	const off = clean.value > 0 ? Math.abs(flow.value / (less ? loaded.value : clean.value) - 1) : 1;
	const beside = `The flow of the file, ${flow.text}, counts; the curve promises ${range}`;
	return [
		{
			id: "measured flow",
			about: null,
			verdict: impossible ? "stop" : agrees ? "ok" : "attention",
			finding: impossible
				? `${beside}: it is more than the ${say(report.catalogueM3PerS, "flow")} that is moved against no resistance at all.`
				: agrees
					? `${beside}, which agree within their spreads.`
					: `${beside}: it is ${say(off, "fraction")} ${less ? "less than with the filter loaded" : "more than with it clean"}.`,
			reason: `A measured flow tells whether the air takes the way that the file describes; where no spread is told, ${say(DEFAULT_FLOW_UNCERTAINTY, "fraction")} are allowed.`,
			remedy:
				agrees && !impossible
					? null
					: less
						? "Look for leaks between fan and duct, a crushed duct, a clogged filter, a low voltage, or a curve that is not this fan's."
						: "Look for air that goes around the filter, for a filter, duct or fan other than in the file, or measure again.",
			values: [
				{ label: "measured flow", value: flow.value, dimension: "flow" },
				{ label: "flow by the curve", value: clean.value, dimension: "flow" },
			],
		},
	];
}

function filterItem(report: FanReport | null, say: FormatValue): RigFinding[] {
	if (report === null || report.loadedOperatingPoint === null || !report.operatingPoint.exists) return [];
	const { loadedOperatingPoint, operatingPoint } = report;
	const flow = flowOf(loadedOperatingPoint);
	const loss = 1 - flow / operatingPoint.flowM3PerS;
	const weak =
		!loadedOperatingPoint.exists ||
		(loadedOperatingPoint.freeDeliveryShare < SOUND_LOW && operatingPoint.freeDeliveryShare >= SOUND_LOW);
	return [
		{
			id: "filter",
			about: null,
			verdict: weak ? "attention" : "ok",
			finding: loadedOperatingPoint.exists
				? `When the filter has clogged to twice its clean pressure drop, ${say(flow, "flow")} are left, ${say(loss, "fraction")} less.`
				: `When the filter has clogged to twice its clean pressure drop, ${loadedOperatingPoint.reason}.`,
			reason: "A filter loads up with dust and spores; it is replaced when its pressure drop has doubled.",
			remedy: weak
				? "Take more filter area, and choose the schedule for the loaded filter (fan.filter.load: 2)."
				: "Choose the schedule for the loaded filter (fan.filter.load: 2), or replace it earlier.",
			values: [
				{ label: "flow with a loaded filter", value: flow, dimension: "flow" },
				{ label: "lost", value: loss, dimension: "fraction" },
			],
		},
	];
}

/** Height between two openings for which the draught is told [m]. */
const OPENING_DISTANCE_M = 0.5;

function openDuctItem(scenario: Scenario, say: FormatValue): RigFinding[] {
	const { fan, intake, chamber } = scenario;
	const duct = ductOf(fan);
	const area = duct === null ? fan.vent?.value : ductAreaM2(duct);
	const inside = chamber.temperature.mean.value;
	const outside = intake.temperature.value;
	if (area === undefined || fan.flap !== null || inside === outside) return [];
	const flow = stackFlowM3PerS(area, OPENING_DISTANCE_M, outside, inside);
	const { leak } = chamber;
	const counted = leak.dimension === "flow" ? leak.value : leak.value * freeVolumeM3(scenario);
	if (counted >= flow) return [];
	return [
		{
			id: "open duct",
			about: null,
			verdict: "attention",
			finding: `No flap is named: with the fan off, two such openings ${say(OPENING_DISTANCE_M, "length")} apart in height leak ${say(flow, "flow")}, for the chamber is ${say(Math.abs(inside - outside), "temperature difference")} ${inside > outside ? "warmer" : "colder"} than the intake air; chamber.leak counts ${say(counted, "flow")}.`,
			reason: "Warm air rises through open holes all day, which can be more than a timer delivers.",
			remedy:
				"Fit a flap, or measure the leak with its duct open, fan off (leak decay), and put it in chamber.leak.",
			values: [{ label: "draught through open ducts", value: flow, dimension: "flow" }],
		},
	];
}
