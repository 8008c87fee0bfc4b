import { figure, type Published } from "./published.ts";

/** A clean filter: pressure drop [Pa] at a face velocity [m/s]; the drop grows in proportion to the flow within about 10 %. */
export interface FilterRating {
	readonly drop: Published;
	readonly faceVelocity: Published;
}

const handbook = "filter data sheets";

/** Clean filters of one inch, and high-efficiency panels, as rated. */
export const FILTERS = {
	"MERV 8": {
		drop: figure(32, "Pa", `${handbook}: MERV 8, 1 inch, clean`, "read", "medium"),
		faceVelocity: figure(2.54, "m/s", handbook, "read", "medium"),
	},
	"MERV 13": {
		drop: figure(
			67,
			"Pa",
			`${handbook}: MERV 13, clean, 0.17..0.31 in. of water at rated face velocity`,
			"read",
			"medium",
			42,
			77,
		),
		faceVelocity: figure(2.54, "m/s", handbook, "read", "medium"),
	},
	HEPA: {
		drop: figure(112, "Pa", `${handbook}: HEPA, micro-pleat, clean`, "read", "medium"),
		faceVelocity: figure(0.457, "m/s", handbook, "read", "medium"),
	},
} as const satisfies Readonly<Record<string, FilterRating>>;

export type FilterKind = keyof typeof FILTERS;

/** A filter is changed when its drop has grown to so many times the clean one. */
export const LOADED_FILTER = figure(2, "", "replace when the pressure drop has doubled", "read", "medium");

/** Darcy friction factor of a duct at 10 000 to 50 000 Reynolds, by its wall. */
export const DUCT_FRICTION = {
	rigid: figure(0.024, "", "smooth pipe at Reynolds 30 000 (Blasius)", "from memory", "medium", 0.02, 0.03),
	flexible: figure(
		0.031,
		"",
		"stretched flexible duct: 1.3 times the smooth pipe",
		"from memory",
		"soft",
		0.024,
		0.04,
	),
	sagging: figure(
		0.04,
		"",
		"sagging flexible duct: 1.65 times the smooth pipe",
		"from memory",
		"soft",
		0.031,
		0.06,
	),
} as const;

export type DuctKind = keyof typeof DUCT_FRICTION;

/** Pressure losses over the dynamic pressure of the duct [-]. */
export const ENTRY_LOSS = figure(0.5, "", "sharp edge flush with a wall: textbooks", "from memory", "medium");
export const EXIT_LOSS = figure(1, "", "free jet: the dynamic pressure is lost", "from memory", "solid");
export const BEND_LOSS = figure(0.5, "", "a bend of 90 degrees", "judgement", "soft", 0.2, 1);

/** Discharge coefficient of a sharp-edged opening. */
export const DISCHARGE = figure(0.62, "", "sharp edge: textbooks", "from memory", "medium", 0.6, 0.65);
