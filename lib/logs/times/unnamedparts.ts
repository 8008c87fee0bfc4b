import { DAY } from "../../time.ts";
import {
	dayCounter,
	type NumberPart,
	PARTS,
	type PartColumn,
	secondsOfParts,
	type TimeParts,
} from "./timeparts.ts";

/** Parts of a time in columns side by side, as loggers write them; the longest that fits is meant. */
const RUNS: readonly (readonly NumberPart[])[] = [
	["year", "month", "day", "hour", "minute", "second"],
	["year", "month", "day", "hour", "minute"],
	["year", "dayOfYear", "hhmm"],
	["day", "month", "hour", "minute"],
	["month", "day", "hour", "minute"],
];
const NONE = Object.fromEntries(
	["date", "clock", ...Object.keys(PARTS)].map((part) => [part, null]),
) as unknown as TimeParts;
/** So many rows in a row tell a clock from other numbers. */
const MIN_ROWS = 5;
/** Share of the steps of a clock that are the usual one; the others are gaps. */
const STEADY = 0.6;

/** Parts of a time in a file without names: columns side by side that hold what parts can, and make steady steps together. */
export function findUnnamedParts(columns: readonly PartColumn[]): Partial<Record<NumberPart, number>> {
	for (const run of RUNS)
		for (let first = 0; first + run.length <= columns.length; first++)
			if (run.every((part, k) => holdsPart(columns[first + k]!, part)) && isSteady(columns, run, first))
				return Object.fromEntries(run.map((part, k) => [part, first + k]));
	return {};
}

function holdsPart({ numbers, filled }: PartColumn, part: NumberPart): boolean {
	const [, low, high] = PARTS[part];
	return (
		numbers.length >= MIN_ROWS &&
		numbers.length === filled &&
		numbers.every((x) => x % 1 === 0 && x >= low && x <= high && (part !== "hhmm" || x % 100 < 60))
	);
}

function isSteady(columns: readonly PartColumn[], run: readonly NumberPart[], first: number): boolean {
	const parts: TimeParts = { ...NONE, ...Object.fromEntries(run.map((part, k) => [part, first + k])) };
	const dayOf = dayCounter(parts);
	const times = columns[first]!.numbers.map((_, i) => {
		const value = (part: NumberPart): number => columns[parts[part]!]!.numbers[i] ?? Number.NaN;
		return dayOf(value) * DAY + secondsOfParts(parts, value);
	});
	const steps = times.slice(1).map((time, i) => time - times[i]!);
	const usual = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)]!;
	return usual !== 0 && steps.filter((step) => step === usual).length >= STEADY * steps.length;
}
