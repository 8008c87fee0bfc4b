import { type Fault, InputError } from "../../errors.ts";
import { DAY } from "../../time.ts";
import { formatDuration } from "../../units/format.ts";
import { type ZoneChange, zoneChanges } from "./zone.ts";

/** Clocks somewhere change by half an hour to two hours; a jump is measured to a few seconds [s]. */
const MIN_CHANGE_SECONDS = 1700;
const MAX_CHANGE_SECONDS = 7300;
/** The rows on both sides of a jump lie within so many steps of the edges of the hour. */
const MAX_STEPS_OFF = 2;
/** An hour stands in the file when it has this share of the rows that steady steps give, and two at least. */
const MIN_STEADY_SHARE = 0.75;
const MIN_ROWS = 2;
/** Rows of the second hour that are word for word those of the first: the same hour, stored twice. */
const MIN_SAME_SHARE = 0.9;
/** A gap is a sign only where so many rows on both sides stand at steady steps, and so many steps fit into it. */
const MIN_ROWS_AROUND = 10;
const MAX_STEADY_STEPS = 1.5;
const MIN_STEPS_LEFT_OUT = 3;
/** A file with so many jumps of that kind at other times has them for another reason. */
const MAX_OTHERS = 3;
/** Named where they are among the zones that fit; the world's list begins with places that few have heard of. */
const WELL_KNOWN = [
	"Europe/Berlin",
	"Europe/London",
	"Europe/Athens",
	"America/New_York",
	"America/Chicago",
	"America/Denver",
	"America/Los_Angeles",
	"America/Halifax",
	"Australia/Sydney",
	"Pacific/Auckland",
] as const;

/** A sample, as far as it bears on the clock. */
interface ClockRow {
	/** As written [s since 1970-01-01, as the clock on the wall shows them]. */
	readonly local: number;
	readonly line: number;
	/** The same for rows with the same values. */
	readonly fingerprint: number;
}

/** A jump of the times, with the rows on both sides in the order of time. */
interface Jump {
	readonly kind: ZoneChange["kind"];
	readonly before: readonly ClockRow[];
	/** The rows before it begin with the file. */
	readonly isFromStart: boolean;
	readonly after: ClockRow[];
}

/** A jump that is a change of the clocks somewhere. */
interface ClockChange {
	readonly kind: ZoneChange["kind"];
	readonly lastBefore: ClockRow;
	readonly second: readonly ClockRow[];
	readonly changeSeconds: number;
	readonly zones: readonly string[];
}

/** Watches the times of a log that does not tell its zone. */
export interface ClockChangeDetector {
	/** Takes a sample, in the order of the file. */
	readonly add: (localSeconds: number, line: number, values: ArrayLike<number>) => void;
	/** After the last row. Throws InputError when the clock that wrote the log changed while it was written. */
	readonly finish: () => void;
}

/**
 * An hour that comes twice, or that is left out, is a change of the clocks when it lies where the clocks of some zone do change,
 * to a step, and when the rows run steadily up to it and on from it. An hour that comes twice must hold other values the second time.
 * So a gap, rows out of order, doubled rows and files that overlap are none.
 */
export function createClockChangeDetector(stepSeconds: number, isNewestFirst: boolean): ClockChangeDetector {
	const changes: ClockChange[] = [];
	const others = { ambiguous: 0, nonexistent: 0 };
	/** Rows since the times last went back, of the last hours. */
	let run: ClockRow[] = [];
	let isFromStart = true;
	let open: Jump | null = null;
	const between = (a: ClockRow, b: ClockRow): number =>
		isNewestFirst ? a.local - b.local : b.local - a.local;

	const close = (isEnd: boolean): void => {
		if (open === null) return;
		const { kind } = open;
		const found = findClockChange(open, isEnd, stepSeconds, between);
		if (found === null) others[kind]++;
		else changes.push(found);
		open = null;
	};

	const add: ClockChangeDetector["add"] = (local, line, values) => {
		if (Number.isNaN(local)) return;
		const row: ClockRow = { local, line, fingerprint: fingerprint(values) };
		const last = run.at(-1);
		const step = last === undefined ? stepSeconds : between(last, row);
		if (step === 0) return;
		if (open !== null) {
			const { kind, before, after } = open;
			if (step < 0) close(false);
			else {
				after.push(row);
				const isOver =
					kind === "ambiguous"
						? between(before.at(-1)!, row) > MAX_STEPS_OFF * stepSeconds
						: after.length >= MIN_ROWS_AROUND || step > MAX_STEADY_STEPS * stepSeconds;
				if (isOver) close(false);
			}
		}
		const kind = step < 0 ? "ambiguous" : "nonexistent";
		const change = Math.abs(stepSeconds - step);
		const isJump =
			change >= MIN_CHANGE_SECONDS &&
			change <= MAX_CHANGE_SECONDS &&
			(kind === "ambiguous" || change >= MIN_STEPS_LEFT_OUT * stepSeconds) &&
			others[kind] < MAX_OTHERS;
		if (isJump) {
			close(false);
			open = { kind, before: run.slice(), isFromStart, after: [row] };
		}
		if (step < 0) {
			run = [];
			isFromStart = false;
		}
		run.push(row);
		const middle = run.length >> 1;
		if (run.length >= 4 * MIN_ROWS_AROUND && between(run[middle]!, row) > MAX_CHANGE_SECONDS) {
			run = run.slice(middle);
			isFromStart = false;
		}
	};

	const finish = (): void => {
		close(true);
		const certain = changes.filter(({ kind }) => others[kind] < MAX_OTHERS);
		if (certain.length > 0) throw new InputError(listFaults(certain));
	};
	return { add, finish };
}

