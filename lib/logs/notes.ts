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
