import type { Scenario } from "../scenario/scenario.ts";
import type { FittedParameter, FittedRespirationRate } from "./fittypes.ts";

/**
 * Respiration per fresh mass of the first substrate, all substrates scaled alike: what was found over what the scenario has for the
 * same hours, times the rate that it writes. So temperature, stage and CO2 have their part in what is given off, not in the rate.
 * @returns null where nothing was found, or the scenario has no crop
 */
export function computeRespirationRate(
	{ substrate: [first] }: Pick<Scenario, "substrate">,
	{
		status,
		value,
		initial,
		standardError,
	}: Pick<FittedParameter, "status" | "value" | "initial" | "standardError">,
): FittedRespirationRate | null {
	if (status === "fixed" || first === undefined || !(initial > 0)) return null;
	const per = (first.respirationRate.value * first.stageFactor.value) / initial;
	return { value: value * per, standardError: standardError === null ? null : standardError * per };
}

/** The rate of a parameter, with an error that knows of mass, pressure and temperature too; null where there is none. */
export function rateOf(
	parameter: Pick<FittedParameter, "status" | "alsoAs"> | undefined,
): FittedRespirationRate | null {
	const found = parameter?.alsoAs.find(({ quantity }) => quantity === "respiration rate");
	return found === undefined ? null : { value: found.value, standardError: found.standardError };
}
