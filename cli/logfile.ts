import { createHash } from "node:crypto";
import { createReadStream, statSync } from "node:fs";
import { InputError } from "../lib/errors.ts";
import type { FitOptions } from "../lib/fit/fitoptions.ts";
import {
	type ExclusionReason,
	exclusionReasons,
	type FanState,
	fanStates,
	type Log,
	type ReadOptions,
} from "../lib/logs/log.ts";
import type { StreamingReader } from "../lib/logs/read.ts";
import { findClockStart } from "../lib/logs/times/clockstart.ts";
import { HOUR, MINUTE } from "../lib/time.ts";
import { expectation } from "../lib/units/dimensions.ts";
import { normalizeText, parseValue } from "../lib/units/read.ts";
import { fileFault, nameOf } from "./files.ts";
import { shortHash } from "./load.ts";
import { progressBar } from "./print/progress.ts";
import { flag, group, list, splitList, text } from "./verb.ts";

/** Options of every command that reads a log. */
export const logOptions = group("How to read the log", {
	zone: text("ZONE", "Time zone of times that name none: Europe/Berlin, UTC or +01:00"),
	"date-order": {
		choices: ["dmy", "mdy"],
		requiresArg: true,
		describe: "Order of dates such as 04/05/2026: day first (dmy) or month first (mdy)",
	},
	decimal: {
		choices: ["point", "comma"],
		requiresArg: true,
		describe: "Sign before decimals, where 1.032 or 1,032 could be thousands",
	},
	column: text(
		"COLUMN",
		"CO₂ column of the chamber: its name, a part of it, its number, or CO2#2 for the second of one name",
	),
	intake: text("COLUMN", "CO₂ column of the intake air, likewise"),
	unit: text("UNIT", "Unit of CO₂ where the header has none: ppm, ppb, % or ‰"),
	interval: text("TIME", "Sampling interval of a log without times: 60s"),
	"accept-implausible": flag("Take values, time steps and a header as they stand, however unlikely"),
	"starts-at": text(
		"TIME",
		"Time of day of the first sample of a log without dates: 14:00; needed where the scenario goes by the clock",
	),
});

interface Asked {
	readonly zone: string | undefined;
	readonly "date-order": "dmy" | "mdy" | undefined;
	readonly decimal: "point" | "comma" | undefined;
	readonly column: string | undefined;
	readonly intake: string | undefined;
	readonly unit: string | undefined;
	readonly "accept-implausible": boolean | undefined;
	readonly interval: string | undefined;
	readonly "starts-at": string | undefined;
}

/** What the command line says about a log. Throws InputError. */
export function readOptionsOf(path: string, asked: Asked): ReadOptions {
	const { zone, decimal, column, intake, unit, interval } = asked;
	const dateOrder = asked["date-order"];
	const startsAt = asked["starts-at"];
	return {
		fileName: nameOf(path),
		...(zone === undefined ? {} : { zone }),
		...(dateOrder === undefined ? {} : { dateOrder }),
		...(decimal === undefined ? {} : { decimal: decimal === "comma" ? "," : "." }),
		...(unit === undefined ? {} : { unit }),
		...(asked["accept-implausible"] === true ? { acceptImplausible: true } : {}),
		...(column === undefined ? {} : { column: columnName(column) }),
		...(intake === undefined ? {} : { intake: columnName(intake) }),
		...(interval === undefined ? {} : { sampleIntervalSeconds: durationOf("--interval", interval) }),
		...(startsAt === undefined ? {} : { startsAtSeconds: startsAtOf(startsAt) }),
	};
}

