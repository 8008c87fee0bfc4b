import { ohmPerM, voltageDrop } from "../../model/fan/conductor.ts";
import { deliveryOf, fanVolts } from "../../model/fan/deliveredflow.ts";
import { dutyCycle } from "../../model/schedule/schedule.ts";
import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import {
	CLASS_2_POWER,
	CLASS_2_VOLTAGE,
	SUPPLY_SHARE,
	VOLTAGE_MATCH,
	VOLTAGE_MISMATCH,
} from "../../sources/supplies.ts";
import { PULL_IN, TIMER_CURRENT_ON, TIMER_CURRENT_WAITING } from "../../sources/timers.ts";
import type { FanReport, PowerReport, RigItem, RigVerdict, Say } from "../rigtypes.ts";
import { suggestedFuseA } from "./fuse.ts";
import { wireAmpacityA } from "./wire.ts";

const DAY = 86_400;

/** Currents, voltages and energy; null when the fan's current is not given. */
export function powerReport(scenario: Scenario, air: FanReport | null): PowerReport | null {
	const { fan, supply, timer, wire, fuse, schedules } = scenario;
	if (fan.current === null || fan.startCurrent === null) return null;
	const fanAmps = fan.count * fan.current.value;
	const fanStartAmps = fan.count * fan.startCurrent.value;
	const timerAmps = timer?.current.value ?? TIMER_CURRENT_ON.value;
	const waitingAmps = timer?.waiting.value ?? TIMER_CURRENT_WAITING.value;
	const runAmps = fanAmps + timerAmps;
	const startAmps = fanStartAmps + timerAmps;
	const rigs = supply?.rigs ?? 1;
	const delivery = deliveryOf(scenario);
	const volts = fanVolts(delivery);
	const ampacityAmps = wireAmpacityA(wire);
	const dropShare = volts?.dropVolts == null ? null : Math.min(1, volts.dropVolts / volts.supplyVolts);
	const startDrop =
		wire === null ? null : voltageDrop(wire.length.value, ohmPerM(wire.size, delivery.celsius), fanStartAmps);
	return {
		fanAmps,
		fanStartAmps,
		timerAmps,
		runAmps,
		startAmps,
		allRunAmps: rigs * runAmps,
		allStartAmps: rigs * startAmps,
		supplyAmps: supply?.current?.value ?? null,
		neededAmps: Math.max((rigs * runAmps) / SUPPLY_SHARE.value, rigs * startAmps),
		energy:
			volts === null
				? []
				: schedules.map(({ name, schedule }) => {
						const duty = dutyCycle(schedule);
						const mean = duty * runAmps + (1 - duty) * waitingAmps;
						return { name, joulesPerDay: mean * volts.supplyVolts * DAY };
					}),
		volts,
		dropShare,
		startDropShare: startDrop === null || volts === null ? null : Math.min(1, startDrop / volts.supplyVolts),
		flowLossShare: dropShare === null ? null : flowLoss(air, dropShare),
		ampacityAmps,
		fuseAmps: fuse?.value ?? null,
		suggestedFuseAmps: suggestedFuseA(runAmps, ampacityAmps ?? Number.POSITIVE_INFINITY),
	};
}

/** Where the fan has no curve, its flow is taken to fall as its voltage. */
function flowLoss(air: FanReport | null, dropShare: number): number {
	if (air?.withoutDrop?.exists !== true) return Math.min(1, dropShare);
	return 1 - (air.point.exists ? air.point.flowM3PerS : 0) / air.withoutDrop.flowM3PerS;
}

/** Whether the supply has the right voltage and carries what hangs on it. */
export function supplyItems(scenario: Scenario, power: PowerReport | null, say: Say): RigItem[] {
	return [
		...voltageItems(scenario, say),
		...(power === null || power.supplyAmps === null
			? []
			: loadItems(scenario, { ...power, supplyAmps: power.supplyAmps }, say)),
		...classItem(scenario, say),
	];
}

/** How far a voltage is from a nominal one: within 5 %, 10 %, or beyond 15 %. */
const mismatch = (volts: number, nominal: Quantity): number => Math.abs(volts / nominal.value - 1);

