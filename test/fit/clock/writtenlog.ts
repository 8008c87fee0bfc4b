import type { TrueLog } from "./truechamber.ts";

/**
 * Local times of Berlin by the rule itself (clocks go forward and back at 01:00 UTC on the last Sundays of March and October),
 * so that nothing of a log's times comes from the library or from the platform's own zones.
 */
function berlinOffset(utcSeconds: number): number {
	const year = new Date(1000 * utcSeconds).getUTCFullYear();
	const changeIn = (month: number): number => {
		const lastDay = new Date(Date.UTC(year, month + 1, 0));
		return Date.UTC(year, month, lastDay.getUTCDate() - lastDay.getUTCDay(), 1) / 1000;
	};
	return utcSeconds >= changeIn(2) && utcSeconds < changeIn(9) ? 7200 : 3600;
}

/** `2026-03-10 14:00:00` as a clock in Berlin shows it. */
const berlinStamp = (utcSeconds: number): string =>
	new Date(1000 * (utcSeconds + berlinOffset(utcSeconds))).toISOString().slice(0, 19).replace("T", " ");

/** Instant at which clocks in Berlin show an hour of a date, the first one where they show it twice [s since 1970-01-01 UTC]. */
export function berlinInstant(date: string, hour: number): number {
	const local = Date.parse(`${date}T00:00:00Z`) / 1000 + 3600 * hour;
	const early = local - 7200;
	return early + berlinOffset(early) === local ? early : local - 3600;
}

/** How a log is written down. */
export interface Written {
	/** Local date of the first sample in Berlin; absent: seconds since the first sample. */
	readonly date?: string;
	/** Time of day of the first sample [h]. */
	readonly startHour: number;
	/** Name of a further column with the temperature. */
	readonly temperature?: string;
}

/** The text of a logger's file. */
export function writtenLog(log: TrueLog, { date, startHour, temperature }: Written): string {
	const start = date === undefined ? 0 : berlinInstant(date, startHour);
	const head = `${date === undefined ? "elapsed_s" : "time"},CO2 (ppm)${temperature === undefined ? "" : `,${temperature}`}`;
	const rows = log.seconds.map(
		(s, i) =>
			`${date === undefined ? s : berlinStamp(start + s)},${log.ppm[i]}${temperature === undefined ? "" : `,${log.celsius[i]}`}`,
	);
	return `${[head, ...rows].join("\n")}\n`;
}
