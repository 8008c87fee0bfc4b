import { type Draw, drawFrom } from "./draw.ts";
import { drawTimes } from "./times.ts";

/** What one column holds: values in ppm, °C, shares or states by row of the truth; null where it is none of these. */
export interface TrueColumn {
	readonly kind: "co2" | "temperature" | "humidity" | "fan";
	readonly values: readonly number[];
}

/** A file as a logger may write it, and what it says. */
export interface RandomFile {
	readonly seed: number;
	readonly bytes: Uint8Array;
	readonly text: string;
	/** Instant of each good row [s since 1970-01-01 UTC], or since the first one; ascending. */
	readonly seconds: readonly number[];
	readonly isDated: boolean;
	/** Neither file nor option tells the zone: local times count as UTC, and that must be noted. */
	readonly isZoneAssumed: boolean;
	/** By place in the file; absent: nothing that may be read. */
	readonly columns: ReadonlyMap<number, TrueColumn>;
	/** Place of the chamber's CO2. */
	readonly chamber: number;
	/** Options that settle what the file leaves open. */
	readonly options: {
		readonly dateOrder?: "dmy" | "mdy";
		readonly column?: string;
		readonly unit?: string;
		readonly decimal?: "." | ",";
	};
	/** Rows of data in the file that hold no good sample: cut, stray, told twice. */
	readonly badRows: number;
	/** Nothing but a refusal is right without the options. */
	readonly mustRefuse: string | null;
	/** What was drawn. */
	readonly traits: readonly string[];
}

interface Column {
	name: string;
	unit: string;
	process: string;
	cells: string[];
	truth: TrueColumn | null;
}

/** The last Sunday of a month, 01:00 UTC: there the clocks of Berlin change. */
const changeOf = (year: number, month: number): number => {
	const last = new Date(Date.UTC(year, month + 1, 0, 1));
	return last.getTime() / 1000 - last.getUTCDay() * 86_400;
};
const SUMMER_ENDS = changeOf(2026, 9);
const berlin = (utc: number): number => {
	const year = new Date(utc * 1000).getUTCFullYear();
	return utc >= changeOf(year, 2) && utc < changeOf(year, 9) ? 7200 : 3600;
};

/** A number as a logger writes it. */
export interface NumberLook {
	readonly decimal: "." | ",";
	readonly digits: number;
	/** Zeros behind the decimal sign are left away. */
	readonly isTrimmed: boolean;
	readonly group: string;
}
export function writeNumber(value: number, { decimal, digits, isTrimmed, group }: NumberLook): string {
	let [whole = "", rest = ""] = Math.abs(value).toFixed(digits).split(".");
	if (isTrimmed) rest = rest.replace(/0+$/, "");
	if (group !== "") whole = whole.replace(/\B(?=(\d{3})+$)/g, group);
	return `${value < 0 ? "-" : ""}${whole}${rest === "" ? "" : decimal + rest}`;
}

/** An invented course [ppm] of a sensor that ends at 9999: a slow sawtooth that passes it. */
const drawClippedCo2 = (draw: Draw, count: number): number[] => {
	const period = 24 + draw.below(36);
	return Array.from({ length: count }, (_, i) =>
		Math.min(9999, 6000 + 8000 * ((i % period) / period) + 40 * (draw.uniform() - 0.5)),
	);
};

/** Per cent below a header that says ppm; all of it with a digit before the sign. */
const drawPerCent = (draw: Draw, count: number): number[] => {
	const base = 11_000 + 9000 * draw.uniform();
	const period = 3 + draw.below(20);
	return Array.from(
		{ length: count },
		(_, i) => base + 20_000 * ((i % period) / period) + 400 * draw.uniform(),
	);
};

/** An invented course of CO2 [ppm]: a sawtooth about a level, with noise. */
function drawCo2(draw: Draw, count: number): number[] {
	const [low, high] = draw.oneOf([
		[400, 950],
		[600, 1800],
		[420, 2600],
		[900, 6000],
		[5000, 30_000],
		[300, 480],
	]) as [number, number];
	const period = 3 + draw.below(20);
	const base = low + draw.uniform() * 0.3 * (high - low);
	return Array.from(
		{ length: count },
		(_, i) =>
			base + ((i % period) / period) * 0.65 * (high - low) + (draw.uniform() - 0.5) * 0.02 * (high - low),
	);
}

