import { isMap, type ParsedNode, parseDocument } from "yaml";
import { InputError } from "../../errors.ts";
import type { Cycle } from "../../model/schedule/schedule.ts";
import { readDocument, yamlOptions } from "../text/document.ts";
import { detectStyle, endOf, insert, type Mapping, pairOf, splice } from "./splice.ts";

/**
 * Writes a cycle into the schedules of a scenario file (YAML or JSON) under a name: one of that name says something else, another one is
 * put in behind the last; all else, comments and order, stays as it is.
 *
 * @param text the file
 * @param name of the schedule
 * @param cycle on- and off-time [s]
 * @param fileName under which its faults are named
 * @returns the new text
 * @throws InputError where the text is no scenario, or holds something else than schedules under that key
 *
 * Source: this project.
 * @example writeScheduleInto("schedules: { a: off } # kept", "b", { onSeconds: 4, offSeconds: 236 }) // => "schedules: { a: off, b: { on: 4 s, off: 236 s } } # kept"
 */
export function writeScheduleInto(
	text: string,
	name: string,
	cycle: Cycle,
	fileName = "scenario.yaml",
): string {
	const mark = text.startsWith("\uFEFF") ? "\uFEFF" : "";
	const body = text.slice(mark.length);
	const source = readDocument(body, fileName);
	const style = detectStyle(body);
	const root = parseDocument(body, { ...yamlOptions, keepSourceTokens: true }).contents as Mapping;
	const seconds = (value: number) => style.scalar(`${value} s`);
	const written = style.mapping([
		["on", seconds(cycle.onSeconds)],
		["off", seconds(cycle.offSeconds)],
	]);
	const schedules = pairOf(root, "schedules");
	if (
		schedules === undefined ||
		schedules.value === null ||
		schedules.value.range[0] === schedules.value.range[1]
	) {
		const entries = [["schedules", style.mapping([[name, written]])]] as const;
		if (schedules === undefined)
			return mark + splice(body, insert(body, root, root.items.at(-1), entries, style));
		const [from] = schedules.key.range;
		return mark + splice(body, [{ from, to: from + "schedules:".length, text: style.entry(entries[0]) }]);
	}
	if (!isMap(schedules.value))
		throw new InputError([source.fault(["schedules"], "holds no schedules, so none can be written to it")]);
	const map = schedules.value as Mapping;
	const old = pairOf(map, name)?.value as ParsedNode | null | undefined;
	const splices =
		old == null
			? insert(body, map, map.items.at(-1), [[name, written]], style)
			: [{ from: old.range[0], to: endOf(old), text: written }];
	return mark + splice(body, splices);
}
