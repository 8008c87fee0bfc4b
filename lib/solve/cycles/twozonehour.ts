import type { Cycle } from "../../model/schedule/schedule.ts";
import { makeTimeline } from "../../model/schedule/timeline.ts";
import { HOUR } from "../../time.ts";
import type { CompiledModel } from "../compile.ts";
import { findPeriodicStart } from "../periodic.ts";
import { makeTwoZonePhase } from "../propagate/twozones.ts";
import { findRoot } from "../root.ts";

/**
 * Highest mean over any hour of a cycle in two zones with an instant fan [ppm], where the cycle has one peak; else null.
 *
 * As in one zone, whole cycles have their mean, and the rest of the hour is the stretch about the peak at whose ends the CO2 is the
 * same; here the peak need not stand at a switch, nor the stretch begin in a pause.
 */
export function makeTwoZoneHour(compiled: CompiledModel): (cycle: Cycle) => number | null {
	const { balance, sourceM3PerS, model } = compiled;
	const zone = balance.crop;
	const phases = [true, false].map((isOn) => makeTwoZonePhase(balance, sourceM3PerS, isOn));
	return ({ onSeconds, offSeconds }) => {
		const timeline = makeTimeline({ kind: "cycle", onSeconds, offSeconds });
		const steady = findPeriodicStart({ compiled, timeline }, {});
		if (!steady.exists) return Number.POSITIVE_INFINITY;
		const period = onSeconds + offSeconds;
		const [burst, pause] = phases as [(typeof phases)[0], (typeof phases)[0]];
		const [x0, y0] = [steady.start.state[0]!, steady.start.state[1]!];
		const after = burst.partsAt(onSeconds);
		const [x1, y1] = [burst.state(after, 0, x0, y0), burst.state(after, 1, x0, y0)];
		const whole = burst.integral(after, zone, x0, y0);
		const wrapped = (t: number) => t - Math.floor(t / period) * period;
		const excessAt = (t: number) => {
			const at = wrapped(t);
			return at < onSeconds
				? burst.state(burst.partsAt(at), zone, x0, y0)
				: pause.state(pause.partsAt(at - onSeconds), zone, x1, y1);
		};
		const integralOfCycle = whole + pause.integral(pause.partsAt(offSeconds), zone, x1, y1);
		const integralTo = (t: number) => {
			const at = wrapped(t);
			const inCycle =
				at < onSeconds
					? burst.integral(burst.partsAt(at), zone, x0, y0)
					: whole + pause.integral(pause.partsAt(at - onSeconds), zone, x1, y1);
			return Math.floor(t / period) * integralOfCycle + inCycle;
		};
		const mean = integralOfCycle / period;
		const rest = HOUR % period;
		if (rest < 1e-9 * HOUR || period - rest < 1e-9 * HOUR) return model.intakePpm + mean;

		const turns = [burst.turningPoint(zone, x0, y0), onSeconds + pause.turningPoint(zone, x1, y1)];
		const moments = [
			0,
			...turns.filter((t, i) => (i === 0 ? t > 0 && t < onSeconds : t > onSeconds && t < period)),
			onSeconds,
		].sort((a, b) => a - b);
		const levels = moments.map(excessAt);
		const isPeak = levels.map(
			(level, i) => level > levels.at(i - 1)! && level >= levels[(i + 1) % levels.length]!,
		);
		if (isPeak.filter(Boolean).length !== 1) return null;
		const peakAt = moments[isPeak.indexOf(true)]!;
		const start = findRoot((t) => excessAt(t + rest) - excessAt(t), peakAt - rest, peakAt);
		const about = integralTo(start + rest) - integralTo(start);
		return model.intakePpm + ((HOUR - rest) * mean + about) / HOUR;
	};
}
