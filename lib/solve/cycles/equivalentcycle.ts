import type { Model } from "../../model/chamber.ts";
import { periodicFanSpeedFraction } from "../../model/fan/deliveredair.ts";
import { type FanDynamics, fullSpeedSeconds } from "../../model/fan/fanspeed.ts";
import type { Cycle } from "../../model/schedule/schedule.ts";
import { makeTimeline, playTimeline } from "../../model/schedule/timeline.ts";
import { makeCycle } from "./cyclestats.ts";

/** The same chamber with a fan that is at full speed at once. */
export const withInstantFan = (model: Model): Model => ({
	...model,
	spinUpTauSeconds: 0,
	coastDownTauSeconds: 0,
});

/** The cycle of the same length by which an instant fan moves the same air. */
export function makeEquivalentCycle(fan: FanDynamics): (cycle: Cycle) => Cycle {
	if ((fan.spinUpTauSeconds ?? 0) === 0 && (fan.coastDownTauSeconds ?? 0) === 0) return (cycle) => cycle;
	return ({ onSeconds, offSeconds }) => {
		const timeline = makeTimeline(makeCycle(onSeconds, offSeconds));
		const period = onSeconds + offSeconds;
		const level = periodicFanSpeedFraction(fan, timeline, period);
		let seconds = 0;
		for (const { isOn, durationSeconds, fanSpeedFraction } of playTimeline(timeline, period, fan, level))
			seconds += fullSpeedSeconds(fan, isOn, fanSpeedFraction, durationSeconds);
		const equivalent = Math.min(seconds, period);
		return { onSeconds: equivalent, offSeconds: period - equivalent };
	};
}
