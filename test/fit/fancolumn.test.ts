import { beforeAll, describe, expect, test } from "vitest";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Fit } from "../../lib/fit/fittypes.ts";
import { readLog } from "../../lib/logs/read.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { fitLog } from "./exactfit.ts";
import { type LoggedFan, writeLoggedFan } from "./loggedfan.ts";

const VOLUME = 0.2;
const KINDS = ["now", "since", "fraction"] as const;
const LOGS = 80;

/** A chamber, timer and logger at random: a third of the timers have a period of whole steps. */
function draw(kind: LoggedFan["kind"], seed: number): { readonly log: LoggedFan; readonly believed: string } {
	const random = seededUniform(777 + seed);
	const between = (low: number, high: number) => low + (high - low) * random();
	const stepSeconds = Math.round(between(10, 60));
	const onSeconds = Math.round(between(kind === "fraction" ? 0.3 : 3, 8) * stepSeconds);
	const steps = between(12, 30);
	const period = seed % 3 === 0 ? Math.round(steps) * stepSeconds : Math.round(10 * steps * stepSeconds) / 10;
	const flow = (between(0.4, 2.5) * VOLUME) / onSeconds;
	const responseSeconds = (between(0.15, 0.6) * VOLUME) / flow;
	const log: LoggedFan = {
		volumeM3: VOLUME,
		intakePpm: 420,
		generation: between(0.7, 2.8) * 1e-7,
		flow,
		leak: (between(0.3, 1.5) * VOLUME) / 3600,
		responseSeconds,
		onSeconds,
		offSeconds: period - onSeconds,
		firstSeconds: between(0, period),
		stepSeconds,
		lengthSeconds: 24 * period,
		noisePpm: between(3, 15),
		kind,
		seed,
	};
	const isScheduleKnown = seed % 2 === 0;
	// What the log has exactly is said to be exact, so that its error comes from noise and switchings alone.
	const believed = `
chamber: { volume: 200 L ±0.01 %, leak: 0.6 /h, temperature: 18 C }
intake: { co2: 420 ppm ±0.1 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg, rate: 180 mg/(kg h) }
fan: { flow: ${3600 * flow * between(0.7, 1.4)} m3/h }
sensor: { response: ${responseSeconds * between(0.8, 1.25)} s, accuracy: 0.1 ppm }
schedules: { usual: { on: ${onSeconds} s, off: ${(period - onSeconds).toFixed(3)} s }${isScheduleKnown ? "" : ", other: { on: 7 s, off: 77 s }"} }
`;
	return { log, believed };
}

const free: readonly FitName[] = ["generation", "flow", "leak", "response"];
const of = (fit: Fit, name: FitName) => fit.parameters.find((one) => one.name === name)!;

describe("on seeded logs of timers at any phase, with samples 10 to 60 s apart", () => {
	const found: { kind: string; name: string; off: number; isCovered: boolean; ratio: number }[] = [];
	const misread: number[] = [];

	beforeAll(() => {
		for (const kind of KINDS)
			for (let seed = 1; seed <= LOGS; seed++) {
				const { log, believed } = draw(kind, seed);
				const [scenario, read] = [parseScenario(believed), readLog(writeLoggedFan(log))];
				// Half of the columns are told, a half are not; half of either with a schedule.
				const fit = fitLog(scenario, read, { free, ...(seed % 4 < 2 ? { fanState: kind } : {}) });
				if (fit.fanFrom.code !== "fan column") continue;
				for (const [name, truth] of [
					["flow", log.flow],
					["response", log.responseSeconds],
				] as const) {
					const { value, standardError, ci95Low, ci95High } = of(fit, name);
					const off = (value - truth) / standardError!;
					const isCovered = ci95Low! <= truth && truth <= ci95High!;
					found.push({ kind, name, off, isCovered, ratio: value / truth });
				}
				if (kind !== "since" || seed % 2 === 0 || seed > 40) continue;
				misread.push(of(fitLog(scenario, read, { free, fanState: "now" }), "flow").value / log.flow);
			}
	}, 300_000);

	test.each(["flow", "response"])(
		"the 95 per cent interval of the %s holds the truth in 92 to 98 of 100",
		(name) => {
			const own = found.filter((one) => one.name === name);
			expect(own.length).toBeGreaterThan(0.97 * KINDS.length * LOGS);
			const covered = (100 * own.filter(({ isCovered }) => isCovered).length) / own.length;
			expect(covered).toBeGreaterThanOrEqual(92);
			expect(covered).toBeLessThanOrEqual(98);
		},
	);

	test.each(KINDS)("with a column of the kind %s the flow is right, within 2 stated errors", (kind) => {
		const own = found.filter((one) => one.name === "flow" && one.kind === kind);
		const within = own.filter(({ off }) => Math.abs(off) <= 2).length / own.length;
		expect(within).toBeGreaterThan(0.9);
		const mean = own.reduce((sum, { ratio }) => sum + ratio, 0) / own.length;
		expect(Math.abs(mean - 1)).toBeLessThan(0.025);
	});

	test("taken for a state of now, one since the last sample gives far too little flow", () => {
		const mean = misread.reduce((sum, ratio) => sum + ratio, 0) / misread.length;
		expect(mean).toBeLessThan(0.9);
	});
});

test("a column that is left aside leaves the schedule to tell the bursts", () => {
	const { log, believed } = draw("now", 2);
	const fit = fitLog(parseScenario(believed), readLog(writeLoggedFan(log)), { free, fanState: "ignore" });
	expect(fit.fanFrom).toEqual({ code: "schedule with estimated start" });
	expect(fit.series.warnings).toEqual([]);
});
