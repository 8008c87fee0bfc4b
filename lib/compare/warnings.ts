import { freeVolumeM3 } from "../model/build.ts";
import {
	deliveredFlow,
	type FlowWarning,
	findFlowWarnings,
	flowConditionsOf,
} from "../model/fan/deliveredflow.ts";
import { listInputs } from "../model/inputs.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import { displayGrids } from "../model/schedule/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { NoPeriodicState } from "../solve/periodic.ts";
import type { Summary } from "../solve/summary.ts";

/** What was assumed about the inputs of a scenario, or looks doubtful; `path` names the parameter. */
export type ScenarioWarning =
	| {
			readonly code: "central values";
			/** Inputs with a range or an uncertainty, as their author wrote them. */
			readonly inputs: readonly { readonly path: string; readonly text: string }[];
	  }
	| { readonly code: "published respiration"; readonly path: string; readonly text: string }
	| { readonly code: "substrate volume unknown"; readonly path: string }
	/** The live page shows CO2 alone. */
	| { readonly code: "humidity left out"; readonly path: "water" }
	| { readonly code: "flow taken as delivered"; readonly path: "fan.flow" }
	| {
			readonly code: "flow calculated";
			readonly path: "fan.flow";
			/** Pressure drop of the filter over its clean one, as written; "clean" where nothing was said; null without a filter. */
			readonly filterLoad: string | null;
	  }
	| FlowWarning
	| {
			readonly code: "little free air";
			readonly path: "substrate";
			/** Share of the chamber that the substrate fills [0..1]. */
			readonly filledShare: number;
	  };

/** What is doubtful about one schedule; `path` names it. */
export type ScheduleWarning =
	| {
			readonly code: "timer cannot show";
			readonly path: string;
			/** Times that no range of the timer shows [s]; empty where each can be shown, but not both in one range. */
			readonly seconds: readonly number[];
	  }
	| {
			readonly code: "no settled pattern";
			readonly path: string;
			readonly cause: NoPeriodicState["cause"];
			/** Window that the values describe, from the start of the run [s]. */
			readonly windowFromSeconds: number;
			readonly windowSeconds: number;
			readonly isPeakDay: boolean;
			readonly shiftSeconds: number | null;
	  };

export type ComparisonWarning = ScenarioWarning | ScheduleWarning;

/**
 * What a reader should know about the inputs before trusting the results.
 * @param isDrawn the uncertain inputs are drawn at random, so that the central values are not the whole answer
 */
export function findScenarioWarnings(scenario: Scenario, isDrawn = false): ScenarioWarning[] {
	const { fan, substrate, chamber } = scenario;
	const warnings: ScenarioWarning[] = [];
	const inputs = listInputs(scenario)
		// What a log alone is read with moves no prediction.
		.filter(({ path, quantity }) => quantity.low !== null && path !== "sensor.offset")
		.map(({ path, quantity }) => ({ path, text: quantity.text }));
	if (inputs.length > 0 && !isDrawn) warnings.push({ code: "central values", inputs });
	for (const [i, { rates, respirationRate, volume }] of substrate.entries()) {
		const path = `substrate[${i}]`;
		if (rates === null && respirationRate.origin.kind === "default")
			warnings.push({ code: "published respiration", path: `${path}.rate`, text: respirationRate.text });
		if (volume === null) warnings.push({ code: "substrate volume unknown", path: `${path}.volume` });
	}
	if (fan.flow?.origin.kind === "given" && fan.spinUp.value === 0)
		warnings.push({ code: "flow taken as delivered", path: "fan.flow" });
	if (fan.flow === null && deliveredFlow(scenario).value > 0)
		warnings.push({ code: "flow calculated", path: "fan.flow", filterLoad: filterLoadOf(scenario) });
	warnings.push(...findFlowWarnings(flowConditionsOf(scenario)));
	const filledShare = 1 - freeVolumeM3(scenario) / chamber.volume.value;
	if (filledShare > 0.5) warnings.push({ code: "little free air", path: "substrate", filledShare });
	return warnings;
}

/** The filter for which a flow was calculated. */
function filterLoadOf({ fan: { filter } }: Scenario): string | null {
	if (filter === null) return null;
	const { low, value, text } = filter.pressureDropRatio;
	return low === null && value === 1 ? "clean" : text;
}

/** What is doubtful about the schedules: times that the timer cannot show, and patterns that never settle. */
export function findScheduleWarnings(
	scenario: Scenario,
	schedules: readonly { readonly name: string; readonly schedule: Schedule; readonly summary: Summary }[],
): ScheduleWarning[] {
	return [
		...findUnsettable(scenario),
		...schedules.flatMap(({ name, summary }): ScheduleWarning[] => {
			const { noPeriodicState, windowFromSeconds, windowSeconds } = summary;
			if (noPeriodicState === null) return [];
			const path = `schedules.${name}`;
			return [{ code: "no settled pattern", path, ...noPeriodicState, windowFromSeconds, windowSeconds }];
		}),
	];
}

/** On- and off-times that the scenario's own timer cannot show. */
function findUnsettable({ timer, schedules }: Scenario): ScheduleWarning[] {
	if (timer === null) return [];
	const grids = displayGrids(timer).map(({ on }) => new Set(on.map(({ seconds }) => seconds)));
	return schedules.flatMap(({ name, schedule }) => {
		const cycles = schedule.kind === "daily" ? schedule.parts.map((part) => part.schedule) : [schedule];
		return cycles.flatMap((cycle): ScheduleWarning[] => {
			if (cycle.kind !== "cycle") return [];
			const times = [cycle.onSeconds, cycle.offSeconds];
			if (grids.some((grid) => times.every((seconds) => grid.has(seconds)))) return [];
			const missing = times.filter((seconds) => !grids.some((grid) => grid.has(seconds)));
			if (missing.length === 0 && !timer.isShared) return [];
			return [{ code: "timer cannot show", path: `schedules.${name}`, seconds: missing }];
		});
	});
}
