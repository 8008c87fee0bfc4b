import { chooseSetting } from "../choose/choose.ts";
import { withValues } from "../compare/uncertaininputs.ts";
import { freeVolumeM3 } from "../model/build.ts";
import { deliveredFlow, withDeliveredFlow } from "../model/fan/deliveredflow.ts";
import { inWords } from "../model/schedule/inwords.ts";
import type { Quantity, Scenario } from "../scenario/scenario.ts";
import type { Fit, FitTemperature } from "./fittypes.ts";
import { meanCelsius } from "./model/temperature.ts";
import type { Verification } from "./verification.ts";

/** Respiration counts as changed beyond so many standard errors and this share. */
const MIN_STANDARD_ERRORS = 3;
const MIN_CHANGE = 0.05;
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
	const measured = withDeliveredFlow(scenario, deliveredFlow(scenario).value * (flow?.factor ?? 1));
	const today = withValues(
		measured,
		new Map([
			...rates.map((rate) => [rate, rate.value * generation.factor] as const),
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
	const choice = chooseSetting(today, { draws: 100 });
	if (!choice.isFeasible)
		return {
			retune: null,
			noRetune: { code: "no feasible setting", bindingConstraint: choice.bindingConstraint },
		};
	const { schedule, summary } = choice.best;
	return {
		retune: {
			onSeconds: schedule.onSeconds,
			offSeconds: schedule.offSeconds,
			inWords: inWords(schedule),
			criterionPpm: summary.criterion.valuePpm,
		},
		noRetune: null,
	};
}
