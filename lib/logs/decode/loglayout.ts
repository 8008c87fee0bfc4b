import type { LogLayout } from "../log.ts";
import type { FirstTimes } from "../times/writtentime.ts";
import type { RowLayout } from "./layout.ts";

/** How a file was understood, as its reader wants to know it. */
export const logLayout = (
	layout: RowLayout,
	first: FirstTimes,
	isMonthFirst = first.isMonthFirst,
): LogLayout => {
	const { time } = layout;
	const words =
		time.kind === "stamp" && (time.look === "either" || time.look === "dots")
			? time.words.replace(
					/^(?:day and month with the year last|day\.month\.year)/,
					written(time.look, isMonthFirst),
				)
			: time.words;
	const zone = layout.zone ?? first.zone;
	return {
		encoding: layout.encoding,
		delimiter: layout.delimiter,
		decimal: layout.decimal,
		preambleLines: layout.preambleLines,
		headerLines: layout.headerLines,
		timeFormat: words,
		zone,
		zoneFrom: layout.zoneFrom ?? (layout.zone === null && zone !== null ? "file" : null),
	};
};

const written = (look: "either" | "dots", isMonthFirst: boolean): string =>
	(isMonthFirst ? "month/day/year" : "day/month/year").replaceAll("/", look === "dots" ? "." : "/");
