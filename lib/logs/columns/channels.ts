import { InputError } from "../../errors.ts";
import {
	findNumberStyles,
	isMissing,
	type NumberColumn,
	type NumberStyle,
	POINT,
	writtenNumber,
} from "../decode/numbers.ts";
import type { Assumption, Channel, LogNote, ReadOptions } from "../log.ts";
import {
	fanWord,
	isOtherGas,
	isPlausible,
	isUnitCell,
	kindOf,
	placeOf,
	ppmPerUnit,
	temperatureUnit,
} from "./columnwords.ts";

/** A column that is read, and how. */
export interface LogColumn extends Pick<Channel, "name" | "column" | "kind" | "place"> {
	readonly style: NumberStyle;
	/** As written in the file. */
	readonly unit: NonNullable<Channel["unit"]> | null;
	/** From the number in the cell to the channel's unit; NaN when no sensor can mean it. */
	readonly convert: (value: number) => number;
}

export interface ColumnsSeen {
	readonly names: readonly string[];
	readonly words: readonly string[];
	/** Cells of some rows, by column. */
	readonly cells: readonly (readonly string[])[];
	readonly timeColumns: ReadonlySet<number>;
	/** Columns of times that are written as numbers. */
	readonly numberColumns: readonly NumberColumn[];
	readonly delimiter: string;
	readonly options: ReadOptions;
}

/** Numbers that loggers write for "no value". */
const SENTINELS = new Set([65535, 65534, 65536, 32767, 32768, 9999999, 999999, 99999, 99999999]);
/** Another of them, which is also a thinkable reading: no value where all others of the first rows are far below. */
const CODE = 9999;
const MAX_BELOW_CODE = 5000;
/** CO2 in a column without a unit that stays below this is not in ppm: outdoor air has some 420. */
const MIN_PPM = 50;
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
		throw new InputError([{ path: "intake", message: `is the same column as --column, "${title(chosen)}"` }]);
	const unitOf = (k: number): number | null =>
		ppmPerUnit(options.unit ?? names[k]!) ?? ppmPerUnit(cells[k]!.find((cell) => !isMissing(cell)) ?? "");
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
			options.acceptImplausible === true,
		);
		channels.push({ name: title(k), column: k, kind, place, unit, style, convert });
	}
	if (unused.length > 0)
		notes.push({ kind: "unused column", columns: unused, count: unused.length, lines: [] });
	return { channels, decimal, timeStyle: styles[numeric.length] ?? POINT, notes, remarks };
}

/** Whether values of a column of a kind can be so. */
function fitsKind(kind: ReturnType<typeof kindOf> | undefined, unit: number | null): NumberColumn["fits"] {
	switch (kind) {
		case "co2":
			return (values) => {
				const factors = unit === null ? [1, 10_000] : [unit];
				return factors.some((factor) => areMost((value) => isPlausible(value * factor))(values));
			};
		case "temperature":
			return areMost((value) => value > -60 && value < 400);
		case "humidity":
			return areMost((value) => value < 200);
		default:
			return () => true;
	}
}

/** Four of five values that are no codes for none. */
const areMost =
	(holds: (value: number) => boolean) =>
	(values: readonly number[]): boolean => {
		const readings = values.filter(
			(value) => !SENTINELS.has(Math.abs(value)) && !/^-?9+$/.test(String(value)),
		);
		return readings.filter(holds).length >= 0.8 * readings.length;
	};

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
	const inPpm = columns.filter(
		(k) => /ppm/i.test(names[k]!) && kindOf(`CO2 ${names[k]!}`) === "co2" && !isOtherGas(words[k]!),
	);
	if (inPpm.length === 1) return assume(inPpm[0]!, "only column in ppm");
	const estimated = columns.filter((k) => kinds.get(k) === "estimated CO2");
	if (inPpm.length === 0 && estimated.length === 1) return assume(estimated[0]!, "only CO2 estimate");
	const likely = columns.filter((k) => names[k] === "" && lookLikeCo2(cells[k]!, 1));
	const inPerCent = columns.filter((k) => k !== likely[0] && lookLikeCo2(cells[k]!, 10_000));
	if (names.every((name) => name === "") && likely.length === 1 && inPerCent.length === 0)
		return assume(likely[0]!, "only values in range");
	const list = columns.map((k) => `"${title(k)}"`).join(", ");
	throw new InputError([
		{
			path: "co2 column",
			message: `no column says that it holds CO2; name it (--column NAME)${list === "" ? "" : `, there are ${list}`}`,
		},
	]);
}

