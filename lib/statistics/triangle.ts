/** Rows taken in before the triangle is brought up to date; small enough for the fastest cache. */
const BLOCK = 128;

/**
 * The triangle R of a tall matrix [J | r] that is given row by row and never held whole:
 * Householder reflections fold each block of rows into the triangle so far, which loses no digits
 * where the normal equations JᵀJ lose half of them.
 */
export interface Triangle {
	/** Takes one row: a residual and its slopes. */
	add(residual: number, slopes: ArrayLike<number>): void;
	/** Sum of squares of the residuals so far. */
	sumOfSquares(): number;
	/** R, columns × columns by rows, and Qᵀr. */
	finish(): { readonly r: Float64Array; readonly qtr: Float64Array };
}

/** A triangle of so many columns, without the residual's. */
export function triangle(columns: number): Triangle {
	const width = columns + 1;
	const height = BLOCK + width;
	// By columns; the first `width` rows hold the triangle so far.
	const a = new Float64Array(width * height);
	let filled = width;
	let squares = 0;

	const fold = (): void => {
		for (let k = 0; k < width; k++) {
			const base = k * height;
			// Rows between k and the triangle's end are zero below the diagonal: only row k and the block take part.
			let norm = 0;
			for (let i = width; i < filled; i++) norm += a[base + i]! ** 2;
			if (norm === 0) continue;
			const head = a[base + k]!;
			const alpha = head > 0 ? -Math.sqrt(norm + head * head) : Math.sqrt(norm + head * head);
			const v0 = head - alpha;
			const beta = 2 / (norm + v0 * v0);
			for (let j = k + 1; j < width; j++) {
				const other = j * height;
				let dot = v0 * a[other + k]!;
				for (let i = width; i < filled; i++) dot += a[base + i]! * a[other + i]!;
				const scale = beta * dot;
				a[other + k]! -= scale * v0;
				for (let i = width; i < filled; i++) a[other + i]! -= scale * a[base + i]!;
			}
			a[base + k] = alpha;
		}
		filled = width;
	};

	return {
		add(residual, slopes) {
			for (let j = 0; j < columns; j++) a[j * height + filled] = slopes[j]!;
			a[columns * height + filled] = residual;
			squares += residual * residual;
			filled++;
			if (filled === height) fold();
		},
		sumOfSquares: () => squares,
		finish() {
			fold();
			const r = new Float64Array(columns * columns);
			const qtr = new Float64Array(columns);
			for (let i = 0; i < columns; i++) {
				for (let j = i; j < columns; j++) r[i * columns + j] = a[j * height + i]!;
				qtr[i] = a[columns * height + i]!;
			}
			return { r, qtr };
		},
	};
}
