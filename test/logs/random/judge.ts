import { InputError } from "../../../lib/errors.ts";
import type { Log, ReadOptions } from "../../../lib/logs/log.ts";
import { readLog } from "../../../lib/logs/read.ts";
import type { RandomFile } from "./file.ts";

export type Outcome =
	| { readonly is: "exact" }
	| { readonly is: "refused"; readonly why: string }
	| { readonly is: "wrong"; readonly why: string };

/** What a reader makes of a file, held against what the file says. */
export function judge(file: RandomFile, options: ReadOptions = {}): Outcome {
	try {
		const why = differenceOf(file, readLog(file.bytes, options));
		return why === null ? { is: "exact" } : { is: "wrong", why };
	} catch (error) {
		if (!(error instanceof InputError)) throw error;
		return { is: "refused", why: error.faults.map(({ path, message }) => `${path}: ${message}`).join("; ") };
	}
}

/** Times agree to what a decimal of an hour tells [s]. */
const TIME_TOLERANCE = 0.01;
const isNear = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(b));

function differenceOf(file: RandomFile, log: Log): string | null {
	const chamber = log.channels.find(({ place }) => place === "chamber");
	if (chamber?.column !== file.chamber) return `CO2 is column ${file.chamber}, got ${chamber?.column}`;
	if (file.isDated !== (log.startUtcSeconds !== null)) return "dated or not";
	if (
		file.isZoneAssumed !== log.notes.some((note) => note.kind === "assumption" && note.assumed === "UTC") &&
		file.isDated
	)
		return "zone assumed or told";
	const start = file.isDated ? log.startUtcSeconds! : 0;
	if (log.timesSeconds.length !== file.seconds.length)
		return `${file.seconds.length} rows, got ${log.timesSeconds.length}`;
	for (let i = 0; i < file.seconds.length; i++)
		if (!(Math.abs(start + log.timesSeconds[i]! - file.seconds[i]!) <= TIME_TOLERANCE))
			return `time of row ${i}: ${file.seconds[i]}, got ${start + log.timesSeconds[i]!}`;
	for (const { column, kind, values } of log.channels) {
		const truth = file.columns.get(column);
		if (truth?.kind !== kind) return `column ${column} holds ${truth?.kind ?? "nothing"}, got ${kind}`;
		for (let i = 0; i < values.length; i++)
			if (
				Number.isNaN(values[i]!) !== Number.isNaN(truth.values[i]!) ||
				(!Number.isNaN(values[i]!) && !isNear(values[i]!, truth.values[i]!))
			)
				return `column ${column}, row ${i}: ${truth.values[i]}, got ${values[i]}`;
	}
	const named = log.notes.reduce(
		(sum, { kind, count }) =>
			sum +
			(["malformed row", "stray time", "duplicate", "conflicting duplicate", "event line", "footer"].includes(
				kind,
			)
				? count
				: 0),
		0,
	);
	return named < file.badRows ? `${file.badRows} rows without a sample, ${named} named` : null;
}
