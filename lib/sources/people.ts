import { published } from "./published.ts";

const PERSILY =
	"Persily & de Jonge 2017, Indoor Air 27:868–879, equation behind table 4, as copied into two open programs";

/** What (20) goes by: RQ, basal metabolism of an adult of 30 to 40 years [MJ/day] and the factor of its units. */
export const METABOLIC_CO2 = {
	respiratoryQuotient: 0.85,
	/** 0.048 MJ/(kg day) × 87 kg + 3.653 MJ/day (Schofield, read second hand; mass from memory). */
	basalMegajoulePerDay: 0.048 * 87 + 3.653,
	factor: 0.000211,
	source: PERSILY,
} as const;

/** Limits of CO2 at work, of which the strictest short one serves where no country is told [ppm]. */
export const WORK_CO2_8_HOURS = published(
	5000,
	"ppm",
	"limits at work of the EU, the UK, Germany and the USA",
	"read second hand",
	"strong",
);
export const WORK_CO2_15_MINUTES = published(
	10_000,
	"ppm",
	"Germany: twice the shift value, at most four times a shift (trade association); UK 15,000, USA 30,000",
	"read",
	"strong",
);
