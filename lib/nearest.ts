/** Edits (insert, delete, replace, swap neighbours) between two words. */
const distance = (a: string, b: string): number => {
	const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)];
	for (let i = 1; i <= a.length; i++) {
		const row = [i];
		for (let j = 1; j <= b.length; j++) {
			const replace = (rows[i - 1]?.[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
			let best = Math.min(replace, (rows[i - 1]?.[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1);
			if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
				best = Math.min(best, (rows[i - 2]?.[j - 2] ?? 0) + 1);
			}
			row.push(best);
		}
		rows.push(row);
	}
	return rows[a.length]?.[b.length] ?? 0;
};

/**
 * The known name that was most likely meant; null when none is near.
 * @param lettersPerEdit a word of so many letters may have one that is wrong, missing or too many
 */
export const nearest = (name: string, known: readonly string[], lettersPerEdit = 2): string | null => {
	const word = name.slice(0, 60).toLowerCase();
	let best: string | null = null;
	let least = Math.max(1, Math.floor(word.length / lettersPerEdit)) + 0.5;
	for (const candidate of known) {
		if (Math.abs(candidate.length - word.length) >= least) continue;
		const edits = distance(word, candidate.toLowerCase());
		if (edits < least) [best, least] = [candidate, edits];
	}
	return best;
};

/** Names that one written shortly may stand for: the name itself, else those that begin with it, or have it in them. */
export function namesMeant(name: string, known: readonly string[]): readonly string[] {
	const word = name.trim().toLowerCase();
	const tests: readonly ((one: string) => boolean)[] = [
		(one) => one === name,
		(one) => one.toLowerCase() === word,
		(one) => one.toLowerCase().startsWith(word),
		(one) => one.toLowerCase().includes(word),
	];
	return tests.map((test) => known.filter(test)).find((found) => found.length > 0) ?? [];
}
