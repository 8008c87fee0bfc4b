import { describe, expect, test } from "vitest";
import { fitLog } from "../exactfit.ts";
import {
	cabinet,
	expectWithin,
	of,
	read,
	STARTS,
	scenarioOf,
	TEN_MINUTES,
	TRUE_RATE,
	withCrop,
} from "./cabinet.ts";
import { trueLog } from "./truechamber.ts";

const options = { days: true, fix: { leak: "80 L/h", response: "70 s", offset: 0 } } as const;

describe("day by day, a log of a crop that swings by day", () => {
	const scenario = scenarioOf();

	test.each(STARTS)("which starts $when has for each calendar day its own mean, and one rate", (start) => {
		const log = trueLog(cabinet, {
			timer: TEN_MINUTES,
			startHour: start.startHour,
			hours: 60,
			noisePpm: 8,
			seed: 7,
		});
		const fit = fitLog(scenario, read(log, start), options);
		expect(fit.residuals.isAdequate).toBe(true);
		expect(fit.days!.length).toBeGreaterThanOrEqual(3);
		for (const day of fit.days!) {
			expectWithin(day, log.meanSourceM3PerS(day.fromSeconds, day.toSeconds), 0.03);
			const { value, standardError } = day.respirationRate!;
			expectWithin({ value: value * 3.6e9, standardError: standardError! * 3.6e9 }, TRUE_RATE, 0.03);
		}
		expectWithin(fit.daily!.mean, log.meanSourceM3PerS(), 0.02);
		expectWithin(of(fit, "flow"), 54 / 3600, 0.03);
		// A crop that stays as it is has no trend, however its warm hours fall into the pieces of days.
		const { trendPerDay } = fit.daily!;
		expect(Math.abs(trendPerDay!.value)).toBeLessThan(4 * trendPerDay!.standardError!);
	});
});

test("a crop that gives off a tenth more each day shows that, and not its swing", () => {
	const HOURS_24 = 24 * 3600;
	const grows = withCrop({ stage: (seconds) => 1 + 0.1 * Math.floor(seconds / HOURS_24) });
	const log = trueLog(grows, { timer: TEN_MINUTES, startHour: 12, hours: 72, noisePpm: 8, seed: 8 });
	const fit = fitLog(scenarioOf(), read(log, { date: "2026-05-11", startHour: 12 }), options);
	expect(fit.days!.map(({ date }) => date)).toEqual(["2026-05-11", "2026-05-12", "2026-05-13", "2026-05-14"]);
	fit.days!.forEach((day, k) => {
		const { value, standardError } = day.respirationRate!;
		expectWithin(
			{ value: value * 3.6e9, standardError: standardError! * 3.6e9 },
			TRUE_RATE * (1 + 0.1 * k),
			0.03,
		);
	});
});
