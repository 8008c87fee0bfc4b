import type { Lesson, LessonNote } from "../lib/lesson/lesson.ts";
import type { InfeasiblePanel } from "../lib/lesson/panels.ts";
import { infeasibleWords, noteWords } from "../reports/lesson/noteswords.ts";
import { warningMessage } from "../reports/words/warnings.ts";
import { type Coded, type PlainArrays, plainArrays } from "./json.ts";

type WithMessage<Panel> = Panel extends InfeasiblePanel ? Coded<Panel> : Panel;

/** What `lesson --json` prints: all of `Lesson`, typed arrays as plain ones, codes with their sentences. */
export type LessonJson = {
	readonly format: "lullgust/lesson@2";
	readonly penalty: PlainArrays<WithMessage<Lesson["penalty"]>>;
	readonly maxOffTime: PlainArrays<WithMessage<Lesson["maxOffTime"]>>;
	readonly notes: readonly Coded<LessonNote>[];
	readonly warnings: readonly Coded<Lesson["warnings"][number]>[];
} & PlainArrays<Omit<Lesson, "penalty" | "maxOffTime" | "notes" | "warnings">>;

const withMessage = <Panel extends Lesson["penalty"] | Lesson["maxOffTime"]>(panel: Panel) =>
	(panel.isFeasible ? panel : { ...panel, message: infeasibleWords(panel) }) as WithMessage<Panel>;

/** The numbers of a lesson for another program. */
export const lessonJson = ({ penalty, maxOffTime, notes, warnings, ...lesson }: Lesson): LessonJson => ({
	format: "lullgust/lesson@2",
	...plainArrays(lesson),
	penalty: plainArrays(withMessage(penalty)),
	maxOffTime: plainArrays(withMessage(maxOffTime)),
	notes: notes.map((note) => ({ ...note, message: noteWords(note) })),
	warnings: warnings.map((warning) => ({ ...warning, message: warningMessage(warning) })),
});
