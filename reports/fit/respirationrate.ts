import type { ErrorShare, Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { type ShownValue, shownNumbers, withItsError } from "./fitvalues.ts";

/** From kg CO2 per kg and s to mg/(kg h). */
const MG_PER_KG_H = 3.6e9;

/** Respiration at the reference temperature, as it stands beside the CO2 output. */
export interface ShownRate {
	/** `at 18 °C` */
	readonly condition: string;
	readonly shown: ShownValue;
	/** What the scenario has, without its unit. */
	readonly scenario: string;
	readonly shares: readonly ErrorShare[];
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
export function shownRate(
	{ scenario }: Pick<Fit, "scenario">,
	given: Pick<FittedParameter, "status" | "alsoAs">,
	units: UnitSystem,
): ShownRate | null {
	const rate = given.alsoAs.find(({ quantity }) => quantity === "respiration rate");
	const [first] = scenario.substrate;
	if (rate === undefined || first === undefined || given.status === "fixed") return null;
	return {
		condition: conditionOf({ scenario }, units),
		shown: shownNumbers(rate, MG_PER_KG_H, "mg/(kg·h)", 1),
		scenario: String(
			Number((first.respirationRate.value * first.stageFactor.value * MG_PER_KG_H).toPrecision(4)),
		),
		shares: rate.shares,
	};
}

/** A rate of one day in mg/(kg h), with its error; – where none was found. */
export const dayRate = (rate: Fit["respirationRate"]): string => {
	if (rate === null) return "–";
	const error = rate.standardError === null ? null : rate.standardError * MG_PER_KG_H;
	return withItsError(rate.value * MG_PER_KG_H, error, 1);
};
