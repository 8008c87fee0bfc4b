/** Where a step starts from. All by free parameter. */
export interface StepFrom {
	/** Triangle of the slopes by rows, and Qᵀr. */
	readonly r: Float64Array;
	readonly qtr: Float64Array;
	readonly n: number;
	/** Scale D of each parameter; where it is 0 the rows do not depend on the parameter. */
	readonly scale: Float64Array;
	readonly radius: number;
	readonly now: Float64Array;
	readonly lower: Float64Array;
	readonly upper: Float64Array;
}

/**
 * The step p that minimises ‖R p - Qᵀr‖ within ‖D p‖ <= Δ and the bounds:
 * parameters that stand on a bound and push outward are held; what leads beyond a bound is cut off there and held too.
 */
export function levenbergStep(from: StepFrom): {
	readonly step: Float64Array;
	/** Fall of the sum of squares that the linear model promises. */
	readonly predicted: number;
	/** ‖D p‖ */
	readonly length: number;
} {
	const { r, qtr, n, scale, now, lower, upper } = from;
	const step = new Float64Array(n);
	const held = new Uint8Array(n);
	const gradient = new Float64Array(n);
	for (let j = 0; j < n; j++) for (let i = 0; i <= j; i++) gradient[j]! += r[i * n + j]! * qtr[i]!;
	for (let j = 0; j < n; j++) {
		const outward =
			(now[j]! <= lower[j]! && gradient[j]! <= 0) || (now[j]! >= upper[j]! && gradient[j]! >= 0);
		if (outward || !(scale[j]! > 0)) held[j] = 1;
	}
	// Each round either ends or holds one more parameter at its bound.
	for (let round = 0; round <= n; round++) {
		const moving = Array.from({ length: n }, (_, j) => j).filter((j) => held[j] === 0);
		if (moving.length === 0) break;
		const found = stepWithinRadius(from, moving, step);
		moving.forEach((j, k) => {
			step[j] = found[k]!;
		});
		let cut = false;
		for (const j of moving) {
			const to = now[j]! + step[j]!;
			if (to >= lower[j]! && to <= upper[j]!) continue;
			step[j] = (to < lower[j]! ? lower[j]! : upper[j]!) - now[j]!;
			held[j] = 1;
			cut = true;
		}
		if (!cut) break;
	}
	let before = 0;
	let after = 0;
	for (let i = 0; i < n; i++) {
		let left = qtr[i]!;
		before += left * left;
		for (let j = i; j < n; j++) left -= r[i * n + j]! * step[j]!;
		after += left * left;
	}
	let length = 0;
	for (let j = 0; j < n; j++) length += (scale[j]! * step[j]!) ** 2;
	return { step, predicted: before - after, length: Math.sqrt(length) };
}

/** The moving part of a step, the held part as it stands in `step`. */
function stepWithinRadius(
	{ r, qtr, n, scale, radius }: StepFrom,
	moving: readonly number[],
	step: Float64Array,
): Float64Array {
	const k = moving.length;
	const right = Float64Array.from(qtr);
	let used = 0;
	for (let j = 0; j < n; j++) {
		if (moving.includes(j) || step[j] === 0) continue;
		for (let i = 0; i <= j; i++) right[i]! -= r[i * n + j]! * step[j]!;
		used += (scale[j]! * step[j]!) ** 2;
	}
	const room = Math.sqrt(Math.max(radius * radius - used, (1e-3 * radius) ** 2));
	// In scaled unknowns u = D p, and damped rows √μ u = 0 below.
	const at = (damping: number): { u: Float64Array; length: number; slope: number } => {
		const rows = n + k;
		const a = new Float64Array(rows * k);
		const b = new Float64Array(rows);
		for (let i = 0; i < n; i++) {
			b[i] = right[i]!;
			for (let c = 0; c < k; c++) {
				const j = moving[c]!;
				if (j >= i) a[i * k + c] = r[i * n + j]! / scale[j]!;
			}
		}
		for (let c = 0; c < k; c++) a[(n + c) * k + c] = Math.sqrt(damping);
		return solveTall(a, b, rows, k);
	};
	// Columns have at most unit norm here, so this damping only keeps a singular triangle from dividing by 0.
	const least = 1e-30;
	let found = at(least);
	let damping = 0;
	if (found.length > room) {
		let low = 0;
		// μ u = Aᵀ(b - A u), and no matrix with k columns of at most unit norm stretches by more than √k.
		let high = (Math.sqrt(k) * Math.hypot(...right)) / room;
		damping = Math.min(high, found.slope > 0 ? (found.length - room) / (room * found.slope) : high);
		for (let turn = 0; turn < 30; turn++) {
			found = at(Math.max(damping, least));
			if (Math.abs(found.length - room) <= 0.1 * room) break;
			if (found.length > room) low = damping;
			else high = damping;
			const newton = damping + ((found.length - room) / room) * (found.slope > 0 ? 1 / found.slope : 0);
			damping = newton > low && newton < high ? newton : low > 0 ? Math.sqrt(low * high) : 0.1 * high;
		}
	}
	return Float64Array.from(found.u, (u, c) => u / scale[moving[c]!]!);
}

/**
 * Least squares of a small dense system by Householder reflections; spoils its arguments.
 * `slope` is -d ln(length) / d(damping), for the search of the damping.
 */
function solveTall(
	a: Float64Array,
	b: Float64Array,
	rows: number,
	k: number,
): { u: Float64Array; length: number; slope: number } {
	for (let c = 0; c < k; c++) {
		let norm = 0;
		for (let i = c; i < rows; i++) norm += a[i * k + c]! ** 2;
		norm = Math.sqrt(norm);
		if (norm === 0) continue;
		const alpha = a[c * k + c]! > 0 ? -norm : norm;
		const v = new Float64Array(rows - c);
		for (let i = c; i < rows; i++) v[i - c] = a[i * k + c]!;
		v[0]! -= alpha;
		let vv = 0;
		for (const x of v) vv += x * x;
		for (let d = c; d <= k; d++) {
			const get = (i: number) => (d < k ? a[i * k + d]! : b[i]!);
			let dot = 0;
			for (let i = c; i < rows; i++) dot += v[i - c]! * get(i);
			const f = (2 * dot) / vv;
			for (let i = c; i < rows; i++) {
				if (d < k) a[i * k + d]! -= f * v[i - c]!;
				else b[i]! -= f * v[i - c]!;
			}
		}
	}
	const u = new Float64Array(k);
	for (let i = k - 1; i >= 0; i--) {
		let sum = b[i]!;
		for (let j = i + 1; j < k; j++) sum -= a[i * k + j]! * u[j]!;
		const diagonal = a[i * k + i]!;
		u[i] = diagonal === 0 ? 0 : sum / diagonal;
	}
	let length = 0;
	for (const x of u) length += x * x;
	// d(‖u‖²)/dμ = -2 uᵀ(AᵀA)⁻¹u = -2 ‖A⁻ᵀu‖²
	const w = new Float64Array(k);
	let squares = 0;
	for (let i = 0; i < k; i++) {
		let sum = u[i]!;
		for (let j = 0; j < i; j++) sum -= a[j * k + i]! * w[j]!;
		const diagonal = a[i * k + i]!;
		w[i] = diagonal === 0 ? 0 : sum / diagonal;
		squares += w[i]! ** 2;
	}
	return { u, length: Math.sqrt(length), slope: length > 0 ? squares / length : 0 };
}
