import type {
	EntryError,
	EvaluatedSetting,
	FeasibleChoice,
	InfeasibleChoice,
} from "../../lib/choose/choosetypes.ts";
import { evaluateSchedule } from "../../lib/compare/compare.ts";
import { waterBalance } from "../../lib/compare/humidity.ts";
import { buildModel } from "../../lib/model/build.ts";
import { inWords } from "../../lib/model/schedule/inwords.ts";
import type { DisplayValue } from "../../lib/model/schedule/timer.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { settingMap } from "../../lib/solve/cycles/settingmap.ts";
import { scenarioText } from "./sample.ts";

const TIMER =
	"timer: { ranges: [1..999 s by 1 s, 0.1..99.9 s by 0.1 s], contact: 3 A, operations: 100000, power-up: off }\n";

const dial = (seconds: number): DisplayValue =>
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

	const evaluate = (onSeconds: number, offSeconds: number): EvaluatedSetting => {
		const schedule = { kind: "cycle", onSeconds, offSeconds } as const;
		const summary = evaluateSchedule(scenario, model, schedule);
		const moistureLossGPerDay = 6.1 * (summary.freshAirM3PerDay + summary.infiltrationM3PerDay);
		const operationsPerMonth = summary.burstsPerDay * 30.44;
		return {
			setting: { on: dial(onSeconds), off: dial(offSeconds) },
			schedule,
			inWords: inWords(schedule),
			summary,
			moisture: {
				moistureLossGPerDay,
				metabolicWaterGPerDay: 12,
				humidificationGPerDay: moistureLossGPerDay - 12,
				humidificationShare: 1 - 12 / moistureLossGPerDay,
				relativeHumidityAfterBurst: 0.9 - 0.36 * (summary.replacedFraction ?? 0),
				relativeHumidityBefore: 0.9,
				celsiusAfterBurst: 18,
				fogAfterBurstGPerKg: 0,
				humidity: null,
				heat: waterBalance(scenario, model, schedule).heat,
			},
			operationsPerMonth,
			contactMonths: 100_000 / operationsPerMonth,
			probability: 0.512,
		};
	};

	const seconds = Float64Array.from({ length: 999 }, (_, i) => i + 1);
	const instant = { ...model, spinUpTauSeconds: 0, coastDownTauSeconds: 0 };
	const { peakPpm } = settingMap(instant, { onSeconds: seconds, offSeconds: seconds });
	const ceiling = scenario.target.ceiling.value;
	const feasibilityBoundary = {
		offSeconds: seconds,
		onSeconds: seconds.map((_, j) => {
			const i = seconds.findIndex((_, i) => peakPpm[i * 999 + j]! <= ceiling);
			return i < 0 ? Number.NaN : seconds[i]!;
		}),
	};
	const feasibilityLimits = {
		maxOffSeconds: 377,
		flowNeededM3PerS: 0.85 / 3600,
		flowM3PerS: model.deliveredM3PerS,
		minOnSeconds: 3,
		minOffSeconds: 1,
		maxCycleSeconds: 1998,
		candidateCount: 997 * 999,
		feasibleCount: 301_224,
	};
	const best = evaluate(4.1, 252);
	const reliable = evaluate(6, 120);
	const entryError = (kind: EntryError["kind"], onSeconds: number, offSeconds: number): EntryError => {
		const { summary } = evaluate(onSeconds, offSeconds);
		return {
			kind,
			onSeconds,
			offSeconds,
			peakPpm: summary.peakPpm,
			freshAirM3PerDay: summary.freshAirM3PerDay,
		};
	};
	const common = {
		scenario,
		model,
		reliabilityPercent: 90,
		feasibilityLimits,
		feasibilityBoundary,
		warnings: [{ code: "flow taken as delivered", path: "fan.flow" } as const],
	};
	const times = Float64Array.from({ length: 201 }, (_, i) => (i * 2 * 256.1) / 200);
	const wave = (low: number, high: number) =>
		times.map((t) => {
			const at = t % 256.1;
			return at < 4.1 ? high - ((high - low) * at) / 4.1 : low + ((high - low) * (at - 4.1)) / 252;
		});
	const feasible: FeasibleChoice = {
		...common,
		isFeasible: true,
		status: "even chance",
		best,
		recommended: best,
		activeLimits: ["dial"],
		frontRule: "all settings",
		alternatives: { leastAir: best, fewestSwitchings: evaluate(5.1, 280), smallestRipple: evaluate(3, 150) },
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
		complianceProbability: {
			draws: 10_000,
			seed: 1,
			p05Ppm: 708,
			medianPpm: 990,
			p95Ppm: 1620,
			probability: 0.512,
			standardError: 0.005,
			inputs: [
				{
					path: "substrate[0].rate",
					text: "60..400 mg/(kg h)",
					peakAtLowPpm: 705,
					peakAtHighPpm: 1610,
					varianceShare: 0.91,
					fieldTest: "rise test",
					disturbance: null,
					expectedAirM3PerDay: null,
				},
				{
					path: "substrate[0].q10",
					text: "2.4 (1.9..3.2)",
					peakAtLowPpm: 1011,
					peakAtHighPpm: 962,
					varianceShare: 0.086,
					fieldTest: "temperature log",
					disturbance: null,
					expectedAirM3PerDay: null,
				},
				{
					path: "chamber.leak",
					text: "0.3 /h",
					peakAtLowPpm: 999,
					peakAtHighPpm: 984,
					varianceShare: 0.004,
					fieldTest: "leak test",
					disturbance: null,
					expectedAirM3PerDay: null,
				},
			],
			band: {
				timesSeconds: times,
				p05Ppm: wave(650, 708),
				medianPpm: wave(890, 990),
				p95Ppm: wave(1430, 1620),
			},
		},
		chanceConstrained: null,
		quiet: null,
		entryErrors: [
			entryError("swapped", 252, 4.1),
			entryError("on ×10", 41, 252),
			entryError("off ×10", 4.1, 2520),
			entryError("off ÷10", 4.1, 25.2),
		],
		searchErrorPpm: 0.4,
	};
	const confident: FeasibleChoice = {
		...feasible,
		status: "holds",
		recommended: reliable,
		alternatives: { ...feasible.alternatives, leastAir: reliable },
		complianceProbability: {
			...feasible.complianceProbability!,
			probability: 0.904,
			p05Ppm: 570,
			medianPpm: 720,
			p95Ppm: 1060,
		},
		chanceConstrained: {
			reliabilityPercent: 90,
			evaluated: reliable,
			probability: 0.904,
			p05Ppm: 570,
			medianPpm: 720,
			p95Ppm: 1060,
			bestProbability: 0.512,
			price: {
				freshAirM3PerDay: reliable.summary.freshAirM3PerDay - best.summary.freshAirM3PerDay,
				moistureLossGPerDay: reliable.moisture.moistureLossGPerDay - best.moisture.moistureLossGPerDay,
			},
		},
	};
	const infeasible: InfeasibleChoice = {
		...common,
		feasibilityLimits: { ...feasibilityLimits, feasibleCount: 0 },
		feasibilityBoundary: {
			...feasibilityBoundary,
			onSeconds: feasibilityBoundary.onSeconds.map(() => Number.NaN),
		},
		isFeasible: false,
		status: "fails",
		bindingConstraint: { code: "delivered flow", requiredM3PerS: 80 / 3600, deliveredM3PerS: 70 / 3600 },
		closest: evaluate(999, 1),
	};
	return { feasible, confident, infeasible };
}
