import { InputError, SolverError } from "../../lib/errors.ts";
import type { Log } from "../../lib/logs/log.ts";
import { findLogDays, listClockStretches, selectNights } from "../../lib/logs/pieces/nights.ts";
import type { Piece } from "../../lib/logs/pieces/piece.ts";
import { findRuns } from "../../lib/logs/pieces/runs.ts";
import { type Stretch, sliceLog } from "../../lib/logs/pieces/slice.ts";
import { DAY, HOUR } from "../../lib/time.ts";
import { normalizeText, parseValue } from "../../lib/units/read.ts";
import { nameOf } from "../files.ts";
import { timeOfDayOf } from "../logfile.ts";
import { group, text } from "../verb.ts";

const MOMENTS =
	"a date (2026-03-10, 2026-03-10T14:00), a time of day (14:00), or a time from the first sample (2h)";

/** Options that choose a part of a log. */
export const partOptions = group("Which part of the log", {
	from: text("MOMENT", `First moment: ${MOMENTS}`),
	to: text("MOMENT", "Last moment, likewise; a date ends with its day"),
});

/** Times of day of a night where none are told [s after midnight]. */
const EVENING = 18 * HOUR;
const MORNING = 6 * HOUR;

interface Asked {
	readonly from: string | undefined;
	readonly to: string | undefined;
	readonly each?: string | undefined;
}

/** A moment from the command line: when it comes in a log [s since the first sample], not before another one. */
interface Moment {
	/** For a time of day [s after midnight]. */
	readonly ofDay: number | null;
	readonly in: (log: Log, afterSeconds: number) => number;
}

function momentOf(option: string, written: string, isEnd: boolean): Moment {
	const ofDay = timeOfDayOf(written);
	if (ofDay !== null)
		return {
			ofDay,
			in(log, after) {
				const days = findLogDays(log);
				if (days === null)
					throw new InputError(
						`${option} ${written} is a time of day, but ${log.fileName} has elapsed times only; say when its first sample was taken (--starts-at 14:00), or give a time from the first sample such as 2h`,
					);
				for (let day = 0; ; day++) if (days.when(day, ofDay) >= after) return days.when(day, ofDay);
			},
		};
	const [, date, time] = /^(\d{4}-\d{2}-\d{2})(?:[T ](\S+))?$/.exec(written.trim()) ?? [];
	const seconds = time === undefined ? (isEnd ? DAY : 0) : timeOfDayOf(time);
	const dayOf = (name: string): number => Date.parse(`${name}T00:00:00Z`) / 1000 / DAY;
	if (date !== undefined && seconds !== null && !Number.isNaN(dayOf(date)))
		return {
			ofDay: null,
			in(log) {
				const { firstDay, when } = findLogDays(log) ?? { firstDay: null, when: null };
				if (firstDay === null)
					throw new InputError(
						`${option} ${written} is a date, but ${log.fileName} has none; give a time from the first sample such as 2h`,
					);
				return when(dayOf(date) - firstDay, seconds);
			},
		};
	const read = parseValue(normalizeText(written), ["duration"]);
	if ("refused" in read) throw new InputError(`${option} needs ${MOMENTS}, got "${written}"`);
	return { ofDay: null, in: () => read.value };
}

/**
 * How the command line divides a log. Throws InputError.
 * @param direction in which CO2 goes in a closure: 1 up, -1 down, null where nothing is closed
 */
export function splitterOf(asked: Asked, direction: 1 | -1 | null): (log: Log) => readonly Stretch[] {
	const from = asked.from === undefined ? null : momentOf("--from", asked.from, false);
	const to = asked.to === undefined ? null : momentOf("--to", asked.to, true);
	const { each } = asked;
	if (each === "closure" && direction === null)
		throw new InputError(
			"--each closure needs a test with a closed chamber: --test rise (CO₂ rises) or --test decay (CO₂ falls)",
		);
	const isByClock = each === "night" && (direction !== -1 || from?.ofDay != null || to?.ofDay != null);
	const bound = (moment: Moment | null): Moment | null =>
		isByClock && moment?.ofDay != null ? null : moment;
	return (log) => {
		const last = log.timesSeconds.at(-1) ?? 0;
		const fromSeconds = Math.max(bound(from)?.in(log, 0) ?? 0, 0);
		const toSeconds = Math.min(bound(to)?.in(log, fromSeconds) ?? last, last);
		if ((from ?? to) !== null && !(toSeconds > fromSeconds))
			throw new InputError([{ file: log.fileName, message: "has nothing between --from and --to" }]);
		if (each === undefined) return [{ fromSeconds, toSeconds }];
		const stretches = isByClock
			? nightsByClock(log, from?.ofDay ?? EVENING, to?.ofDay ?? MORNING)
			: runsOf(log, direction ?? 1, each === "night");
		const found = stretches
			.map((one) => ({
				fromSeconds: Math.max(one.fromSeconds, fromSeconds),
				toSeconds: Math.min(one.toSeconds, toSeconds),
			}))
			.filter((one) => one.toSeconds > one.fromSeconds);
		if (found.length === 0)
			throw new InputError([{ file: log.fileName, message: `no ${each}s are found in this log` }]);
		return found;
	};
}

