import type { Lesson } from "../lib/lesson/lesson.ts";
import { inWords } from "../lib/model/schedule/inwords.ts";
import { infeasibleWords, noteWords } from "../reports/lesson/noteswords.ts";
import { warningMessage } from "../reports/words/warnings.ts";
import { withMessage } from "./json.ts";

/** What `lesson --json` prints: all of `Lesson`. */
export const lessonJson = ({
	schedules,
	sensor,
	penalty,
	maxOffTime,
	notes,
	warnings,
	...lesson
}: Lesson) => ({
	format: "lullgust/lesson@2",
	...lesson,
	schedules: schedules.map((one) => ({ ...one, inWords: inWords(one.schedule) })),
	sensor: {
		...sensor,
		schedule: { name: sensor.schedule.name, inWords: inWords(sensor.schedule.schedule) },
	},
	penalty: penalty.isFeasible ? penalty : withMessage(infeasibleWords)(penalty),
	maxOffTime: maxOffTime.isFeasible ? maxOffTime : withMessage(infeasibleWords)(maxOffTime),
	notes: notes.map(withMessage(noteWords)),
	warnings: warnings.map(withMessage(warningMessage)),
});