/** Differs between rows with different values, but for a chance in many millions. */
function fingerprint(values: ArrayLike<number>): number {
	let print = 0;
	for (let k = 0; k < values.length; k++) print = 31 * print + (Number.isNaN(values[k]!) ? -1 : values[k]!);
	return print;
}

/** The zones whose clocks changed at a jump; null when there is none, or when the rows around tell another story. */
function findClockChange(
	jump: Jump,
	isEnd: boolean,
	step: number,
	between: (a: ClockRow, b: ClockRow) => number,
): ClockChange | null {
	const { kind, before, after } = jump;
	const [last, next] = [before.at(-1)!, after[0]!];
	const low = Math.min(last.local, next.local);
	const high = Math.max(last.local, next.local);
	const within = (rows: readonly ClockRow[]) => rows.filter(({ local }) => local >= low && local <= high);
	const second = within(after);
	const tells =
		kind === "nonexistent"
			? isBetween(jump, step, between)
			: isTwice(jump, within(before), second, isEnd, 1 + (high - low) / step);
	if (!tells) return null;
	const near = MAX_STEPS_OFF * step;
	const fitting = zoneChanges(Math.floor(high / DAY)).filter((change) => {
		const { fromLocal, toLocal } = change;
		if (change.kind !== kind) return false;
		if (kind === "ambiguous")
			return low >= fromLocal && low < fromLocal + near && high >= toLocal - near && high < toLocal;
		const off = high - low - step - (toLocal - fromLocal);
		return (
			low >= fromLocal - near &&
			low < fromLocal &&
			high >= toLocal &&
			high < toLocal + near &&
			Math.abs(off) <= step / 2
		);
	});
	const [one] = fitting;
	if (one === undefined) return null;
	return {
		kind,
		lastBefore: last,
		second,
		changeSeconds: one.toLocal - one.fromLocal,
		zones: fitting.map(({ zone }) => zone),
	};
}

/** The stretch from the row after a jump back to the row before it stands in the file twice, at steady steps and with other values. */
function isTwice(
	{ before, isFromStart, after }: Jump,
	first: readonly ClockRow[],
	second: readonly ClockRow[],
	isEnd: boolean,
	rowsOfWhole: number,
): boolean {
	// The file may begin in the first of the two, and end in the second.
	const isWhole = [
		!(isFromStart && first.length === before.length),
		!(isEnd && second.length === after.length),
	];
	return (
		[first, second].every(
			(rows, k) => rows.length >= Math.max(MIN_ROWS, isWhole[k] ? MIN_STEADY_SHARE * rowsOfWhole : 0),
		) && !areSame(first, second)
	);
}

/** Steady steps run up to a gap and on from it. */
function isBetween(
	{ before, after }: Jump,
	step: number,
	between: (a: ClockRow, b: ClockRow) => number,
): boolean {
	return [before.slice(-MIN_ROWS_AROUND), after].every(
		(rows) =>
			rows.length >= MIN_ROWS_AROUND &&
			rows.every((row, i) => i === 0 || between(rows[i - 1]!, row) <= MAX_STEADY_STEPS * step),
	);
}

function areSame(first: readonly ClockRow[], second: readonly ClockRow[]): boolean {
	const prints = new Map(first.map(({ local, fingerprint }) => [local, fingerprint]));
	const same = second.filter(({ local, fingerprint }) => prints.get(local) === fingerprint).length;
	return same > MIN_SAME_SHARE * second.length;
}

function listFaults(changes: readonly ClockChange[]): Fault[] {
	const shared = changes
		.map(({ zones }) => zones)
		.reduce((some, zones) => some.filter((zone) => zones.includes(zone)));
	return changes.map(({ kind, lastBefore, second, changeSeconds, zones }) => {
		const fitting = shared.length > 0 ? shared : zones;
		const zone = WELL_KNOWN.find((name) => fitting.includes(name)) ?? fitting[0]!;
		const more = fitting.length - 1;
		const where = `in ${zone}${more === 0 ? "" : ` and ${more} other ${more === 1 ? "zone" : "zones"}`}`;
		const amount = formatDuration(changeSeconds);
		const [from, to] = [second[0]!, second.at(-1)!];
		const seen =
			kind === "ambiguous"
				? `lines ${from.line} to ${to.line} show ${stamp(Math.min(from.local, to.local))} to ${clock(Math.max(from.local, to.local))} once more, with other values, as a clock does that then goes back ${amount} (${where})`
				: `between lines ${lastBefore.line} and ${from.line} the times pass from ${stamp(Math.min(lastBefore.local, from.local))} to ${clock(Math.max(lastBefore.local, from.local))} and run steadily on, as a clock does that then goes forward ${amount} (${where})`;
		const otherwise =
			kind === "ambiguous" ? "the rows that come twice left out" : "a gap where the clock went forward";
		return {
			line: from.line,
			path: "zone",
			message: `${seen}; the log does not tell its zone. If its clock changed, say where it stood (--zone ${zone}); if not, --zone UTC reads its times as they stand, ${otherwise}`,
		};
	});
}

const stamp = (local: number): string => new Date(1000 * local).toISOString().slice(0, 16).replace("T", " ");
const clock = (local: number): string => stamp(local).slice(11);
