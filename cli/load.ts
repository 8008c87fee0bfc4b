import type { Hash } from "node:crypto";
import type { ParseOptions } from "../lib/scenario/parse.ts";
import type { Scenario } from "../lib/scenario/scenario.ts";
import { nameOf, readerBeside, readInput } from "./files.ts";

type LoadOptions = Pick<ParseOptions, "schedules">;

async function load(path: string, options: LoadOptions): Promise<{ text: string; scenario: Scenario }> {
	const text = await readInput(path);
	const { parseScenario } = await import("../lib/scenario/parse.ts");
	return {
		text,
		scenario: parseScenario(text, nameOf(path), { ...options, readText: readerBeside(path) }),
	};
}

/** Reads a scenario from a file, or from standard input for `-`. Throws InputError with every fault. */
export const loadScenario = async (path: string, options: LoadOptions = {}): Promise<Scenario> =>
	(await load(path, options)).scenario;

/** As `loadScenario`, with the hash of the file. */
export async function loadHashedScenario(
	path: string,
	options: LoadOptions = {},
): Promise<{ readonly scenario: Scenario; readonly sha256: string }> {
	const { text, scenario } = await load(path, options);
	const { createHash } = await import("node:crypto");
	return { scenario, sha256: shortHash(createHash("sha256").update(text)) };
}

/** The first 12 of 64 digits: enough to tell files apart, short enough to compare by eye. */
export const shortHash = (hash: Hash): string => hash.digest("hex").slice(0, 12);
