import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import type { Dumbbell } from "../charts/section/dumbbells.ts";
import type { Head } from "../page/head.ts";
import { nameOf } from "../page/sections.ts";
import { percentOf, plainValue, shownValue } from "./fitvalues.ts";
import { soughtOf, testWords } from "./fitwords.ts";

const SHORT_NAMES: Readonly<Partial<Record<FitName, string>>> = {
	generation: "CO₂ output",
	flow: "Delivered flow",
	leak: "Leakage",
	response: "Sensor response",
};

/** The answer in at most six words: the first value that differs from the scenario's. */
function answerOf(fit: Fit, determined: readonly FittedParameter[]): string {
	if (!fit.residuals.isAdequate) return "The model does not follow.";
	if (determined.length === 0) return "The log determines no value.";
	const known = determined.filter(({ name, initial }) => SHORT_NAMES[name] !== undefined && initial > 0);
	const other = known.find((one) => Math.abs(one.value - one.initial) > 2 * (one.standardError ?? 0));
	if (other === undefined)
		return known.length === 0
			? `The log determines ${determined[0]!.label}.`
			: "No value differs from the scenario.";
	const ratio = other.value / other.initial;
	return ratio > 2
		? `${SHORT_NAMES[other.name]} ${Number(ratio.toPrecision(2))} times the scenario’s.`
		: `${SHORT_NAMES[other.name]} ${percentOf(ratio - 1).replace(" ", "\u00a0")} ${ratio > 1 ? "above" : "below"} scenario.`;
}

/** State, answer and the first two values that the log determines. */
export function headOf(fit: Fit, units: UnitSystem): Head {
	const sought = soughtOf(fit);
	const determined = fit.residuals.isAdequate ? sought.filter(({ isIdentifiable }) => isIdentifiable) : [];
	const isAll = determined.length === sought.length;
	return {
		state: determined.length === 0 ? "fails" : isAll ? "holds" : "doubt",
		word:
			determined.length === 0
				? "NOT DETERMINED"
				: isAll
					? "DETERMINED"
					: `${determined.length} OF ${sought.length} DETERMINED`,
		what: [fit.scenario.name, `${testWords(fit)}: ${nameOf(fit.series.log.fileName)}`],
		answer: answerOf(fit, determined),
		figures: determined.slice(0, 2).map((one) => {
			const { value, unit } = shownValue(one, units);
			return {
				value,
				unit,
				name: one.label,
				note: `scenario: ${plainValue(one.name, one.initial, units)}`,
			};
		}),
	};
}

/** What the log says of each value, as a factor of what the scenario gives. */
export const dumbbellsOf = (fit: Fit, units: UnitSystem): readonly Dumbbell[] =>
	soughtOf(fit)
		.filter(({ initial, name }) => initial > 0 && name !== "offset")
		.map((one) => {
			const { value, error, unit } = shownValue(one, units);
			const of = (bound: number | null): number | null => (bound === null ? null : bound / one.initial);
			const isFound = one.isIdentifiable && fit.residuals.isAdequate;
			return {
				name: one.label,
				factor: isFound ? one.value / one.initial : null,
				low: of(one.ci95Low),
				high: of(one.ci95High),
				foundWords: isFound
					? `${value}${unit === "" ? "" : ` ${unit}`}${error === null ? "" : ` (SE ${error})`}`
					: "not determined",
				expectedWords: `scenario: ${plainValue(one.name, one.initial, units)}`,
			};
		});
