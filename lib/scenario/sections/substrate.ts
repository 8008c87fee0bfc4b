import * as z from "zod";
import { speciesKeys, species as speciesTable, stageAliases } from "../../sources/fungi.ts";
import { duration, mapping, nameIn, quantity } from "../text/leaves.ts";
import { eachRising, rule } from "../text/rules.ts";

const speciesNames = Object.fromEntries(speciesKeys.map((key) => [key, speciesTable[key].aliases])) as Record<
	(typeof speciesKeys)[number],
	readonly string[]
>;

const rate = (description: string) =>
	quantity("respiration", description, { min: "0 mg/(kg h)", max: "20000 mg/(kg h)" });
const day = { min: "0 s", max: "1000 d" } as const;

const substrateItem = mapping(
	{
		// A crop that is not known must not be taken for one that stands twice the CO2: only a slip is offered.
		species: nameIn("species", speciesNames, "species of the crop; default unknown", 5).optional(),
		stage: nameIn("stage", stageAliases, "growth stage; default fruiting").optional(),
		mass: quantity("mass", "fresh (wet) mass", { above: "0 kg", max: "10000 t" }),
		rate: rate(
			"respiration rate: CO2 output per fresh mass at the reference temperature, at this stage; default: the published prior times the stage factor",
		).optional(),
		reference: quantity("temperature", "reference temperature of the rate; default: that of the prior", {
			min: "-20 C",
			max: "60 C",
		}).optional(),
		q10: quantity("number", "Q10: factor on the rate per 10 °C; default 2.4", {
			min: "1",
			max: "10",
		}).optional(),
		inhibition: quantity(
			"concentration",
			"CO2 that halves respiration; default: no inhibition",
			{ above: "0 ppm" },
			["50000 ppm", "5 %"],
		).optional(),
		density: quantity("density", "bulk density, to subtract the substrate from the chamber volume", {
			min: "20 kg/m3",
			max: "1500 kg/m3",
		}).optional(),
		volume: quantity("volume", "volume of the substrate, instead of the density", {
			above: "0 L",
		}).optional(),
		flush: mapping(
			{
				rise: quantity("duration", "middle of the rise, from the start", day, ["2 d"]),
				fall: quantity("duration", "middle of the fall, from the start", day, ["6 d"]),
				width: quantity(
					"duration",
					"time of the rise from 12 % to 88 %; default 1 d",
					{ above: "0 s", max: "100 d" },
					["1 d"],
				).optional(),
				low: quantity(
					"number",
					"factor before and after; default: that between flushes",
					{ min: "0", max: "20" },
					["0.5"],
				).optional(),
				high: quantity(
					"number",
					"factor at the peak; default: that of the flush peak",
					{ above: "0", max: "20" },
					["1.8"],
				).optional(),
			},
			"a flush: the rate rises and falls over days",
		)
			.check(
				rule(({ rise, fall }, say) => {
					if (rise !== undefined && fall !== undefined && fall.value <= rise.value)
						say("fall", "the fall must come after the rise");
				}),
			)
			.optional(),
		rates: z
			.array(
				mapping(
					{ at: duration("time from the start", day), rate: rate("respiration rate at that time") },
					"a rate at a time",
				),
				{
					error: "needs a list such as [{ at: 0 d, rate: 80 mg/(kg h) }, { at: 3 d, rate: 200 mg/(kg h) }]",
				},
			)
			.min(1, { error: "needs at least one { at, rate }" })
			.max(10_000, { error: "has more than 10000 entries" })
			.meta({ description: "rates over time instead of one rate, interpolated linearly" })
			.optional(),
	},
	"one kind of substrate",
).check(
	rule((item, say) => {
		if (item.density !== undefined && item.volume !== undefined) {
			say("volume", "conflicts with density; give one of the two");
		}
		if (item.rate !== undefined && item.rates !== undefined)
			say("rates", "conflicts with rate; give one of the two");
		if (item.flush !== undefined && item.rates !== undefined)
			say("rates", "conflicts with flush; give one of the two");
		if (item.flush !== undefined && item.stage !== undefined && item.stage !== "fruiting") {
			say("flush", "conflicts with a stage; the flush has its own factors, so omit the stage");
		}
		eachRising(
			(item.rates ?? []).map((entry) => entry?.at),
			(index) => say(["rates", index, "at"], "the times must rise from entry to entry"),
		);
	}),
);

/** The source of CO2. */
export const substrate = z
	.union(
		[
			substrateItem,
			z
				.array(substrateItem)
				.min(1, { error: "needs at least one entry such as { species: oyster, mass: 5 kg }" })
				.max(200, { error: "has more than 200 entries" }),
		],
		{ error: 'needs "key: value" lines such as { species: oyster, mass: 5 kg }, or a list of them' },
	)
	.meta({ description: "the source of CO2: one, or a list of several" });
