import { ohmPerM, voltageDrop } from "../../model/fan/conductor.ts";
import { fanVolts, flowConditionsOf } from "../../model/fan/deliveredflow.ts";
import { dutyCycle } from "../../model/schedule/schedule.ts";
import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import {
	CLASS_2_POWER,
	CLASS_2_VOLTAGE,
	MAX_SUPPLY_SHARE,
	VOLTAGE_MATCH,
	VOLTAGE_MISMATCH,
} from "../../sources/supplies.ts";
import { PULL_IN, TIMER_ON_CURRENT, TIMER_STANDBY_CURRENT } from "../../sources/timers.ts";
import type { FanReport, FormatValue, PowerReport, RigFinding, RigVerdict } from "../rigtypes.ts";
import { suggestedFuseA } from "./fuse.ts";
import { ampacityOfWireA } from "./wire.ts";

const DAY = 86_400;

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
export function supplyItems(scenario: Scenario, power: PowerReport | null, say: FormatValue): RigFinding[] {
	return [
		...voltageItems(scenario, say),
		...(power === null || power.supplyAmps === null
			? []
			: loadItems(scenario, { ...power, supplyAmps: power.supplyAmps }, say)),
		...classItem(scenario, say),
	];
}

/** How far a voltage is from a nominal one: within 5 %, 10 %, or beyond 15 %. */
const voltageMismatch = (volts: number, nominal: Quantity): number => Math.abs(volts / nominal.value - 1);

function voltageItems({ fan, supply, timer, ...rest }: Scenario, say: FormatValue): RigFinding[] {
	if (supply === null || fan.voltage === null) return [];
	const volts = (value: number) => say(value, "voltage");
	const { voltage } = supply;
	const found: { verdict: RigVerdict; says: string }[] = [];
	const reaching = fanVolts(flowConditionsOf({ fan, supply, timer, ...rest })) ?? { volts: voltage.value };
	const { voltageRange } = fan;
	const highest = voltage.high ?? voltage.value;
	const isUndervoltage = voltageRange !== null && reaching.volts < voltageRange.low!;
	if (voltageRange !== null && (highest > voltageRange.high! || isUndervoltage)) {
		const reason =
			highest > voltageRange.high!
				? `The supply gives up to ${volts(highest)}, above the ${volts(voltageRange.high!)} that the fan stands`
				: `${volts(reaching.volts)} reach a fan that needs ${volts(voltageRange.low!)} to start`;
		found.push({ verdict: "stop", says: `${reason}.` });
	}
	for (const [what, nominal, tolerant] of [
		["fan", fan.voltage, voltageRange !== null],
		["timer", timer?.voltage ?? null, false],
	] as const) {
		if (nominal === null) continue;
		const off = 100 * voltageMismatch(voltage.value, nominal);
		const verdict: RigVerdict =
			off <= VOLTAGE_MATCH.value + 1e-9
				? "ok"
				: off > VOLTAGE_MISMATCH.value + 1e-9 && !tolerant
					? "stop"
					: "attention";
		if (verdict !== "ok")
			found.push({
				verdict,
				says: `The supply gives ${volts(voltage.value)}, the ${what} is made for ${volts(nominal.value)}.`,
			});
	}
	const verdict = found.some((one) => one.verdict === "stop")
		? "stop"
		: found.length > 0
			? "attention"
			: "ok";
	return [
		{
			id: "voltage",
			about: null,
			verdict,
			finding:
				found.length > 0
					? found.map(({ says }) => says).join(" ")
					: `Supply and fan agree on ${volts(fan.voltage.value)}.`,
			reason: `Adapter, timer and fan have one nominal voltage: within ${VOLTAGE_MATCH.value} % always, ${VOLTAGE_MATCH.high} % usually, and inside the fan's window. An unregulated adapter gives far more without load.`,
			remedy:
				verdict === "ok"
					? null
					: isUndervoltage && voltage.value >= voltageRange.low!
						? "Take a shorter or thicker wire."
						: "Take a regulated adapter of the voltage on the labels; measure it before anything is connected.",
			values: [
				{ label: "supply", value: voltage.value, dimension: "voltage" },
				{ label: "fan", value: fan.voltage.value, dimension: "voltage" },
			],
		},
	];
}

