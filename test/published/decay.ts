import { parseScenario } from "../../lib/index.ts";
import { findRoot } from "../../lib/solve/root.ts";
import { fitSeries } from "../fit/exactfit.ts";
import { seriesOf } from "../fit/syntheticlog.ts";
import { box, HOUR, ppmAfter, SUPPLY_PPM } from "./box.ts";
import type { Answer, Inputs } from "./check.ts";
import { fitLaw } from "./leastsquares.ts";

const START = 1000;
/** Share of the excess that is left after a purge of so many hours. */
const left = (airChangesPerHour: number, hours: number) =>
	(ppmAfter(box(0, airChangesPerHour), hours * HOUR, "continuous", SUPPLY_PPM + START) - SUPPLY_PPM) / START;

/** Straight line through the logarithms of the excess over hours. */
const byLogarithms = (minutes: readonly number[], ppm: readonly number[], background: number) =>
	fitLaw(
		([height, perH], h) => [height! - perH! * h, 1, -h],
		minutes.map((t) => t / 60),
		ppm.map((c) => Math.log(c - background)),
		[0, 0],
	);

/** What `fit --test decay` finds in an empty chamber of 1 m3. */
function byDecayTest(minutes: readonly number[], ppm: readonly number[], background: number): number {
	const scenario = parseScenario(
		`chamber: { volume: 1 m3 }\nintake: { co2: ${background} ppm }\nsubstrate: { mass: 1 kg }\nfan: { flow: 1 m3/h }\nschedules: { a: off }`,
	);
	const seconds = Float64Array.from(minutes, (t) => 60 * t);
	const series = seriesOf(seconds, Float64Array.from(ppm), seconds[1]!);
	const leak = fitSeries(scenario, series, { test: "decay" }).parameters.find(({ name }) => name === "leak");
	return (leak?.value ?? Number.NaN) * HOUR;
}

/** Purge without a source, build-up without air, and what a logged decay tells. */
export function decay(id: string, { one, list }: Inputs): Record<string, Answer> | undefined {
	switch (id) {
		case "DEC-01": {
			const { values, standardErrors } = byLogarithms(list("t_min"), list("C_ppm"), one("C_bg_ppm"));
			return {
				ACH: { what: "air changes per hour by a decay, by its logarithms", ours: values[1]! },
				intercept_excess_ppm: { what: "ppm above the background at its start", ours: Math.exp(values[0]!) },
				se_slope_per_h: { what: "standard error of those air changes", ours: standardErrors[1]! },
			};
		}
		case "DEC-01-fit":
			return {
				ACH: [
					{
						what: "air changes per hour by the same decay, without logarithms",
						ours: fitLaw(
							([ppm, perH], h) => {
								const left = Math.exp(-perH! * h);
								return [ppm! * left, left, -h * ppm! * left];
							},
							list("t_min").map((minutes) => minutes / 60),
							list("C_ppm").map((ppm) => ppm - one("C_bg_ppm")),
							[1000, 1],
						).values[1]!,
					},
					{
						what: "air changes per hour by the decay test of a log",
						ours: byDecayTest(list("t_min"), list("C_ppm"), one("C_bg_ppm")),
					},
				],
			};
		case "DEC-03":
			return {
				ACH: {
					what: "air changes per hour when the background is taken 20 ppm too low or too high",
					ours: list("C_bg_ppm").map(
						(background) => byLogarithms(list("t_min"), list("C_ppm"), background).values[1]!,
					),
				},
			};
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
