export interface Covariance {
	/** Null where the rows tell nothing of a parameter, or there is no variance. */
	readonly standardErrors: readonly (number | null)[];
	/** NaN where no error can be had. */
	readonly covariance: readonly (readonly number[])[];
	readonly correlation: readonly (readonly number[])[];
	/** Groups of parameters of which the rows tell only a combination; one alone has no effect at all. */
	readonly unidentifiable: readonly (readonly number[])[];
}

/** Singular values below this share of the greatest are no information, with columns of unit length. */
const MIN_SINGULAR_RATIO = 1e-8;
/** Share of a parameter in a direction without information, from which on it counts as untold. */
const MIN_SHARE = 1e-4;

/**
 * Covariance s² (RᵀR)⁻¹ of parameters from the triangle of their slopes [by rows, n × n].
 * Directions that carry no information leave their parameters without an error instead of with an enormous one.
 */
export function computeCovariance(r: Float64Array, n: number, variance: number | null): Covariance {
	const norms = Array.from({ length: n }, (_, j) =>
		Math.hypot(...Array.from({ length: j + 1 }, (_, i) => r[i * n + j]!)),
	);
	const columns = norms.map((norm, j) =>
		Float64Array.from({ length: n }, (_, i) => (i <= j && norm > 0 ? r[i * n + j]! / norm : 0)),
	);
	const { values, vectors } = decompose(columns);
	const greatest = Math.max(...values, 0);
	const unidentifiable: number[][] = [];
	const blind = new Uint8Array(n);
	for (const [k, value] of values.entries()) {
		if (value > MIN_SINGULAR_RATIO * greatest) continue;
		const group = Array.from({ length: n }, (_, j) => j).filter((j) => Math.abs(vectors[k]![j]!) > MIN_SHARE);
		for (const j of group) blind[j] = 1;
		unidentifiable.push(group);
	}
	const entry = (i: number, j: number): number => {
		if (variance === null || blind[i] === 1 || blind[j] === 1) return Number.NaN;
		let sum = 0;
		for (const [k, value] of values.entries())
			if (value > MIN_SINGULAR_RATIO * greatest) sum += (vectors[k]![i]! * vectors[k]![j]!) / value ** 2;
		return (variance * sum) / (norms[i]! * norms[j]!);
	};
	const places = Array.from({ length: n }, (_, i) => i);
	const covariance = places.map((i) => places.map((j) => entry(i, j)));
	const errors = places.map((i) => Math.sqrt(covariance[i]![i]!));
	return {
		standardErrors: errors.map((error) => (Number.isFinite(error) ? error : null)),
		covariance,
		correlation: places.map((i) => places.map((j) => covariance[i]![j]! / (errors[i]! * errors[j]!))),
		unidentifiable,
	};
}

/** Singular values and right singular vectors of a square matrix given by columns: one-sided Jacobi rotations. */
function decompose(columns: readonly Float64Array[]): {
	readonly values: readonly number[];
	readonly vectors: readonly Float64Array[];
} {
	const n = columns.length;
	const a = columns.map((column) => Float64Array.from(column));
	const v = columns.map((_, j) => Float64Array.from({ length: n }, (_, i) => (i === j ? 1 : 0)));
	const rotate = (of: readonly Float64Array[], p: number, q: number, c: number, s: number): void => {
		for (let i = 0; i < n; i++) {
			const x = of[p]![i]!;
			const y = of[q]![i]!;
			of[p]![i] = c * x - s * y;
			of[q]![i] = s * x + c * y;
		}
	};
	for (let sweep = 0; sweep < 60; sweep++) {
		let turned = false;
		for (let p = 0; p < n; p++)
			for (let q = p + 1; q < n; q++) {
				let pp = 0;
				let qq = 0;
				let pq = 0;
				for (let i = 0; i < n; i++) {
					pp += a[p]![i]! ** 2;
					qq += a[q]![i]! ** 2;
					pq += a[p]![i]! * a[q]![i]!;
				}
				if (Math.abs(pq) <= 1e-16 * Math.sqrt(pp * qq)) continue;
				turned = true;
				const zeta = (qq - pp) / (2 * pq);
				const t = Math.sign(zeta || 1) / (Math.abs(zeta) + Math.hypot(1, zeta));
				const c = 1 / Math.hypot(1, t);
				rotate(a, p, q, c, c * t);
				rotate(v, p, q, c, c * t);
			}
		if (!turned) break;
	}
	return { values: a.map((column) => Math.hypot(...column)), vectors: v };
}
