import type { ParseOptions } from "../lib/scenario/parse.ts";
import type { Scenario } from "../lib/scenario/scenario.ts";
import { nameOf, readerBeside, readInput } from "./files.ts";

/** Reads a scenario from a file, or from standard input for `-`. Throws InputError with every fault. */
export async function loadScenario(
	path: string,
	options: Pick<ParseOptions, "schedules" | "rig"> = {},
): Promise<Scenario> {
	const text = await readInput(path);
	const { parseScenario } = await import("../lib/scenario/parse.ts");
	return parseScenario(text, nameOf(path), { ...options, readText: readerBeside(path) });
}
