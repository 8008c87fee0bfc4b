import { InputError } from "../../errors.ts";
import { findNumberStyles, isMissing, type NumberStyle, writtenNumber } from "../decode/numbers.ts";
import type { Assumption, Channel, LogNote, ReadOptions } from "../log.ts";
import { fanWord, isOtherGas, kindOf, placeOf, ppmPerUnit, toCelsius } from "./columnwords.ts";

/** A column that is read, and how. */
export interface LogColumn extends Pick<Channel, "name" | "column" | "kind" | "place"> {
	readonly style: NumberStyle;
	/** From the number in the cell to the channel's unit; NaN when no sensor can mean it. */
	readonly convert: (value: number) => number;
}

export interface ColumnsSeen {
	readonly names: readonly string[];
	readonly words: readonly string[];
	/** Cells of some rows, by column. */
	readonly cells: readonly (readonly string[])[];
	readonly timeColumns: ReadonlySet<number>;
	readonly delimiter: string;
	readonly options: ReadOptions;
}

/** Numbers that loggers write for "no value". */
const SENTINELS = new Set([65535, 65534, 65536, 32767, 32768, 9999999, 999999, 99999, 99999999]);
/** CO2 in a column without a unit that stays below this is not in ppm: outdoor air has some 420. */
const MIN_PPM = 50;

/** Finds what each column holds, and which CO2 column is the chamber's. Throws InputError when it cannot. */
export function findChannels(seen: ColumnsSeen): {
	readonly channels: readonly LogColumn[];
	readonly decimal: "." | ",";
	readonly notes: readonly LogNote[];
} {
	const { names, words, cells, timeColumns, options } = seen;
	const notes: LogNote[] = [];
	const title = (k: number): string => (names[k] === "" ? `column ${k + 1}` : names[k]!);
	const others = names.map((_, k) => k).filter((k) => !timeColumns.has(k));
	const kinds = new Map(others.map((k) => [k, kindOf(words[k]!)] as const));
	const chosen = options.column === undefined ? null : findNamed(options.column, "column", others, title);
	const intake = options.intake === undefined ? null : findNamed(options.intake, "intake", others, title);
	if (chosen !== null && chosen === intake)
		throw new InputError([{ path: "intake", message: `is the same column as --column, "${title(chosen)}"` }]);
	let co2 = others.filter((k) => kinds.get(k) === "co2" || k === chosen || k === intake);
	if (chosen === null && co2.filter((k) => k !== intake).length === 0)
		co2 = [
			...co2,
			findFallback(
				seen,
				others.filter((k) => k !== intake),
				kinds,
				title,
				notes,
			),
		];
	const chamber =
		chosen ??
		findChamber(
			co2.filter((k) => k !== intake),
			words,
			title,
		);
	for (const k of co2) kinds.set(k, "co2");

	const numeric = others.filter((k) => cells[k]!.some((cell) => /\d/.test(cell)));
	const { decimal, styles } = findNumberStyles(
		numeric.map((k) => cells[k]!),
		numeric.map((k) => kinds.get(k) === "co2" && (ppmPerUnit(names[k]!) ?? 1) === 1),
		seen.delimiter,
	);
	const channels: LogColumn[] = [];
	const unused: string[] = [];
	for (const k of others) {
		const kind = kinds.get(k);
		if (kind === null || kind === undefined || kind === "estimated CO2") {
			if (cells[k]!.some((cell) => cell.trim() !== "")) unused.push(title(k));
			continue;
		}
		const style = styles[numeric.indexOf(k)] ?? { decimal, isPlain: true };
		const place =
			kind !== "co2"
				? null
				: k === chamber
					? "chamber"
					: k === intake || placeOf(words[k]!) === "intake"
						? "intake"
						: null;
		const values = cells[k]!.map((cell) => writtenNumber(cell, style)).filter(
			(value) => !Number.isNaN(value),
		);
		const convert = createConverter(kind, names[k]!, values, title(k), notes);
		channels.push({ name: title(k), column: k, kind, place, style, convert });
	}
	if (unused.length > 0)
		notes.push({ kind: "unused column", columns: unused, count: unused.length, lines: [] });
	return { channels, decimal, notes };
}

/** Column by its name, part of it, or `column 3`. Throws InputError. */
function findNamed(
	asked: string,
	path: string,
	columns: readonly number[],
	title: (column: number) => string,
): number {
	const wanted = asked.trim().toLowerCase();
	const same = columns.filter((k) => title(k).toLowerCase() === wanted || `column ${k + 1}` === wanted);
	if (same.length === 1) return same[0]!;
	const near = columns.filter((k) => wanted !== "" && title(k).toLowerCase().includes(wanted));
	if (near.length === 1) return near[0]!;
	const list = (near.length > 1 ? near : columns).map((k) => `"${title(k)}"`).join(", ");
	const what = near.length > 1 || same.length > 1 ? "more than one column fits" : "no column is called";
	const way = same.length > 1 ? '; say which by its number, such as "column 3"' : `; there are ${list}`;
	throw new InputError([{ path, message: `${what} "${asked}"${way}` }]);
}

