import { findRoot } from "../../lib/solve/root.ts";
import { box, HOUR, ppmAfter, SUPPLY_PPM } from "./box.ts";
import type { Answer, Inputs } from "./check.ts";

const START = 1000;
/** Share of the excess that is left after a purge of so many hours. */
const left = (airChangesPerHour: number, hours: number) =>
	(ppmAfter(box(0, airChangesPerHour), hours * HOUR, "continuous", SUPPLY_PPM + START) - SUPPLY_PPM) / START;

/** Purge without a source, and build-up without air. */
export function decay(id: string, { one, list }: Inputs): Record<string, Answer> | undefined {
	switch (id) {
		case "DEC-04":
			return {
				fraction: {
					what: "share purged after 1 to 4.6 air changes",
					ours: list("n").map((n) => 1 - left(10, n / 10)),
				},
			};
		case "DEC-06": {
			const model = {
				...box(0, 50),
				volumeM3: one("V_m3"),
				generationM3PerS: one("G_L_per_h") / 1000 / HOUR,
			};
			return {
				C_ppm: {
					what: "ppm in a closed chamber after 20 min",
					ours: ppmAfter(model, one("t_min") * 60, "off", one("C0_ppm")),
				},
			};
		}
		case "ACH-01": {
			const minutesTo = (share: number) =>
				list("ACH").map((ach) => 60 * findRoot((hours) => left(ach, hours) - share, 1e-3, 10));
			return {
				t99_min: { what: "minutes to purge 99 % at 2 to 50 air changes an hour", ours: minutesTo(0.01) },
				t999_min: { what: "minutes to purge 99.9 % at 2 to 50 air changes an hour", ours: minutesTo(0.001) },
			};
		}
		case "ACH-03":
			return {
				fraction: {
					what: "share left after 0.5 to 5 air changes",
					ours: list("n").map((n) => left(4, n / 4)),
				},
			};
	}
	return undefined;
}
