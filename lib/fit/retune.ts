import { chooseSetting } from "../choose/choose.ts";
import { withValues } from "../compare/uncertaininputs.ts";
import { freeVolumeM3 } from "../model/build.ts";
import { withDeliveredFlow } from "../model/fan/deliveredflow.ts";
import { inWords } from "../model/schedule/inwords.ts";
import type { Quantity, Scenario } from "../scenario/scenario.ts";
import type { Fit, FitTemperature } from "./fittypes.ts";
import { meanCelsius } from "./model/temperature.ts";
import type { Verification } from "./verification.ts";

/** Respiration counts as changed beyond so many standard errors and this share. */
const MIN_STANDARD_ERRORS = 3;
const MIN_CHANGE = 0.05;
const RETUNE_DRAWS = 2000;
/** Half of a range from 5 to 95 % over its standard deviation. */
const Z_RANGE = 1.645;

/** A quantity times a factor that a fit found, with the error of that factor. */
const asMeasured = (
	{ value }: Quantity,
	{ factor, standardError }: NonNullable<Verification["generation"]>,
): Partial<Quantity> => {
	const spread = Z_RANGE * value * (standardError ?? 0);
	const isExact = spread === 0;
	return {
		value: value * factor,
		low: isExact ? null : Math.max(0, value * factor - spread),
		high: isExact ? null : value * factor + spread,
		distribution: "normal",
	};
};

/** The setting for crop and fan as they are today, when one is plainly not as assumed or the ceiling was passed. */
export function findRetune(
	scenario: Scenario,
	fit: Fit,
	temperature: FitTemperature,
	{ generation, flow }: Pick<Verification, "generation" | "flow">,
	isExceeded: boolean,
	isWithin: boolean,
): Pick<Verification, "retune" | "noRetune"> {
	if (generation === null)
		return {
			retune: null,
			noRetune: isExceeded || !isWithin ? { code: "no adequate model" } : null,
		};
	const differs = (one: Verification["generation"]) =>
		one !== null &&
		Math.abs(one.factor - 1) > Math.max(MIN_CHANGE, MIN_STANDARD_ERRORS * (one.standardError ?? 0));
	if (!differs(generation) && !differs(flow) && !isExceeded) return { retune: null, noRetune: null };
	const rates = scenario.substrate.flatMap((item): Quantity[] =>
		item.rates === null ? [item.respirationRate] : item.rates.map(({ respirationRate }) => respirationRate),
	);
	const { leak } = scenario.chamber;
	const infiltrationM3PerS = fit.parameters.find(({ name }) => name === "leak")!.value;
	const measured = withDeliveredFlow(scenario);
	const known = withValues(
		measured,
		new Map<Quantity, number | Partial<Quantity>>([
			...rates.map((rate) => [rate, asMeasured(rate, generation)] as const),
			...(flow === null ? [] : [[measured.fan.flow!, asMeasured(measured.fan.flow!, flow)] as const]),
			// Respiration and leak were found together, and go together.
			[
				leak,
				leak.dimension === "air changes" ? infiltrationM3PerS / freeVolumeM3(scenario) : infiltrationM3PerS,
			] as const,
			// A chamber that is warmer than was thought stays so.
			...(temperature.from === "log"
				? [[scenario.chamber.temperature.mean, meanCelsius(temperature)] as const]
				: []),
		]),
	);
	// What was measured just now has its own error, and no tolerance of a data sheet.
	const disturbances = scenario.disturbances.filter(({ key }) => key !== "fan" || flow === null);
	const choice = chooseSetting({ ...known, disturbances }, { draws: RETUNE_DRAWS });
	if (!choice.isFeasible)
		return {
			retune: null,
			noRetune: { code: "no feasible setting", bindingConstraint: choice.bindingConstraint },
		};
	if (choice.status !== "holds")
		return {
			retune: null,
			noRetune: {
				code: "no reliable setting",
				reliabilityPercent: choice.chanceConstrained!.reliabilityPercent,
				probability: choice.chanceConstrained!.probability,
			},
		};
	const { schedule, summary, probability } = choice.recommended;
	return {
		retune: {
			onSeconds: schedule.onSeconds,
			offSeconds: schedule.offSeconds,
			inWords: inWords(schedule),
			criterionPpm: summary.criterion.valuePpm,
			probability,
			reliabilityPercent: choice.reliabilityPercent,
		},
		noRetune: null,
	};
}
