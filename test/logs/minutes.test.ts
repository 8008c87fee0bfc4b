import { expect, test } from "vitest";
import { readLog } from "../../lib/logs/read.ts";
import { refusalOf } from "./refusal.ts";

const two = (x: number): string => String(x).padStart(2, "0");
const rows = (times: readonly number[]): string =>
	[
		"time,CO2 (ppm)",
		...times.map(
			(s, i) => `${two(8 + Math.floor(s / 3600))}:${two(Math.floor(s / 60) % 60)},${600 + 11 * (i % 9)}`,
		),
	].join("\n");

test.each([30, 20, 15])(
	"samples each %i s below hours and minutes are spread evenly, from within the first minute on",
	(step) => {
		const times = Array.from({ length: 60 }, (_, i) => 60 - step + step * i);
		const log = readLog(rows(times));
		expect([...log.timesSeconds]).toEqual(times.map((s) => s - times[0]!));
		expect(log.startsAtSeconds).toBe(8 * 3600 + 60 - step);
		expect(log.notes).toMatchObject([{ assumed: "evenly within the minute", rows: 60 / step }]);
	},
);

test("a minute that holds other than its share of samples is refused with its line, and shared minutes are not called elapsed times that begin anew", () => {
	const times = Array.from({ length: 60 }, (_, i) => 30 * i);
	const [fault] = refusalOf(() =>
		readLog(rows([...times, ...times.map((s) => 1800 + s).filter((_, i) => i !== 20)])),
	);
	expect(fault!.message).toMatch(/to the minute|too coarse/);
	const uneven = refusalOf(() => readLog(rows(times.flatMap((s) => (s % 180 === 0 ? [s, s, s] : [s])))));
	expect(uneven[0]!.message).toMatch(/too coarse/);
});

test("1.032 below ppm may be per cent, and is thousands where other numbers say so", () => {
	const file = (values: readonly string[]): string =>
		["time;CO2 (ppm)", ...values.map((value, i) => `2026-03-24 08:${two(i)};${value}`)].join("\n");
	const open = Array.from({ length: 30 }, (_, i) => `1.${100 + 7 * i}`);
	expect(refusalOf(() => readLog(file(open)))[0]).toMatchObject({ path: "decimal" });
	expect(readLog(file(["987", ...open])).channels[0]!.values[1]).toBe(1100);
});
