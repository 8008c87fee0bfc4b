import type { Model } from "../../model/chamber.ts";
import { ductOf } from "../../model/fan/deliveredflow.ts";
import { fanSpeedFraction, fullSpeedSeconds, periodicFanSpeedFraction } from "../../model/fan/fanspeed.ts";
import { ductVolumeM3 } from "../../model/fan/systemcurve.ts";
import { inWords } from "../../model/schedule/inwords.ts";
import { periodSeconds, type Schedule, segments } from "../../model/schedule/schedule.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { DOUBTFUL_BURST, MIN_USEFUL_BURST, MIN_USEFUL_SPIN_UPS } from "../../sources/fans.ts";
import type { BurstDelivery, FormatValue, RigFinding } from "../rigtypes.ts";

const DAY = 86_400;

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
export function burstItems(
	{ fan }: Scenario,
	deliveries: readonly BurstDelivery[],
	deadM3: number | null,
	say: FormatValue,
): RigFinding[] {
	const shortest = minUsefulBurstSeconds(fan.spinUp.value);
	return deliveries.map((burst): RigFinding => {
		const { name, onSeconds, airM3, idealM3, lossShare, freshM3 } = burst;
		const isShort = onSeconds < shortest - 1e-9;
		const lost = say(Math.abs(lossShare), "fraction");
		const effect =
			Math.abs(lossShare) < 0.005
				? "as much as its flow promises"
				: lossShare > 0
					? `${lost} less than its flow promises, for it takes time to speed up`
					: `${lost} more than its flow promises, for it runs on after switch-off`;
		const duct =
			deadM3 === null || deadM3 === 0
				? ""
				: freshM3 === 0
					? ` The duct alone holds ${say(deadM3, "volume")}: where that is chamber air, no fresh air arrives at all.`
					: ` The duct's own ${say(deadM3, "volume")} come first: where that is chamber air, ${say(freshM3, "volume")} fresh arrive.`;
		const isMostlyDuctAir = deadM3 !== null && idealM3 > 0 && freshM3 < 0.5 * airM3;
		return {
			id: "burst",
			about: name,
			verdict: isShort || isMostlyDuctAir ? "attention" : "ok",
			finding: `A burst of ${say(onSeconds, "duration")} moves ${say(airM3, "volume")}, ${effect}.${duct}`,
			reason: `A burst is worth its start from ${say(shortest, "duration")} on: ${MIN_USEFUL_BURST.value} s, and ${MIN_USEFUL_SPIN_UPS.value} time constants of the spin-up (judgement).`,
			remedy:
				onSeconds < DOUBTFUL_BURST.value
					? `Lengthen burst and pause alike, or trust it only after a bag test or counted bursts: below ${DOUBTFUL_BURST.value} s the air of a burst is anyone's guess.`
					: isShort
						? `Lengthen burst and pause alike, so that the burst lasts ${say(shortest, "duration")} or more.`
						: isMostlyDuctAir
							? "Shorten the duct, fit a flap at its chamber end, or lengthen burst and pause alike."
							: null,
			values: [
				{ label: "shortest burst", value: onSeconds, dimension: "duration" },
				{ label: "air of a burst", value: airM3, dimension: "volume" },
				{ label: "lost", value: lossShare, dimension: "fraction" },
			],
		};
	});
}
