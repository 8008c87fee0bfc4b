import { type Fault, InputError } from "../errors.ts";
import { nearest } from "../nearest.ts";
import { formatQuantity } from "../units/format.ts";
import { buildScenario } from "./build.ts";
import { located } from "./origins.ts";
import type { Scenario } from "./scenario.ts";
import { type Sections, sections } from "./schema.ts";
import { correlationFaults } from "./sections/correlations.ts";
import { buildSchedule, readSwitches, scheduleSection } from "./sections/schedules.ts";
import { buildSensorSwitch, isSensorSwitch, sensorSwitchSection } from "./sections/sensorswitch.ts";
import { BLOCK_STYLE, type PlainMapping, readDocument, type SourceDocument } from "./text/document.ts";
import { toFaults } from "./text/faults.ts";

export interface ParseOptions {
	/** Text of a file beside the scenario, such as a CSV of switches; undefined when there is none. */
	readonly readText?: (relativePath: string) => string | undefined;
	/** Whether the file must have schedules; default required. */
	readonly schedules?: "required" | "optional";
}

const MAX_SCHEDULES = 200;
const MAX_FAULTS = 100;

const readSections = (source: SourceDocument, faults: Fault[]): Partial<Sections> => {
	const known = [...Object.keys(sections), "schedules"];
	const unknown = source.keys([]).filter((key) => !known.includes(key));
	const suggestions = unknown.map((key) => nearest(key, known));
	for (const [index, key] of unknown.entries()) {
		const near = suggestions[index];
		const hint = near == null ? `; known here: ${known.join(", ")}` : `; did you mean "${near}"?`;
		faults.push(source.fault([key], `is no known key${hint}`, "key"));
	}
	const read: Record<string, unknown> = {};
	for (const [key, schema] of Object.entries(sections)) {
		const result = schema.safeParse(source.root[key]);
		if (result.success) read[key] = result.data;
		else if (source.has([key]) || !suggestions.includes(key)) {
			faults.push(...toFaults(source, [key], result.error.issues));
		}
	}
	return read as Partial<Sections>;
};

const readSchedules = (
	source: SourceDocument,
	options: ParseOptions,
	faults: Fault[],
	switches: Scenario["sensorSwitches"][number][],
): Scenario["schedules"] => {
	const example = "such as short and often: { on: 4 s, off: 236 s }";
	if (!source.has(["schedules"])) {
		if (
			options.schedules !== "optional" &&
			!source.keys([]).some((key) => nearest(key, ["schedules"]) !== null)
		) {
			faults.push(
				source.fault(["schedules"], `is missing; it needs at least one schedule ${example}`, "key"),
			);
		}
		return [];
	}
	const names = source.keys(["schedules"]);
	if (names.length === 0) {
		const got = source.received(["schedules"]);
		const what = got === BLOCK_STYLE ? "nothing" : got;
		faults.push(source.fault(["schedules"], `needs at least one schedule ${example}, got ${what}`));
		return [];
	}
	if (names.length > MAX_SCHEDULES) {
		faults.push(
			source.fault(["schedules"], `has ${names.length} schedules; at most ${MAX_SCHEDULES} are compared`),
		);
		return [];
	}
	const found: Scenario["schedules"][number][] = [];
	const definitions = source.root.schedules as PlainMapping;
	for (const name of names) {
		const path = ["schedules", name];
		if (name.trim() === "") faults.push(source.fault(path, "a schedule needs a name", "key"));
		if (name.length > 100) faults.push(source.fault(path, "the name is longer than 100 characters", "key"));
		if (isSensorSwitch(definitions[name])) {
			const sensed = sensorSwitchSection.safeParse(definitions[name]);
			if (sensed.success) switches.push(buildSensorSwitch(name, located(source, sensed.data, path)));
			else faults.push(...toFaults(source, path, sensed.error.issues));
			continue;
		}
		const result = scheduleSection.safeParse(definitions[name]);
		if (!result.success) {
			faults.push(...toFaults(source, path, result.error.issues));
			continue;
		}
		const section = result.data;
		let schedule = buildSchedule(section);
		if (schedule === null && typeof section === "object" && "switches" in section) {
			const file = String(section.switches);
			const text = options.readText?.(file);
			if (text === undefined) {
				faults.push(source.fault([...path, "switches"], `the file ${JSON.stringify(file)} cannot be read`));
				continue;
			}
			const csv = readSwitches(text, file, section.starts, section.repeat);
			faults.push(...csv.faults);
			schedule = csv.schedule;
		}
		if (schedule !== null) found.push({ name, schedule, ...source.keyAt(path) });
	}
	return found;
};

