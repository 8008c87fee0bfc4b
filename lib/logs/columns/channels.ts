import {
	findNumberStyles,
	isMissing,
	type NumberColumn,
	type NumberStyle,
	POINT,
	writtenNumber,
} from "../decode/numbers.ts";
import type { Assumption, Channel, LogNote, ReadOptions } from "../log.ts";
import { refusal } from "../refusal.ts";
import { fanWord, isOtherGas, isPlausible, isUnitCell, kindOf, placeOf, ppmPerUnit } from "./columnwords.ts";
import { type Conversion, createConverter, fitsKind } from "./conversion.ts";
import { holdsOpenCode, isOpenCode } from "./missingcode.ts";

/** A column that is read, and how. */
export interface LogColumn extends Pick<Channel, "name" | "column" | "kind" | "place">, Conversion {
	readonly style: NumberStyle;
}

export interface ColumnsSeen {
	readonly names: readonly string[];
	readonly words: readonly string[];
	/** Cells of some rows, by column. */
	readonly cells: readonly (readonly string[])[];
	/** Cells of a column in one row after the other. */
	readonly series: (column: number) => readonly string[];
	readonly timeColumns: ReadonlySet<number>;
	/** Columns of times that are written as numbers. */
	readonly numberColumns: readonly NumberColumn[];
	readonly delimiter: string;
	readonly options: ReadOptions;
}

/** Finds what each column holds, and which CO2 column is the chamber's. Throws InputError when it cannot. */
export function findChannels(seen: ColumnsSeen): {
	readonly channels: readonly LogColumn[];
	readonly decimal: "." | ",";
	readonly timeStyle: NumberStyle;
	readonly notes: readonly LogNote[];
	/** Columns that are not read, blank in most rows: what stands there now and then is an event. */
	readonly remarks: readonly { readonly name: string; readonly column: number }[];
} {
	const { names, words, cells, timeColumns, options } = seen;
	const notes: LogNote[] = [];
	const title = titlesOf(names);
	const others = names.map((_, k) => k).filter((k) => !timeColumns.has(k));
	const kinds = new Map(others.map((k) => [k, kindOf(names[k]!)] as const));
	const chosen = options.column === undefined ? null : findNamed(options.column, "column", others, title);
	const intake = options.intake === undefined ? null : findNamed(options.intake, "intake", others, title);
	if (chosen !== null && chosen === intake)
		throw refusal("intake", `is the same column as --column, "${title(chosen)}"`);
	/** The option is for the chamber's column, and for those that tell none. */
	const unitOf = (k: number): number | null =>
		(chosen !== null && k !== chosen ? ppmPerUnit(names[k]!) : null) ??
		ppmPerUnit(options.unit ?? names[k]!) ??
		ppmPerUnit(cells[k]!.find((cell) => !isMissing(cell)) ?? "");
	let co2 = others.filter((k) => kinds.get(k) === "co2" || k === chosen || k === intake);
	// Where CO2 stands in ppm too, a unit that depends on pressure and temperature is not needed.
	const inShare = co2.filter((k) => k === chosen || k === intake || !Number.isNaN(unitOf(k)));
	for (const k of co2) if (inShare.length > 0 && !inShare.includes(k)) kinds.set(k, null);
	if (inShare.length > 0) co2 = inShare;
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
		[
			...numeric.map(
				(k): NumberColumn => ({
					title: title(k),
					cells: cells[k]!,
					isRead: ![null, "estimated CO2"].includes(kinds.get(k) ?? null),
					fits: fitsKind(kinds.get(k), unitOf(k)),
				}),
			),
			...seen.numberColumns,
		],
		seen.delimiter,
		options.decimal,
	);
	const channels: LogColumn[] = [];
	const unused: string[] = [];
	const remarks: { name: string; column: number }[] = [];
	for (const k of others) {
		const kind = kinds.get(k);
		if (kind === null || kind === undefined || kind === "estimated CO2") {
			const filled = cells[k]!.filter((cell) => !isMissing(cell));
			if (filled.length > 0) unused.push(title(k));
			if (5 * filled.length <= cells[k]!.length) remarks.push({ name: title(k), column: k });
			continue;
		}
		const style = styles[numeric.indexOf(k)] ?? { decimal, isGrouped: false, isPlain: true };
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
		const { convert, unit } = createConverter(
			kind,
			names[k]!,
			unitOf(k),
			values,
			title(k),
			() => options.acceptImplausible !== true && hasOpenCode(seen, k, style, others, title(k)),
		);
		channels.push({ name: title(k), column: k, kind, place, unit, style, convert });
	}
	if (unused.length > 0)
		notes.push({ kind: "unused column", columns: unused, count: unused.length, lines: [] });
	return { channels, decimal, timeStyle: styles[numeric.length] ?? POINT, notes, remarks };
}

/** Whether 9999 stands for no value in a column of CO2, also where the first rows have none of it and stay far below. Throws InputError. */
function hasOpenCode(
	{ cells, series }: ColumnsSeen,
	column: number,
	style: NumberStyle,
	others: readonly number[],
	title: string,
): boolean {
	const own = series(column);
	const values = own.map((cell) => writtenNumber(cell, style));
	const isCodeElsewhere = others.some((k) => k !== column && holdsOpenCode(cells[k]!));
	return isOpenCode({ title, cells: own, values, isCodeElsewhere });
}

