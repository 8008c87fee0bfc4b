import { buildModel, freeVolumeM3 } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import { flowConditionsOf, flowWarnings } from "../model/fan/deliveredflow.ts";
import { inWords } from "../model/schedule/inwords.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import { displayGrids } from "../model/schedule/timer.ts";
import { listInputs } from "../scenario/inputs.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { withMaximumSource } from "../solve/cycles/maximumsource.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import type { SolverOptions } from "../solve/propagate/propagate.ts";
import { type Summary, summarize } from "../solve/summary.ts";
import { formatDuration } from "../units/format.ts";
import { withValues } from "./uncertaininputs.ts";

export interface ComparedSchedule {
	readonly name: string;
	readonly schedule: Schedule;
	/** "4 s on, 3 min 56 s off, 360 bursts a day" */
	readonly inWords: string;
	readonly summary: Summary;
}

/** All schedules of a scenario, judged alike. */
export interface Comparison {
	readonly scenario: Scenario;
	readonly model: Model;
	/** In the order of the file. */
	readonly schedules: readonly ComparedSchedule[];
	/** Of those within the target the one with the least fresh air a day, then the lowest judged figure; null when none is within. */
	readonly best: string | null;
	/** Those within the target that need as little air as the winner. */
	readonly ties: readonly string[];
	/** When none is within the target, the one that misses it least; null when one is within. */
	readonly closest: string | null;
	/** Longest pause that any fan could make up for [s]; null: the leak alone holds the ceiling. */
	readonly maxOffSeconds: number | null;
	/** What becomes of the verdict where respiration is at the high end of its range; null when no range is known. */
	readonly highRespiration: {
		/** CO2 given off, over that of the central values [-]. */
		readonly factor: number;
		/** Names of the schedules that hold even so. */
		readonly compliant: readonly string[];
	} | null;
	/** What was assumed or looks doubtful; each names its parameter. */
	readonly warnings: readonly string[];
}

/** Judges one schedule of a scenario against the scenario's target. */
export function evaluateSchedule(
	scenario: Scenario,
	model: Model,
	schedule: Schedule,
	options: SolverOptions = {},
): Summary {
	const { ceiling, floor, on: statistic } = scenario.target;
	return summarize(model, schedule, {
		...options,
		ceilingPpm: ceiling.value,
		...(floor === null ? {} : { floorPpm: floor.value }),
		statistic,
	});
}

/**
 * Judges all schedules of a scenario and names the one that spares the air most among those that hold the target.
 * @param evaluate how each schedule is judged
 * @throws SolverError when a numerical path cannot vouch for its answer
 */