/** `14:00` or `14:00:30` [s after midnight]; null for anything else. */
export function timeOfDayOf(written: string): number | null {
	const [, hours, minutes, seconds = "0"] =
		/^([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?$/.exec(written.trim()) ?? [];
	return hours === undefined ? null : HOUR * Number(hours) + MINUTE * Number(minutes) + Number(seconds);
}

/** Throws InputError. */
export function startsAtOf(written: string): number {
	const seconds = timeOfDayOf(written);
	if (seconds === null)
		throw new InputError(`--starts-at needs a time of day such as 14:00 or 14:00:30, got "${written}"`);
	return seconds;
}

/** `3` is `column 3`. */
const columnName = (asked: string): string => (/^\d+$/.test(asked) ? `column ${asked}` : asked);

/** A time above 0 [s] from the command line. Throws InputError. */
export function durationOf(option: string, written: string): number {
	const read = parseValue(normalizeText(written), ["duration"]);
	if ("refused" in read || !(read.value > 0))
		throw new InputError(`${option} needs ${expectation(["duration"])}, got "${written}"`);
	return read.value;
}

/** Bytes after which the event loop gets its turn; a file of this size shows progress on a terminal. */
const CHUNK = 1 << 20;

/** Pushes a file, or standard input for `-`, through a reader, whatever its size. Throws InputError. */
export async function readThrough<T>(path: string, reader: StreamingReader<T>): Promise<T> {
	const bar = progressBar("reading");
	try {
		const size = path === "-" ? null : statSync(path).size;
		const stream = path === "-" ? process.stdin : createReadStream(path, { highWaterMark: CHUNK });
		let done = 0;
		for await (const chunk of stream as AsyncIterable<Uint8Array>) {
			reader.push(chunk);
			done += chunk.length;
			if (size !== null && size > 0) bar.onProgress(done / size);
		}
		return reader.end();
	} catch (error) {
		throw error instanceof InputError ? error : fileFault(error, nameOf(path));
	} finally {
		bar.done();
	}
}

/** A log with the hash of its file. */
export interface LoadedLog {
	readonly log: Log;
	readonly sha256: string;
}

/** Reads a log from a file, or from standard input for `-`. Throws InputError. */
export async function loadLog(path: string, options: ReadOptions): Promise<LoadedLog> {
	const { logReader } = await import("../lib/logs/read.ts");
	const [reader, hash] = [logReader(options), createHash("sha256")];
	const log = await readThrough(path, {
		push(chunk) {
			hash.update(chunk);
			reader.push(chunk);
		},
		end: () => reader.end(),
	});
	return { log, sha256: shortHash(hash) };
}

/** Options of every command that holds a log against a scenario. */
export const runOptions = group("Chamber and run", {
	scenario: { ...text("FILE", "Scenario file of the chamber that was logged"), demandOption: true },
	schedule: text("NAME", "Schedule that ran; not needed when there is only one, or a fan column"),
	phase: text(
		"TIME",
		"When a cycle began: a time of day such as 08:15 or 08:15:30, or a time from the first sample such as 40s; default: found from the log",
	),
	"fan-state": {
		choices: [...fanStates, "ignore"],
		requiresArg: true,
		describe:
			"What the log's fan column has: the state at the sample (now), whether the fan ran since the last one (since), the fraction of the interval (fraction); ignore leaves it aside. Default: fractions as they look; of a state both are allowed for",
	},
	"warm-up": text("TIME", "First part of the log to exclude: 10min"),
	keep: list("REASONS", `Reasons for which no reading is excluded: ${exclusionReasons.join(", ")}`),
	temperature: text(
		"SOURCE",
		"Temperature for Q10 and gas volume: log (measured inside, the default where the log has it), scenario, or a column of the log by name",
	),
});

interface RunAsked {
	readonly schedule: string | undefined;
	readonly phase: string | undefined;
	readonly keep: readonly string[] | undefined;
	readonly "fan-state": FanState | "ignore" | undefined;
	readonly "warm-up": string | undefined;
	readonly temperature: string | undefined;
}

/** What the command line says about the run that was logged. Throws InputError. */
export function runOptionsOf(asked: RunAsked): {
	/** For a log, or the part of it from a moment on. */
	readonly of: (
		log: Log,
		fromSeconds?: number,
	) => Pick<FitOptions, "schedule" | "phaseSeconds" | "keep" | "warmUpSeconds" | "temperature" | "fanState">;
} {
	const phase = asked.phase === undefined ? null : phaseOf(asked.phase);
	const keep = splitList(asked.keep).map(reasonOf);
	const warmUp = asked["warm-up"];
	const fanState = asked["fan-state"];
	const rest = {
		...(asked.schedule === undefined ? {} : { schedule: asked.schedule }),
		...(keep.length === 0 ? {} : { keep }),
		...(warmUp === undefined ? {} : { warmUpSeconds: durationOf("--warm-up", warmUp) }),
		...(fanState === undefined ? {} : { fanState }),
		...(asked.temperature === undefined ? {} : { temperature: columnName(asked.temperature) }),
	};
	return {
		of: (log, fromSeconds = 0) => ({
			...rest,
			...(phase === null ? {} : { phaseSeconds: phase(log) - fromSeconds }),
		}),
	};
}

function reasonOf(word: string): ExclusionReason {
	const found = exclusionReasons.find((reason) => reason === word || reason.replace(/ .*/, "") === word);
	if (found === undefined)
		throw new InputError(`--keep needs one of ${exclusionReasons.join(", ")}, got "${word}"`);
	return found;
}

/** Start of a cycle [s since the first sample], once the log is known. */
function phaseOf(written: string): (log: Log) => number {
	const ofDay = timeOfDayOf(written);
	if (ofDay !== null)
		return (log) => {
			const start = findClockStart(log);
			if (start === null)
				throw new InputError(
					`--phase ${written} is a time of day, but ${log.fileName} has elapsed times only; say when its first sample was taken (--starts-at 14:00), or give a time from the first sample such as 40s`,
				);
			return ofDay - start;
		};
	const bare = /^-?\d+(\.\d+)?$/.test(written.trim()) ? `${written.trim()} s` : written;
	const sign = bare.startsWith("-") ? -1 : 1;
	const read = parseValue(normalizeText(bare.replace(/^-/, "")), ["duration"]);
	if ("refused" in read)
		throw new InputError(
			`--phase needs a time of day such as 08:15, or a time from the first sample such as 40s, got "${written}"`,
		);
	return () => sign * read.value;
}
