import { power } from "../../power.ts";
/** Square matrices of a few rows, row by row in a Float64Array. */
export type Matrix = Float64Array;

export function identity(n: number): Matrix {
	const result = new Float64Array(n * n);
	for (let i = 0; i < n; i++) result[i * n + i] = 1;
	return result;
}

export function multiply(a: Matrix, b: Matrix, n: number, out: Matrix = new Float64Array(n * n)): Matrix {
	for (let i = 0; i < n; i++)
		for (let j = 0; j < n; j++) {
			let sum = 0;
			for (let k = 0; k < n; k++) sum += a[i * n + k]! * b[k * n + j]!;
			out[i * n + j] = sum;
		}
	return out;
}

/**
 * e^(A t) for a matrix whose off-diagonal entries are not negative, which every balance of flows is.
 *
 * With μ the largest rate of loss, A + μI has no negative entry, so its Taylor series has no cancellation and every
 * entry of the result keeps its own relative accuracy, however different in size the entries are.
 * Method: shift, scaling and squaring; idea after Xue & Ye on essentially non-negative matrices (from memory).
 */
export function exponential(a: Matrix, n: number, t: number): Matrix {
	let loss = 0;
	let norm = 0;
	for (let i = 0; i < n; i++) {
		loss = Math.max(loss, -a[i * n + i]!);
		let row = 0;
		for (let j = 0; j < n; j++) row += Math.abs(a[i * n + j]!);
		norm = Math.max(norm, row);
	}
	const squarings = Math.max(0, Math.ceil(Math.log2((norm + loss) * t)));
	const h = t / power(2, squarings);
	const shifted = a.map((x) => x * h);
	for (let i = 0; i < n; i++) shifted[i * n + i]! += loss * h;
	let result: Matrix = identity(n);
	let term: Matrix = identity(n);
	let spare: Matrix = new Float64Array(n * n);
	for (let k = 1, grows = true; grows && k < 40; k++) {
		multiply(term, shifted, n, spare);
		[term, spare] = [spare, term];
		grows = false;
		for (let i = 0; i < n * n; i++) {
			const next = term[i]! / k;
			term[i] = next;
			const sum = result[i]! + next;
			if (sum !== result[i]) grows = true;
			result[i] = sum;
		}
	}
	const decay = Math.exp(-loss * h);
	for (let i = 0; i < n * n; i++) result[i]! *= decay;
	for (let i = 0; i < squarings; i++) {
		multiply(result, result, n, spare);
		[result, spare] = [spare, result];
	}
	return result;
}

/** Solves A x = b by elimination with row exchange; null when A is singular to working accuracy. */
export function solve(a: Matrix, b: ArrayLike<number>, n: number): Float64Array | null {
	const m = Float64Array.from(a);
	const x = Float64Array.from(b);
	for (let column = 0; column < n; column++) {
		let pivot = column;
		for (let row = column + 1; row < n; row++)
			if (Math.abs(m[row * n + column]!) > Math.abs(m[pivot * n + column]!)) pivot = row;
		if (!(Math.abs(m[pivot * n + column]!) > 1e-300)) return null;
		if (pivot !== column) {
			for (let j = 0; j < n; j++) {
				const held = m[column * n + j]!;
				m[column * n + j] = m[pivot * n + j]!;
				m[pivot * n + j] = held;
			}
			const held = x[column]!;
			x[column] = x[pivot]!;
			x[pivot] = held;
		}
		for (let row = column + 1; row < n; row++) {
			const factor = m[row * n + column]! / m[column * n + column]!;
			if (factor === 0) continue;
			for (let j = column; j < n; j++) m[row * n + j]! -= factor * m[column * n + j]!;
			x[row]! -= factor * x[column]!;
		}
	}
	for (let row = n - 1; row >= 0; row--) {
		for (let j = row + 1; j < n; j++) x[row]! -= m[row * n + j]! * x[j]!;
		x[row]! /= m[row * n + row]!;
	}
	return x;
}