function loadItems(
	{ supply }: Scenario,
	power: PowerReport & { readonly supplyAmps: number },
	say: FormatValue,
): RigFinding[] {
	const { allRunningAmps, allStartingAmps, supplyAmps, neededAmps, startingVoltageDropShare } = power;
	const amps = (value: number) => say(value, "current");
	const share = allRunningAmps / supplyAmps;
	const isOverloaded = share > 1 + 1e-9;
	const isTight = share > MAX_SUPPLY_SHARE.value + 1e-9;
	const rigs = supply?.rigs ?? 1;
	const who = rigs > 1 ? `All fans and timers of ${rigs} rigs` : "Fans and timer";
	const larger = `Take an adapter of ${amps(neededAmps)} or more at the same voltage.`;
	const isSagging = startingVoltageDropShare !== null && 1 - startingVoltageDropShare < PULL_IN.value / 100;
	const startOver = allStartingAmps > supplyAmps * (1 + 1e-9);
	return [
		{
			id: "supply",
			about: null,
			verdict: isOverloaded ? "stop" : isTight ? "attention" : "ok",
			finding: `${who} take ${amps(allRunningAmps)}, ${say(share, "fraction")} of the ${amps(supplyAmps)} that the supply is rated for${
				isOverloaded ? ": it is overloaded" : isTight ? ": it carries them, but without a margin" : ""
			}.`,
			reason: `Common practice: load at most ${say(MAX_SUPPLY_SHARE.value, "fraction")} of the rating. An overloaded adapter runs hot, or cuts out.`,
			remedy: isOverloaded || isTight ? larger : null,
			values: [
				{ label: "load", value: allRunningAmps, dimension: "current" },
				{ label: "rating", value: supplyAmps, dimension: "current" },
				{ label: "share of the rating", value: share, dimension: "fraction" },
			],
		},
		{
			id: "start",
			about: null,
			verdict: startOver || isSagging ? "attention" : "ok",
			finding: `When power returns after a cut all start together and draw ${amps(allStartingAmps)} for some seconds${
				startOver ? `, more than the ${amps(supplyAmps)} of the supply` : ""
			}${isSagging ? `; the wire alone then takes ${startingVoltageDropShare! >= 1 ? "all" : say(startingVoltageDropShare!, "fraction")} of the voltage` : ""}.`,
			reason: `A supply that sags below ${PULL_IN.value} % resets the timer at each start: it clicks and the fan twitches.`,
			remedy: startOver
				? `${larger} Or give each rig an adapter of its own.`
				: isSagging
					? "Take a thicker or shorter wire."
					: null,
			values: [{ label: "all starting together", value: allStartingAmps, dimension: "current" }],
		},
	];
}

function classItem({ supply }: Scenario, say: FormatValue): RigFinding[] {
	if (supply === null) return [];
	const watts = supply.voltage.value * (supply.current?.value ?? 0);
	if (supply.voltage.value <= CLASS_2_VOLTAGE.value && watts <= CLASS_2_POWER.value) return [];
	return [
		{
			id: "class 2",
			about: null,
			verdict: "attention",
			finding: `The supply gives ${say(supply.voltage.value, "voltage")}${watts > 0 ? ` and ${say(watts, "power")}` : ""}, more than a class 2 circuit.`,
			reason: `Up to ${CLASS_2_VOLTAGE.value} V and ${CLASS_2_POWER.value} VA a listed class 2 adapter limits what a fault can do (${CLASS_2_VOLTAGE.source}).`,
			remedy: "Split it over smaller listed adapters, or have it wired by licensed people under local codes.",
			values: [{ label: "power", value: watts, dimension: "power" }],
		},
	];
}