/** Names of columns: `column 3` where there is none, `CO2#2` for the second of one name. */
function titlesOf(names: readonly string[]): (column: number) => string {
	const titles = names.map((name, k) => {
		if (name === "") return `column ${k + 1}`;
		const same = names.filter((other) => other === name).length;
		return same === 1 ? name : `${name}#${names.slice(0, k + 1).filter((other) => other === name).length}`;
	});
	return (k) => titles[k]!;
}

const nameAlone = (title: string): string => {
	const [first = "", ...rest] = title
		.toLowerCase()
		.replace(/#\d+$/, "")
		.split(/[\s_]+(?=\S+$)|(?=[([])/);
	return rest.every(isUnitCell) ? first.trim() : title.toLowerCase();
};

/** Column by its name, part of it, `column 3` or `CO2#2`. Throws InputError. */
function findNamed(
	asked: string,
	path: string,
	columns: readonly number[],
	title: (column: number) => string,
): number {
	const wanted = asked.trim().toLowerCase();
	const same = columns.filter((k) => title(k).toLowerCase() === wanted || `column ${k + 1}` === wanted);
	if (same.length === 1) return same[0]!;
	// `CO2#2`: the second of one name, whatever the unit behind it.
	const [, name, place] = /^(.*)#(\d+)$/.exec(wanted) ?? [];
	const numbered = columns.filter((k) => nameAlone(title(k)) === name)[Number(place) - 1];
	if (numbered !== undefined) return numbered;
	const near = columns.filter((k) => wanted !== "" && title(k).toLowerCase().includes(wanted));
	if (near.length === 1) return near[0]!;
	const list = (near.length > 1 ? near : columns).map((k) => `"${title(k)}"`).join(", ");
	const what = near.length > 1 || same.length > 1 ? "more than one column fits" : "no column is called";
	const way = same.length > 1 ? '; say which by its number, such as "column 3"' : `; there are ${list}`;
	throw refusal(path, `${what} "${asked}"${way}`);
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
	const inPpm = columns.filter(
		(k) => /ppm/i.test(names[k]!) && kindOf(`CO2 ${names[k]!}`) === "co2" && !isOtherGas(words[k]!),
	);
	if (inPpm.length === 1) return assume(inPpm[0]!, "only column in ppm");
	const estimated = columns.filter((k) => kinds.get(k) === "estimated CO2");
	if (inPpm.length === 0 && estimated.length === 1) return assume(estimated[0]!, "only CO2 estimate");
	if (names.every((name) => name === "")) {
		const candidates = columns
			.filter((k) => !countsRows(cells[k]!))
			.map((k) => ({ k, inPpm: spreadOfCo2(cells[k]!, 1), inPerCent: spreadOfCo2(cells[k]!, 10_000) }))
			.filter(({ inPpm, inPerCent }) => inPpm !== null || inPerCent !== null);
		const [one, ...more] = candidates.filter(
			({ inPpm, inPerCent }) =>
				candidates.length === 1 || (inPpm ?? 0) > MAX_STILL || (inPerCent ?? 0) > MAX_STILL,
		);
		if (one !== undefined && more.length === 0 && one.inPpm !== null && one.inPerCent === null)
			if (candidates.length === 1) return assume(one.k, "only values in range");
			else if (one.inPpm > MIN_VARYING) return assume(one.k, "only values that vary");
	}
	const list = columns.map((k) => `"${title(k)}"`).join(", ");
	throw refusal(
		"co2 column",
		`no column says that it holds CO2; name it (--column NAME)${list === "" ? "" : `, there are ${list}`}`,
	);
}

/** Four of five readings of a chamber aired by bursts span this share of their median, or more. */
const MIN_VARYING = 0.2;
/** Readings that span less than this are no such chamber's. */
const MAX_STILL = 0.05;

/**
 * How far four of five values lie apart, as a share of their median, where most can be CO2 with the sign in them before decimals or between
 * thousands; else null.
 */
function spreadOfCo2(cells: readonly string[], ppmPerUnit: number): number | null {
	const filled = cells.filter((cell) => !isMissing(cell) && !/^\D*9{4,}\D*$|^-\s*999\b/.test(cell));
	for (const decimal of [".", ","] as const) {
		const style: NumberStyle = { decimal, isGrouped: true, isPlain: false };
		const values = filled.map((cell) => writtenNumber(cell, style)).sort((a, b) => a - b);
		const fitting = values.filter((value) => isPlausible(value * ppmPerUnit));
		if (filled.length === 0 || fitting.length < 0.8 * filled.length) continue;
		const at = (share: number): number => fitting[Math.floor(share * (fitting.length - 1))]!;
		return (at(0.9) - at(0.1)) / at(0.5);
	}
	return null;
}

/** Whole numbers, each one more than the one before. */
const countsRows = (cells: readonly string[]): boolean =>
	cells.length > 2 && cells.every((cell, i) => i === 0 || Number(cell) - Number(cells[i - 1]) === 1);

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
	throw refusal("column", `several columns hold CO2: ${list}; say which is the chamber's (--column NAME)`);
}

/** The CO2 channel that stands for the chamber. */
export function mainChannel<C extends Pick<Channel, "kind" | "place">>(channels: readonly C[]): C {
	const co2 = channels.filter(({ kind }) => kind === "co2");
	return co2.find(({ place }) => place === "chamber") ?? co2[0]!;
}

/** Value of a cell in words: a fan's state, else a number written in another way than plainly. */
export const readCell = (text: string, { kind, style }: LogColumn): number => {
	const number = writtenNumber(text, style);
	return Number.isNaN(number) && kind === "fan" ? fanWord(text) : number;
};
