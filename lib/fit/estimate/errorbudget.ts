import type { Parameter } from "../../statistics/leastsquares.ts";
import type { ErrorShare, ErrorSource } from "../fittypes.ts";
import type { Estimate } from "./estimate.ts";
import type { HeldValues } from "./heldvalues.ts";

/** A figure that is reported: how it hangs on the parameters found, and on what was held beside them. */
export interface Reported {
	readonly parameters: readonly number[];
	readonly inputs: readonly number[];
}

/** Errors of reported figures. */
export interface ErrorBudget {
	/** NaN where the log leaves a figure open. */
	readonly covariance: readonly (readonly number[])[];
	/** The noise's part of it, and each figure's error over that of each input. */
	readonly noise: readonly (readonly number[])[];
	readonly byInput: readonly (readonly number[])[];
	/** Covariance of each figure with each input. */
	readonly withInputs: readonly (readonly number[])[];
	/** Of each figure, the greatest first; they sum to 1. */
	readonly shares: readonly (readonly ErrorShare[])[];
}

/**
 * Where the errors of a fit come from. With θ the parameters found, h those held, ψ the inputs (errors δψ, covariance Σ), and rows of the log
 * scaled to unit variance (slopes J over θ, H over h), what is known beforehand being rows of weight W,
 *
 *     (JᵀJ + W)(θ̂ - θ) = Jᵀε + (W K - JᵀH K_h) δψ
 *
 * where K δψ is how far the knowledge of θ is off, and K_h δψ that of h. A figure y = aᵀθ + bᵀψ errs by
 *
 *     aᵀC Jᵀε + (aᵀS + bᵀ) δψ,   C = (JᵀJ + W)⁻¹,   S = C (W K - JᵀH K_h)
 *
 * so that its variance is s² aᵀ(C - C W C)a + (aᵀS + bᵀ) Σ (aᵀS + bᵀ)ᵀ: the law of propagation of errors. Where the log says nothing of an
 * input this is what least squares augmented by a row for each input give.
 */
export function budgetErrors(
	{ least, varianceInflation, information }: Pick<Estimate, "least" | "varianceInflation" | "information">,
	parameters: readonly Parameter[],
	{ inputs, covariance: sigma, knowledge, ofReading }: HeldValues,
	reported: readonly Reported[],
): ErrorBudget {
	const variance = least.variance ?? Number.NaN;
	const free = parameters.flatMap(({ fixed }, k) =>
		fixed === true || least.standardErrors[k] === null ? [] : [k],
	);
	const kindOf = (name: string): string => (name.startsWith("generation") ? "generation" : name);
	const known = parameters.map(({ name, prior, initial }) => knowledge(kindOf(name), prior?.mean ?? initial));
	const heldPlaces = parameters.flatMap(({ fixed }, k) =>
		fixed === true && known[k]!.some((slope) => slope !== 0) ? [k] : [],
	);
	const cross =
		heldPlaces.length === 0 && ofReading === undefined ? null : information(heldPlaces, ofReading?.waves);
	/** What a wave over the reading does to it is as if the model held it wrong. */
	const waveOf = (k: number, j: number): number =>
		ofReading === undefined || j < ofReading.first ? 0 : cross![k]![heldPlaces.length + j - ofReading.first]!;
	// What is known of a parameter by no input counts as noise.
	const weight = (k: number): number =>
		known[k]!.some((slope) => slope !== 0)
			? 1 / (parameters[k]!.prior?.standardDeviation ?? Number.POSITIVE_INFINITY) ** 2
			: 0;
	const unscaled = (i: number, j: number): number => least.unscaledCovariance[i]![j]!;
	// What each input does to the right side of the normal equations, then to the parameters.
	const pull = free.map((k) =>
		inputs.map(
			(_, j) =>
				weight(k) * known[k]![j]! -
				waveOf(k, j) -
				heldPlaces.reduce((sum, h, place) => sum + cross![k]![place]! * known[h]![j]!, 0),
		),
	);
	const isFree = new Set(free);
	const noise = (i: number, j: number): number =>
		variance *
		varianceInflation *
		(unscaled(i, j) - free.reduce((sum, k) => sum + unscaled(i, k) * weight(k) * unscaled(k, j), 0));
	const noiseOf = free.map((i) => free.map((j) => noise(i, j)));
	const response = free.map((i) =>
		inputs.map((_, j) => free.reduce((sum, k, place) => sum + unscaled(i, k) * pull[place]![j]!, 0)),
	);
	const rows = reported.map(({ parameters: slopes, inputs: direct }) => {
		const isOpen = slopes.some((slope, k) => slope !== 0 && parameters[k]!.fixed !== true && !isFree.has(k));
		const own = free.map((k) => slopes[k] ?? 0);
		return {
			own,
			isOpen,
			byInput: inputs.map(
				(_, j) =>
					direct[j]! +
					own.reduce((sum, slope, place) => sum + slope * response[place]![j]!, 0) +
					heldPlaces.reduce((sum, h) => sum + (slopes[h] ?? 0) * known[h]![j]!, 0),
			),
		};
	});
	const noiseBetween = rows.map(({ own: a, isOpen }) =>
		rows.map((b) =>
			isOpen || b.isOpen
				? Number.NaN
				: a.reduce((sum, slope, i) => (slope === 0 ? sum : sum + slope * dot(noiseOf[i]!, b.own)), 0),
		),
	);
	return addInputs(
		noiseBetween,
		rows.map(({ byInput }) => byInput),
		{ inputs, covariance: sigma },
	);
}

/** The noise of figures with what their inputs add. */
export function addInputs(
	noise: readonly (readonly number[])[],
	byInput: readonly (readonly number[])[],
	{ inputs, covariance: sigma }: Pick<HeldValues, "inputs" | "covariance">,
): ErrorBudget {
	const withInputs = byInput.map((slopes) => sigma.map((row) => dot(row, slopes)));
	const covariance = noise.map((row, i) => row.map((own, j) => own + dot(byInput[i]!, withInputs[j]!)));
	return {
		noise,
		byInput,
		covariance,
		withInputs,
		shares: noise.map((row, i) => {
			const total = covariance[i]![i]!;
			if (!(total > 0)) return [];
			const sums = new Map<ErrorSource, number>([["noise", row[i]! / total]]);
			for (const [j, { source }] of inputs.entries())
				sums.set(source, (sums.get(source) ?? 0) + (byInput[i]![j]! * withInputs[i]![j]!) / total);
			return [...sums]
				.map(([source, share]) => ({ source, share }))
				.filter(({ share }) => share !== 0)
				.sort((a, b) => b.share - a.share);
		}),
	};
}

/** Correlations of a covariance. */
export const correlationOf = (covariance: readonly (readonly number[])[]): number[][] =>
	covariance.map((row, i) =>
		row.map((value, j) => (i === j ? 1 : value / Math.sqrt(covariance[i]![i]! * covariance[j]![j]!))),
	);

/** Standard error of a figure; null where the log leaves it open. */
export function errorOf({ covariance }: Pick<ErrorBudget, "covariance">, place: number): number | null {
	const variance = covariance[place]![place]!;
	return Number.isNaN(variance) ? null : Math.sqrt(Math.max(variance, 0));
}

const dot = (a: readonly number[], b: readonly number[]): number =>
	a.reduce((sum, value, k) => sum + value * b[k]!, 0);
