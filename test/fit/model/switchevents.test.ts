import { expect, test } from "vitest";
import { loggedSwitchEvents, scheduledSwitchEvents } from "../../../lib/fit/model/switchevents.ts";

const fan = { spinUpTauSeconds: 3, coastDownTauSeconds: 5 };

test("a logged burst of a fan that speeds up and runs down delivers the air that the scheduled one does", () => {
	const schedule = { kind: "cycle", onSeconds: 6, offSeconds: 294 } as const;
	const scheduled = scheduledSwitchEvents(
		schedule,
		{ phaseSeconds: 100, timerRateError: 0 },
		2000,
		fan,
	).filter(({ timeSeconds }) => timeSeconds > 50);
	const switchesSeconds = scheduled.map((_, k) => 100 + 300 * Math.floor(k / 2) + (k % 2 === 0 ? 0 : 6));
	const logged = loggedSwitchEvents({ onAtStart: false, switchesSeconds }, [0, 0], fan).slice(1);
	for (const [k, { timeSeconds, isOn }] of logged.entries()) {
		expect(isOn).toBe(scheduled[k]!.isOn);
		expect(timeSeconds).toBeCloseTo(scheduled[k]!.timeSeconds, 9);
	}
	expect(logged[1]!.timeSeconds - logged[0]!.timeSeconds).toBeGreaterThan(6);
});

test("switchings move together, or switch-offs by themselves", () => {
	const switchesSeconds = [100, 160, 400, 460];
	const shifted = (offShiftWithinSeconds: number | null) =>
		loggedSwitchEvents(
			{
				onAtStart: false,
				switchesSeconds,
				timing: { state: "now", shiftWithinSeconds: 5, offShiftWithinSeconds },
			},
			[2, 7],
			{},
		)
			.slice(1)
			.map(({ timeSeconds }) => timeSeconds);
	expect(shifted(null)).toEqual([102, 162, 402, 462]);
	expect(shifted(5)).toEqual([102, 167, 402, 467]);
});
