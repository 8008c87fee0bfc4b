import type { FeasibleChoice, InfeasibleChoice, JudgedSetting, Slip } from "../../lib/choose/choosetypes.ts";
import { judgeSchedule } from "../../lib/compare/compare.ts";
import { buildModel } from "../../lib/model/build.ts";
import { inWords } from "../../lib/model/schedule/inwords.ts";
import type { Dial } from "../../lib/model/schedule/timer.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { settingMap } from "../../lib/solve/cycles/settingmap.ts";
import { formatDuration } from "../../lib/units/units.ts";
import { scenarioText } from "./sample.ts";

const TIMER =
	"timer: { ranges: [1..999 s by 1 s, 0.1..99.9 s by 0.1 s], contact: 3 A, operations: 100000, power-up: off }\n";

const dial = (seconds: number): Dial =>
	Number.isInteger(seconds)
		? {
				seconds,
				display: `${String(seconds).padStart(3, "0")}.`,
				unit: "s",
				range: "1 to 999 s in steps of 1 s",
			}
		: {
				seconds,
				display: seconds.toFixed(1).padStart(4, "0"),
				unit: "s",
				range: "0.1 to 99.9 s in steps of 0.1 s",
			};

/** A choice made by hand: its figures hang together, but nothing was searched. */
export function choiceSample({
	name = "Two-shelf oyster cabinet",
	more = TIMER,
	target = "{ ceiling: 1000 ppm, on: peak }",
} = {}) {
	const scenario = parseScenario(scenarioText({ name, more, target }), "cabinet.yaml");
	const model = buildModel(scenario);

	const judged = (onSeconds: number, offSeconds: number): JudgedSetting => {
		const schedule = { kind: "cycle", onSeconds, offSeconds } as const;
		const summary = judgeSchedule(scenario, model, schedule);
		const waterOutGPerDay = 6.1 * (summary.freshAirM3PerDay + summary.leakM3PerDay);
		const operationsPerMonth = summary.burstsPerDay * 30.44;
		return {
			setting: { on: dial(onSeconds), off: dial(offSeconds) },
			schedule,
			inWords: inWords(schedule),
			summary,
			moisture: {
				waterOutGPerDay,
				waterMadeGPerDay: 12,
				waterToGiveGPerDay: waterOutGPerDay - 12,
				shareToGive: 1 - 12 / waterOutGPerDay,
				humidityAfterBurst: 0.9 - 0.36 * (summary.replacedPerBurst ?? 0),
				humidityBefore: 0.9,
			},
			operationsPerMonth,
			contactMonths: 100_000 / operationsPerMonth,
		};
	};

	const seconds = Float64Array.from({ length: 999 }, (_, i) => i + 1);
	const instant = { ...model, spinUpSeconds: 0, coastDownSeconds: 0 };
	const { peakPpm } = settingMap(instant, { onSeconds: seconds, offSeconds: seconds });
	const ceiling = scenario.target.ceiling.value;
	const boundary = {
		offSeconds: seconds,
		onSeconds: seconds.map((_, j) => {
			const i = seconds.findIndex((_, i) => peakPpm[i * 999 + j]! <= ceiling);
			return i < 0 ? Number.NaN : seconds[i]!;
		}),
	};
	const bounds = {
		longestOffSeconds: 377,
		flowNeededM3PerS: 0.85 / 3600,
		flowM3PerS: model.fanM3PerS,
		shortestOnSeconds: 3,
		shortestOffSeconds: 1,
		longestCycleSeconds: 1998,
		settings: 997 * 999,
		holding: 301_224,
	};
	const best = judged(4.1, 252);
	const sure = judged(6, 120);
	const slip = (kind: Slip["kind"], onSeconds: number, offSeconds: number): Slip => {
		const { summary } = judged(onSeconds, offSeconds);
		return {
			kind,
			onSeconds,
			offSeconds,
			peakPpm: summary.peakPpm,
			freshAirM3PerDay: summary.freshAirM3PerDay,
			sign: `the fan runs for ${formatDuration(onSeconds)} and rests for ${formatDuration(offSeconds)}`,
		};
	};
	const common = { scenario, model, bounds, boundary, warnings: ["fan.flow: a guess."] };
	const times = Float64Array.from({ length: 201 }, (_, i) => (i * 2 * 256.1) / 200);
	const wave = (low: number, high: number) =>
		times.map((t) => {
			const at = t % 256.1;
			return at < 4.1 ? high - ((high - low) * at) / 4.1 : low + ((high - low) * (at - 4.1)) / 252;
		});
	const feasible: FeasibleChoice = {
		...common,
		feasible: true,
		best,
		recommended: best,
		picks: { driestSparing: best, gentlestOnRelay: judged(5.1, 280), smoothest: judged(3, 150) },
		front: Array.from({ length: 90 }, (_, i) => {
			const offSeconds = 150 + i * 1.4;
			const freshAirM3PerDay = 28 + 5 * ((i - 65) / 60) ** 2;
			return {
				onSeconds: 3 + i * 0.02,
				offSeconds,
				freshAirM3PerDay,
				burstsPerDay: 86_400 / (offSeconds + 3 + i * 0.02),
				ripplePpm: 60 + i,
				peakPpm: 995,
			};
		}),
		odds: {
			draws: 10_000,
			seed: 1,
			p05Ppm: 708,
			p50Ppm: 990,
			p95Ppm: 1620,
			probability: 0.512,
			standardError: 0.005,
			inputs: [
				{
					path: "substrate[0].rate",
					label: "respiration rate of oyster",
					text: "60..400 mg/(kg h)",
					peakAtLowPpm: 705,
					peakAtHighPpm: 1610,
					share: 0.91,
					test: "rise test: fan off, log the rise",
				},
				{
					path: "substrate[0].q10",
					label: "Q10 of oyster",
					text: "2.4 (1.9..3.2)",
					peakAtLowPpm: 1011,
					peakAtHighPpm: 962,
					share: 0.086,
					test: "keep the chamber at the reference temperature",
				},
				{
					path: "chamber.leak",
					label: "leak",
					text: "0.3 /h",
					peakAtLowPpm: 999,
					peakAtHighPpm: 984,
					share: 0.004,
					test: "leak test: empty chamber, dose, fan off",
				},
			],
			band: { timesSeconds: times, p05Ppm: wave(650, 708), p50Ppm: wave(890, 990), p95Ppm: wave(1430, 1620) },
		},
		robust: null,
		quiet: null,
		slips: [
			slip("swapped", 252, 4.1),
			slip("on ×10", 41, 252),
			slip("off ×10", 4.1, 2520),
			slip("off ÷10", 4.1, 25.2),
		],
		searchErrorPpm: 0.4,
	};
	const confident: FeasibleChoice = {
		...feasible,
		recommended: sure,
		odds: { ...feasible.odds!, probability: 0.904, p05Ppm: 570, p50Ppm: 720, p95Ppm: 1060 },
		robust: {
			confidence: 90,
			judged: sure,
			probability: 0.904,
			p05Ppm: 570,
			p50Ppm: 720,
			p95Ppm: 1060,
			bestProbability: 0.512,
		},
	};
	const infeasible: InfeasibleChoice = {
		...common,
		bounds: { ...bounds, holding: 0 },
		boundary: { ...boundary, onSeconds: boundary.onSeconds.map(() => Number.NaN) },
		feasible: false,
		cause: "flow too small",
		reason:
			"Even a fan that never stops holds only 1200 ppm: the ceiling needs 80 m³/h, and there are 70 m³/h.",
		bound: { what: "flow without a pause", needed: 80, available: 70, unit: "m³/h" },
		nearest: judged(999, 1),
	};
	return { feasible, confident, infeasible };
}
