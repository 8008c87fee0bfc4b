import { buildModel, freeVolumeM3 } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import type { Schedule } from "../model/schedule.ts";
import { inWords } from "../model/words.ts";
import { listInputs } from "../scenario/inputs.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type Summary, summarize } from "../solve/summary.ts";
import type { SolverOptions } from "../solve/walk.ts";

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
	/** Of those within the target the one with the least fresh air a day, then the fewest bursts; null when none is within. */
	readonly winner: string | null;
	/** When none is within the target, the one that misses it least; null when one is within. */
	readonly nearest: string | null;
	/** What was assumed or looks doubtful; each names its parameter. */
	readonly warnings: readonly string[];
}

/** Judges one schedule of a scenario against the scenario's target. */
export function judgeSchedule(
	scenario: Scenario,
	model: Model,
	schedule: Schedule,
	options: SolverOptions = {},
): Summary {
	const { ceiling, floor, on } = scenario.target;
	return summarize(model, schedule, {
		...options,
		ceilingPpm: ceiling.value,
		...(floor === null ? {} : { floorPpm: floor.value }),
		on,
	});
}

/**
 * Judges all schedules of a scenario and names the one that spares the air most among those that hold the target.
 * @throws SolverError when a numerical path cannot vouch for its answer
 */
export function compareSchedules(scenario: Scenario, options: SolverOptions = {}): Comparison {
	const model = buildModel(scenario);
	const schedules = scenario.schedules.map(({ name, schedule }) => ({
		name,
		schedule,
		inWords: inWords(schedule),
		summary: judgeSchedule(scenario, model, schedule, options),
	}));
	const within = schedules.filter(({ summary }) => summary.judged.within);
	const winner = within.toSorted((a, b) => thrift(a.summary, b.summary))[0]?.name ?? null;
	const nearest =
		winner === null
			? (schedules.toSorted((a, b) => miss(a.summary) - miss(b.summary))[0]?.name ?? null)
			: null;
	return {
		scenario,
		model,
		schedules,
		winner,
		nearest,
		warnings: [...warningsOf(scenario), ...notesOf(schedules)],
	};
}

function thrift(a: Summary, b: Summary): number {
	return a.freshAirM3PerDay - b.freshAirM3PerDay || a.burstsPerDay - b.burstsPerDay;
}

/** By how much a schedule misses its target [ppm]. */
function miss({ judged, meanPpm }: Summary): number {
	const over = Math.max(0, judged.valuePpm - judged.ceilingPpm);
	return over + (judged.floorPpm === null ? 0 : Math.max(0, judged.floorPpm - meanPpm));
}

function notesOf(schedules: readonly ComparedSchedule[]): string[] {
	return schedules.flatMap(({ name, summary }) => summary.notes.map((note) => `schedules.${name}: ${note}`));
}

/** What a reader should know about the inputs before trusting the figures. */
export function warningsOf(scenario: Scenario): string[] {
	const warnings: string[] = [];
	const uncertain = listInputs(scenario).filter(({ quantity }) => quantity.low !== null);
	if (uncertain.length > 0)
		warnings.push(
			`The central value is used of each input that is a range or a spread: ${uncertain
				.map(({ path, quantity }) => `${path} (${quantity.text})`)
				.join(", ")}.`,
		);
	scenario.substrate.forEach((s, i) => {
		const path = `substrate[${i}]`;
		if (s.rates === null && s.rate.origin.kind === "default")
			warnings.push(
				`${path}.rate: respiration is a published prior (${s.rate.text}) and may be off by a factor of two; measure it with a rise test: fan off, log the rise.`,
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
	const share = 1 - freeVolumeM3(scenario) / scenario.chamber.volume.value;
	if (share > 0.5)
		warnings.push(
			`substrate: fills ${Math.round(share * 100)} % of the chamber, so the free air is a guess.`,
		);
	return warnings;
}
