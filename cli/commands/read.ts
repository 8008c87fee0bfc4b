import type { ReadOptions } from "../../lib/logs/log.ts";
import type { StreamingReader } from "../../lib/logs/read.ts";
import { jsonText } from "../json.ts";
import { logOptions, readOptionsOf, readThrough } from "../logfile.ts";
import { print, terminal } from "../print/print.ts";
import { type LogRead, logJson, logText } from "../print/readprint.ts";
import { flag, group, logFile, verb } from "../verb.ts";

/** Samples of files up to this length are kept; of longer ones only the summary [byte]. */
const KEPT = 32_000_000;

export const readVerb = verb({
	name: "read",
	words: "<log>",
	describe: "Show how a logger's file is understood: layout, times, columns, gaps, what is excluded and why",
	positionals: { log: logFile },
	options: { ...logOptions, ...group("Output", { json: flag("Print everything for another program") }) },
	examples: [
		["$0 read day.csv", "What a fit or a verification will see"],
		["$0 read day.csv --zone Europe/Berlin", "Local times without a zone in the file"],
		["$0 read two.csv --column chamber --intake inlet", "Several CO2 columns"],
	],
	epilogue:
		"Exit code: 0 read, 2 refused. What the file leaves open is asked for, not guessed; gaps are not filled in.\nFiles of any length can be read; of one longer than 32 MB only the summary is kept.",
	async run({ log: path, json, ...asked }) {
		const log = await readThrough(path, await shortOrLong(readOptionsOf(path, asked)));
		await print(json ? jsonText(logJson(log)) : logText(log, terminal().columns));
		return 0;
	},
});

/** Keeps the samples of a short file, to say what a fit would leave out; a long one passes through. */
async function shortOrLong(options: ReadOptions): Promise<StreamingReader<LogRead>> {
	const { summaryReader, logReader } = await import("../../lib/logs/read.ts");
	const { summarizeLog } = await import("../../lib/logs/logsummary.ts");
	const { cleanSeries } = await import("../../lib/logs/clean/clean.ts");
	let held: Uint8Array[] = [];
	let length = 0;
	let long: ReturnType<typeof summaryReader> | null = null;
	return {
		push(chunk) {
			if (long !== null) return long.push(chunk);
			held.push(chunk);
			length += chunk.length;
			if (length <= KEPT) return;
			long = summaryReader(options);
			for (const each of held) long.push(each);
			held = [];
		},
		end() {
			if (long !== null) return { summary: long.end(), series: null };
			const short = logReader(options);
			for (let each = held.shift(); each !== undefined; each = held.shift()) short.push(each);
			const log = short.end();
			return { summary: summarizeLog(log), series: cleanSeries(log) };
		},
	};
}
