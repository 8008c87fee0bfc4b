/** Rows taken in one by one before the triangle is brought up to date; small enough for the fastest cache. */
const BLOCK = 128;

/**
 * The triangle R of a tall matrix [J | r] that is given by rows or blocks of rows and never held whole:
 * Householder reflections fold each block of rows into the triangle so far, which loses no digits
 * where the normal equations JᵀJ lose half of them.
 */
export interface QrAccumulator {
	/** Takes one row: a residual and its slopes. */
	add(residual: number, jacobianRow: ArrayLike<number>): void;
	/** Takes the first `count` rows of a block [slopes | residual] by columns of equal height, whose numbers are used up. */
	addBlock(columns: Float64Array, count: number): void;
	/** Sum of squares of the residuals so far, and rows. */
	sumOfSquares(): number;
	rows(): number;
	/** R, columns × columns by rows, and Qᵀr. */
	finish(): { readonly r: Float64Array; readonly qtr: Float64Array };
}

/** A triangle of so many columns, without the residual's. */
export function createQrAccumulator(columns: number): QrAccumulator {
	const width = columns + 1;
	// The triangle so far, by columns.
	const r = new Float64Array(width * width);
	const own = new Float64Array(width * BLOCK);
	let filled = 0;
	let squares = 0;
	let rows = 0;

	const fold = (block: Float64Array, count: number): void => {
		const height = block.length / width;
		for (let k = 0; k < width; k++) {
			const base = k * height;
			// Rows below the diagonal are zero in the triangle: only its row k and the block take part.
			let norm = 0;
			for (let i = base, end = base + count; i < end; i++) norm += block[i]! * block[i]!;
			if (norm === 0) continue;
			const head = r[k * width + k]!;
			const alpha = head > 0 ? -Math.sqrt(norm + head * head) : Math.sqrt(norm + head * head);
			const v0 = head - alpha;
			const beta = 2 / (norm + v0 * v0);
			for (let j = k + 1; j < width; j++) {
				const shift = (j - k) * height;
				// Two sums, for one would wait for itself at every row.
				let dot = v0 * r[j * width + k]!;
				let other = 0;
				const end = base + count;
				let i = base;
				for (; i + 1 < end; i += 2) {
					dot += block[i]! * block[i + shift]!;
					other += block[i + 1]! * block[i + 1 + shift]!;
				}
				if (i < end) dot += block[i]! * block[i + shift]!;
				const scale = beta * (dot + other);
				r[j * width + k]! -= scale * v0;
				for (i = base; i < end; i++) block[i + shift]! -= scale * block[i]!;
			}
			r[k * width + k] = alpha;
		}
	};
	const foldOwn = (): void => {
		fold(own, filled);
		filled = 0;
	};

	return {
		add(residual, jacobianRow) {
			for (let j = 0; j < columns; j++) own[j * BLOCK + filled] = jacobianRow[j]!;
			own[columns * BLOCK + filled] = residual;
			squares += residual * residual;
			rows++;
			filled++;
			if (filled === BLOCK) foldOwn();
		},
		addBlock(block, count) {
			const base = columns * (block.length / width);
			for (let i = base; i < base + count; i++) squares += block[i]! * block[i]!;
			rows += count;
			fold(block, count);
		},
		sumOfSquares: () => squares,
		rows: () => rows,
		finish() {
			foldOwn();
			const square = new Float64Array(columns * columns);
			const qtr = new Float64Array(columns);
			for (let i = 0; i < columns; i++) {
				for (let j = i; j < columns; j++) square[i * columns + j] = r[j * width + i]!;
				qtr[i] = r[columns * width + i]!;
			}
			return { r: square, qtr };
		},
	};
}
