import { compareSchedules } from "../../lib/compare/compare.ts";
import { comparisonCurves } from "../../lib/compare/curves.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";

/** Schedules of very different cycles and ripples, one with a long name, one that comes to thousands of ppm. */
export const SCHEDULES: readonly (readonly [name: string, setting: string])[] = [
	["rare and long", "{ on: 60 s, off: 59 min }"],
	["short and often", "{ on: 4 s, off: 236 s }"],
	["every half hour", "{ on: 40 s, off: 29 min 20 s }"],
	["quarter-hourly", "{ on: 25 s, off: 875 s }"],
	["ten minutes", "{ on: 20 s, off: 580 s }"],
	[
		"hourly, weak, the way the old timer behind the second shelf was set before it was moved",
		"{ on: 6 s, off: 3594 s }",
	],
	["rare, starts with a pause", "{ on: 60 s, off: 44 min, starts: off }"],
	["five minutes", "{ on: 9 s, off: 291 s }"],
];

const quoted = (text: string): string => JSON.stringify(text);

export interface Sample {
	readonly name?: string;
	readonly schedules?: readonly (readonly [name: string, setting: string])[];
	readonly target?: string;
	readonly more?: string;
}

/** An invented cabinet under some schedules, as the text of a scenario file. */
export const scenarioText = ({
	name = "Two-shelf oyster cabinet",
	schedules = SCHEDULES.slice(0, 2),
	target = "{ ceiling: 1000 ppm, on: peak }",
	more = "",
}: Sample = {}): string => `name: ${quoted(name)}
notes: Invented for the tests.
chamber:  { volume: 420 L, leak: 0.3 /h, temperature: 17 C, humidity: 90 %, altitude: 300 m }
intake:   { co2: 480 ppm, temperature: 19 C, humidity: 45 % }
substrate:
  - { species: oyster, stage: fruiting, mass: 8 kg, rate: 60..400 mg/(kg h) }
fan:      { flow: 70 m3/h, spin-up: 0.8 s, coast-down: 1.5 s }
target:   ${target}
${more}schedules:
${schedules.map(([label, setting]) => `  ${quoted(label)}: ${setting}`).join("\n")}
`;

/** That cabinet compared, with its pictures. */
export function sample(options: Sample = {}) {
	const comparison = compareSchedules(parseScenario(scenarioText(options), "cabinet.yaml"));
	return { comparison, curves: comparisonCurves(comparison) };
}
