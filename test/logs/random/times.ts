import type { Draw } from "./draw.ts";

/** Columns that tell the time of each row, and what a reader must make of them. */
export interface WrittenTimes {
	/** Header, unit in a row of its own, cell of a row by its local time [s since 1970-01-01 on the wall]. */
	readonly columns: readonly {
		readonly name: string;
		readonly unit: string;
		readonly cell: (local: number, first: number) => string;
		/** The cells are numbers that a decimal sign may be put in. */
		readonly isDecimal?: boolean;
	}[];
	/** The year stands in the file. */
	readonly isDated: boolean;
	/** Zone within the cells [s east of UTC]; null: the cells are local to what the file says elsewhere. */
	readonly cellOffset: number | null;
	/** Instants are meant by themselves: epochs. */
	readonly isUtc: boolean;
	/** Finest step that the cells show [s]. */
	readonly resolution: number;
	/** Both orders of day and month are thinkable. */
	readonly order: "dmy" | "mdy" | null;
}

const two = (x: number): string => String(x).padStart(2, "0");
const MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");
const NAMES = [
	"time",
	"Time",
	"Timestamp",
	"date_time",
	"Datum/Zeit",
	"Date Time",
	"Zeit",
	"TIMESTAMP",
	"Fecha",
	"datetime",
];

interface Clock {
	readonly y: number;
	readonly mo: number;
	readonly d: number;
	readonly h: number;
	readonly mi: number;
	readonly s: number;
	readonly doy: number;
}
function clockOf(local: number): Clock {
	const date = new Date(Math.round(local) * 1000);
	return {
		y: date.getUTCFullYear(),
		mo: date.getUTCMonth() + 1,
		d: date.getUTCDate(),
		h: date.getUTCHours(),
		mi: date.getUTCMinutes(),
		s: date.getUTCSeconds(),
		doy: Math.floor((date.getTime() - Date.UTC(date.getUTCFullYear(), 0, 1)) / 86_400_000) + 1,
	};
}

