import { ohmPerM, voltageDrop } from "../../model/fan/conductor.ts";
import { fanVolts, flowConditionsOf } from "../../model/fan/deliveredflow.ts";
import { dutyCycle } from "../../model/schedule/timeline.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import {
	CLASS_2_POWER,
	CLASS_2_VOLTAGE,
	MAX_SUPPLY_SHARE,
	VOLTAGE_MATCH,
	VOLTAGE_MISMATCH,
} from "../../sources/supplies.ts";
import { PULL_IN, TIMER_ON_CURRENT, TIMER_STANDBY_CURRENT } from "../../sources/timers.ts";
import { DAY } from "../../time.ts";
import type {
	Class2Finding,
	RigFinding,
	StartFinding,
	SupplyFinding,
	VoltageFinding,
	VoltageMismatch,
} from "../findings.ts";
import type { FanReport, PowerReport } from "../rigtypes.ts";
import { suggestedFuseA } from "./fuse.ts";
import { ampacityOfWireA } from "./wire.ts";

/** Currents, voltages and energy; null when the fan's current is not given. */
export function powerReport(scenario: Scenario, air: FanReport | null): PowerReport | null {
	const { fan, supply, timer, wire, fuse, schedules } = scenario;
	if (fan.current === null || fan.startingCurrent === null) return null;
	const fanAmps = fan.count * fan.current.value;
	const fanStartingAmps = fan.count * fan.startingCurrent.value;
	const timerAmps = timer?.current.value ?? TIMER_ON_CURRENT.value;
	const waitingAmps = timer?.standbyCurrent.value ?? TIMER_STANDBY_CURRENT.value;
	const runningAmps = fanAmps + timerAmps;
	const startingAmps = fanStartingAmps + timerAmps;
	const rigs = supply?.rigs ?? 1;
	const delivery = flowConditionsOf(scenario);
	const volts = fanVolts(delivery);
	const ampacityA = ampacityOfWireA(wire);
	const voltageDropShare =
		volts?.voltageDropV == null ? null : Math.min(1, volts.voltageDropV / volts.supplyVolts);
	const startDrop =
		wire === null
			? null
			: voltageDrop(wire.length.value, ohmPerM(wire.size, delivery.celsius), fanStartingAmps);
	return {
		fanAmps,
		fanStartingAmps,
		timerAmps,
		runningAmps,
		startingAmps,
		allRunningAmps: rigs * runningAmps,
		allStartingAmps: rigs * startingAmps,
		supplyAmps: supply?.current?.value ?? null,
		neededAmps: Math.max((rigs * runningAmps) / MAX_SUPPLY_SHARE.value, rigs * startingAmps),
		energy:
			volts === null
				? []
				: schedules.map(({ name, schedule }) => {
						const duty = dutyCycle(schedule);
						const mean = duty * runningAmps + (1 - duty) * waitingAmps;
						return { name, joulesPerDay: mean * volts.supplyVolts * DAY };
					}),
		volts,
		voltageDropShare,
		startingVoltageDropShare:
			startDrop === null || volts === null ? null : Math.min(1, startDrop / volts.supplyVolts),
		flowLossShare: voltageDropShare === null ? null : flowLoss(air, voltageDropShare),
		ampacityA,
		fuseAmps: fuse?.value ?? null,
		suggestedFuseAmps: suggestedFuseA(runningAmps, ampacityA ?? Number.POSITIVE_INFINITY),
	};
}

/** Where the fan has no curve, its flow is taken to fall as its voltage. */
function flowLoss(air: FanReport | null, dropShare: number): number {
	if (air?.withoutVoltageDrop?.exists !== true) return Math.min(1, dropShare);
	return (
		1 - (air.operatingPoint.exists ? air.operatingPoint.flowM3PerS : 0) / air.withoutVoltageDrop.flowM3PerS
	);
}

