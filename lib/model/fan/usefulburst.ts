import type { Scenario } from "../../scenario/scenario.ts";
import { MIN_USEFUL_BURST, MIN_USEFUL_SPIN_UPS } from "../../sources/fans.ts";
import { airDensityKgPerM3, stackFlowM3PerS } from "../air/gaslaws.ts";
import { deliveredFlow, ductOf, flowConditionsOf, systemCurveOf } from "./deliveredflow.ts";
import { ductAreaM2, ductVolumeM3 } from "./systemcurve.ts";

/** Height between two openings for which the stack flow is told [m]. */
export const OPENING_DISTANCE_M = 0.5;

/**
 * Flow that warmth drives through the fan's path while the fan is off, filter and flap counted [m3/s]; null without a duct or vent.
 * A flap that takes more pressure than the warmth gives stays shut.
 */
export function idleFlowM3PerS(scenario: Scenario): number | null {
	const { fan, intake, chamber } = scenario;
	const duct = ductOf(fan);
	const area = duct === null ? fan.vent?.value : ductAreaM2(duct);
	if (area === undefined) return null;
	const conditions = flowConditionsOf(scenario);
	const { filterPaSPerM3, flapPa } = systemCurveOf(conditions);
	return stackFlowM3PerS(
		area,
		OPENING_DISTANCE_M,
		intake.temperature.value,
		chamber.temperature.mean.value,
		filterPaSPerM3 === 0 && flapPa === 0
			? null
			: {
					filterPaSPerM3,
					flapPa,
					densityKgPerM3: airDensityKgPerM3(intake.temperature.value, conditions.pascal),
				},
	);
}

/** Air in the duct and in what is fitted to it [m3]; null without a duct. */
export function ductAirM3({ fan }: Scenario): number | null {
	const duct = ductOf(fan);
	return duct === null ? null : (fan.duct?.volume?.value ?? ductVolumeM3(duct));
}

/**
 * Chamber air that a pause leaves in the duct, which the next burst brings back first [m3]:
 *
 *     Vb = min(Vd, q0 toff)      with q0 the flow through the idle path      (30)
 *
 * A burst fills the duct with room air. What chamber and duct exchange in the pause is no loss: as much room air as leaves the duct
 * reaches the chamber, so that a cycle still renews Q on. Only air that flows out through the duct puts chamber air in its place,
 * as a plug; the outflow is what warmth drives, if it goes that way. A shut flap, or no warmth, leaves room air.
 */
export const chamberAirInDuctM3 = (ductM3: number, idleM3PerS: number, offSeconds: number): number =>
	Math.min(ductM3, idleM3PerS * offSeconds);

/** What makes a burst worth its start: its owner's limit, practice, the spin-up, or the air in the duct. */
export type UsefulBurstReason = "own limit" | "practice" | "spin-up" | "duct air";

/**
 * Shortest burst that is worth its start [s]: `limits.burst` of the file, else the longest of
 *
 *     3 s        a coarse dial and a contact's bounce; common practice, no source
 *     5 τup      a τup that is half unknown leaves the air of the burst unknown to 0.5 τ/(on - τ) = 1/8
 *     2 Vd/Q + τup      at least half of the air is fresh although a long pause has filled an open duct with chamber air      (31)
 */
export function findUsefulBurst(scenario: Scenario): {
	readonly seconds: number;
	readonly because: UsefulBurstReason;
} {
	const { limits, fan } = scenario;
	if (limits.burst !== null) return { seconds: limits.burst.value, because: "own limit" };
	const tau = fan.spinUp.value;
	const flow = deliveredFlow(scenario).value;
	const isOpen = (idleFlowM3PerS(scenario) ?? 0) > 0;
	const reasons = [
		{ because: "practice", seconds: MIN_USEFUL_BURST.value },
		{ because: "spin-up", seconds: MIN_USEFUL_SPIN_UPS.value * tau },
		{
			because: "duct air",
			seconds: isOpen && flow > 0 ? (2 * (ductAirM3(scenario) ?? 0)) / flow + tau : 0,
		},
	] as const;
	return reasons.reduce((a, b) => (b.seconds > a.seconds ? b : a));
}
