import type { Model } from "../../model/chamber.ts";
import { periodicFanSpeedFraction } from "../../model/fan/deliveredair.ts";
import { fanSpeedFraction, fullSpeedSeconds } from "../../model/fan/fanspeed.ts";
import { chamberAirInDuctM3, findUsefulBurst } from "../../model/fan/usefulburst.ts";
import { periodSeconds, type Schedule } from "../../model/schedule/schedule.ts";
import { segments } from "../../model/schedule/timeline.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { DAY } from "../../time.ts";
import { finding, verdictOf } from "../finding.ts";

/**
 * Seconds at full flow that a burst and the pause behind it deliver:
 *
 *     on - τup (1 - e^(-on/τup)) + τdown (1 - e^(-on/τup))      for a fan that stood still and comes to rest      (28)
 *
 * @param fraction speed at the start of the burst, as a share of full speed
 */
export function burstFullSpeedSeconds(
	model: Model,
	onSeconds: number,
	offSeconds: number,
	fraction = 0,
): number {
	const top = fanSpeedFraction(model, true, fraction, onSeconds);
	return fullSpeedSeconds(model, true, fraction, onSeconds) + fullSpeedSeconds(model, false, top, offSeconds);
}

export type BurstDelivery = NonNullable<ReturnType<typeof shortestBurstDelivery>>;

/** Air in the duct [m3], and flow through it while the fan is off [m3/s]. */
export interface DuctState {
	readonly ductM3: number;
	readonly idleM3PerS: number;
}

/** The shortest burst of a schedule as it repeats, or of its first day; null when the fan moves nothing, never starts or never stops. */
export function shortestBurstDelivery(
	model: Model,
	name: string,
	schedule: Schedule,
	{ ductM3, idleM3PerS }: DuctState,
) {
	const period = periodSeconds(schedule);
	const list = [...segments(schedule, period ?? DAY)];
	if (model.deliveredM3PerS === 0 || list.every(({ isOn }) => isOn)) return null;
	let fraction = period === null ? 0 : periodicFanSpeedFraction(model, schedule, period);
	let shortest: { on: number; off: number; fraction: number } | null = null;
	for (const [index, { isOn, durationSeconds }] of list.entries()) {
		if (isOn && durationSeconds < (shortest?.on ?? Number.POSITIVE_INFINITY)) {
			const off = list[index + 1] ?? list[0]!;
			shortest = { on: durationSeconds, off: off.isOn ? 0 : off.durationSeconds, fraction };
		}
		fraction = fanSpeedFraction(model, isOn, fraction, durationSeconds);
	}
	if (shortest === null) return null;
	const { on, off } = shortest;
	const airM3 = model.deliveredM3PerS * burstFullSpeedSeconds(model, on, off, shortest.fraction);
	const idealM3 = model.deliveredM3PerS * on;
	return {
		name,
		onSeconds: on,
		/** Air that the burst moves, spin-up and coast-down counted [m3]. */
		airM3,
		/** Flow times on-time [m3]. */
		idealM3,
		/** What the spin-up costs of the ideal, less what the coast-down adds [-]; below 0: a gain. */
		lossShare: idealM3 > 0 ? 1 - airM3 / idealM3 : 0,
		/** Room air that reaches the chamber: without the chamber air that the pause left in the duct, which comes back first [m3]. */
		freshM3: Math.max(0, airM3 - chamberAirInDuctM3(ductM3, idleM3PerS, off)),
	};
}

/** Whether the bursts are long enough, by the rule that `choose` goes by. */
export function burstFindings(
	scenario: Scenario,
	deliveries: readonly BurstDelivery[],
	ductVolumeM3: number | null,
) {
	const { seconds: minUsefulSeconds, because } = findUsefulBurst(scenario);
	return deliveries.map(({ name, ...delivery }) => {
		const isShort = delivery.onSeconds < minUsefulSeconds - 1e-9;
		const data = {
			outcome: isShort ? "short" : "sound",
			...delivery,
			ductVolumeM3,
			minUsefulSeconds,
			because,
		} as const;
		return finding("burst", verdictOf(false, isShort), data, name);
	});
}
