/** Square of a length below which a direction counts as none: correlations are written to five decimals. */
const SLACK = 1e-4;

/**
 * Lower triangle L with L Lᵀ = the correlation matrix, by rows of unit length; independent standard normals z become L z.
 * Matrices that are singular, or that rounding has made so, are taken; null where no random numbers can have such correlations.
 */
export function choleskyFactor(matrix: readonly (readonly number[])[]): number[][] | null {
	const l: number[][] = [];
	for (const [i, row] of matrix.entries()) {
		const mine: number[] = [];
		for (let j = 0; j < i; j++) {
			const rest = row[j]! - l[j]!.reduce((sum, x, k) => (k < j ? sum + x * mine[k]! : sum), 0);
			const pivot = l[j]![j]!;
			if (pivot === 0 && Math.abs(rest) > Math.sqrt(SLACK)) return null;
			mine.push(pivot === 0 ? 0 : rest / pivot);
		}
		const left = row[i]! - mine.reduce((sum, x) => sum + x * x, 0);
		if (left < -SLACK) return null;
		mine.push(left > SLACK / 100 ? Math.sqrt(left) : 0);
		const length = Math.hypot(...mine);
		l.push(mine.map((x) => x / length));
	}
	return l;
}