function voltageItems({ fan, supply, timer, ...rest }: Scenario, say: Say): RigItem[] {
	if (supply === null || fan.voltage === null) return [];
	const volts = (value: number) => say(value, "voltage");
	const { voltage } = supply;
	const found: { verdict: RigVerdict; says: string }[] = [];
	const reaching = fanVolts(deliveryOf({ fan, supply, timer, ...rest })) ?? { volts: voltage.value };
	const { window } = fan;
	const highest = voltage.high ?? voltage.value;
	const starved = window !== null && reaching.volts < window.low!;
	if (window !== null && (highest > window.high! || starved)) {
		const reason =
			highest > window.high!
				? `The supply gives up to ${volts(highest)}, above the ${volts(window.high!)} that the fan stands`
				: `${volts(reaching.volts)} reach a fan that needs ${volts(window.low!)} to start`;
		found.push({ verdict: "stop", says: `${reason}.` });
	}
	for (const [what, nominal, tolerant] of [
		["fan", fan.voltage, window !== null],
		["timer", timer?.voltage ?? null, false],
	] as const) {
		if (nominal === null) continue;
		const off = 100 * mismatch(voltage.value, nominal);
		const verdict: RigVerdict =
			off <= VOLTAGE_MATCH.value + 1e-9
				? "ok"
				: off > VOLTAGE_MISMATCH.value + 1e-9 && !tolerant
					? "stop"
					: "look";
		if (verdict !== "ok")
			found.push({
				verdict,
				says: `The supply gives ${volts(voltage.value)}, the ${what} is made for ${volts(nominal.value)}.`,
			});
	}
	const verdict = found.some((one) => one.verdict === "stop") ? "stop" : found.length > 0 ? "look" : "ok";
	return [
		{
			id: "voltage",
			about: null,
			verdict,
			says:
				found.length > 0
					? found.map(({ says }) => says).join(" ")
					: `Supply and fan agree on ${volts(fan.voltage.value)}.`,
			why: `Adapter, timer and fan have one nominal voltage: within ${VOLTAGE_MATCH.value} % always, ${VOLTAGE_MATCH.high} % usually, and inside the fan's window. An unregulated adapter gives far more without load.`,
			remedy:
				verdict === "ok"
					? null
					: starved && voltage.value >= window.low!
						? "Take a shorter or thicker wire."
						: "Take a regulated adapter of the voltage on the labels; measure it before anything is connected.",
			figures: [
				{ label: "supply", value: voltage.value, dimension: "voltage" },
				{ label: "fan", value: fan.voltage.value, dimension: "voltage" },
			],
		},
	];
}

function loadItems(
	{ supply }: Scenario,
	power: PowerReport & { readonly supplyAmps: number },
	say: Say,
): RigItem[] {
	const { allRunAmps, allStartAmps, supplyAmps, neededAmps, startDropShare } = power;
	const amps = (value: number) => say(value, "current");
	const share = allRunAmps / supplyAmps;
	const over = share > 1 + 1e-9;
	const tight = share > SUPPLY_SHARE.value + 1e-9;
	const rigs = supply?.rigs ?? 1;
	const who = rigs > 1 ? `All fans and timers of ${rigs} rigs` : "Fans and timer";
	const larger = `Take an adapter of ${amps(neededAmps)} or more at the same voltage.`;
	const sag = startDropShare !== null && 1 - startDropShare < PULL_IN.value / 100;
	const startOver = allStartAmps > supplyAmps * (1 + 1e-9);
	return [
		{
			id: "supply",
			about: null,
			verdict: over ? "stop" : tight ? "look" : "ok",
			says: `${who} take ${amps(allRunAmps)}, ${say(share, "fraction")} of the ${amps(supplyAmps)} that the supply is rated for${
				over ? ": it is overloaded" : tight ? ": it carries them, but without a margin" : ""
			}.`,
			why: `Common practice: load at most ${say(SUPPLY_SHARE.value, "fraction")} of the rating. An overloaded adapter runs hot, or cuts out.`,
			remedy: over || tight ? larger : null,
			figures: [
				{ label: "load", value: allRunAmps, dimension: "current" },
				{ label: "rating", value: supplyAmps, dimension: "current" },
				{ label: "share of the rating", value: share, dimension: "fraction" },
			],
		},
		{
			id: "start",
			about: null,
			verdict: startOver || sag ? "look" : "ok",
			says: `When power returns after a cut all start together and draw ${amps(allStartAmps)} for some seconds${
				startOver ? `, more than the ${amps(supplyAmps)} of the supply` : ""
			}${sag ? `; the wire alone then takes ${startDropShare! >= 1 ? "all" : say(startDropShare!, "fraction")} of the voltage` : ""}.`,
			why: `A supply that sags below ${PULL_IN.value} % resets the timer at each start: it clicks and the fan twitches.`,
			remedy: startOver
				? `${larger} Or give each rig an adapter of its own.`
				: sag
					? "Take a thicker or shorter wire."
					: null,
			figures: [{ label: "all starting together", value: allStartAmps, dimension: "current" }],
		},
	];
}

function classItem({ supply }: Scenario, say: Say): RigItem[] {
	if (supply === null) return [];
	const watts = supply.voltage.value * (supply.current?.value ?? 0);
	if (supply.voltage.value <= CLASS_2_VOLTAGE.value && watts <= CLASS_2_POWER.value) return [];
	return [
		{
			id: "class 2",
			about: null,
			verdict: "look",
			says: `The supply gives ${say(supply.voltage.value, "voltage")}${watts > 0 ? ` and ${say(watts, "power")}` : ""}, more than a class 2 circuit.`,
			why: `Up to ${CLASS_2_VOLTAGE.value} V and ${CLASS_2_POWER.value} VA a listed class 2 adapter limits what a fault can do (${CLASS_2_VOLTAGE.source}).`,
			remedy: "Split it over smaller listed adapters, or have it wired by licensed people under local codes.",
			figures: [{ label: "power", value: watts, dimension: "power" }],
		},
	];
}
