import { type LeastSquares, leastSquares } from "../../lib/statistics/leastsquares.ts";
import type { Answer, Inputs } from "./check.ts";

/** A model of y at x with its slopes over the parameters, by hand from the equation of the case. */
type Law = (b: Float64Array, x: number) => readonly [y: number, ...slopes: number[]];

const saturating: Law = ([b1, b2], x) => {
	const left = Math.exp(-b2! * x);
	return [b1! * (1 - left), 1 - left, b1! * x * left];
};

const laws: Readonly<Record<string, Law>> = {
	BoxBOD: saturating,
	Misra1a: saturating,
	BOD: saturating,
	Misra1d: ([b1, b2], x) => {
		const below = 1 + b2! * x;
		return [(b1! * b2! * x) / below, (b2! * x) / below, (b1! * x) / below ** 2];
	},
	Lanczos3: (b, x) => {
		const slopes: number[] = [];
		let y = 0;
		for (let i = 0; i < 6; i += 2) {
			const e = Math.exp(-b[i + 1]! * x);
			y += b[i]! * e;
			slopes.push(e, -b[i]! * x * e);
		}
		return [y, ...slopes];
	},
	Chwirut2: ([b1, b2, b3], x) => {
		const below = b2! + b3! * x;
		const y = Math.exp(-b1! * x) / below;
		return [y, -x * y, -y / below, (-x * y) / below];
	},
	MGH17: ([b1, b2, b3, b4, b5], x) => {
		const [e4, e5] = [Math.exp(-x * b4!), Math.exp(-x * b5!)];
		return [b1! + b2! * e4 + b3! * e5, 1, e4, e5, -x * b2! * e4, -x * b3! * e5];
	},
	MGH09: ([b1, b2, b3, b4], x) => {
		const [above, below] = [x * x + x * b2!, x * x + x * b3! + b4!];
		const y = (b1! * above) / below;
		return [y, above / below, (b1! * x) / below, (-y * x) / below, -y / below];
	},
	Eckerle4: ([b1, b2, b3], x) => {
		const z = (x - b3!) / b2!;
		const bell = Math.exp(-0.5 * z * z) / b2!;
		return [b1! * bell, bell, (b1! * bell * (z * z - 1)) / b2!, (b1! * bell * z) / b2!];
	},
};

/** A law fitted to points, from a start. */
export function fitLaw(
	law: Law,
	x: readonly number[],
	y: readonly number[],
	start: readonly number[],
): LeastSquares {
	return leastSquares({
		parameters: start.map((value, i) => ({ name: `b${i + 1}`, initial: value })),
		rows: (b, to) => {
			for (const [i, at] of x.entries()) {
				const [model, ...slopes] = law(b, at);
				to.add(y[i]! - model, slopes);
			}
		},
	});
}

/** The certified problems of NIST from both starts, and a fit that R publishes. */
export function nonlinear(id: string, { list }: Inputs): Record<string, Answer> | undefined {
	const name = id.replace("NLS-", "");
	const law = laws[name];
	if (law === undefined) return undefined;
	const starts = name === "BOD" ? ["start1"] : ["start1", "start2"];
	const fits = starts.map((start) => [start, fitLaw(law, list("x"), list("y"), list(start))] as const);
	const each = (what: string, ours: (fit: LeastSquares) => number | readonly number[], of = name): Answer =>
		fits.map(([start, fit]) => ({
			what: `${what} of ${of}${fits.length > 1 ? ` from start ${start.slice(-1)}` : ""}`,
			ours: ours(fit),
		}));
	const values = (of?: string) => each("parameters", (fit) => [...fit.values], of);
	const errors = (of?: string) =>
		each("standard deviations", (fit) => fit.standardErrors.map((error) => error ?? Number.NaN), of);
	const rss = (of?: string) => each("residual sum of squares", (fit) => fit.sumOfSquares, of);
	const byR = "BOD as R fits it";
	return {
		b: values(),
		sd: errors(),
		rss: rss(),
		residual_sd: each("residual standard deviation", (fit) => Math.sqrt(fit.variance ?? Number.NaN)),
		dof: each("degrees of freedom", (fit) => fit.degreesOfFreedom),
		...(name === "BOD"
			? {
					correlation: each("correlation of the two parameters", (fit) => fit.correlation[0]![1]!),
					b_of_R: values(byR),
					sd_of_R: errors(byR),
					rss_of_R: rss(byR),
				}
			: {}),
	};
}
