import type * as z from "zod";
import type { Located } from "../origins.ts";
import type { Scenario } from "../scenario.ts";
import { duration, mapping, quantity } from "../text/leaves.ts";
import { rule } from "../text/rules.ts";

const level = (description: string, example: string) =>
	quantity("concentration", description, { above: "0 ppm", max: "1000000 ppm", isSingle: true }, [example]);
const time = (description: string) => duration(description, { min: "0 s", max: "1 d" }).optional();

/** A fan that a CO2 sensor switches, among the schedules of a file. */
export const sensorSwitchSection = mapping(
	{
		above: level("the fan starts where the sensor shows more than this", "1000 ppm"),
		until: level(
			"and stops where it shows less than this; without it, after its shortest on-time, by the clock",
			"900 ppm",
		).optional(),
		sensor: mapping(
			{
				response: time("response time to 63 % of a step (t63); default 0 s"),
				every: time("it is read so often; default all the time"),
				offset: quantity(
					"concentration difference",
					"what it reads too high; default 0 ppm",
					{ min: "-100000 ppm", max: "100000 ppm", isSingle: true },
					["25 ppm"],
				).optional(),
			},
			"the sensor of the switch",
		).optional(),
		shortest: mapping(
			{ on: time("shortest on-time; default 0 s"), off: time("shortest off-time; default 0 s") },
			"what protects fan and contact",
		).optional(),
	},
	"a fan that a CO2 sensor switches",
).check(
	rule(({ above, until, shortest }, say, intact) => {
		if (above !== undefined && until !== undefined && until.value >= above.value)
			say("until", 'must be a level lower than that of "above"');
		if (intact && until === undefined && !(shortest?.on !== undefined && shortest.on > 0))
			say(
				"until",
				"is missing; give a level such as 900 ppm, or shortest: { on: 10 s } to stop by the clock",
			);
	}),
);

/** Whether an entry of the schedules is one. */
export const isSensorSwitch = (entry: unknown): boolean =>
	typeof entry === "object" && entry !== null && "above" in entry;

export const buildSensorSwitch = (
	name: string,
	{ above, until, sensor, shortest }: Located<z.output<typeof sensorSwitchSection>>,
): Scenario["sensorSwitches"][number] => ({
	name,
	above,
	until: until ?? null,
	responseSeconds: sensor?.response ?? 0,
	everySeconds: sensor?.every ?? 0,
	offsetPpm: sensor?.offset?.value ?? 0,
	shortestOnSeconds: shortest?.on ?? 0,
	shortestOffSeconds: shortest?.off ?? 0,
});
