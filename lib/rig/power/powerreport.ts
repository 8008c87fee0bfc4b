import { ohmPerM, voltageDrop } from "../../model/fan/conductor.ts";
import { fanVolts, flowConditionsOf } from "../../model/fan/deliveredflow.ts";
import { dutyCycle } from "../../model/schedule/timeline.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { MAX_SUPPLY_SHARE } from "../../sources/supplies.ts";
import { TIMER_ON_CURRENT, TIMER_STANDBY_CURRENT } from "../../sources/timers.ts";
import { DAY } from "../../time.ts";
import type { FanReport } from "../air/fanreport.ts";
import { mainsParts } from "./mains.ts";
import { suggestedFuseA } from "./standardfuse.ts";
import { ampacityOfWireA } from "./wire.ts";

export type PowerReport = NonNullable<ReturnType<typeof powerReport>>;

/** Currents, voltages and energy, null where something is not given; no report when the fan's current is not given, or on the mains. */
export function powerReport(scenario: Scenario, air: FanReport | null) {
	const { fan, supply, timer, wire, fuse, schedules } = scenario;
	if (fan.current === null || fan.startingCurrent === null || mainsParts(scenario).length > 0) return null;
	const fanAmps = fan.count * fan.current.value;
	const fanStartingAmps = fan.count * fan.startingCurrent.value;
	const timerAmps = timer?.current.value ?? TIMER_ON_CURRENT.value;
	const waitingAmps = timer?.standbyCurrent.value ?? TIMER_STANDBY_CURRENT.value;
	const runningAmps = fanAmps + timerAmps;
	const startingAmps = fanStartingAmps + timerAmps;
	const rigs = supply?.rigs ?? 1;
	const conditions = flowConditionsOf(scenario);
	const volts = fanVolts(conditions);
	const ampacityA = ampacityOfWireA(wire);
	const shareOf = (drop: number | null): number | null =>
		drop === null || volts === null ? null : Math.min(1, drop / volts.supplyVolts);
	const voltageDropShare = shareOf(volts?.voltageDropV ?? null);
	return {
		/** All fans of one timer, running and starting [A]. */
		fanAmps,
		fanStartingAmps,
		/** The board with the fan switched on [A]. */
		timerAmps,
		/** One rig, fans and timer, running and starting [A]. */
		runningAmps,
		startingAmps,
		/** All rigs of the supply, running, and starting together after a power cut [A]. */
		allRunningAmps: rigs * runningAmps,
		allStartingAmps: rigs * startingAmps,
		supplyAmps: supply?.current?.value ?? null,
		/** Rating that carries it with a margin and through a common start [A]. */
		neededAmps: Math.max((rigs * runningAmps) / MAX_SUPPLY_SHARE.value, rigs * startingAmps),
		/** Energy a day by schedule [J]. */
		energy:
			volts === null
				? []
				: schedules.map(({ name, schedule }) => {
						const duty = dutyCycle(schedule);
						const mean = duty * runningAmps + (1 - duty) * waitingAmps;
						return { name, joulesPerDay: mean * volts.supplyVolts * DAY };
					}),
		volts,
		/** Drop in the wire over the supply's voltage [0..1], running, and with all fans of the timer starting. */
		voltageDropShare,
		startingVoltageDropShare: shareOf(
			wire && voltageDrop(wire.length.value, ohmPerM(wire.size, conditions.celsius), fanStartingAmps),
		),
		/** What the drop costs of the flow [-]. */
		flowLossShare: voltageDropShare === null ? null : flowLoss(air, voltageDropShare),
		/** What the wire may carry [A]. */
		ampacityA,
		fuseAmps: fuse?.value ?? null,
		/** Standard fuse for this load; null when none fits under the wire's ampacity. */
		suggestedFuseAmps: suggestedFuseA(runningAmps, ampacityA ?? Number.POSITIVE_INFINITY),
	};
}

/** Where the fan has no curve, its flow is taken to fall as its voltage. */
function flowLoss(air: FanReport | null, dropShare: number): number {
	if (air?.withoutVoltageDrop?.exists !== true) return Math.min(1, dropShare);
	const left = air.operatingPoint.exists ? air.operatingPoint.flowM3PerS : 0;
	return 1 - left / air.withoutVoltageDrop.flowM3PerS;
}
