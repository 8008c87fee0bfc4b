import type { Model } from "../model/chamber.ts";
import { type PeriodicSteadyState, periodicState } from "../solve/periodic.ts";
import { cycleSeconds, type LessonSchedule } from "./lessonschedule.ts";
import { pickStats, settledCurve } from "./settledcurve.ts";

/** Times to 63 % of a step [s]. */
const RESPONSES_SECONDS = [20, 60, 180];

/** One cycle as sensors of different slowness show it. */
export function sensorPanel(model: Model, lessonSchedule: LessonSchedule) {
	const { name, schedule, summary } = lessonSchedule;
	const windowSeconds = 2 * cycleSeconds(lessonSchedule);
	const sensors = RESPONSES_SECONDS.map((responseSeconds) => {
		const logged: Model = { ...model, responseSeconds, sensorZone: summary.zone };
		const both = settledCurve(name, logged, schedule, windowSeconds);
		return {
			/** What the sensor shows, settled and over the window. */
			shown: { responseSeconds, shown: (periodicState(logged, schedule) as PeriodicSteadyState).sensor! },
			curve: { ...both, co2Ppm: both.sensorPpm! },
		};
	});
	return {
		schedule: { name, schedule },
		windowSeconds,
		air: pickStats(summary),
		curve: settledCurve(name, model, schedule, windowSeconds),
		sensors: sensors.map(({ shown }) => shown),
		/** What each sensor shows over the window. */
		shownCurves: sensors.map(({ curve }) => curve),
	};
}
