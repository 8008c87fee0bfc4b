// `lullgust/least-squares`: the estimator by itself.
export {
	type LeastSquares,
	type LeastSquaresOptions,
	type LeastSquaresProblem,
	leastSquares,
	type Parameter,
} from "../statistics/leastsquares.ts";
