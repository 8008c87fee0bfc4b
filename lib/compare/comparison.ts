import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import { inWords } from "../model/schedule/inwords.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type CompiledModel, compile } from "../solve/compile.ts";
import { targetOf, violationPpm } from "../solve/criterion.ts";
import { withMaximumSource } from "../solve/cycles/maximumsource.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import type { SolverOptions } from "../solve/propagate/propagate.ts";
import { type Summary, summarize } from "../solve/summary.ts";
import { withRespirationAt } from "./uncertaininputs.ts";
import { type ComparisonWarning, findScenarioWarnings, findScheduleWarnings } from "./warnings.ts";
import type { WaterBalance } from "./water.ts";

export interface ComparedSchedule {
	readonly name: string;
	readonly schedule: Schedule;
	/** "4 s on, 3 min 56 s off, 360 bursts per day" */
	readonly inWords: string;
	readonly summary: Summary;
	/** Water and heat that its air takes along. */
	readonly water: WaterBalance;
}

/** All schedules of a scenario, evaluated alike. */
export interface Comparison {
	readonly scenario: Scenario;
	readonly model: Model;
	/** In the order of the file. */
	readonly schedules: readonly ComparedSchedule[];
	/** The schedule that meets the target with the least fresh air per day, then with the lowest judged value; null when none meets it. */
	readonly best: string | null;
	/** Schedules that meet the target with the same air as the best one. */
	readonly ties: readonly string[];
	/** When no schedule meets the target, the one with the smallest violation; else null. */
	readonly closest: string | null;
	/** Longest possible off-time, with any fan [s]; null: leakage alone keeps CO2 under the ceiling. */
	readonly maxOffSeconds: number | null;
	/** The verdict with respiration at the high end of its range; null when no range is known. */
	readonly highRespiration: {
		/** CO2 output over that of the central values [-]. */
		readonly factor: number;
		/** Names of the schedules that still meet the target. */
		readonly compliant: readonly string[];
	} | null;
	/** What was assumed or looks doubtful; each names its parameter. */
	readonly warnings: readonly ComparisonWarning[];
}

/** One schedule against the target for CO2 alone. */
export function evaluateAir(
	scenario: Scenario,
	model: Model | CompiledModel,
	schedule: Schedule,
	options: SolverOptions = {},
): Summary {
	const { floorPpm, ...target } = targetOf(scenario.target);
	return summarize(model, schedule, { ...options, ...target, ...(floorPpm === null ? {} : { floorPpm }) });
}

/** All schedules of a scenario, each as `judge` finds it. */
export function compareBy(
	scenario: Scenario,
	judge: (model: CompiledModel, schedule: Schedule) => Pick<ComparedSchedule, "summary" | "water">,
): Comparison {
	const model = buildModel(scenario);
	const compiled = compile(model);
	const schedules = scenario.schedules.map(({ name, schedule }) => ({
		name,
		schedule,
		inWords: inWords(schedule),
		...judge(compiled, schedule),
	}));
	const compliant = schedules.filter(({ summary }) => summary.criterion.isMet);
	const ranked = compliant.toSorted((a, b) => compareSummaries(a.summary, b.summary));
	const best = ranked[0] ?? null;
	const closest =
		best === null
			? (schedules.toSorted((a, b) => violationOf(a.summary) - violationOf(b.summary))[0]?.name ?? null)
			: null;
	return {
		scenario,
		model,
		schedules,
		best: best?.name ?? null,
		ties: ranked
			.slice(1)
			.filter(({ summary }) => isSameAir(summary, best!.summary))
			.map(({ name }) => name),
		closest,
		maxOffSeconds: maxOffSeconds(compiled, scenario.target.ceiling.value, scenario.target.on),
		highRespiration: evaluateHighRespiration(scenario, schedules),
		warnings: [...findScenarioWarnings(scenario), ...findScheduleWarnings(scenario, schedules)],
	};
}

/** 4 s in 240 s is 2 s in 120 s, to rounding. */
function isSameAir(a: Summary, b: Summary): boolean {
	return Math.abs(a.freshAirM3PerDay - b.freshAirM3PerDay) <= 1e-9 * b.freshAirM3PerDay;
}

function compareSummaries(a: Summary, b: Summary): number {
	return isSameAir(a, b)
		? a.criterion.valuePpm - b.criterion.valuePpm || a.burstsPerDay - b.burstsPerDay
		: a.freshAirM3PerDay - b.freshAirM3PerDay;
}

const violationOf = (summary: Summary): number => violationPpm(summary, summary.criterion);

function evaluateHighRespiration(
	scenario: Scenario,
	schedules: readonly ComparedSchedule[],
): Comparison["highRespiration"] {
	const high = withRespirationAt(scenario, "high");
	if (high === null) return null;
	const generation = (s: Scenario) => withMaximumSource(buildModel(s)).generationM3PerS;
	const factor = generation(high) / generation(scenario);
	return {
		factor,
		compliant: schedules
			.filter(
				({ summary: { criterion } }) =>
					(criterion.headroomFactor === null || criterion.headroomFactor >= factor) &&
					criterion.humidity?.isMet !== false,
			)
			.map(({ name }) => name),
	};
}
