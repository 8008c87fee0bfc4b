import type { LogNote } from "./log.ts";

/** Line numbers that a note carries at most. */
const MAX_LINES = 5;

/** Collects what a reader meets, one note a kind and subject. */
export interface NoteCollector {
	/** Counts one more; `subject` parts notes of the same kind. */
	readonly record: (kind: LogNote["kind"], line: number, subject?: string) => void;
	readonly countOf: (kind: LogNote["kind"], subject?: string) => number;
	readonly add: (note: LogNote) => void;
	/** All notes; `say` words one from its count and subject. */
	readonly notes: (say: (kind: LogNote["kind"], count: number, subject: string) => string) => LogNote[];
}

export function createNoteCollector(): NoteCollector {
	const met = new Map<string, { kind: LogNote["kind"]; subject: string; count: number; lines: number[] }>();
	const written: LogNote[] = [];
	return {
		record(kind, line, subject = "") {
			const key = `${kind}\n${subject}`;
			let entry = met.get(key);
			if (entry === undefined) {
				entry = { kind, subject, count: 0, lines: [] };
				met.set(key, entry);
			}
			entry.count++;
			if (entry.lines.length < MAX_LINES) entry.lines.push(line);
		},
		countOf: (kind, subject = "") => met.get(`${kind}\n${subject}`)?.count ?? 0,
		add(note) {
			written.push(note);
		},
		notes: (say) => [
			...written,
			...[...met.values()].map(({ kind, subject, count, lines }) => ({
				kind,
				count,
				lines,
				message: say(kind, count, subject),
			})),
		],
	};
}
