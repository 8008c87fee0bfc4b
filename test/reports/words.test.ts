import { expect, test } from "vitest";
import type { BindingConstraint, ChoiceWarning } from "../../lib/choose/choosetypes.ts";
import type { ComparisonWarning } from "../../lib/compare/warnings.ts";
import { constraintReason, constraintSummary, remedies } from "../../reports/choose/constraintwords.ts";
import { warningMessage } from "../../reports/words/warnings.ts";

const warnings: readonly (readonly [ComparisonWarning | ChoiceWarning, RegExp])[] = [
	[
		{ code: "central values", inputs: [{ path: "fan.flow", text: "60 m3/h ±10 %" }] },
		/^Uncertain inputs enter with their central values: fan\.flow \(60 m3\/h ±10 %\)\.$/,
	],
	[
		{ code: "published respiration", path: "substrate[0].rate", text: "155 mg/(kg h) (60..400)" },
		/^substrate\[0\]\.rate: respiration comes from published values, 155 mg/,
	],
	[{ code: "substrate volume unknown", path: "substrate[0].volume" }, /counts as free air/],
	[{ code: "flow taken as delivered", path: "fan.flow" }, /catalogue flow is always higher/],
	[
		{ code: "flow calculated", path: "fan.flow", filterLoad: "clean" },
		/for a clean filter \(`fan\.filter\.load`/,
	],
	[
		{ code: "flow calculated", path: "fan.flow", filterLoad: "1..2" },
		/with 1\.\.2 times its clean pressure drop/,
	],
	[
		{ code: "flow calculated", path: "fan.flow", filterLoad: null },
		/^fan\.flow: calculated from the fan curve\. All/,
	],
	[
		{ code: "fan delivers nothing", path: "fan.curve", reason: "only 7 V reach a fan that starts at 7.5 V" },
		/^fan\.curve: only 7 V reach a fan that starts at 7\.5 V; the flow counts as zero\.$/,
	],
	[
		{
			code: "fan near shut-off",
			path: "fan.curve",
			freeDeliveryPercent: 13,
			soundLowPercent: 30,
			soundHighPercent: 70,
		},
		/works at 13 % of its flow at zero pressure, below the sound range of 30 to 70 %\./,
	],
	[
		{
			code: "fan near free delivery",
			path: "fan.curve",
			freeDeliveryPercent: 74,
			soundLowPercent: 30,
			soundHighPercent: 70,
		},
		/works at 74 % of its flow at zero pressure, above the sound range of 30 to 70 %\./,
	],
	[
		{ code: "little free air", path: "substrate", filledShare: 0.62 },
		/^substrate: fills 62 % of the chamber/,
	],
	[
		{ code: "timer cannot show", path: "schedules.a", seconds: [1000, 0.5] },
		/^schedules\.a: the timer cannot show 16 min 40 s and 0\.5 s\.$/,
	],
	[{ code: "timer cannot show", path: "schedules.a", seconds: [] }, /cannot show both times in one range\.$/],
	[
		{
			code: "no settled pattern",
			path: "schedules.a",
			cause: "source does not repeat",
			windowFromSeconds: 5 * 86_400,
			windowSeconds: 86_400,
			isPeakDay: true,
			shiftSeconds: null,
		},
		/changes from day to day.*The values describe day 6, on which the peak occurs\.$/,
	],
	[
		{
			code: "no settled pattern",
			path: "schedules.a",
			cause: "no air",
			windowFromSeconds: 0,
			windowSeconds: 86_400,
			isPeakDay: false,
			shiftSeconds: null,
		},
		/^schedules\.a: Neither fan nor leakage removes CO₂, so it keeps rising\. The values describe day 1\.$/,
	],
	[
		{
			code: "no settled pattern",
			path: "schedules.a",
			cause: "schedule does not repeat",
			windowFromSeconds: 0,
			windowSeconds: 7200,
			isPeakDay: false,
			shiftSeconds: null,
		},
		/runs once.*The values describe the first 2 h\.$/,
	],
	[{ code: "timer assumed", path: "timer" }, /^timer: not given; a three-digit display/],
	[{ code: "maximum source", path: "substrate" }, /highest rate.*full model/],
];

test.each(warnings)("a warning begins with its parameter and ends as a sentence: %o", (warning, words) => {
	expect(warningMessage(warning)).toMatch(words);
	expect(warningMessage(warning)).toMatch(/\.$/);
});

const constraints: readonly (readonly [BindingConstraint, RegExp])[] = [
	[
		{ code: "intake air", intakePpm: 1200, ceilingPpm: 1000 },
		/^The intake air has 1200 ppm and the ceiling is 1000 ppm/,
	],
	[{ code: "stagnant zone", lowestPpm: 1400, ceilingPpm: 1000 }, /stays at 1400 ppm with any fan/],
	[
		{ code: "delivered flow", requiredM3PerS: 80 / 3600, deliveredM3PerS: 70 / 3600 },
		/continuous flow must be over 80 m³\/h; this fan delivers 70 m³\/h/,
	],
	[
		{ code: "floor", floorPpm: 990, ceilingPpm: 1000 },
		/under the 1000 ppm ceiling have a mean below the floor of 990 ppm/,
	],
	[
		{ code: "minimum on-time", minOnSeconds: 15, timerMaxOnSeconds: 9.9 },
		/at least 15 s here .* longest on-time of the timer is 9\.9 s/,
	],
	[
		{
			code: "cycle limits",
			relaxable: ["cycle", "life"],
			minOnSeconds: 3,
			minOffSeconds: 5,
			maxCycleSeconds: 600,
			minCycleSeconds: 900,
		},
		/on-time from 3 s, off-time from 5 s, cycle up to 10 min, cycle from 15 min for the contact life\. Relax the longest cycle or the contact life\./,
	],
	[
		{
			code: "cycle limits",
			relaxable: [],
			minOnSeconds: 3,
			minOffSeconds: 5,
			maxCycleSeconds: null,
			minCycleSeconds: 0,
		},
		/limits: on-time from 3 s, off-time from 5 s\. Relax several/,
	],
	[
		{ code: "off-time range", maxOffSeconds: 600, timerMinOffSeconds: 1800 },
		/longest possible off-time in this chamber is 10 min\. The shortest that the timer can show is 30 min\.$/,
	],
	[
		{ code: "on-time range", requiredOnSeconds: 12, timerMaxOnSeconds: 6, timerMinOffSeconds: 5 },
		/shortest off-time of 5 s, the fan would need an on-time of 12 s\. The longest of the timer is 6 s\.$/,
	],
];

test.each(constraints)(
	"a constraint is told with its numbers, in short too, and with what helps: %o",
	(constraint, words) => {
		expect(constraintReason(constraint, "si")).toMatch(words);
		expect(constraintSummary(constraint, "si")).toMatch(/^[^:]+: .*\d/);
		expect(remedies(constraint).length).toBeGreaterThan(0);
	},
);
