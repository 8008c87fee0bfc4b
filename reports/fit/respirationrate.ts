import type { Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { percentOf, type ShownValue, toItsError } from "./fitvalues.ts";

/** From kg CO2 per kg and s to mg/(kg h). */
const MG_PER_KG_H = 3.6e9;

/** Respiration at the reference temperature, as it stands beside the CO2 output. */
export interface ShownRate {
	/** `at 18 °C` */
	readonly condition: string;
	readonly shown: ShownValue;
	/** What the scenario has, without its unit. */
	readonly scenario: string;
}

/** `at 18 °C`, of the first substrate where there are several. */
function conditionOf({ scenario }: Pick<Fit, "scenario">, units: UnitSystem): string {
	const [first, ...others] = scenario.substrate;
	if (first === undefined) return "";
	const whose = others.length > 0 ? `of ${first.species} ` : "";
	const stage = first.flush === null ? "" : ", flush left out";
	return `${whose}at ${formatQuantity(first.reference.value, "temperature", units)}${stage}`;
}

/** `respiration rate at 18 °C` */
export const rateName = (fit: Pick<Fit, "scenario">, units: UnitSystem): string =>
	`respiration rate ${conditionOf(fit, units)}`;

/** The rate that goes with what was given off; null where none was found. */
export function shownRate(fit: Fit, given: FittedParameter, units: UnitSystem): ShownRate | null {
	const { respirationRate: rate, scenario } = fit;
	const [first] = scenario.substrate;
	if (rate === null || first === undefined || !(given.value > 0)) return null;
	const per = (rate.value / given.value) * MG_PER_KG_H;
	const error = given.standardError === null ? null : given.standardError * per;
	const show = (value: number): string => toItsError(value, error, 1);
	const { ci95Low: low, ci95High: high } = given;
	return {
		condition: conditionOf(fit, units),
		shown: {
			value: show(given.value * per),
			error: error === null ? null : show(error),
			percent: given.standardError === null ? null : percentOf(given.standardError / given.value),
			interval: low === null || high === null ? null : `${show(low * per)} to ${show(high * per)}`,
			unit: "mg/(kg·h)",
		},
		scenario: String(
			Number((first.respirationRate.value * first.stageFactor.value * MG_PER_KG_H).toPrecision(4)),
		),
	};
}

/** A rate of one day in mg/(kg h), with its error; – where none was found. */
export const dayRate = (rate: Fit["respirationRate"]): string => {
	if (rate === null) return "–";
	const error = rate.standardError === null ? null : rate.standardError * MG_PER_KG_H;
	return `${toItsError(rate.value * MG_PER_KG_H, error, 1)}${error === null ? "" : ` (SE ${toItsError(error, error, 1)})`}`;
};