export function drawTimes(draw: Draw): WrittenTimes {
	const { oneOf, chance } = draw;
	const kind = draw.weighted({
		iso: 14,
		ymd: 14,
		dotted: 10,
		slashed: 7,
		named: 4,
		apart: 10,
		epoch: 6,
		serial: 4,
		elapsed: 9,
		"elapsed clock": 2,
		clock: 2,
		parts: 5,
		"day of year": 4,
		yearless: 3,
		"date and parts": 2,
		"fraction of a day": 2,
	});
	const none = { cellOffset: null, isUtc: false, order: null } as const;
	const hasSeconds = chance(0.6);
	const resolution = hasSeconds ? 1 : 60;
	const isPadded = chance(0.8);
	const n = (x: number): string => (isPadded ? two(x) : String(x));
	const is12 = chance(0.12);
	const fraction = hasSeconds && chance(0.1) ? ".000" : "";
	const clock = ({ h, mi, s }: Clock): string => {
		const seconds = hasSeconds ? `:${two(s)}${fraction}` : "";
		return is12
			? `${h % 12 === 0 ? 12 : h % 12}:${two(mi)}${seconds} ${h < 12 ? "AM" : "PM"}`
			: `${n(h)}:${two(mi)}${seconds}`;
	};
	const name = oneOf(NAMES);
	const stamp = (cell: (at: Clock) => string, more: Partial<WrittenTimes> = {}): WrittenTimes => ({
		columns: [
			{ name, unit: oneOf(["", "", "UTC?", "-"]).replace("UTC?", ""), cell: (local) => cell(clockOf(local)) },
		],
		isDated: true,
		resolution,
		...none,
		...more,
	});
	const number = (
		title: string,
		unit: string,
		value: (at: Clock, local: number, first: number) => number,
		digits = 0,
	) => ({
		name: title,
		unit,
		cell: (local: number, first: number) => value(clockOf(local), local, first).toFixed(digits),
		isDecimal: digits > 0,
	});
	switch (kind) {
		case "iso": {
			const offset = oneOf([0, 0, 3600, -18_000, 19_800, 7200]);
			const size = Math.abs(offset);
			const sign = offset < 0 ? "-" : "+";
			const colon = oneOf([":", ""]);
			const zone =
				offset === 0 && chance(0.7)
					? "Z"
					: `${sign}${two(Math.floor(size / 3600))}${colon}${two((size % 3600) / 60)}`;
			const seconds = ({ s }: Clock) => (hasSeconds ? `:${two(s)}${fraction}` : "");
			return stamp(
				(at) => `${at.y}-${two(at.mo)}-${two(at.d)}T${two(at.h)}:${two(at.mi)}${seconds(at)}${zone}`,
				{ cellOffset: offset },
			);
		}
		case "ymd": {
			const sign = oneOf(["-", "-", "/", "."]);
			const gap = sign === "-" && !is12 ? oneOf([" ", " ", "T"]) : " ";
			return stamp(
				(at) =>
					`${at.y}${sign}${n(at.mo)}${sign}${n(at.d)}${gap}${gap === "T" ? two(at.h) + clock(at).slice(n(at.h).length) : clock(at)}`,
			);
		}
		case "dotted":
			return stamp((at) => `${n(at.d)}.${n(at.mo)}.${at.y} ${clock(at)}`);
		case "slashed": {
			const order = oneOf(["dmy", "mdy"] as const);
			const sign = oneOf(["/", "/", "-"]);
			const isShort = sign === "/" && chance(0.3);
			const year = (at: Clock) => (isShort ? two(at.y % 100) : String(at.y));
			const date = (at: Clock) => (order === "dmy" ? [n(at.d), n(at.mo)] : [n(at.mo), n(at.d)]);
			return stamp((at) => `${[...date(at), year(at)].join(sign)} ${clock(at)}`, { order });
		}
		case "named":
			return chance(0.5)
				? stamp((at) => `${n(at.d)}-${MONTHS[at.mo - 1]}-${at.y} ${clock(at)}`)
				: stamp((at) => `${n(at.d)} ${MONTHS[at.mo - 1]} ${at.y} ${clock(at)}`);
		case "apart": {
			const look = oneOf(["ymd", "dotted", "slashed"]);
			const order = look === "slashed" ? oneOf(["dmy", "mdy"] as const) : null;
			const date = (at: Clock): string =>
				look === "ymd"
					? `${at.y}-${two(at.mo)}-${two(at.d)}`
					: look === "dotted"
						? `${n(at.d)}.${n(at.mo)}.${at.y}`
						: order === "dmy"
							? `${n(at.d)}/${n(at.mo)}/${at.y}`
							: `${n(at.mo)}/${n(at.d)}/${at.y}`;
			const [day, time] = oneOf([
				["Date", "Time"],
				["Datum", "Uhrzeit"],
				["date", "time"],
				["Fecha", "Hora"],
			]);
			return {
				columns: [
					{ name: day!, unit: "", cell: (local) => date(clockOf(local)) },
					{ name: time!, unit: "", cell: (local) => clock(clockOf(local)) },
				],
				isDated: true,
				resolution,
				...none,
				order,
			};
		}
		case "epoch": {
			const scale = oneOf([1, 1000]);
			return {
				columns: [
					number(oneOf(["unix_time", "epoch", "timestamp", "Time"]), "", (_, local) => local * scale),
				],
				isDated: true,
				resolution: 1,
				...none,
				isUtc: true,
			};
		}
		case "serial":
			return {
				columns: [
					number(
						oneOf(["Time", "Datum", "Date/Time"]),
						"",
						(_, local) => local / 86_400 + 25_569,
						oneOf([6, 7, 9]),
					),
				],
				isDated: true,
				resolution: 60,
				...none,
			};
		case "elapsed": {
			const [unit, size, digits] = oneOf([
				["s", 1, 0],
				["min", 60, 0],
				["min", 60, 4],
				["h", 3600, 7],
				["ms", 0.001, 0],
				["s", 1, 1],
				["s", 1, 3],
				["days", 86_400, 9],
			] as const);
			const begin = chance(0.7) ? 0 : draw.below(5000) * 60;
			return {
				columns: [
					number(
						oneOf(["Elapsed", "time", "Time", "elapsed_time", "Laufzeit"]),
						unit,
						(_, local, first) => (local - first + begin) / size,
						digits,
					),
				],
				isDated: false,
				resolution: unit === "min" && digits === 0 ? 60 : 1,
				...none,
			};
		}
		case "elapsed clock":
			return {
				columns: [
					{
						name: "Elapsed",
						unit: "",
						cell: (local, first) =>
							`${Math.floor((local - first) / 3600)}:${two(Math.floor((local - first) / 60) % 60)}:${two((local - first) % 60)}`,
					},
				],
				isDated: false,
				resolution: 1,
				...none,
			};
		case "clock":
			return {
				columns: [
					{ name: oneOf(["Time", "Uhrzeit", "time"]), unit: "", cell: (local) => clock(clockOf(local)) },
				],
				isDated: false,
				resolution,
				...none,
			};
		case "parts": {
			const names = oneOf([
				["Year", "Month", "Day", "Hour", "Minute", "Second"],
				["year", "month", "day", "hour", "min", "sec"],
				["YYYY", "MM", "DD", "hh", "mi", "ss"],
				["Jahr", "Monat", "Tag", "Stunde", "Minute", "Sekunde"],
			]);
			const values = [
				(at: Clock) => at.y,
				(at: Clock) => at.mo,
				(at: Clock) => at.d,
				(at: Clock) => at.h,
				(at: Clock) => at.mi,
				(at: Clock) => at.s,
			];
			const used = hasSeconds ? 6 : 5;
			return {
				columns: values.slice(0, used).map((value, k) => number(names[k]!, "", value)),
				isDated: true,
				resolution,
				...none,
			};
		}
		case "day of year":
			return {
				columns: [
					number(oneOf(["Year", "year", "YEAR"]), "", ({ y }) => y),
					number(oneOf(["DOY", "doy", "Julian Day", "day_of_year", "Day of year"]), "", ({ doy }) => doy),
					number(oneOf(["hhmm", "HHMM", "Time", "time_hhmm"]), "", ({ h, mi }) => 100 * h + mi),
				],
				isDated: true,
				resolution: 60,
				...none,
			};
		case "yearless":
			return {
				columns: [
					number("Day", "", ({ d }) => d),
					number("Month", "", ({ mo }) => mo),
					number("Hour", "", ({ h }) => h),
					number(oneOf(["Min", "Minute"]), "", ({ mi }) => mi),
				],
				isDated: false,
				resolution: 60,
				...none,
			};
		case "date and parts":
			return {
				columns: [
					{
						name: "Date",
						unit: "",
						cell: (local) => ((at: Clock) => `${at.y}-${two(at.mo)}-${two(at.d)}`)(clockOf(local)),
					},
					number("Hour", "", ({ h }) => h),
					number("Minute", "", ({ mi }) => mi),
				],
				isDated: true,
				resolution: 60,
				...none,
			};
		case "fraction of a day":
			return {
				columns: [
					number("Year", "", ({ y }) => y),
					number(
						"DOY",
						"",
						({ doy }, local) => doy + (((local % 86_400) + 86_400) % 86_400) / 86_400,
						oneOf([6, 8]),
					),
				],
				isDated: true,
				resolution: 60,
				...none,
			};
	}
}
