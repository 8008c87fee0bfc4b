import type { Model } from "../../model/chamber.ts";
import { periodicFanSpeedFraction } from "../../model/fan/deliveredair.ts";
import { ductOf } from "../../model/fan/deliveredflow.ts";
import { fanSpeedFraction, fullSpeedSeconds } from "../../model/fan/fanspeed.ts";
import { ductVolumeM3 } from "../../model/fan/systemcurve.ts";
import { inWords } from "../../model/schedule/inwords.ts";
import { periodSeconds, type Schedule } from "../../model/schedule/schedule.ts";
import { segments } from "../../model/schedule/timeline.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { DOUBTFUL_BURST, MIN_USEFUL_BURST, MIN_USEFUL_SPIN_UPS } from "../../sources/fans.ts";
import { DAY } from "../../time.ts";
import type { BurstFinding } from "../findings.ts";
import type { BurstDelivery } from "../rigtypes.ts";

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

/** The shortest burst of a schedule as it repeats, or of its first day; null when the fan moves nothing, never starts or never stops. */
export function shortestBurstDelivery(
	model: Model,
	name: string,
	schedule: Schedule,
	deadM3: number,
): BurstDelivery | null {
	const period = periodSeconds(schedule);
	const list = [...segments(schedule, period ?? DAY)];
	if (model.deliveredM3PerS === 0) return null;
	if (!list.some(({ isOn }) => isOn) || list.every(({ isOn }) => isOn)) return null;
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
	const airM3 =
		model.deliveredM3PerS * burstFullSpeedSeconds(model, shortest.on, shortest.off, shortest.fraction);
	const idealM3 = model.deliveredM3PerS * shortest.on;
	return {
		name,
		inWords: inWords(schedule),
		onSeconds: shortest.on,
		airM3,
		idealM3,
		lossShare: idealM3 > 0 ? 1 - airM3 / idealM3 : 0,
		freshM3: Math.max(0, airM3 - deadM3),
	};
}

/** Whether the bursts are long enough. */
export function burstFindings(
	{ fan }: Scenario,
	deliveries: readonly BurstDelivery[],
	ductVolumeM3: number | null,
): BurstFinding[] {
	const minUsefulSeconds = minUsefulBurstSeconds(fan.spinUp.value);
	return deliveries.map(({ name, inWords: _, ...delivery }): BurstFinding => {
		const { onSeconds, airM3, idealM3, freshM3 } = delivery;
		const isMostlyDuctAir = ductVolumeM3 !== null && idealM3 > 0 && freshM3 < 0.5 * airM3;
		const outcome =
			onSeconds < DOUBTFUL_BURST.value
				? "doubtful"
				: onSeconds < minUsefulSeconds - 1e-9
					? "short"
					: isMostlyDuctAir
						? "mostly duct air"
						: "sound";
		return {
			code: "burst",
			about: name,
			verdict: outcome === "sound" ? "ok" : "attention",
			outcome,
			...delivery,
			ductVolumeM3,
			minUsefulSeconds,
		};
	});
}
