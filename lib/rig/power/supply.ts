import { fanVolts, flowConditionsOf } from "../../model/fan/deliveredflow.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import {
	CLASS_2_POWER,
	CLASS_2_VOLTAGE,
	MAX_SUPPLY_SHARE,
	VOLTAGE_MATCH,
	VOLTAGE_MISMATCH,
} from "../../sources/supplies.ts";
import { PULL_IN } from "../../sources/timers.ts";
import { finding, isAbove, verdictOf } from "../finding.ts";
import { mainsParts } from "./mains.ts";
import type { PowerReport } from "./powerreport.ts";

/** Whether the supply has the right voltage and carries what hangs on it. */
export const supplyFindings = (scenario: Scenario, power: PowerReport | null) => [
	...voltageFinding(scenario),
	...(power === null || power.supplyAmps === null ? [] : loadFindings(scenario, power, power.supplyAmps)),
	...class2Finding(scenario),
];

/** A voltage that does not suit a part. */
export type VoltageMismatch =
	| {
			readonly mismatch: "above the fan's range";
			readonly maxSupplyVolts: number;
			readonly maxFanVolts: number;
	  }
	| {
			readonly mismatch: "below the fan's range";
			readonly reachingVolts: number;
			readonly minFanVolts: number;
	  }
	| {
			readonly mismatch: "other nominal voltage";
			readonly part: "fan" | "timer";
			readonly nominalVolts: number;
	  };

function voltageFinding(scenario: Scenario) {
	const { fan, supply, timer } = scenario;
	if (supply === null || fan.voltage === null || mainsParts(scenario).length > 0) return [];
	const { voltage } = supply;
	const [minFanVolts, maxFanVolts] = [fan.voltageRange?.low ?? null, fan.voltageRange?.high ?? null];
	const reachingVolts = fanVolts(flowConditionsOf(scenario))?.volts ?? voltage.value;
	const maxSupplyVolts = voltage.high ?? voltage.value;
	const mismatches: VoltageMismatch[] = [];
	if (maxFanVolts !== null && maxSupplyVolts > maxFanVolts)
		mismatches.push({ mismatch: "above the fan's range", maxSupplyVolts, maxFanVolts });
	const isUndervoltage = minFanVolts !== null && reachingVolts < minFanVolts;
	if (isUndervoltage) mismatches.push({ mismatch: "below the fan's range", reachingVolts, minFanVolts });
	let isStop = mismatches.length > 0;
	for (const [part, nominal, isTolerant] of [
		["fan", fan.voltage, fan.voltageRange !== null],
		["timer", timer?.voltage ?? null, false],
	] as const) {
		const offPercent = nominal === null ? 0 : 100 * Math.abs(voltage.value / nominal.value - 1);
		if (nominal === null || offPercent <= VOLTAGE_MATCH.value + 1e-9) continue;
		mismatches.push({ mismatch: "other nominal voltage", part, nominalVolts: nominal.value });
		isStop ||= offPercent > VOLTAGE_MISMATCH.value + 1e-9 && !isTolerant;
	}
	return [
		finding("voltage", verdictOf(isStop, mismatches.length > 0), {
			supplyVolts: voltage.value,
			fanVolts: fan.voltage.value,
			mismatches,
			/** The supply suits the fan; the cable takes too much. */
			isCableTooLong: isUndervoltage && voltage.value >= minFanVolts,
		}),
	];
}

/** What hangs on the supply, against its rating: running, and all fans starting together after a power cut. */
function loadFindings({ supply }: Scenario, power: PowerReport, supplyAmps: number) {
	const { allRunningAmps, allStartingAmps, neededAmps, startingVoltageDropShare: drop } = power;
	const loadShare = allRunningAmps / supplyAmps;
	const isSagging = drop !== null && 1 - drop < PULL_IN.value / 100;
	const isOverSupply = isAbove(allStartingAmps, supplyAmps);
	return [
		finding("supply", verdictOf(loadShare > 1 + 1e-9, loadShare > MAX_SUPPLY_SHARE.value + 1e-9), {
			rigs: supply?.rigs ?? 1,
			loadAmps: allRunningAmps,
			supplyAmps,
			loadShare,
			neededAmps,
		}),
		finding("start", verdictOf(false, isOverSupply || isSagging), {
			startingAmps: allStartingAmps,
			supplyAmps,
			neededAmps,
			isOverSupply,
			/** The cable takes so much that timers reset. */
			isSagging,
			voltageDropShare: drop,
		}),
	];
}

/** A supply beyond class 2; 0 W: not known. */
function class2Finding(scenario: Scenario) {
	const { supply } = scenario;
	if (supply === null || mainsParts(scenario).length > 0) return [];
	const volts = supply.voltage.value;
	const watts = volts * (supply.current?.value ?? 0);
	const isWithin = volts <= CLASS_2_VOLTAGE.value && watts <= CLASS_2_POWER.value;
	return isWithin ? [] : [finding("class 2", "attention", { volts, watts })];
}