export function compareSchedules(
	scenario: Scenario,
	options: SolverOptions = {},
	evaluate: typeof evaluateSchedule = evaluateSchedule,
): Comparison {
	const model = buildModel(scenario);
	const schedules = scenario.schedules.map(({ name, schedule }) => ({
		name,
		schedule,
		inWords: inWords(schedule),
		summary: evaluate(scenario, model, schedule, options),
	}));
	const compliant = schedules.filter(({ summary }) => summary.criterion.isMet);
	const ranked = compliant.toSorted((a, b) => compareSummaries(a.summary, b.summary));
	const best = ranked[0] ?? null;
	const closest =
		best === null
			? (schedules.toSorted((a, b) => violationPpm(a.summary) - violationPpm(b.summary))[0]?.name ?? null)
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
		maxOffSeconds: maxOffSeconds(model, scenario.target.ceiling.value, scenario.target.on),
		highRespiration: evaluateHighRespiration(scenario, schedules),
		warnings: [...warningsOf(scenario), ...findUnsettable(scenario), ...notesOf(schedules)],
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

/** By how much a schedule misses its target [ppm]. */
function violationPpm({ criterion, meanPpm }: Summary): number {
	const over = Math.max(0, criterion.valuePpm - criterion.ceilingPpm);
	return over + (criterion.floorPpm === null ? 0 : Math.max(0, criterion.floorPpm - meanPpm));
}

function evaluateHighRespiration(
	scenario: Scenario,
	schedules: readonly ComparedSchedule[],
): Comparison["highRespiration"] {
	const rates = scenario.substrate.flatMap(
		(s) => s.rates?.map(({ respirationRate }) => respirationRate) ?? [s.respirationRate],
	);
	const high = new Map(rates.filter((rate) => rate.high !== null).map((rate) => [rate, rate.high!]));
	if (high.size === 0) return null;
	const generation = (s: Scenario) => withMaximumSource(buildModel(s)).generationM3PerS;
	const factor = generation(withValues(scenario, high)) / generation(scenario);
	return {
		factor,
		compliant: schedules
			.filter(
				({ summary }) =>
					summary.criterion.headroomFactor === null || summary.criterion.headroomFactor >= factor,
			)
			.map(({ name }) => name),
	};
}

/** Periods that the scenario's own timer cannot show. */
function findUnsettable({ timer, schedules }: Scenario): string[] {
	if (timer === null) return [];
	const grids = displayGrids(timer).map(({ on }) => new Set(on.map(({ seconds }) => seconds)));
	return schedules.flatMap(({ name, schedule }) => {
		const cycles = schedule.kind === "daily" ? schedule.parts.map((part) => part.schedule) : [schedule];
		return cycles.flatMap((cycle) => {
			if (cycle.kind !== "cycle") return [];
			const shown = (seconds: number) => grids.some((grid) => grid.has(seconds));
			const together = grids.some((grid) => grid.has(cycle.onSeconds) && grid.has(cycle.offSeconds));
			const missing = [cycle.onSeconds, cycle.offSeconds].filter((seconds) => !shown(seconds));
			if (together || (missing.length === 0 && !timer.isShared)) return [];
			const what =
				missing.length > 0 ? missing.map(formatDuration).join(" and ") : "these two periods in one range";
			return [`schedules.${name}: the timer cannot show ${what}.`];
		});
	});
}

function notesOf(schedules: readonly ComparedSchedule[]): string[] {
	return schedules.flatMap(({ name, summary }) => summary.notes.map((note) => `schedules.${name}: ${note}`));
}

/** For which filter a flow was worked out. */
function filterWords({ fan: { filter } }: Scenario): string {
	if (filter === null) return "";
	const { pressureDropRatio } = filter;
	return pressureDropRatio.low === null && pressureDropRatio.value === 1
		? "for a clean filter (`fan.filter.load`, such as 1..2, counts what dust takes) and "
		: `for a filter that takes ${pressureDropRatio.text} times its clean drop and `;
}

/** What a reader should know about the inputs before trusting the figures. */
export function warningsOf(scenario: Scenario, drawn = false): string[] {
	const warnings: string[] = [];
	const uncertain = listInputs(scenario).filter(
		// What a log alone is read with moves no prediction.
		({ path, quantity }) => quantity.low !== null && path !== "sensor.offset",
	);
	if (uncertain.length > 0 && !drawn)
		warnings.push(
			`The central value is used of each input that is a range or a spread: ${uncertain
				.map(({ path, quantity }) => `${path} (${quantity.text})`)
				.join(", ")}.`,
		);
	scenario.substrate.forEach((s, i) => {
		const path = `substrate[${i}]`;
		if (s.rates === null && s.respirationRate.origin.kind === "default")
			warnings.push(
				`${path}.rate: respiration is not measured but from published figures, ${s.respirationRate.text}; yours may lie anywhere in that range. Measure it with a rise test: fan off, log the rise.`,
			);
		if (s.volume === null)
			warnings.push(
				`${path}.volume: not known, so the whole chamber counts as air; give "density" or "volume" to take the substrate off.`,
			);
	});
	if (scenario.fan.flow.origin.kind === "given" && scenario.fan.spinUp.value === 0)
		warnings.push(
			"fan.flow: taken as what the fan really delivers through its filter and duct from the first moment; a catalogue flow is never that.",
		);
	if (scenario.fan.flow.origin.kind === "calculated" && scenario.fan.flow.value > 0)
		warnings.push(
			`fan.flow: worked out from the curve, ${filterWords(scenario)}with all the air counted as fresh; the air that stands in the duct takes from it. \`lullgust rig\` says how much.`,
		);
	warnings.push(...flowWarnings(flowConditionsOf(scenario)));
	const share = 1 - freeVolumeM3(scenario) / scenario.chamber.volume.value;
	if (share > 0.5)
		warnings.push(
			`substrate: fills ${Math.round(share * 100)} % of the chamber, so the free air is a guess.`,
		);
	return warnings;
}
