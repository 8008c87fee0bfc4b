import { fitSeries } from "../../lib/fit/fit.ts";
import type { FitOptions } from "../../lib/fit/fitoptions.ts";
import type { Fit } from "../../lib/fit/fittypes.ts";
import type { Verification } from "../../lib/fit/verification.ts";
import { type VerifyOptions, verifySeries } from "../../lib/fit/verify.ts";
import type { CleanSeries, Exclusion, ExclusionRule } from "../../lib/logs/log.ts";
import { exclusionReasons } from "../../lib/logs/log.ts";
import { buildModel } from "../../lib/model/build.ts";
import type { Model } from "../../lib/model/chamber.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { simulate } from "../../lib/solve/simulate.ts";
import { normalQuantile } from "../../lib/statistics/normal.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { seriesOf, syntheticSeries } from "../fit/syntheticlog.ts";

const DAY = 86_400;

export const fitScenario = ({ name = "Two-shelf oyster cabinet", ceiling = 1000 } = {}): Scenario =>
	parseScenario(
		`name: ${JSON.stringify(name)}
notes: Invented for the tests.
chamber: { volume: 420 L, leak: 0.3 /h, temperature: 17 C }
intake: { co2: 480 ppm }
substrate: { species: oyster, stage: fruiting, mass: 8 kg, rate: 140 mg/(kg h), volume: 12 L }
fan: { flow: 70 m3/h ±10 % }
sensor: { response: 60 s, accuracy: 40 ppm + 3 % }
timer: { ranges: [1..999 s by 1 s] }
target: { ceiling: ${ceiling} ppm, on: peak }
schedules: { usual: { on: 12 s, off: 9 min 48 s } }
`,
		"cabinet.yaml",
	);

/** A cabinet that differs from what its grower believes. */
export const truthOf = (scenario: Scenario): Model => {
	const base = buildModel(scenario);
	return {
		...base,
		generationM3PerS: 1.25 * base.generationM3PerS,
		deliveredM3PerS: 0.8 * base.deliveredM3PerS,
		infiltrationM3PerS: 1.4 * base.infiltrationM3PerS,
		responseSeconds: 75,
	};
};

/** The same with the sensor and the cabinet just as the scenario has them. */
export const promisedModel = (scenario: Scenario): Model => buildModel(scenario);

interface Wanted {
	readonly scenario?: Scenario;
	readonly model?: Model;
	readonly schedule?: Schedule;
	readonly days?: number;
	readonly stepSeconds?: number;
	readonly elapsed?: boolean;
	/** A gap, a clipped stretch, door openings and an outlier in it. */
	readonly trouble?: boolean;
}

