import * as z from "zod";
import { fuse, supply, wire, wiring } from "./sections/circuit.ts";
import { correlations } from "./sections/correlations.ts";
import { disturbances } from "./sections/disturbances.ts";
import { fan } from "./sections/fan.ts";
import { scheduleSection } from "./sections/schedules.ts";
import { sensor } from "./sections/sensor.ts";
import { sensorSwitchSection } from "./sections/sensorswitch.ts";
import { substrate } from "./sections/substrate.ts";
import { target } from "./sections/target.ts";
import { limits, timer } from "./sections/timer.ts";
import { water } from "./sections/water.ts";
import { aliasedSections } from "./text/aliases.ts";
import { mapping, oneOf, quantity, timeOfDay, wholeNumber } from "./text/leaves.ts";
import { rule } from "./text/rules.ts";

const text = (description: string, maximum: number) =>
	z
		.string({ error: "needs a text" })
		.max(maximum, { error: `must be at most ${maximum} characters` })
		.meta({ description });

const kelvinRange = { min: "-20 C", max: "60 C" } as const;

const temperature = z
	.union(
		[
			quantity("temperature", "constant temperature", kelvinRange),
			mapping(
				{
					mean: quantity("temperature", "mean of the day", kelvinRange),
					swing: quantity(
						"temperature difference",
						"amplitude: plus or minus around the mean, half the difference between warmest and coolest",
						{ min: "0 K", max: "40 K" },
					),
					warmest: timeOfDay("time of day of the maximum; default 15:00").optional(),
				},
				"a daily cycle",
			).check(
				rule(({ mean, swing }, say) => {
					if (mean === undefined || swing === undefined) return;
					if (mean.value + swing.value > 60 || mean.value - swing.value < -20) {
						say("swing", "the mean plus or minus this leaves -20..60 °C");
					}
				}),
			),
		],
		{ error: 'needs a temperature such as "18 C", or { mean: 18 C, amplitude: 2 K, warmest: "15:00" }' },
	)
	.meta({
		description: "air temperature: one value, or a daily cycle; default: the reference of the species",
	});

const flowOrChanges = ["flow", "air changes"] as const;

const chamber = mapping(
	{
		volume: quantity("volume", "inner volume, including the substrate", { above: "0 L", max: "100000 m3" }),
		leak: quantity(
			flowOrChanges,
			"leakage: air exchange without the fan, as a flow or as air changes of the free volume; default 0.45 /h",
			{ min: "0" },
			["0.3 /h", "20 L/h"],
		).optional(),
		temperature: temperature.optional(),
		humidity: quantity("fraction", "relative humidity; default 90 %", { min: "0 %", max: "100 %" }, [
			"90 %",
		]).optional(),
		altitude: quantity("length", "height above sea level, which sets the air pressure; default 0 m", {
			min: "-500 m",
			max: "6000 m",
		}).optional(),
		pressure: quantity("pressure", "air pressure, instead of the altitude", {
			min: "40 kPa",
			max: "120 kPa",
		}).optional(),
		mixing: quantity(
			"fraction",
			"mixing: the share of the fan's air that mixes in; default 100 % (perfect mixing)",
			{ above: "0 %", max: "100 %" },
			["80 %", "1"],
		).optional(),
		stagnant: mapping(
			{
				share: quantity("fraction", "share of the free volume that the fan does not reach", {
					min: "0.001 %",
					max: "95 %",
				}),
				source: quantity("fraction", "share of the CO2 source in this zone", { min: "0 %", max: "100 %" }, [
					"60 %",
				]),
				exchange: quantity(
					flowOrChanges,
					"exchange with the main zone: a flow, or air changes of the stagnant zone",
					{ above: "0" },
					["2 m3/h", "10 /h"],
				),
			},
			"a stagnant zone (dead corner) beside the well-mixed main zone",
		).optional(),
	},
	"the fruiting chamber",
).check(
	rule(({ altitude, pressure }, say) => {
		if (altitude !== undefined && pressure !== undefined) {
			say("pressure", "conflicts with altitude; give one of the two");
		}
	}),
);

const intakeCo2 = (description: string, ...more: string[]) =>
	quantity("concentration", description, { min: "0 ppm", max: "100000 ppm" }, ["430 ppm", ...more]);

const room = mapping(
	{
		volume: quantity("volume", "air of the room", { above: "0 m3", max: "100000 m3" }),
		ventilation: quantity(
			flowOrChanges,
			"fresh air of the room, as a flow or as air changes",
			{ above: "0" },
			["30 m3/h", "1 /h"],
		),
		outdoor: mapping(
			{ co2: intakeCo2("CO2 outdoors; default 426 ppm").optional() },
			"the air that ventilates the room",
		).optional(),
		people: z
			.array(
				mapping(
					{
						met: quantity(
							"number",
							"activity in met: 1.2 seated, 1.4 standing, 1.6 picking, 2 and more carrying; default 1.4",
							{ min: "0.7", max: "10" },
							["1.4"],
						).optional(),
						count: wholeNumber(1, 1000, "how many people; default 1").optional(),
						from: timeOfDay("time of day at which they come"),
						to: timeOfDay("time of day at which they leave"),
					},
					"people in the room",
				).check(
					rule(({ from, to }, say) => {
						if (from !== undefined && from === to) say("to", "must be another time than from");
					}),
				),
				{ error: 'needs a list such as [{ met: 1.4, from: "09:00", to: "11:00" }]' },
			)
			.max(50, { error: "has more than 50 entries" })
			.meta({ description: "who is in the room, and when" })
			.optional(),
		chambers: wholeNumber(1, 100, "identical chambers in the room, this one counted; default 1").optional(),
		stagger: z
			.boolean({ error: "needs true or false" })
			.meta({ description: "their fans start evenly spread over the cycle, not all at once; default false" })
			.optional(),
		exhaust: oneOf(["inside", "outdoors"], "where the chambers blow their air to; default inside").optional(),
	},
	"the room that the chambers stand in, whose air they draw in: its CO2 is worked out",
);

