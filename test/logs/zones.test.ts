import { expect, test } from "vitest";
import { readLog } from "../../lib/logs/read.ts";
import { localClock, offsetName, offsetOf, zoneName } from "../../lib/logs/times/zone.ts";
import { noteWords } from "../../reports/words/logremarks.ts";
import { refusalOf } from "./refusal.ts";

const iso = (seconds: number): string => new Date(seconds * 1000).toISOString().slice(0, 16);
const utc = (text: string): number => Date.parse(`${text}Z`) / 1000;
/** Local times of a zone, every `step` seconds from an instant, by the platform's own calendar. */
const wall = (zone: string, from: string, count: number, step: number): string[] =>
	Array.from({ length: count }, (_, i) =>
		new Date((utc(from) + i * step) * 1000).toLocaleString("sv-SE", { timeZone: zone }).replace(",", ""),
	);
const logOf = (times: readonly string[]): string =>
	["time,co2", ...times.map((time, i) => `${time},${900 + i}`)].join("\n");

test.each([
	["Europe/Berlin", "2026-10-24T22:00:00", "autumn"],
	["Europe/Berlin", "2026-03-28T22:00:00", "spring"],
	["America/New_York", "2026-11-01T03:00:00", "autumn"],
	["America/New_York", "2026-03-08T03:00:00", "spring"],
	["Australia/Lord_Howe", "2026-04-04T10:00:00", "autumn, by half an hour"],
	["America/St_Johns", "2026-03-08T02:00:00", "spring"],
])(
	"local times of %s over the change of the clocks from %s (%s) come back as the instants they were",
	(zone, from) => {
		const times = wall(zone, from, 200, 300);
		const log = readLog(logOf(times), { zone });
		expect(iso(log.startUtcSeconds!)).toBe(from.slice(0, 16));
		expect([...log.timesSeconds]).toEqual(times.map((_, i) => 300 * i));
		expect(log.gaps).toEqual([]);
		expect(log.layout).toMatchObject({ zone, zoneFrom: "option" });
	},
);

test("the newest row first, and through the repeated hour, comes back as well", () => {
	const times = wall("Europe/Berlin", "2026-10-24T22:00:00", 120, 180).reverse();
	const log = readLog(logOf(times), { zone: "Europe/Berlin" });
	expect([...log.timesSeconds]).toEqual(times.map((_, i) => 180 * i));
	expect(log.notes.map(({ kind }) => kind).sort()).toEqual(["ambiguous local time", "out of order"]);
});

test("two rows that changed places do not begin the second hour", () => {
	const times = wall("Europe/Berlin", "2026-10-24T23:30:00", 60, 120);
	[times[20], times[21]] = [times[21]!, times[20]!];
	const log = readLog(logOf(times), { zone: "Europe/Berlin" });
	expect([...log.timesSeconds]).toEqual(times.map((_, i) => 120 * i));
	expect(log.notes.find(({ kind }) => kind === "out of order")).toMatchObject({ count: 1, lines: [23] });
});

test("an hour that came twice but stands in the file once is read as the first, and said", () => {
	const times = wall("Europe/Berlin", "2026-10-25T00:00:00", 10, 300);
	const log = readLog(logOf(times), { zone: "Europe/Berlin" });
	expect(iso(log.startUtcSeconds!)).toBe("2026-10-25T00:00");
	expect(log.notes).toMatchObject([{ kind: "ambiguous local time", count: 10 }]);
});

test.each([
	["a file that begins in the hour and runs on from it", ["02:22", "02:37", "02:52", "03:07", "03:22"]],
	["a gap that ends in the hour", ["00:07", "00:22", "00:37", "02:22", "02:37"]],
	["an hourly row that shows its time twice", ["00:47", "01:47", "02:47", "02:47", "03:47", "04:47"]],
])("%s is refused, for nothing tells which of the two it was, and the offset settles it", (_, clocks) => {
	const text = logOf(clocks.map((clock) => `2026-10-25 ${clock}`));
	expect(refusalOf(() => readLog(text, { zone: "Europe/Berlin" }))[0]).toMatchObject({ path: "zone" });
	expect(readLog(text, { zone: "+01:00" }).startUtcSeconds).not.toBeNull();
});

test("times in the hour that the clocks leave out are noted with their lines", () => {
	const log = readLog(logOf(["2026-03-29 01:50", "2026-03-29 02:00", "2026-03-29 02:10"]), {
		zone: "Europe/Berlin",
	});
	expect([...log.timesSeconds]).toEqual([0, 600, 1200]);
	expect(log.notes).toMatchObject([{ kind: "nonexistent local time", count: 2, lines: [3, 4] }]);
});

test("rows of one time with other values are kept once, and the note shows the way out", () => {
	const log = readLog(
		logOf(["2026-10-25 02:00", "2026-10-25 02:00", "2026-10-25 03:00", "2026-10-25 04:00"]),
	);
	const collision = log.notes.find(({ kind }) => kind === "conflicting duplicate");
	expect(collision).toMatchObject({ count: 1, isZoneKnown: false });
	expect(noteWords(collision!)).toContain("--zone");
});

test("rows with offsets need no zone; one that is told is kept for day and night", () => {
	const text =
		"time,co2\n2026-10-25T02:30:00+02:00,900\n2026-10-25T02:00:00+01:00,901\n2026-10-25T02:30:00+01:00,902\n";
	const log = readLog(text);
	expect([...log.timesSeconds]).toEqual([0, 1800, 3600]);
	expect(log.layout).toMatchObject({ zone: "+02:00", zoneFrom: "file" });
	const told = readLog(text, { zone: "Europe/Berlin" });
	expect(told.startUtcSeconds).toBe(log.startUtcSeconds);
	expect(told.layout).toMatchObject({ zone: "Europe/Berlin", zoneFrom: "option" });
});

test("offsets have one name", () => {
	for (const [text, seconds, name] of [
		["UTC", 0, "UTC"],
		["Z", 0, "UTC"],
		["+01:00", 3600, "+01:00"],
		["GMT-3", -10_800, "-03:00"],
		["UTC+0530", 19_800, "+05:30"],
	] as const) {
		expect(offsetOf(text)).toBe(seconds);
		expect(offsetName(seconds)).toBe(name);
		expect(zoneName(text)).toBe(name);
	}
	expect(offsetOf("Europe/Berlin")).toBeNull();
	expect(offsetOf("+19:00")).toBeNull();
	expect(refusalOf(() => zoneName("Mars"))[0]).toMatchObject({ path: "zone" });
});

test("what a local time can mean is found for each hour of a year", () => {
	const clock = localClock("Europe/Berlin");
	let repeated = 0;
	let skipped = 0;
	for (let hour = 0; hour < 365 * 24; hour++) {
		const at = clock(utc("2026-01-01T00:00:00") + 3600 * hour);
		if (at.isNonexistent) skipped++;
		if (at.laterSeconds !== at.utcSeconds) repeated++;
		if (at.isNonexistent) continue;
		for (const instant of [at.utcSeconds, at.laterSeconds]) {
			const shown = new Date(instant * 1000).toLocaleString("sv-SE", { timeZone: "Europe/Berlin" });
			expect(utc(shown.replace(" ", "T"))).toBe(utc("2026-01-01T00:00:00") + 3600 * hour);
		}
	}
	expect({ repeated, skipped }).toEqual({ repeated: 1, skipped: 1 });
});