/** A simulated log with seeded noise; what is marked as wrong in it is so marked by hand. */
export function sampleSeries({
	scenario = fitScenario(),
	model = truthOf(scenario),
	schedule = scenario.schedules[0]!.schedule,
	days = 2,
	stepSeconds = 60,
	elapsed = false,
	trouble = true,
}: Wanted = {}): CleanSeries {
	const series = syntheticSeries({
		model,
		schedule,
		durationSeconds: days * DAY,
		stepSeconds,
		fromSeconds: schedule.kind === "cycle" ? 20 * (schedule.onSeconds + schedule.offSeconds) + 200 : 0,
		noisePpm: 8,
		rho: 0.4,
		seed: 3,
	});
	const { timesSeconds, log } = series;
	const co2Ppm = series.co2Ppm.slice();
	const excluded = series.excluded.slice();
	const count = timesSeconds.length;
	const exclusions: Exclusion[] = [];
	const leaveOut = (rule: ExclusionRule, from: number, length: number, ppm: (i: number) => number) => {
		for (let i = from; i < from + length; i++) {
			excluded[i] = 1 + exclusionReasons.indexOf(rule.reason);
			co2Ppm[i] = ppm(i);
		}
		exclusions.push({
			...rule,
			count: length,
			intervals: [{ fromSeconds: timesSeconds[from]!, toSeconds: timesSeconds[from + length - 1]! }],
		});
	};
	if (trouble) {
		const at = (share: number): number => Math.floor(share * count);
		const some = Math.max(4, Math.floor(count / 200));
		leaveOut({ reason: "missing" }, at(0.3), some * 6, () => Number.NaN);
		leaveOut(
			{ reason: "clipped", limitPpm: 2000, strayReadings: 0, minReadings: 3 },
			at(0.55),
			some,
			() => 2000,
		);
		leaveOut(
			{ reason: "door opening", minReadings: 3, offPpm: 30, offShare: 0.02, offSigmas: 6, cycles: 3 },
			at(0.7),
			some,
			(i) => 520 + (i % 5),
		);
		leaveOut(
			{ reason: "outlier", maxReadings: 2, offPpm: 50, offSigmas: 8, isOutsideCycles: false },
			at(0.2),
			1,
			() => 5300,
		);
	}
	return {
		...series,
		co2Ppm,
		excluded,
		exclusions,
		log: {
			...log,
			fileName: "day.csv",
			startUtcSeconds: elapsed ? null : Date.UTC(2026, 2, 10, 7, 12) / 1000,
			layout: {
				...log.layout,
				timeFormat: elapsed ? "elapsed seconds" : "year-month-day hour:minute:second",
				zone: elapsed ? null : "Europe/Berlin",
				zoneFrom: elapsed ? null : "option",
			},
			rawRows: count + 3,
			notes: trouble
				? [
						{
							kind: "duplicate",
							isVerbatim: true,
							count: 2,
							lines: [113, 114],
						},
						{
							kind: "event line",
							count: 1,
							lines: [87],
						},
					]
				: [],
			gaps: trouble ? [{ fromSeconds: 0.3 * days * DAY, lengthSeconds: 0.03 * days * DAY }] : [],
		},
	};
}

/** What the real fit finds in such a log. */
export const sampleFit = (wanted: Wanted = {}, options: FitOptions = {}): Fit =>
	fitSeries(wanted.scenario ?? fitScenario(), sampleSeries(wanted), options);

/** A field test: a closed chamber that fills up, or an empty, dosed one that airs by its leak or by bursts of two lengths. */
export function sampleTest(test: "rise" | "decay" | "bursts", options: FitOptions = {}): Fit {
	const scenario = fitScenario();
	const truth = truthOf(scenario);
	const minutes = { rise: 40, decay: 180, bursts: 132 }[test];
	const burst = (k: number): number[] => [(k + 1) * 600, (k + 1) * 600 + (k % 2 === 0 ? 6 : 18)];
	const run = simulate(
		test === "rise"
			? truth
			: {
					...truth,
					generationM3PerS: 0,
					infiltrationM3PerS: truth.infiltrationM3PerS / (test === "bursts" ? 20 : 1),
				},
		test === "bursts"
			? {
					kind: "switches",
					switchSeconds: Array.from({ length: 12 }, (_, k) => burst(k)).flat(),
					startsWith: "off",
				}
			: { kind: "off" },
		{
			durationSeconds: 60 * minutes,
			sampleIntervalSeconds: 15,
			startPpm: { rise: 480, decay: 2600, bursts: 5000 }[test],
		},
	);
	const random = seededUniform(5);
	const co2Ppm = Float64Array.from(run.sensorPpm ?? run.co2Ppm, (ppm) =>
		Math.round(ppm + 6 * normalQuantile(random())),
	);
	const series = seriesOf(Float64Array.from(run.timesSeconds), co2Ppm, 15);
	return fitSeries(scenario, series, {
		test,
		...(test === "bursts" ? { burstSeconds: [6, 18] } : { fix: { response: 75 } }),
		...options,
	});
}

/** The real verdict on such a log. */
export const sampleVerification = (wanted: Wanted = {}, options: VerifyOptions = {}): Verification =>
	verifySeries(wanted.scenario ?? fitScenario(), sampleSeries(wanted), options);
