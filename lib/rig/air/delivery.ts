import type { Model } from "../../model/chamber.ts";
import { periodicFanSpeedFraction } from "../../model/fan/deliveredair.ts";
import { ductOf } from "../../model/fan/deliveredflow.ts";
import { fanSpeedFraction, fullSpeedSeconds } from "../../model/fan/fanspeed.ts";
import { ductVolumeM3 } from "../../model/fan/systemcurve.ts";
import { periodSeconds, type Schedule } from "../../model/schedule/schedule.ts";
import { segments } from "../../model/schedule/timeline.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { DOUBTFUL_BURST, MIN_USEFUL_BURST, MIN_USEFUL_SPIN_UPS } from "../../sources/fans.ts";
import { DAY } from "../../time.ts";
import { finding, verdictOf } from "../finding.ts";

/** Air in the duct and in what is fitted to it [m3]; null without a duct. */
export function ductAirM3({ fan }: Scenario): number | null {
	const duct = ductOf(fan);
	return duct === null ? null : (fan.duct?.volume?.value ?? ductVolumeM3(duct));
}

/** Shortest burst that is worth its start: 5 s, and five time constants of the spin-up [s]. */
export const minUsefulBurstSeconds = (spinUpTauSeconds: number): number =>
	Math.max(MIN_USEFUL_BURST.value, MIN_USEFUL_SPIN_UPS.value * spinUpTauSeconds);

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

/** The shortest burst of a schedule as it repeats, or of its first day; null when the fan moves nothing, never starts or never stops. */
export function shortestBurstDelivery(model: Model, name: string, schedule: Schedule, deadM3: number) {
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
		/** Air that is left for the chamber when the duct's own comes first [m3]. */
		freshM3: Math.max(0, airM3 - deadM3),
	};
}

/** Whether the bursts are long enough. */
export function burstFindings(
	{ fan }: Scenario,
	deliveries: readonly BurstDelivery[],
	ductVolumeM3: number | null,
) {
	const minUsefulSeconds = minUsefulBurstSeconds(fan.spinUp.value);
	return deliveries.map(({ name, ...delivery }) => {
		const { onSeconds, airM3, idealM3, freshM3 } = delivery;
		const isMostlyDuctAir = ductVolumeM3 !== null && idealM3 > 0 && freshM3 < 0.5 * airM3;
		const isShort = onSeconds < minUsefulSeconds - 1e-9;
		const outcome =
			onSeconds < DOUBTFUL_BURST.value
				? "doubtful"
				: isShort
					? "short"
					: isMostlyDuctAir
						? "mostly duct air"
						: "sound";
		const data = { outcome, ...delivery, ductVolumeM3, minUsefulSeconds } as const;
		return finding("burst", verdictOf(false, outcome !== "sound"), data, name);
	});
}