function nightsByClock(log: Log, fromOfDay: number, toOfDay: number): readonly Stretch[] {
	const nights = listClockStretches(log, fromOfDay, toOfDay);
	if (nights === null)
		throw new InputError([
			{
				file: log.fileName,
				message:
					"tells no time of day, so its nights are not known; say when its first sample was taken (--starts-at 14:00)",
			},
		]);
	return nights;
}

function runsOf(log: Log, direction: 1 | -1, areNights: boolean): readonly Stretch[] {
	const co2 = log.channels.filter(({ kind }) => kind === "co2");
	const { values } = co2.find(({ place }) => place === "chamber") ?? co2[0]!;
	const runs = findRuns(log.timesSeconds, values, direction);
	return areNights ? selectNights(log, runs) : runs;
}

/** Whether an error says that this one piece could not be worked out, so that the others still can. */
const isOfPiece = (error: unknown): error is Error =>
	error instanceof InputError || error instanceof SolverError;

/** Makes something of each part of each file; what fails says why and stops nothing. Throws InputError where all fail. */
export async function eachPiece<L extends { readonly log: Log }, T>(
	paths: readonly string[],
	read: (path: string) => Promise<L>,
	split: (log: Log) => readonly Stretch[],
	work: (part: Log, whole: L, fromSeconds: number) => T,
): Promise<readonly Piece<T>[]> {
	const pieces: Piece<T>[] = [];
	for (const path of paths) {
		const fileName = nameOf(path);
		const failed = (error: unknown, stretch: Piece<T>["stretch"] = null): Piece<T> => {
			if (!isOfPiece(error)) throw error;
			const fault = error.message.replaceAll("\n", "; ").replaceAll(`${fileName}: `, "");
			return { fileName, stretch, result: null, fault };
		};
		try {
			const whole = await read(path);
			for (const stretch of split(whole.log))
				try {
					pieces.push({
						fileName,
						stretch: placed(stretch, whole.log),
						result: workPart(stretch, whole, work),
						fault: null,
					});
				} catch (error) {
					pieces.push(failed(error, placed(stretch, whole.log)));
				}
		} catch (error) {
			pieces.push(failed(error));
		}
	}
	if (pieces.every(({ result }) => result === null))
		throw new InputError(pieces.map(({ fileName, fault }) => ({ file: fileName, message: fault! })));
	return pieces;
}

/** What is made of a part; a stretch that holds all of a log is that log itself. */
export function workPart<L extends { readonly log: Log }, T>(
	stretch: Stretch,
	whole: L,
	work: (part: Log, whole: L, fromSeconds: number) => T,
): T {
	const { timesSeconds } = whole.log;
	const isAll = stretch.fromSeconds <= 0 && stretch.toSeconds >= timesSeconds.at(-1)!;
	const first = timesSeconds.find((time) => time >= stretch.fromSeconds) ?? 0;
	return work(isAll ? whole.log : sliceLog(whole.log, stretch), whole, isAll ? 0 : first);
}

const placed = (
	{ fromSeconds, toSeconds }: Stretch,
	{ startUtcSeconds, layout }: Log,
): Piece<never>["stretch"] => ({
	fromSeconds,
	toSeconds,
	startUtcSeconds,
	zone: layout.zone,
});

/** The files that are read. Throws InputError where two of them are standard input. */
export function inputsOf(paths: readonly string[], scenarioPath: string): readonly string[] {
	const inputs = [...paths, scenarioPath];
	if (inputs.filter((path) => path === "-").length > 1)
		throw new InputError("log and scenario cannot both come from standard input");
	return inputs;
}

/** Refuses outputs that are of one part only. Throws InputError. */
export function refuseForPieces(asked: Readonly<Record<string, string | undefined>>): void {
	for (const [option, path] of Object.entries(asked))
		if (path !== undefined)
			throw new InputError(
				`--${option} takes one part of one log, and several are asked for; choose it with --from and --to`,
			);
}