/** Whether the supply has the right voltage and carries what hangs on it. */
export function supplyFindings(scenario: Scenario, power: PowerReport | null): RigFinding[] {
	const loaded =
		power === null || power.supplyAmps === null ? null : { ...power, supplyAmps: power.supplyAmps };
	return [
		...voltageFinding(scenario),
		...(loaded === null ? [] : [loadFinding(scenario, loaded), startFinding(loaded)]),
		...class2Finding(scenario),
	];
}

function voltageFinding(scenario: Scenario): VoltageFinding[] {
	const { fan, supply, timer } = scenario;
	if (supply === null || fan.voltage === null) return [];
	const { voltage } = supply;
	const { voltageRange } = fan;
	const reachingVolts = fanVolts(flowConditionsOf(scenario))?.volts ?? voltage.value;
	const maxSupplyVolts = voltage.high ?? voltage.value;
	const mismatches: VoltageMismatch[] = [];
	if (voltageRange !== null && maxSupplyVolts > voltageRange.high!)
		mismatches.push({
			mismatch: "above the fan's range",
			maxSupplyVolts,
			maxFanVolts: voltageRange.high!,
		});
	const isUndervoltage = voltageRange !== null && reachingVolts < voltageRange.low!;
	if (isUndervoltage)
		mismatches.push({ mismatch: "below the fan's range", reachingVolts, minFanVolts: voltageRange.low! });
	const isOutOfRange = mismatches.length > 0;
	let isFarOff = false;
	for (const [part, nominal, tolerant] of [
		["fan", fan.voltage, voltageRange !== null],
		["timer", timer?.voltage ?? null, false],
	] as const) {
		if (nominal === null) continue;
		const offPercent = 100 * Math.abs(voltage.value / nominal.value - 1);
		if (offPercent <= VOLTAGE_MATCH.value + 1e-9) continue;
		mismatches.push({ mismatch: "other nominal voltage", part, nominalVolts: nominal.value });
		isFarOff ||= offPercent > VOLTAGE_MISMATCH.value + 1e-9 && !tolerant;
	}
	return [
		{
			code: "voltage",
			about: null,
			verdict: isOutOfRange || isFarOff ? "stop" : mismatches.length > 0 ? "attention" : "ok",
			supplyVolts: voltage.value,
			fanVolts: fan.voltage.value,
			mismatches,
			isCableTooLong: isUndervoltage && voltage.value >= voltageRange.low!,
		},
	];
}

type SuppliedPower = PowerReport & { readonly supplyAmps: number };

function loadFinding(
	{ supply }: Scenario,
	{ allRunningAmps, supplyAmps, neededAmps }: SuppliedPower,
): SupplyFinding {
	const loadShare = allRunningAmps / supplyAmps;
	return {
		code: "supply",
		about: null,
		verdict: loadShare > 1 + 1e-9 ? "stop" : loadShare > MAX_SUPPLY_SHARE.value + 1e-9 ? "attention" : "ok",
		rigs: supply?.rigs ?? 1,
		loadAmps: allRunningAmps,
		supplyAmps,
		loadShare,
		neededAmps,
	};
}

function startFinding({
	allStartingAmps,
	supplyAmps,
	neededAmps,
	startingVoltageDropShare,
}: SuppliedPower): StartFinding {
	const isSagging = startingVoltageDropShare !== null && 1 - startingVoltageDropShare < PULL_IN.value / 100;
	const isOverSupply = allStartingAmps > supplyAmps * (1 + 1e-9);
	return {
		code: "start",
		about: null,
		verdict: isOverSupply || isSagging ? "attention" : "ok",
		startingAmps: allStartingAmps,
		supplyAmps,
		neededAmps,
		isOverSupply,
		isSagging,
		voltageDropShare: startingVoltageDropShare,
	};
}

function class2Finding({ supply }: Scenario): Class2Finding[] {
	if (supply === null) return [];
	const volts = supply.voltage.value;
	const watts = volts * (supply.current?.value ?? 0);
	if (volts <= CLASS_2_VOLTAGE.value && watts <= CLASS_2_POWER.value) return [];
	return [{ code: "class 2", about: null, verdict: "attention", volts, watts }];
}
