import { InputError, show } from "../errors.ts";
import { sinceMidnight } from "../time.ts";
import { type Model, startModelAt } from "./chamber.ts";
import type { Schedule } from "./schedule/schedule.ts";
import { makeTimeline, shiftTimeline } from "./schedule/timeline.ts";

/**
 * A chamber and a schedule for a run that does not begin at midnight: time 0 of both lies at `startsAtSeconds` by the clock, so that
 * a source or a schedule by the time of day, and a cycle that began at midnight, are where they are then.
 *
 * @param model the mass balance
 * @param schedule when the fan is on, from midnight
 * @param startsAtSeconds time of day of the start [s since midnight]; 50,400 is 14:00
 * @returns the model and the schedule to run, from time 0 [s]
 * @throws InputError for a schedule or a time that makes no sense
 *
 * Source: this project.
 * @example startRunAt({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }, { kind: "cycle", onSeconds: 60, offSeconds: 3540 }, 1800).schedule.startsWith // => "off"
 */
export function startRunAt(
	model: Model,
	schedule: Schedule,
	startsAtSeconds: number,
): { readonly model: Model; readonly schedule: Schedule } {
	if (!(Number.isFinite(startsAtSeconds) && startsAtSeconds >= 0))
		throw new InputError(`startsAtSeconds needs a time of 0 s or more, got ${show(startsAtSeconds)}`);
	const moved = startModelAt(model, sinceMidnight(startsAtSeconds));
	const { segments, repeatSeconds } = shiftTimeline(makeTimeline(schedule), startsAtSeconds);
	if (startsAtSeconds === 0 || schedule.kind === "continuous" || schedule.kind === "off")
		return { model: moved, schedule };
	return {
		model: moved,
		schedule: {
			kind: "switches",
			startsWith: segments[0]!.isOn ? "on" : "off",
			switchSeconds: segments.flatMap(({ startSeconds, isOn }, i) =>
				i > 0 && isOn !== segments[i - 1]!.isOn ? [startSeconds] : [],
			),
			...(repeatSeconds === Number.POSITIVE_INFINITY ? {} : { repeatSeconds }),
		},
	};
}