/** Rules over several sections; each looks only at sections that could be read. */
const crossFaults = (source: SourceDocument, read: Partial<Sections>, faults: Fault[]): void => {
	const { chamber, correlations, sensor, substrate } = read;

	correlationFaults(source, correlations ?? [], (path, message) => {
		faults.push(source.fault(path, message));
	});

	if (chamber !== undefined && substrate !== undefined) {
		const items = [substrate].flat();
		const taken = items.reduce(
			(sum, { volume, density, mass }) =>
				sum + (volume?.value ?? (density === undefined ? 0 : mass.value / density.value)),
			0,
		);
		const mass = items.reduce((sum, item) => sum + item.mass.value, 0);
		const volume = chamber.volume.value;
		const litres = (value: number) => formatQuantity(value, "volume");
		if (taken >= volume) {
			const message = `takes ${litres(taken)}, which is not less than the chamber (${litres(volume)}); no air would be left`;
			faults.push(source.fault(["substrate"], message));
		} else if (mass / volume > MAX_FILL) {
			const message = `${formatQuantity(mass, "mass")} do not fit into a chamber of ${litres(volume)} (heavier than water)`;
			faults.push(source.fault(["substrate"], message));
		}
	}
	const voltageKeys = source.keys(["fan"]).filter((key) => nearest(key, ["voltage"]) !== null);
	if (source.has(["fan"]) && voltageKeys.length === 0 && (source.has(["supply"]) || source.has(["wire"]))) {
		const message =
			'is missing; supply and wire are judged at the voltage of the fan: it needs a voltage such as "12 V", as on the fan\'s label';
		faults.push(source.fault(["fan", "voltage"], message, "key"));
	}
	if (sensor?.zone === "stagnant" && chamber !== undefined && chamber.stagnant === undefined) {
		faults.push(
			source.fault(["sensor", "zone"], "hangs in a stagnant zone, but chamber.stagnant is not given"),
		);
	}
};
/** Mass per chamber volume [kg/m3] that no substrate reaches: that of water. */
const MAX_FILL = 1000;

const byPlace = (a: Fault, b: Fault): number =>
	(a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0);

/**
 * Reads the text of a scenario file (YAML or JSON) into SI, with documented defaults.
 *
 * @param text the file
 * @param fileName under which its faults are named
 * @param options whether it may lack schedules
 * @returns what was written, each value with its origin, in SI
 * @throws InputError with every fault at once, each with file, line, column, path, rule, value received and the way out
 *
 * Source: this project.
 * @example parseScenario(starterScenario()).schedules.length // => 3
 */
export const parseScenario = (
	text: string,
	fileName = "scenario.yaml",
	options: ParseOptions = {},
): Scenario => {
	const source = readDocument(text, fileName);
	const faults: Fault[] = [];
	const read = readSections(source, faults);
	const switches: Scenario["sensorSwitches"][number][] = [];
	const schedules = readSchedules(source, options, faults, switches);
	if (
		switches.length > 0 &&
		schedules.length === 0 &&
		faults.length === 0 &&
		options.schedules !== "optional"
	)
		faults.push(
			source.fault(
				["schedules"],
				"needs a timer schedule beside a switch by sensor, such as short and often: { on: 4 s, off: 236 s }",
			),
		);
	crossFaults(source, read, faults);
	if (faults.length > 0) {
		const shown = faults.sort(byPlace).slice(0, MAX_FAULTS);
		const more = faults.length - shown.length;
		throw new InputError(
			more === 0 ? shown : [...shown, { file: fileName, message: `and ${more} more faults` }],
		);
	}
	return buildScenario(source, text, read as Sections, schedules, switches);
};
