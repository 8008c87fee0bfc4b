import { describe, expect, test } from "vitest";
import { fitLog } from "../exactfit.ts";
import {
	cabinet,
	emptyCabinet,
	expectWithin,
	of,
	rateOf,
	read,
	STARTS,
	scenarioOf,
	TRUE_RATE,
} from "./cabinet.ts";
import { trueLog } from "./truechamber.ts";

const scenario = scenarioOf();

describe.each(STARTS)(
	"a field test of a chamber that swings by day, started $when",
	({ date, startHour }) => {
		test("as a closed-chamber rise tells the rate at the reference temperature, and what was given off", () => {
			const log = trueLog(cabinet, {
				timer: "off",
				startHour,
				hours: 4,
				startPpm: 480,
				noisePpm: 8,
				seed: 3,
			});
			const fit = fitLog(scenario, read(log, { date, startHour }), {
				test: "rise",
				fix: { leak: "80 L/h", response: 70 },
			});
			expect(fit.residuals.isAdequate).toBe(true);
			expectWithin(rateOf(fit), TRUE_RATE, 0.01);
			expectWithin(of(fit, "generation"), log.meanSourceM3PerS(), 0.01);
		});

		test("as a decay in the empty chamber tells the leak", () => {
			const log = trueLog(emptyCabinet, {
				timer: "off",
				startHour,
				hours: 8,
				startPpm: 4000,
				noisePpm: 8,
				seed: 4,
			});
			const fit = fitLog(scenario, read(log, { date, startHour }), { test: "decay" });
			expect(fit.residuals.isAdequate).toBe(true);
			expectWithin(of(fit, "leak"), 0.08 / 3600, 0.02);
		});

		test("as a decay with the crop inside tells leak and rate", () => {
			const log = trueLog(cabinet, {
				timer: "off",
				startHour,
				hours: 16,
				startPpm: 9000,
				noisePpm: 10,
				seed: 5,
			});
			const fit = fitLog(scenario, read(log, { date, startHour }), {
				test: "decay",
				free: ["leak", "generation"],
				fix: { response: 70 },
			});
			expectWithin(rateOf(fit), TRUE_RATE, 0.01);
			expectWithin(of(fit, "leak"), 0.08 / 3600, 0.02);
		});

		test("as counted bursts tells the flow, in the empty chamber and with the crop left inside", () => {
			const bursts = Array.from({ length: 10 }, (_, k) => ({
				at: 3600 * startHour + 600 * (k + 1),
				on: k % 2 === 0 ? 4 : 9,
			}));
			const run = {
				timer: { bursts },
				startHour,
				hours: 2,
				startPpm: 4000,
				stepSeconds: 10,
				noisePpm: 6,
				seed: 6,
			};
			const emptied = trueLog(emptyCabinet, run);
			const fit = fitLog(scenario, read(emptied, { date, startHour }), {
				test: "bursts",
				burstSeconds: [4, 9],
			});
			expectWithin(of(fit, "flow"), 54 / 3600, 0.05);
			const left = trueLog(cabinet, run);
			const inside = fitLog(scenario, read(left, { date, startHour }), {
				test: "bursts",
				burstSeconds: [4, 9],
				free: ["flow", "response", "generation"],
				fix: { leak: "80 L/h" },
			});
			expectWithin(of(inside, "flow"), 54 / 3600, 0.05);
			expectWithin(of(inside, "generation"), left.meanSourceM3PerS(), 0.1);
		});
	},
);
