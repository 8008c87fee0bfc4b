import { writeFileSync } from "node:fs";
import { join } from "node:path";
import type { CleanSeries } from "../../lib/logs/log.ts";
import { emptyFolder } from "./lullgust.ts";

/** A series as the file that a logger would have written. */
export const logText = ({ timesSeconds, co2Ppm, log }: CleanSeries): string =>
	`time,CO2 (ppm)\n${Array.from(timesSeconds, (t, i) => {
		const at = new Date(1000 * ((log.startUtcSeconds ?? 0) + t)).toISOString().replace(".000", "");
		return `${at},${Number.isNaN(co2Ppm[i]!) ? "" : co2Ppm[i]}\n`;
	}).join("")}`;

/** A folder with files of these names and texts. */
export function folderWith(files: Readonly<Record<string, string>>): string {
	const folder = emptyFolder();
	for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
	return folder;
}