/** The CO2 column of a file whose header says CO2 nowhere. */
function findFallback(
	{ names, words, cells }: ColumnsSeen,
	columns: readonly number[],
	kinds: ReadonlyMap<number, string | null>,
	title: (column: number) => string,
	notes: LogNote[],
): number {
	type Because = Extract<Assumption, { assumed: "CO2 column" }>["because"];
	const assume = (k: number, because: Because): number => {
		const assumption = { assumed: "CO2 column", column: title(k), because } as const;
		notes.push({ kind: "assumption", ...assumption, count: 1, lines: [] });
		return k;
	};
	const inPpm = columns.filter((k) => /ppm/i.test(names[k]!) && !isOtherGas(words[k]!));
	if (inPpm.length === 1) return assume(inPpm[0]!, "only column in ppm");
	const estimated = columns.filter((k) => kinds.get(k) === "estimated CO2");
	if (inPpm.length === 0 && estimated.length === 1) return assume(estimated[0]!, "only CO2 estimate");
	const likely = columns.filter((k) => names[k] === "" && looksLikePpm(cells[k]!));
	if (names.every((name) => name === "") && likely.length === 1)
		return assume(likely[0]!, "only values in range");
	const list = columns.map((k) => `"${title(k)}"`).join(", ");
	throw new InputError([
		{
			path: "co2 column",
			message: `no column says that it holds CO2; name it (--column NAME)${list === "" ? "" : `, there are ${list}`}`,
		},
	]);
}

function looksLikePpm(cells: readonly string[]): boolean {
	const values = cells
		.filter((cell) => !isMissing(cell))
		.map((cell) => writtenNumber(cell, { decimal: ".", isPlain: false }));
	const good = values.filter((value) => value >= 300 && value <= 60_000).length;
	return values.length > 0 && good >= 0.8 * values.length;
}

/** Which of several CO2 columns is the chamber's. Throws InputError when they cannot be told apart. */
function findChamber(
	co2: readonly number[],
	words: readonly string[],
	title: (column: number) => string,
): number {
	if (co2.length === 1) return co2[0]!;
	const inside = co2.filter((k) => placeOf(words[k]!) === "chamber");
	if (inside.length === 1) return inside[0]!;
	const elsewhere = co2.filter((k) => placeOf(words[k]!) !== "intake");
	if (inside.length === 0 && elsewhere.length === 1) return elsewhere[0]!;
	const list = co2.map((k) => `"${title(k)}"`).join(", ");
	throw new InputError([
		{
			path: "column",
			message: `several columns hold CO2: ${list}; say which is the chamber's (--column NAME)`,
		},
	]);
}

function createConverter(
	kind: LogColumn["kind"],
	header: string,
	seen: readonly number[],
	title: string,
	notes: LogNote[],
): (value: number) => number {
	if (kind === "fan") {
		const share = /%|per ?cent/i.test(header) ? 0.01 : 1;
		return (value) => (value < 0 || SENTINELS.has(value) ? Number.NaN : Math.min(share * value, 1));
	}
	if (kind === "temperature") {
		const celsius = toCelsius(header);
		return (value) => {
			const inCelsius = celsius(value);
			return inCelsius > -60 && inCelsius < 150 ? inCelsius : Number.NaN;
		};
	}
	if (kind === "humidity") {
		const isShare = seen.length > 0 && seen.every((value) => value <= 1) && seen.some((value) => value > 0);
		const top = isShare ? 1 : 100;
		return (value) => (value >= 0 && value <= 1.05 * top ? value / top : Number.NaN);
	}
	const stated = ppmPerUnit(header);
	if (Number.isNaN(stated))
		throw new InputError([
			{
				path: "co2 column",
				message: `"${title}" is in a unit that depends on pressure and temperature; convert it to ppm`,
			},
		]);
	const usable = seen.filter((value) => value > 0 && !SENTINELS.has(value)).sort((a, b) => a - b);
	const high = usable[Math.floor(0.95 * (usable.length - 1))];
	let factor = stated ?? 1;
	if (stated === null && high !== undefined && high < MIN_PPM) {
		factor = 10_000;
		const assumption = { assumed: "per cent", column: title, belowValue: MIN_PPM } as const;
		notes.push({ kind: "assumption", ...assumption, count: 1, lines: [] });
	}
	return (value) => {
		// 0.1 % must be 1000 ppm, not 1000.0000000000001.
		const ppm = factor === 1 ? value : Math.round(value * factor * 1e6) / 1e6;
		return ppm > 0 && ppm <= 1e6 && !SENTINELS.has(value) ? ppm : Number.NaN;
	};
}

/** Value of a cell in words: a fan's state, else a number written in another way than plainly. */
export const readCell = (text: string, { kind, style }: LogColumn): number => {
	const number = writtenNumber(text, style);
	return Number.isNaN(number) && kind === "fan" ? fanWord(text) : number;
};
