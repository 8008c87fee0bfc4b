// odex ships its TypeScript source, which our strict settings refuse; this is the part of its face that we use.
export type Derivative = (x: number, y: number[]) => number[];
export type Dense = (component: number, x: number) => number;
/** `dense` is undefined on the first call, which reports the initial state. */
export type OutputFunction = (
	step: number,
	xOld: number,
	x: number,
	y: number[],
	dense?: Dense,
) => boolean | undefined;
export declare const Outcome: {
	readonly Converged: 0;
	readonly MaxStepsExceeded: 1;
	readonly EarlyReturn: 2;
};
export interface Solution {
	readonly y: number[];
	readonly outcome: 0 | 1 | 2;
	readonly nStep: number;
	readonly xEnd: number;
	readonly nAccept: number;
	readonly nReject: number;
	readonly nEval: number;
}
export declare class Solver {
	constructor(n: number);
	maxSteps: number;
	initialStepSize: number;
	maxStepSize: number;
	denseOutput: boolean;
	relativeTolerance: number | number[];
	absoluteTolerance: number | number[];
	solve(f: Derivative, x: number, y0: number[], xEnd: number, output?: OutputFunction): Solution;
}
