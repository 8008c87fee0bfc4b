import { createHash } from "node:crypto";
import type { ParseOptions } from "../lib/scenario/parse.ts";
import type { Scenario } from "../lib/scenario/scenario.ts";
import { nameOf, readerBeside, readInput } from "./files.ts";

type LoadOptions = Pick<ParseOptions, "schedules">;

/** Reads a scenario from a file, or from standard input for `-`. Throws InputError with every fault. */
export const loadScenario = async (path: string, options: LoadOptions = {}): Promise<Scenario> =>
	(await loadHashedScenario(path, options)).scenario;

/** As `loadScenario`, with the hash of the file. */
export async function loadHashedScenario(
	path: string,
	options: LoadOptions = {},
): Promise<{ readonly scenario: Scenario; readonly sha256: string }> {
	const text = await readInput(path);
	const { parseScenario } = await import("../lib/scenario/parse.ts");
	return {
		scenario: parseScenario(text, nameOf(path), { ...options, readText: readerBeside(path) }),
		sha256: shortHash(createHash("sha256").update(text)),
	};
}

/** The first 12 of 64 digits: enough to tell files apart, short enough to compare by eye. */
export const shortHash = (hash: ReturnType<typeof createHash>): string => hash.digest("hex").slice(0, 12);