export function randomFile(seed: number): RandomFile {
	const draw = drawFrom(seed);
	const { oneOf, chance, below, weighted } = draw;
	const traits: string[] = [];
	const trait = (name: string, is: boolean): boolean => {
		if (is) traits.push(name);
		return is;
	};
	let mustRefuse: string | null = null;

	// Times.
	const times = drawTimes(draw);
	const steps = [1, 2, 5, 10, 15, 30, 60, 60, 60, 120, 180, 300, 600, 900, 1800, 3600].filter(
		(step) => step % times.resolution === 0,
	);
	const isShort = trait("short run", chance(0.05));
	// Loggers that sample twice a minute and print hours and minutes alone.
	const isTwice = trait(
		"twice a minute",
		!isShort &&
			times.resolution === 60 &&
			!times.columns.some(({ isDecimal, unit }) => isDecimal === true || unit === "min") &&
			chance(0.012),
	);
	const step = isTwice ? oneOf([30, 20, 15]) : oneOf(steps);
	const count = isShort ? 1 + below(6) : 12 + below(110);
	const zoneKind =
		times.isUtc || times.cellOffset !== null || !times.isDated
			? "told"
			: weighted({ assumed: 5, header: 1, preamble: 3 });
	const fixed = oneOf([0, 3600, 7200, -18_000, 19_800]);
	const isBerlin = zoneKind === "preamble" && chance(0.3);
	const isChange = trait(
		"hour twice",
		!isTwice &&
			zoneKind !== "header" &&
			zoneKind !== "told" &&
			step <= 600 &&
			3600 / step <= 60 &&
			(zoneKind === "preamble" ? chance(0.2) : chance(0.01)),
	);
	const offsetAt = (utc: number): number =>
		isBerlin || isChange
			? berlin(utc)
			: times.isUtc || !times.isDated
				? 0
				: times.cellOffset !== null
					? times.cellOffset
					: fixed;
	let start = isChange
		? SUMMER_ENDS - step * (Math.ceil(3600 / step) + 2 + below(20))
		: Math.floor(Date.UTC(2024 + below(4), below(12), 1 + below(28), below(24), below(60), below(60)) / 1000);
	start =
		Math.floor(start / 60) * 60 +
		(times.resolution === 1 && !isChange ? below(60) : isTwice ? step * below(60 / step) : 0);
	const rows = isChange ? Math.max(count, Math.ceil((2 * 3600) / step) + 30) : count;
	const hasGaps = trait("gaps", !isChange && chance(0.2));
	const utc: number[] = [];
	let clock = start;
	for (let i = 0; i < rows; i++) {
		utc.push(clock);
		clock += step * (hasGaps && chance(0.06) ? 2 + below(30) : 1);
	}
	// A clock without dates tells no gap of half a day; a year without its number no 29 February.
	const span = utc.at(-1)! - utc[0]!;
	const local = utc.map((at) => at + offsetAt(at));
	const crossesLeapDay = [2024].some(
		(y) => local[0]! < Date.UTC(y, 2, 1) / 1000 && local.at(-1)! >= Date.UTC(y, 1, 28) / 1000,
	);
	if (!times.isDated && (crossesLeapDay || span > 30 * 86_400)) return randomFile(seed + 1_000_003);
	if (times.columns.length === 1 && !times.isDated && hasGaps) return randomFile(seed + 1_000_003);

	// Numbers.
	const delimiter = oneOf([",", ",", ",", ";", ";", "\t", "\t", "|", " "]);
	const decimal = oneOf([".", ".", ","] as const);
	// Hardly a logger groups its thousands; a spreadsheet on the way does.
	const groupKind = weighted({ none: 14, sign: 1.2, blank: 0.5, apostrophe: 0.3 });
	const group =
		groupKind === "none"
			? ""
			: groupKind === "sign"
				? decimal === "."
					? ","
					: "."
				: groupKind === "blank"
					? oneOf([" ", "\u00a0", "\u202f"])
					: "'";
	const quotes = weighted({ needed: 6, all: 2, words: 1 });
	const naCode = oneOf([
		"",
		"NaN",
		"NA",
		"#N/A",
		"null",
		"-999",
		"-9999",
		"--",
		"N/A",
		"9999",
		"99999",
		"NAN",
		"-",
	]);
	const naInAll = trait("mostly missing", chance(0.06));
	const naShare = chance(0.5) ? 0 : naInAll ? 0.6 : oneOf([0.02, 0.1, 0.3]);
	const leadingNa = trait("first rows missing", chance(0.08)) ? Math.min(rows - 3, 1 + below(8)) : 0;
	const missing = (i: number, share: number): boolean => i < leadingNa || (share > 0 && chance(share));
	const column = (name: string, unit: string, process = "Avg"): Column => ({
		name,
		unit,
		process,
		cells: [],
		truth: null,
	});
	const columns: Column[] = [];
	const numbers = (
		into: Column,
		values: readonly number[],
		look: NumberLook,
		share: number,
		toTruth: ((value: number) => number) | null,
		kind: TrueColumn["kind"] | null,
	): Column => {
		const truth: number[] = [];
		values.forEach((value, i) => {
			if (missing(i, share)) {
				into.cells.push(naCode === "" && delimiter === " " ? "NaN" : naCode);
				truth.push(Number.NaN);
			} else {
				// A logger that writes 9999 for no value does not write it for a reading.
				const reading =
					value.toFixed(look.digits) === Number(naCode).toFixed(look.digits) ? value - 1 : value;
				into.cells.push(writeNumber(reading, look));
				truth.push(toTruth === null ? Number.NaN : toTruth(Number(reading.toFixed(look.digits))));
			}
		});
		if (kind !== null) into.truth = { kind, values: truth };
		columns.push(into);
		return into;
	};
	const look = (digits: number, isTrimmed = chance(0.25)): NumberLook => ({
		decimal,
		digits,
		isTrimmed,
		group,
	});
	const exact = (scale: number) => (value: number) => Math.round(value * scale * 1e6) / 1e6;

	// CO2.
	const unitKind = weighted({
		ppm: 16,
		bare: 4,
		"%": 2,
		"‰": 0.5,
		molar: 1.5,
		"bare %": 0.05,
		"% under ppm": 0.04,
	});
	const isClipped = trait("ends at 9999", !isShort && unitKind === "ppm" && chance(0.015));
	const ppm =
		unitKind === "% under ppm"
			? drawPerCent(draw, rows)
			: isClipped
				? drawClippedCo2(draw, rows)
				: drawCo2(draw, rows);
	// The code for none stands beside readings at the end of the range.
	if (isClipped && naCode === "9999" && (naShare > 0 || leadingNa > 0)) mustRefuse = "maybe";
	const [co2Unit, scale] = {
		ppm: [oneOf(["ppm", "ppm", "ppmv", "PPM"]), 1],
		bare: ["", 1],
		"%": [oneOf(["%", "Vol.-%", "% vol"]), 1e4],
		"‰": ["‰", 1000],
		molar: [oneOf(["umol/mol", "µmol/mol"]), 1],
		"bare %": ["", 1e4],
		"% under ppm": ["ppm", 1e4],
	}[unitKind] as [string, number];
	const co2Name = oneOf([
		"CO2",
		"CO2",
		"co2",
		"CO₂",
		"Carbon dioxide",
		"Kohlendioxid",
		"CO2_Avg",
		"co2_chamber",
		"CO2 Conc",
		"CO2_1",
	]);
	if (scale !== 1) traits.push(`unit ${unitKind}`);
	const co2Digits =
		scale === 1
			? weighted({ "0": 6, "1": 3, "2": 2, "3": 2.5 })
			: scale === 1000 || unitKind === "% under ppm"
				? "3"
				: oneOf(["3", "4", "4"]);
	const chamber = numbers(
		column(co2Name, co2Unit),
		ppm.map((value) => value / scale),
		look(Number(co2Digits)),
		naShare,
		exact(scale),
		"co2",
	);
	if (trait("three decimals", co2Digits === "3")) chamber.name += "";
	if (unitKind === "bare %" || unitKind === "% under ppm") mustRefuse = "unit";
	if (chamber.truth!.values.every(Number.isNaN)) mustRefuse ??= "no value";
	const usable = chamber.truth!.values.filter((value) => !Number.isNaN(value));
	// All the same by chance, or hardly a value.
	if (usable.length < 3 && usable.length < rows) mustRefuse ??= "maybe";

	// Others.
	const extra = weighted({ none: 4, few: 6, many: 2 });
	const walk = (from: number, by: number): number[] => {
		let value = from;
		return ppm.map(() => (value += (draw.uniform() - 0.5) * by));
	};
	const otherShare = naInAll ? 0.85 : naShare;
	const adders: readonly (() => void)[] = [
		() =>
			numbers(
				column(oneOf(["Temp", "Temperature", "T_air temp"]), oneOf(["°C", "C", "degC"])),
				walk(19, 0.4),
				look(oneOf([1, 2, 3])),
				otherShare,
				(x) => x,
				"temperature",
			),
		() =>
			numbers(
				column("Temp", "°F"),
				walk(66, 0.5),
				look(1),
				otherShare,
				(x) => ((x - 32) * 5) / 9,
				"temperature",
			),
		() =>
			numbers(
				column(oneOf(["RH", "Humidity", "Feuchte"]), "%"),
				walk(80, 0.8),
				look(1),
				otherShare,
				(x) => x / 100,
				"humidity",
			),
		() =>
			numbers(
				column(oneOf(["Battery", "Batt_V"]), "V"),
				walk(12.5, 0.01),
				look(oneOf([2, 3])),
				0,
				null,
				null,
			),
		() =>
			numbers(
				column(oneOf(["H2O", "h2o"]), "ppm"),
				walk(12_000, 90),
				look(oneOf([0, 1])),
				otherShare,
				null,
				null,
			),
		() => numbers(column("CH4", "ppm"), walk(2.1, 0.05), look(3), otherShare, null, null),
		() => numbers(column("CO", "ppm"), walk(1.2, 0.02), look(1), otherShare, null, null),
		() => numbers(column("TVOC", "ppb"), walk(300, 5), look(0), otherShare, null, null),
		() => numbers(column(oneOf(["CO2", "CO2 sensor"]), "V"), walk(1.3, 0.02), look(4), 0, null, null),
		() => numbers(column("CO2 Absorptance", ""), walk(0.33, 0.002), look(4, false), 0, null, null),
		() =>
			numbers(
				column(oneOf(["co2_sd", "CO2_Std", "CO2 stdev"]), "ppm", "Std"),
				walk(6, 0.4),
				look(2),
				0,
				null,
				null,
			),
		() => numbers(column(oneOf(["co2_slope", "CO2 slope"]), "ppm/min"), walk(11, 1), look(2), 0, null, null),
		() =>
			numbers(
				column(oneOf(["co2_flag", "CO2 flag", "CO2 status"]), ""),
				ppm.map(() => below(2)),
				look(0),
				0,
				null,
				null,
			),
		() => numbers(column("CO2 sensor temperature", "°C"), walk(31, 0.1), look(1), 0, (x) => x, "temperature"),
		() => numbers(column("Pressure", "hPa"), walk(1002, 0.2), look(1), otherShare, null, null),
		() => {
			const on = ppm.map(() => below(2));
			const words = oneOf([
				["off", "on"],
				["0", "1"],
				["OFF", "ON"],
				["false", "true"],
				["aus", "ein"],
			]);
			columns.push({
				...column("Fan", ""),
				cells: on.map((one) => words[one]!),
				truth: { kind: "fan", values: on },
			});
		},
		() =>
			columns.push({
				...column(oneOf(["Status", "Mode"]), ""),
				cells: ppm.map(() => oneOf(["OK", "OK", "AUTO"])),
			}),
		() =>
			columns.push({
				...column(oneOf(["Note", "Event", "Bemerkung"]), ""),
				cells: ppm.map((_, i) => (i % 29 === 17 ? "door_opened" : delimiter === " " ? "-" : "")),
			}),
	];
	if (extra !== "none")
		for (const add of draw.shuffled(adders).slice(0, extra === "few" ? 1 + below(3) : 4 + below(6))) add();
	// Columns of one name and unit, and two of CO2 in ppm, cannot be told apart.
	const isTwoRacks = trait("two of CO2", chance(0.003));
	if (isTwoRacks) {
		numbers(column("CO2 rack B", "ppm"), drawCo2(draw, rows), look(0), 0, (x) => x, "co2");
		mustRefuse ??= "column";
	}
	const data = chance(0.3) ? draw.shuffled(columns) : columns;

	// Time columns, before the data or among them.
	const first = local[0]!;
	const timed: Column[] = times.columns.map(({ name, unit, cell, isDecimal }) => ({
		...column(name, unit, ""),
		cells: local.map((at) => (isDecimal ? cell(at, first).replace(".", decimal) : cell(at, first))),
	}));
	if (zoneKind === "header") {
		const size = Math.abs(fixed);
		const said =
			fixed === 0
				? oneOf(["UTC", "GMT"])
				: `${oneOf(["UTC", "GMT"])}${fixed < 0 ? "-" : "+"}${oneOf([String(Math.floor(size / 3600)).padStart(2, "0"), String(Math.floor(size / 3600))])}${size % 3600 === 0 && chance(0.5) ? "" : `:${String((size % 3600) / 60).padStart(2, "0")}`}`;
		timed[0]!.name += ` (${said})`;
	}
	const timeAt = trait("time not in front", chance(0.06)) ? below(data.length + 1) : 0;
	let all = [...data.slice(0, timeAt), ...timed, ...data.slice(timeAt)];
	const index = weighted({ none: 10, unnamed: 1, named: 1, short: 1, tag: 0.8 });
	const rowNumbers = local.map((_, i) => String(i + 1));
	if (index === "unnamed" || index === "named" || index === "short")
		all = [
			{
				...column(
					index === "named" ? oneOf(["No", "Index", "Record", "RECORD", "id"]) : "",
					index === "named" ? oneOf(["", "RN"]) : "",
					"",
				),
				cells: rowNumbers,
			},
			...all,
		];
	if (index === "tag") all = [{ ...column("DATAH", "DATAU", ""), cells: local.map(() => "DATA") }, ...all];
	if (index !== "none") traits.push(`index ${index}`);

	// Header.
	const headerKind = weighted({
		one: 10,
		"names, units": 4,
		"names, units, process": 2,
		"group, names, units, process": 1,
		// A file without names is the work of a small logger, of few columns.
		none: extra === "many" ? 0 : 0.5,
	});
	traits.push(`header ${headerKind}`);
	const inName = headerKind === "one";
	const bracket = oneOf([
		["(", ")"],
		["[", "]"],
		["_", ""],
	]) as [string, string];
	const titleOf = ({ name, unit }: Column): string =>
		inName && unit !== ""
			? bracket[0] === "_"
				? `${name}_${unit}`
				: `${name} ${bracket[0]}${unit}${bracket[1]}`
			: name;
	const isSpaced = delimiter === " ";
	const word = (text: string): string => {
		const safe = isSpaced && quotes !== "all" ? text.replaceAll(" ", "_") : text;
		return safe === "" && isSpaced && quotes !== "all" ? "-" : safe;
	};
	const quote = (cell: string, isWord: boolean): string =>
		quotes === "all" ||
		(quotes === "words" && isWord && cell !== "") ||
		cell.includes(delimiter) ||
		(cell === "" && isSpaced)
			? `"${cell}"`
			: cell;
	const header = headerKind === "none" ? [] : [all.map(titleOf)];
	if (headerKind !== "one" && headerKind !== "none") header.push(all.map(({ unit }) => unit));
	if (headerKind.includes("process")) header.push(all.map(({ process }) => process));
	if (headerKind.startsWith("group"))
		header.unshift(all.map((_, k) => oneOf(["", k === 0 ? "Station" : "Rack"])));
	const headerRows = header.map((cells) =>
		(index === "short" ? cells.slice(1) : cells).map((cell) => quote(word(cell), true)).join(delimiter),
	);
	const isCommented = trait("commented header", headerRows.length === 1 && !isSpaced && chance(0.06));
	if (isCommented) headerRows[0] = `#${oneOf(["", " "])}${headerRows[0]}`;
	if (headerKind === "none" && zoneKind === "header") return randomFile(seed + 1_000_003);
	// Without names, only a file of two columns says what is CO2.
	if (
		headerKind === "none" &&
		(data.length > 1 || index !== "none" || scale !== 1 || times.columns.length > 1 || !times.isDated)
	)
		mustRefuse ??= "maybe";
	if (
		headerKind === "names, units, process" &&
		all.filter(({ process }) => process !== "").length < 2 &&
		all.length <= 2
	)
		traits.push("thin process row");

	// Body.
	const trailing = isSpaced ? "" : weighted({ none: 12, rows: 1, both: 1 });
	const tail = trailing === "rows" || trailing === "both" ? delimiter : "";
	if (tail !== "") traits.push(`trailing ${trailing}`);
	const body = local.map(
		(_, i) =>
			all
				.map(({ cells, truth }) => quote(cells[i]!, truth === null && !/^[-\d]/.test(cells[i]!)))
				.join(delimiter) + tail,
	);
	const isEnough = rows >= 12;
	if (isTwice && (hasGaps || isShort || rows < 24)) mustRefuse ??= "maybe";
	let badRows = 0;
	const lines = [...body];
	const put = (at: number, ...more: string[]): void => {
		lines.splice(at, 0, ...more);
	};
	if (
		trait(
			"newest first",
			isEnough &&
				times.isDated &&
				!times.columns.some(({ name }) => name === "Day") &&
				index === "none" &&
				chance(0.05),
		)
	)
		lines.reverse();
	else if (
		trait("out of order", isEnough && times.isDated && !isChange && !hasGaps && !isTwice && chance(0.05))
	) {
		const k = 2 + below(rows - 4);
		[lines[k], lines[k + 1]] = [lines[k + 1]!, lines[k]!];
	}
	if (trait("rows twice", isEnough && times.isDated && !isChange && chance(0.05))) {
		const k = 1 + below(rows - 2);
		put(k, lines[k - 1]!);
		badRows++;
	}
	const lost: number[] = [];
	if (trait("cut row", isEnough && !isSpaced && all.length > 2 && tail === "" && chance(0.05))) {
		const k = lines.indexOf(body[(isTwice ? 6 : 3) + below(rows - (isTwice ? 9 : 6))]!);
		const cells = lines[k]!.split(delimiter);
		if (cells.length === all.length && lines.indexOf(lines[k]!, k + 1) < 0) {
			lost.push(body.indexOf(lines[k]!));
			lines[k] = cells.slice(0, 1 + below(cells.length - 1)).join(delimiter);
			badRows++;
		}
	}
	if (trait("event line", isEnough && chance(0.06)))
		put(2 + below(rows - 3), oneOf(["# door opened", "Button pressed", "*** restart ***"]));
	if (trait("header again", isEnough && headerRows.length === 1 && index !== "short" && chance(0.04)))
		put(3 + below(rows - 4), headerRows[0]! + (trailing === "both" ? delimiter : ""));
	if (
		trait(
			"stray clock",
			isEnough &&
				times.isDated &&
				!times.isUtc &&
				/^\D{0,3}20\d\d|\d{4}/.test(timed[0]!.cells[0]!) &&
				times.columns.length === 1 &&
				!/^\d+([.,]\d+)?$/.test(timed[0]!.cells[0]!) &&
				chance(0.08),
		)
	) {
		const stray = oneOf([0, Date.UTC(2000, 0, 1) / 1000]) + below(3600);
		const k = below(3) === 0 ? 0 : below(rows);
		const cell = times.columns[0]!.cell(stray, stray);
		const row =
			all
				.map((one) => quote(one === timed[0] ? cell : one.cells[Math.min(k, rows - 1)]!, false))
				.join(delimiter) + tail;
		if (cell !== timed[0]!.cells[0] && !/\/\d\d /.test(cell)) {
			put(k, row);
			badRows++;
		}
	}
	if (trait("footer", isEnough && chance(0.06)))
		lines.push(oneOf(["End of data", "# end", `Mean${delimiter}${"-"}`, "Total samples: many"]));
	if (trait("layout change", isEnough && chance(0.006))) {
		const from = Math.floor(rows / 2);
		const way = oneOf(["field", "decimal", "swap", "header"]);
		// Two columns that could both be CO2, exchanged without a word, no reader can tell.
		const partner =
			scale !== 1
				? undefined
				: columns.find(({ truth, unit }) => (truth === null ? unit === "V" : truth.kind !== "co2"));
		traits.push(`change of ${way}`);
		mustRefuse ??= "maybe";
		if (way === "field") for (let k = from; k < lines.length; k++) lines[k] += `${delimiter}7`;
		else if (way === "decimal") {
			const other = decimal === "." ? "," : ".";
			const again = ppm.map((value, i) =>
				i >= from && !Number.isNaN(chamber.truth!.values[i]!)
					? writeNumber(value / scale, { ...look(Number(co2Digits)), decimal: other, group: "" })
					: chamber.cells[i]!,
			);
			if (co2Digits === "0") mustRefuse = mustRefuse === "maybe" ? "maybe" : mustRefuse;
			else {
				again.forEach((cell, i) => {
					chamber.cells[i] = cell;
				});
				lines.splice(
					0,
					lines.length,
					...local.map((_, i) => all.map(({ cells }) => quote(cells[i]!, false)).join(delimiter) + tail),
				);
				badRows = 0;
				lost.length = 0;
			}
		} else if (
			partner !== undefined &&
			(way === "header" || (partner.unit !== "ppm" && partner.unit !== "ppb" && partner.unit !== "hPa"))
		) {
			const swapped = [...all];
			const [a, b] = [all.indexOf(chamber), all.indexOf(partner)];
			[swapped[a], swapped[b]] = [swapped[b]!, swapped[a]!];
			const more = local
				.slice(from)
				.map((_, i) => swapped.map(({ cells }) => quote(cells[from + i]!, false)).join(delimiter) + tail);
			lines.splice(
				0,
				lines.length,
				...body.slice(0, from),
				...(way === "header" ? [swapped.map((one) => quote(word(titleOf(one)), true)).join(delimiter)] : []),
				...more,
			);
			badRows = 0;
			lost.length = 0;
			mustRefuse = way === "header" ? "header changes" : "maybe";
			if (way === "swap") traits.push("swap without a header");
		}
	}

	// Preamble.
	const preamble: string[] = [];
	const zoneText =
		isBerlin || (isChange && zoneKind === "preamble")
			? "Europe/Berlin"
			: ((size: number) =>
					fixed === 0
						? "UTC"
						: `UTC${fixed < 0 ? "-" : "+"}${Math.floor(size / 3600)}${size % 3600 === 0 ? "" : `:${(size % 3600) / 60}`}`)(
					Math.abs(fixed),
				);
	const pair = (key: string, value: string): string => `${key}${oneOf([": ", delimiter, "="])}${value}`;
	if (chance(0.35) || zoneKind === "preamble") {
		const some = [
			() => pair("Serial", "000123"),
			() => "# logger 7, chamber 2",
			() => "Sensor: CO2, 0-5000 ppm",
			() => pair("Exported", "2026-04-01 10:00:00"),
			() => pair("Interval", `${step} s`),
			() => "",
			() => "Location: cellar",
			() => `Samples${delimiter}${rows}`,
			() => "================",
		];
		for (let k = below(6); k > 0; k--) preamble.push(oneOf(some)());
		if (zoneKind === "preamble")
			preamble.splice(
				below(preamble.length + 1),
				0,
				oneOf([
					`Time zone: ${zoneText}`,
					`Timezone${delimiter}${zoneText}`,
					`# Time Zone = ${zoneText}`,
					`All times in ${zoneText}`,
					`Zeitzone: ${zoneText}`,
					`TZ: ${zoneText}`,
				]),
			);
		if (delimiter !== " " && chance(0.08)) preamble.unshift(`sep=${delimiter}`);
	}
	// One day that is a date in both orders.
	const dates = new Set(local.map((at) => new Date(at * 1000).toISOString().slice(0, 10)));
	const [, month, day] = [...dates][0]!.split("-");
	if (times.order !== null && dates.size === 1 && Number(day) <= 12 && day !== month) {
		if (chance(0.85)) return randomFile(seed + 1_000_003);
		mustRefuse ??= "date order";
	}
	if (isChange && zoneKind === "assumed") mustRefuse ??= "zone";
	if (preamble.length > 0) traits.push("preamble");

	// Bytes.
	const lineEnd = weighted({ "\n": 6, "\r\n": 4, "\r": 1 });
	const text =
		[...preamble, ...headerRows.map((row) => row + (trailing === "both" ? delimiter : "")), ...lines].join(
			lineEnd,
		) + (chance(0.85) ? lineEnd : "");
	const encoding = weighted({
		"utf-8": 8,
		"utf-8 mark": 2,
		"utf-16le mark": 1.5,
		"utf-16be mark": 0.5,
		"utf-16le": 0.5,
		latin1: 2,
	});
	const isLatin = encoding === "latin1" && [...text].every((c) => c.codePointAt(0)! < 256);
	if (lineEnd === "\r") traits.push("CR only");
	if (encoding !== "utf-8") traits.push(encoding);

	// Truth.
	const kept = utc.map((_, i) => i).filter((i) => !lost.includes(i));
	const isZoneAssumed = zoneKind === "assumed";
	const offset0 = isZoneAssumed ? 0 : null;
	const seconds = kept.map((i) =>
		times.isDated ? (offset0 === 0 ? local[i]! : utc[i]!) : utc[i]! - utc[kept[0]!]!,
	);
	const truth = new Map<number, TrueColumn>();
	all.forEach(({ truth: one }, k) => {
		if (one !== null) truth.set(k, { kind: one.kind, values: kept.map((i) => one.values[i]!) });
	});
	return {
		seed,
		bytes: encode(text, isLatin ? "latin1" : encoding === "latin1" ? "utf-8" : encoding),
		text,
		seconds,
		isDated: times.isDated,
		isZoneAssumed,
		columns: truth,
		chamber: all.indexOf(chamber),
		options: {
			...(times.order === null ? {} : { dateOrder: times.order }),
			...(isTwoRacks ? { column: `column ${all.indexOf(chamber) + 1}` } : {}),
			...(mustRefuse === "unit" ? { unit: "%" } : {}),
		},
		badRows,
		mustRefuse,
		traits: [`delimiter ${delimiter}`, `decimal ${decimal}`, `group ${groupKind}`, `na ${naCode}`, ...traits],
	};
}

function encode(text: string, encoding: string): Uint8Array {
	if (encoding === "latin1") return Uint8Array.from(text, (c) => c.charCodeAt(0));
	if (encoding.startsWith("utf-8"))
		return new TextEncoder().encode(encoding.endsWith("mark") ? `\ufeff${text}` : text);
	const marked = encoding.endsWith("mark") ? `\ufeff${text}` : text;
	const bytes = new Uint8Array(2 * marked.length);
	const view = new DataView(bytes.buffer);
	for (let k = 0; k < marked.length; k++)
		view.setUint16(2 * k, marked.charCodeAt(k), encoding.startsWith("utf-16le"));
	return bytes;
}
