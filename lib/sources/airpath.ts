import { type PublishedValue, published } from "./published.ts";

/** A clean filter: pressure drop [Pa] at a face velocity [m/s]; the drop grows in proportion to the flow within about 10 %. */
export interface FilterRating {
	readonly drop: PublishedValue;
	readonly faceVelocity: PublishedValue;
}

const handbook = "filter data sheets";

/** Clean filters of one inch, and high-efficiency panels, as rated. */
export const FILTERS = {
	"MERV 8": {
		drop: published(32, "Pa", `${handbook}: MERV 8, 1 inch, clean`, "read", "moderate"),
		faceVelocity: published(2.54, "m/s", handbook, "read", "moderate"),
	},
	"MERV 13": {
		drop: published(
			67,
			"Pa",
			`${handbook}: MERV 13, clean, 0.17..0.31 in. of water at rated face velocity`,
			"read",
			"moderate",
			42,
			77,
		),
		faceVelocity: published(2.54, "m/s", handbook, "read", "moderate"),
	},
	HEPA: {
		drop: published(112, "Pa", `${handbook}: HEPA, micro-pleat, clean`, "read", "moderate"),
		faceVelocity: published(0.457, "m/s", handbook, "read", "moderate"),
	},
} as const satisfies Readonly<Record<string, FilterRating>>;

export type FilterKind = keyof typeof FILTERS;

/** A filter is changed when its drop has grown to so many times the clean one. */
// biome-ignore format: a record reads best on one line
export const LOADED_PRESSURE_DROP_RATIO = published(2, "", "replace when the pressure drop has doubled", "read", "moderate");

/** Darcy friction factor of a duct at 10 000 to 50 000 Reynolds, by its wall. */
// biome-ignore format: a record reads best on one line
export const DUCT_FRICTION = {
	rigid: published(0.024, "", "smooth pipe at Reynolds 30 000 (Blasius)", "from memory", "moderate", 0.02, 0.03),
	flexible: published(0.031, "", "stretched flexible duct: 1.3 times the smooth pipe", "from memory", "weak", 0.024, 0.04),
	sagging: published(0.04, "", "sagging flexible duct: 1.65 times the smooth pipe", "from memory", "weak", 0.031, 0.06),
} as const;

export type DuctKind = keyof typeof DUCT_FRICTION;

/** Pressure losses over the dynamic pressure of the duct [-]. */
// biome-ignore format: a record reads best on one line
export const ENTRY_LOSS = published(0.5, "", "sharp edge flush with a wall: textbooks", "from memory", "moderate");
export const EXIT_LOSS = published(1, "", "free jet: the dynamic pressure is lost", "from memory", "strong");
export const BEND_LOSS = published(0.5, "", "a bend of 90 degrees", "judgement", "weak", 0.2, 1);

/** Discharge coefficient of a sharp-edged opening. */
// biome-ignore format: a record reads best on one line
export const DISCHARGE_COEFFICIENT = published(0.62, "", "sharp edge: textbooks", "from memory", "moderate", 0.6, 0.65);