const intake = mapping(
	{
		room: room.optional(),
		co2: z
			.union(
				[
					intakeCo2("CO2 of the intake air; default 426 ppm (outdoor air)", "600..1000 ppm"),
					mapping(
						{
							mean: intakeCo2("mean of the day"),
							swing: quantity(
								"concentration difference",
								"amplitude: plus or minus around the mean",
								{ min: "0 ppm", max: "100000 ppm" },
								["150 ppm"],
							),
							highest: timeOfDay("time of day of the maximum; default 19:00").optional(),
						},
						"CO2 that rises and falls through the day",
					).check(
						rule(({ mean, swing }, say) => {
							if (mean !== undefined && swing !== undefined && swing.value > mean.value)
								say("swing", "is more than the mean, so CO2 would fall below 0");
						}),
					),
					mapping(
						{ day: intakeCo2("from 06:00 to 18:00"), night: intakeCo2("from 18:00 to 06:00") },
						"CO2 by day and by night",
					),
				],
				{
					error:
						'needs a CO2 concentration such as "430 ppm", or { mean: 600 ppm, swing: 150 ppm, highest: "19:00" }, or { day: 800 ppm, night: 450 ppm }',
				},
			)
			.meta({
				description: "CO2 of the intake air: one value, a daily cycle, or one value by day and one by night",
			})
			.optional(),
		temperature: quantity("temperature", "default: the chamber's", { min: "-60 C", max: "60 C" }).optional(),
		humidity: quantity("fraction", "relative humidity; default 50 %", { min: "0 %", max: "100 %" }, [
			"45 %",
		]).optional(),
	},
	"the intake air",
).check(
	rule(({ co2, room: around }, say) => {
		if (co2 !== undefined && around !== undefined)
			say("room", "conflicts with co2, which the room's air has; give one of the two");
	}),
);

/** The parts of a scenario file; each is checked by itself so that one fault does not hide another. */
export const sections = {
	name: text("name of the scenario", 200).optional(),
	notes: text("anything worth knowing", 20_000).optional(),
	chamber,
	intake: intake.optional(),
	substrate,
	fan,
	sensor: sensor.optional(),
	timer: timer.optional(),
	supply: supply.optional(),
	wire: wire.optional(),
	fuse: fuse.optional(),
	wiring: wiring.optional(),
	water: water.optional(),
	limits: limits.optional(),
	target: target.optional(),
	disturbances: disturbances.optional(),
	start: quantity(
		"concentration",
		"CO2 in the chamber at the start of a run; default: that of the intake air",
		{ min: "0 ppm", max: "1000000 ppm" },
		["420 ppm"],
	).optional(),
	correlations: correlations.optional(),
};

export type Sections = { readonly [Key in keyof typeof sections]: z.output<(typeof sections)[Key]> };

/**
 * JSON Schema of the scenario file, with which an editor completes and checks it.
 *
 * @returns the schema, draft 7
 * @throws never
 *
 * Source: JSON Schema draft 7.
 * @example scenarioJsonSchema().type // => "object"
 */
export const scenarioJsonSchema = (): Record<string, unknown> => {
	const whole = mapping(
		{
			...sections,
			schedules: z
				.record(z.string(), z.union([scheduleSection, sensorSwitchSection]))
				.meta({ description: "the schedules to compare, by name" }),
		},
		"A mushroom fruiting chamber aired by a fan on an on/off timer",
	);
	const schema = z.toJSONSchema(whole, { io: "input", target: "draft-7" }) as SchemaNode;
	for (const { path, names } of aliasedSections) {
		const section = path.reduce<SchemaNode | undefined>((node, key) => node?.properties?.[key], schema);
		for (const node of [section, ...(section?.anyOf ?? [])])
			for (const [name, key] of Object.entries(names)) addName(node, key, name);
	}
	return schema;
};

interface SchemaNode extends Record<string, unknown> {
	properties?: Record<string, SchemaNode>;
	required?: string[];
	anyOf?: SchemaNode[];
}

/** Lets a mapping have another name of a key in its place. */
const addName = (node: SchemaNode | undefined, key: string, name: string): void => {
	const property = node?.properties?.[key];
	if (node?.properties === undefined || property === undefined) return;
	node.properties[name] = property;
	if (node.required?.includes(key) !== true) return;
	node.required = node.required.filter((one) => one !== key);
	node.anyOf = [{ required: [key] }, { required: [name] }];
};
