import * as z from "zod";
import type { SpeciesKey, StageKey } from "../../sources/fungi.ts";
import { CASED_EVAPORATION, CROP_EVAPORATION, SURFACE_TRANSFER, surfaceKeys } from "../../sources/water.ts";
import { formatQuantity } from "../../units/format.ts";
import { assumedQuantity, type Located, publishedDefault } from "../origins.ts";
import type { Quantity, Scenario, Substrate } from "../scenario.ts";
import { duration, mapping, oneOf, quantity } from "../text/leaves.ts";
import { rule } from "../text/rules.ts";

const share = (description: string, example: string) =>
	quantity("fraction", description, { min: "0 %", max: "100 %" }, [example]);

const humidifier = mapping(
	{
		output: quantity("mass flow", "water that it gives while on", { above: "0 g/h", max: "1000 kg/h" }),
		"after-burst": duration("it runs for so long after each burst of the fan", {
			above: "0 s",
			max: "1 d",
		}).optional(),
		on: duration("on-time of a clock of its own", { above: "0 s", max: "1 d" }).optional(),
		off: duration("off-time of that clock", { above: "0 s", max: "1 d" }).optional(),
		below: share("it switches on below this relative humidity, by a hygrostat", "85 %").optional(),
		until: share("and off at this one", "90 %").optional(),
		delay: duration("from the crossing to the switch: the lag of hygrostat and mist; default 0 s", {
			min: "0 s",
			max: "1 h",
		}).optional(),
	},
	"a humidifier: after each burst, by a clock of its own, or by a hygrostat",
).check(
	rule(({ on, off, below, until, delay, "after-burst": after }, say, intact) => {
		const ways = [after, on ?? off, below ?? until].filter((way) => way !== undefined).length;
		if (intact && ways !== 1)
			say(
				[],
				`needs one way to run: after-burst: 8 s, or on: 10 s with off: 5 min, or below: 85 % with until: 90 %${ways > 1 ? "; it has several" : ""}`,
			);
		if (intact && (on === undefined) !== (off === undefined))
			say(on === undefined ? "off" : "on", "needs on and off both, such as on: 10 s with off: 5 min");
		if (intact && (below === undefined) !== (until === undefined))
			say(
				below === undefined ? "until" : "below",
				"needs below and until both, such as below: 85 % with until: 90 %",
			);
		if (below !== undefined && until !== undefined && until.value <= below.value)
			say("until", 'must be a humidity higher than that of "below"');
		if (delay !== undefined && below === undefined && intact)
			say("delay", "belongs to a hygrostat: below and until");
	}),
);

/** What gives water and what takes it. */
export const water = mapping(
	{
		evaporation: z
			.union(
				[
					quantity(
						"flow",
						"evaporation of crop and wet surfaces, as the air that would leave saturated; default by species and stage",
						{ min: "0 m3/h", max: "100000 m3/h" },
						["1.2 m3/h", "0.3..3 m3/h"],
					),
					mapping(
						{
							surface: oneOf(surfaceKeys, "what is wet"),
							area: quantity("area", "its area", { above: "0 m2", max: "10000 m2" }, ["0.5 m2"]),
						},
						"a wet surface",
					),
				],
				{ error: 'needs a flow such as "1.2 m3/h", or { surface: casing, area: 0.5 m2 }' },
			)
			.optional(),
		humidifier: humidifier.optional(),
		walls: mapping(
			{
				area: quantity(
					"area",
					"inner area of the walls; default that of a box",
					{ above: "0 m2", max: "10000 m2" },
					["2.2 m2"],
				).optional(),
				transmittance: quantity(
					"heat transmittance",
					"U: heat through the wall per area and kelvin: 5.3 for thin plastic, 2.8 twin-wall, 0.6 for 5 cm of foam",
					{ min: "0 W/(m2 K)", max: "20 W/(m2 K)" },
				),
				room: quantity("temperature", "temperature around the chamber", { min: "-40 C", max: "60 C" }),
			},
			"the walls, on which water condenses where the room is colder",
		).optional(),
	},
	"water: what evaporates, what a humidifier gives, what condenses; the humidity is then worked out",
);

type Given = Located<z.output<typeof water>>;

/** Evaporation of the crop by species and stage, all entries together [m3/s]. */
function cropEvaporation(substrate: readonly Substrate[]): Quantity {
	const parts = substrate.map(({ species, stage, mass }) => {
		const isCased = (species as SpeciesKey) === "button" && stage !== "spawn run" && stage !== "colonised";
		const prior = publishedDefault(isCased ? CASED_EVAPORATION : CROP_EVAPORATION[stage as StageKey], "flow");
		return { prior, mass: mass.value };
	});
	const sum = (pick: (prior: Quantity) => number) =>
		parts.reduce((all, { prior, mass }) => all + mass * pick(prior), 0);
	const value = sum((prior) => prior.value);
	const text = formatQuantity(value, "flow");
	const origin = parts[0]!.prior.origin as Extract<Quantity["origin"], { kind: "default" }>;
	return {
		...assumedQuantity(value, "flow", text, origin.source, origin.evidence),
		low: sum((prior) => prior.low!),
		high: sum((prior) => prior.high!),
		distribution: "log-normal",
	};
}

/** Evaporation of a surface by its kind [m3/s]. */
function surfaceEvaporation(kind: (typeof surfaceKeys)[number], area: Quantity): Quantity {
	const transfer = publishedDefault(SURFACE_TRANSFER[kind], "velocity");
	return {
		value: transfer.value * area.value,
		low: transfer.low! * (area.low ?? area.value),
		high: transfer.high! * (area.high ?? area.value),
		dimension: "flow",
		text: `${area.text} of ${kind}`,
		origin: transfer.origin,
		distribution: "log-normal",
	};
}

/** @param isAsked a target speaks of humidity, so that it must be worked out */
export const buildWater = (
	given: Given | undefined,
	isAsked: boolean,
	substrate: readonly Substrate[],
): Scenario["water"] => {
	if (given === undefined && !isAsked) return null;
	const { evaporation, humidifier: mist, walls } = given ?? {};
	return {
		evaporation:
			evaporation === undefined
				? cropEvaporation(substrate)
				: "surface" in evaporation
					? surfaceEvaporation(evaporation.surface, evaporation.area)
					: evaporation,
		humidifier:
			mist === undefined
				? null
				: {
						output: mist.output,
						control:
							mist["after-burst"] !== undefined
								? { kind: "after burst", seconds: mist["after-burst"] }
								: mist.on !== undefined
									? { kind: "clock", onSeconds: mist.on, offSeconds: mist.off! }
									: {
											kind: "hygrostat",
											below: mist.below!,
											until: mist.until!,
											delaySeconds: mist.delay ?? 0,
										},
					},
		walls: walls === undefined ? null : { ...walls, area: walls.area ?? null },
	};
};
