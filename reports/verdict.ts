import type { Summary } from "../lib/solve/summary.ts";
import type { Comparison } from "../lib/study/compare.ts";
import { formatQuantity, type UnitSystem } from "../lib/units.ts";

export const ppm = (value: number): string => `${Math.round(value)} ppm`;

export const judgedPhrase = ({ judged }: Summary): string =>
	`${judged.on === "peak" ? "a peak" : judged.on === "mean" ? "a mean" : "a worst hour"} of ${ppm(judged.valuePpm)}`;

export const targetPhrase = ({ judged }: Summary): string =>
	judged.floorPpm === null
		? `the ceiling of ${ppm(judged.ceilingPpm)} on the ${judged.on}`
		: `the band of ${Math.round(judged.floorPpm)} to ${ppm(judged.ceilingPpm)}`;

export const airPhrase = (summary: Summary, units: UnitSystem): string =>
	`${formatQuantity(summary.freshAirM3PerDay, "volume", units)} of fresh air a day`;

/** An answer and the sentence that gives its grounds. */
export interface Verdict {
	readonly answer: "Yes" | "No";
	readonly grounds: string;
}

/** Whether one schedule holds the target, in words. */
export const verdictOfOne = (name: string, summary: Summary, units: UnitSystem): Verdict => ({
	answer: summary.judged.within ? "Yes" : "No",
	grounds: `“${name}” ${summary.judged.within ? "holds" : "misses"} ${targetPhrase(summary)}: ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`,
});

/** The answer to a comparison in words. */
export function verdictOf({ schedules, winner, nearest }: Comparison, units: UnitSystem): Verdict {
	const holding = schedules.filter(({ summary }) => summary.judged.within);
	const named = schedules.find(({ name }) => name === (winner ?? nearest)) ?? schedules[0];
	if (named === undefined) return { answer: "No", grounds: "There is no schedule." };
	const { name, summary } = named;
	if (schedules.length === 1) return verdictOfOne(name, summary, units);
	if (winner === null)
		return {
			answer: "No",
			grounds: `None of the ${schedules.length} schedules holds ${targetPhrase(summary)}. The nearest is “${name}”: ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`,
		};
	return {
		answer: "Yes",
		grounds:
			holding.length === 1
				? `“${name}” alone holds ${targetPhrase(summary)}: ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`
				: `${holding.length} of ${schedules.length} schedules hold ${targetPhrase(summary)}. “${name}” needs the least air: ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`,
	};
}
