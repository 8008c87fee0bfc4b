/**
 * The estimator by itself.
 * @module lullgust/least-squares
 */

export {
	type LeastSquares,
	type LeastSquaresOptions,
	type LeastSquaresProblem,
	leastSquares,
	type Parameter,
} from "../statistics/leastsquares.ts";
