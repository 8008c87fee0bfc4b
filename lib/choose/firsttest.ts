import type { FeasibleChoice, FieldTest, Sensitivity } from "./choosetypes.ts";

/** A field test, and the air per day that it is expected to save. */
export interface FirstTest extends Omit<Sensitivity, "fieldTest" | "expectedAirM3PerDay"> {
	readonly fieldTest: FieldTest;
	/** 0 where it is not known or hardly matters [m3]. */
	readonly savedM3PerDay: number;
}

/** The measurable input whose test is expected to save most air; where that is not known, the one that causes most of the variation. */
export function findFirstTest({
	complianceProbability,
	recommended,
}: Pick<FeasibleChoice, "complianceProbability" | "recommended">): FirstTest | null {
	const { freshAirM3PerDay } = recommended.summary;
	const tests = (complianceProbability?.inputs ?? []).flatMap(
		({ fieldTest, expectedAirM3PerDay, ...input }): FirstTest[] =>
			fieldTest === null
				? []
				: [
						{
							...input,
							fieldTest,
							savedM3PerDay: expectedAirM3PerDay === null ? 0 : freshAirM3PerDay - expectedAirM3PerDay,
						},
					],
	);
	return tests.toSorted((a, b) => b.savedM3PerDay - a.savedM3PerDay)[0] ?? null;
}