/** Most values can be CO2, with the sign in them before decimals or between thousands. */
function lookLikeCo2(cells: readonly string[], ppmPerUnit: number): boolean {
	const filled = cells.filter((cell) => !isMissing(cell));
	return [".", ","].some((sign) => {
		const style: NumberStyle = { decimal: sign as ".", isGrouped: true, isPlain: false };
		const fitting = filled.filter((cell) => isPlausible(writtenNumber(cell, style) * ppmPerUnit));
		return filled.length > 0 && fitting.length >= 0.8 * filled.length;
	});
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
	stated: number | null,
	seen: readonly number[],
	title: string,
	accepts: boolean,
): Pick<LogColumn, "convert" | "unit"> {
	if (kind === "fan") {
		const share = /%|per ?cent/i.test(header) ? 0.01 : 1;
		const convert = (value: number): number =>
			value < 0 || SENTINELS.has(value) ? Number.NaN : Math.min(share * value, 1);
		return { unit: share === 1 ? null : "%", convert };
	}
	if (kind === "temperature") {
		const { unit, celsius } = temperatureUnit(header);
		const convert = (value: number): number => {
			const inCelsius = celsius(value);
			return inCelsius > -60 && inCelsius < 150 ? inCelsius : Number.NaN;
		};
		return { unit, convert };
	}
	if (kind === "humidity") {
		const isShare = seen.length > 0 && seen.every((value) => value <= 1) && seen.some((value) => value > 0);
		const top = isShare ? 1 : 100;
		return {
			unit: isShare ? "share" : "%",
			convert: (value) => (value >= 0 && value <= 1.05 * top ? value / top : Number.NaN),
		};
	}
	if (Number.isNaN(stated))
		throw new InputError([
			{
				path: "co2 column",
				message: `"${title}" is in a unit that depends on pressure and temperature; convert it to ppm`,
			},
		]);
	const usable = seen.filter((value) => value > 0 && !SENTINELS.has(value)).sort((a, b) => a - b);
	const high = usable[Math.floor(0.95 * (usable.length - 1))];
	if (stated === null && high !== undefined && high < MIN_PPM)
		throw new InputError([
			{
				path: "unit",
				message: `"${title}" has no unit, and its values stay below ${MIN_PPM}, which CO2 in ppm never does; say the unit (--unit %, --unit ‰ or --unit ppm)`,
			},
		]);
	const factor = stated ?? 1;
	const isCode = factor === 1 && usable.includes(CODE) && isCodeIn(seen, title, accepts);
	const convert = (value: number): number => {
		// 0.1 % must be 1000 ppm, not 1000.0000000000001.
		const ppm = factor === 1 ? value : Math.round(value * factor * 1e6) / 1e6;
		return ppm > 0 && ppm <= 1e6 && !SENTINELS.has(value) && !(isCode && value === CODE) ? ppm : Number.NaN;
	};
	return { unit: CO2_UNITS[factor]!, convert };
}

/** Whether 9999 means "no value": no reading comes near it. Throws InputError where it can be either. */
function isCodeIn(values: readonly number[], title: string, accepts: boolean): boolean {
	const readings = values.filter((value) => value > 0 && !SENTINELS.has(value));
	const others = readings.filter((value) => value !== CODE);
	if (accepts) return false;
	if (others.every((value) => value < MAX_BELOW_CODE)) return true;
	// A sensor that ends there comes near before.
	const isNear = (value: number | undefined): boolean =>
		value === CODE || (value !== undefined && value > 0.85 * CODE);
	const isEnd =
		others.every((value) => value < CODE) &&
		readings.every((value, i) => value !== CODE || isNear(readings[i - 1]) || isNear(readings[i + 1]));
	if (isEnd) return false;
	throw new InputError([
		{
			path: "co2 column",
			message: `${CODE} in "${title}" can be a reading or stand for no value, among values up to ${Math.max(...others)}; write no value as NA, or take it as a reading (--accept-implausible)`,
		},
	]);
}

const CO2_UNITS: Readonly<Record<number, LogColumn["unit"]>> = {
	1: "ppm",
	0.001: "ppb",
	1000: "‰",
	10000: "%",
};

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
