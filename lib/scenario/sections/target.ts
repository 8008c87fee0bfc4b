import * as z from "zod";
import { CONFIDENCE } from "../../sources/disturbances.ts";
import type { Quantity } from "../scenario.ts";
import { isMeasured, type Measured, mapping, oneOf, quantity } from "../text/leaves.ts";
import { rule } from "../text/rules.ts";

const ppm = (description: string, bounds: { min?: string; above?: string }, example: string) =>
	quantity("concentration", description, { ...bounds, max: "1000000 ppm" }, [example]);
const ceiling = (of: string) => ppm(`CO2 ceiling ${of}`, { above: "0 ppm" }, "1000 ppm").optional();
const floor = (of: string) =>
	ppm(`lower end of a wanted CO2 band, ${of}`, { min: "0 ppm" }, "1300 ppm").optional();
const needs = (example: string) => ({
	error: `needs a CO2 level such as "1000 ppm", or levels such as ${example}`,
});

/** What the crop tolerates. */
export const target = mapping(
	{
		ceiling: z
			.union(
				[
					ppm(
						"CO2 ceiling, never to be exceeded by the judged value; default: that of species and stage",
						{ above: "0 ppm" },
						"1000 ppm",
					),
					mapping(
						{
							peak: ceiling("of the peak"),
							"worst hour": ceiling("of the worst hour"),
							mean: ceiling("of the mean"),
						},
						"several ceilings, all to be kept",
					),
				],
				needs("{ peak: 1200 ppm, worst hour: 1000 ppm }"),
			)
			.optional(),
		floor: z
			.union(
				[
					ppm(
						"lower end of a wanted CO2 band, for the mean; default none, except for enoki",
						{ min: "0 ppm" },
						"1300 ppm",
					),
					mapping(
						{ mean: floor("for the mean"), trough: floor("for the trough"), peak: floor("for the peak") },
						"floors by the value that is held against them",
					),
				],
				needs("{ trough: 700 ppm }"),
			)
			.optional(),
		on: oneOf(
			["peak", "mean", "worst hour"],
			"the judged value, which must stay under the ceiling; default peak",
		).optional(),
		humidity: mapping(
			{
				floor: quantity(
					"fraction",
					"lowest relative humidity",
					{ min: "0 %", below: "100 %", isSingle: true },
					["85 %"],
				).optional(),
				on: oneOf(["trough", "mean"], "the value that the floor is for; default trough").optional(),
				ceiling: quantity(
					"fraction",
					"highest relative humidity of the peak",
					{ above: "0 %", max: "100 %", isSingle: true },
					["98 %"],
				).optional(),
			},
			"relative humidity to be held as well",
		)
			.check(
				rule(({ floor, ceiling }, say, intact) => {
					if (intact && floor === undefined && ceiling === undefined)
						say([], "needs floor: 85 %, ceiling: 98 %, or both");
					if (floor !== undefined && ceiling !== undefined && floor.value >= ceiling.value)
						say("floor", "must be below the ceiling");
				}),
			)
			.optional(),
		confidence: quantity(
			"fraction",
			`chance with which a chosen setting is to meet the target; default ${CONFIDENCE.value} %`,
			{ min: "50 %", below: "100 %", isSingle: true },
			["90 %"],
		).optional(),
	},
	"what the crop tolerates",
).check(
	rule(({ ceiling, floor, on }, say) => {
		const [ceilings, floors] = [levelsOf(ceiling, on ?? "peak"), levelsOf(floor, "mean")];
		if (on !== undefined && ceiling !== undefined && !isMeasured(ceiling))
			say("on", "conflicts with a ceiling that names its values; give one of the two");
		for (const [key, level, levels] of [
			["ceiling", ceiling, ceilings],
			["floor", floor, floors],
		] as const)
			if (level !== undefined && levels.length === 0) say(key, "needs at least one level");
		const lowest = Math.min(...ceilings.map(({ level }) => level.value));
		if (floors.some(({ level }) => level.value >= lowest))
			say("floor", `must be below the ceiling (${Math.round(lowest)} ppm)`);
	}),
);

/** Levels with the value that each is for: one alone is for the value that is named beside it. */
export const levelsOf = <Key extends string, M extends Measured | Quantity = Measured>(
	given: M | { readonly [K in Key]?: M | undefined } | undefined,
	alone: Key,
): readonly { readonly on: Key; readonly level: M }[] => {
	if (given === undefined) return [];
	if ("dimension" in given) return [{ on: alone, level: given as M }];
	return Object.entries(given).flatMap(([on, level]) =>
		level === undefined ? [] : [{ on: on as Key, level: level as M }],
	);
};
