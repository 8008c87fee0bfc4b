import type { LogNote, NoteSubject } from "./log.ts";

/** Line numbers that a note carries at most. */
export const MAX_LINES = 5;

/** Counts how often one thing is met, and remembers the first lines. */
export interface NoteCounter {
	readonly add: (line: number) => void;
	readonly count: () => number;
}

/** Collects what a reader meets, one note a subject. */
export interface NoteCollector {
	/** The counter of a subject; equal subjects share one. */
	readonly counter: (subject: NoteSubject) => NoteCounter;
	readonly add: (note: LogNote) => void;
	/** What was added, then what was counted in the order in which it was first met. */
	readonly notes: () => LogNote[];
}

export function createNoteCollector(): NoteCollector {
	const counters = new Map<string, NoteCounter>();
	const counted: { readonly subject: NoteSubject; count: number; readonly lines: number[] }[] = [];
	const added: LogNote[] = [];
	const createCounter = (subject: NoteSubject): NoteCounter => {
		const entry = { subject, count: 0, lines: [] as number[] };
		return {
			add(line) {
				if (entry.count++ === 0) counted.push(entry);
				if (entry.lines.length < MAX_LINES) entry.lines.push(line);
			},
			count: () => entry.count,
		};
	};
	return {
		counter(subject) {
			const key = JSON.stringify(subject);
			const counter = counters.get(key) ?? createCounter(subject);
			counters.set(key, counter);
			return counter;
		},
		add(note) {
			added.push(note);
		},
		notes: () => [...added, ...counted.map(({ subject, count, lines }) => ({ ...subject, count, lines }))],
	};
}

/** Kinds of notes on lines of a file that are no samples of the log. */
const LEFT_OUT: readonly LogNote["kind"][] = [
	"malformed row",
	"stray time",
	"duplicate",
	"conflicting duplicate",
	"event line",
	"footer",
];

/** Lines of a file that are no samples of the log, by reason. */
export const countLeftOut = (notes: readonly LogNote[]): Readonly<Record<string, number>> => {
	const counts: Record<string, number> = {};
	for (const note of notes)
		if (LEFT_OUT.includes(note.kind) || (note.kind === "out of order" && note.outcome === "left out"))
			counts[note.kind] = (counts[note.kind] ?? 0) + note.count;
	return counts;
};
