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

/** The known name that was most likely meant; null when none is near. */
export const nearest = (name: string, known: readonly string[]): string | null => {
	const word = name.slice(0, 60).toLowerCase();
	let best: string | null = null;
	let least = Math.max(1, Math.floor(word.length / 2)) + 0.5;
	for (const candidate of known) {
		if (Math.abs(candidate.length - word.length) >= least) continue;
		const edits = distance(word, candidate.toLowerCase());
		if (edits < least) [best, least] = [candidate, edits];
	}
	return best;
};
