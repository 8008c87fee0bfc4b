import type { ChoiceStatus } from "./choosetypes.ts";

/** Ends of "an even chance", and the chance below which a setting fails [0..1]: usual words for chances, by convention. */
const EVEN_FROM = 0.4;
const EVEN_TO = 0.6;
const FAILS_BELOW = 0.1;

/** How a setting stands that lacks the chance asked for, by the chance that it has [0..1]. */
export const gradeChance = (probability: number): Exclude<ChoiceStatus, "holds"> =>
	probability < FAILS_BELOW
		? "fails"
		: probability < EVEN_FROM
			? "unlikely"
			: probability <= EVEN_TO
				? "even chance"
				: "likely";
