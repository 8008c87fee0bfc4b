import { co2VolumeM3 } from "../../model/air/gaslaws.ts";
import type { Model } from "../../model/chamber.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { MOLAR_MASS_CO2 } from "../../sources/constants.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { studentQuantile } from "../../statistics/student.ts";
import type { DerivedFigure, ErrorShare, Fit, FittedParameter } from "../fittypes.ts";
import { computeRespirationRate } from "../respirationrate.ts";
import { type ErrorBudget, errorOf, type Reported } from "./errorbudget.ts";
import type { HeldValues } from "./heldvalues.ts";

/** A figure with all that its error comes from, before the error is known. */
export interface Figure {
	readonly value: number;
	readonly reported: Reported;
}

type Scaled = "generation" | "flow" | "leak";
const isScaled = (kind: string): kind is Scaled =>
	kind === "generation" || kind === "flow" || kind === "leak";

/** A parameter as it is reported: in the units of a chamber that is not quite the one in the file, by a sensor that reads not quite right. */
export function figureOf(
	kind: string,
	place: number,
	value: number,
	count: number,
	{ inputs, covariance }: HeldValues,
	prior: Parameter["prior"],
): Figure & { readonly priorSd: number | undefined } {
	const unit = (scale: number): number[] =>
		Array.from({ length: count }, (_, k) => (k === place ? scale : 0));
	if (kind !== "offset")
		return {
			value,
			priorSd: prior?.standardDeviation,
			reported: {
				parameters: unit(1),
				inputs: inputs.map(({ relative }) => (isScaled(kind) ? value * (relative?.[kind] ?? 0) : 0)),
			},
		};
	// The log shows sensor and intake together; what is known of each says whose a difference is.
	const background = inputs.map((one) => one.background ?? 0);
	const own = inputs.findIndex(({ source }) => source === "offset");
	const shared = own < 0 ? 0 : background.reduce((sum, slope, j) => sum + slope * covariance[own]![j]!, 0);
	const share = prior === undefined ? 1 : shared / prior.standardDeviation ** 2;
	return {
		value: prior === undefined ? value : prior.mean + share * (value - prior.mean),
		priorSd: own < 0 || prior === undefined ? undefined : Math.sqrt(covariance[own]![own]!),
		reported: {
			parameters: unit(share),
			inputs: background.map((slope, j) => (j === own ? 1 : 0) - share * slope),
		},
	};
}

/** A weighted sum of the first figures. */
export function sumFigures(figures: readonly Figure[], weights: readonly number[]): Figure {
	const sum = (of: (figure: Figure) => number): number =>
		weights.reduce((to, weight, k) => to + weight * of(figures[k]!), 0);
	const { parameters, inputs } = figures[0]!.reported;
	return {
		value: sum(({ value }) => value),
		reported: {
			parameters: parameters.map((_, j) => sum(({ reported }) => reported.parameters[j]!)),
			inputs: inputs.map((_, j) => sum(({ reported }) => reported.inputs[j]!)),
		},
	};
}

/** The same parameter as others write it: air changes, an amount of CO2, a rate per fresh mass. */
export function derivedFigures(
	kind: string,
	{ value, reported }: Figure,
	parameter: Pick<FittedParameter, "status" | "initial">,
	scenario: Scenario,
	model: Model,
	celsius: number,
	{ inputs }: HeldValues,
): readonly (Figure & { readonly quantity: DerivedFigure["quantity"] })[] {
	const scaled = (
		quantity: DerivedFigure["quantity"],
		per: number,
		more: (input: HeldValues["inputs"][number]) => number,
	) => ({
		quantity,
		value: value * per,
		reported: {
			parameters: reported.parameters.map((slope) => slope * per),
			inputs: reported.inputs.map((slope, j) => per * (slope + value * more(inputs[j]!))),
		},
	});
	if (kind === "leak" || kind === "flow") {
		const share = kind === "flow" ? (model.mixingEfficiency ?? 1) : 1;
		const isOfAir = (source: string): boolean => source === "volume" || source === "mixing";
		return [
			scaled("air changes", share / model.volumeM3, ({ source, relative }) =>
				isOfAir(source) ? -(relative?.[kind] ?? 0) : 0,
			),
		];
	}
	if (kind !== "generation") return [];
	const molM3 = co2VolumeM3(MOLAR_MASS_CO2.value / 1000, celsius, scenario.chamber.pressure.value);
	const rate = computeRespirationRate(scenario, { ...parameter, value, standardError: null });
	return [
		scaled("amount", 1 / molM3, ({ relative }) => relative?.amount ?? 0),
		...(rate === null || value === 0
			? []
			: [scaled("respiration rate", rate.value / value, ({ relative }) => relative?.rate ?? 0)]),
	];
}

/** What volumes and amounts of gas refer to. */
export const conditionsOf = ({ chamber }: Scenario, celsius: number): Fit["conditions"] => ({
	celsius,
	pascal: chamber.pressure.value,
	humidity: chamber.humidity.value,
});

/** More degrees of freedom make no difference. */
const MOST_DEGREES = 1e6;

/** Error and 95 % interval of a figure: the noise by Student's distribution, the rest as what is known is distributed. */
export function intervalOf(
	budget: ErrorBudget,
	place: number,
	value: number,
	degreesOfFreedom: number,
): {
	readonly standardError: number | null;
	readonly ci95Low: number | null;
	readonly ci95High: number | null;
	readonly shares: readonly ErrorShare[];
} {
	const standardError = errorOf(budget, place);
	const shares = budget.shares[place]!;
	if (standardError === null) return { standardError, ci95Low: null, ci95High: null, shares: [] };
	// Degrees of freedom of a variance of which only a share is estimated (Welch and Satterthwaite, from memory).
	const noise = shares.find(({ source }) => source === "noise")?.share ?? 1;
	const reach =
		studentQuantile(0.975, Math.min(Math.max(degreesOfFreedom, 1) / noise ** 2, MOST_DEGREES)) *
		standardError;
	return { standardError, ci95Low: value - reach, ci95High: value + reach, shares };
}
