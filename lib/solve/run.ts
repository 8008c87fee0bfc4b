import { type Fault, gatherFaults, InputError, show } from "../errors.ts";
import type { Model } from "../model/chamber.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import { makeTimeline, type Timeline } from "../model/schedule/timeline.ts";
import { type CompiledModel, compile } from "./compile.ts";

/** A model and a schedule, both checked and worked out. */
export interface Run {
	readonly compiled: CompiledModel;
	readonly timeline: Timeline;
}

/** @throws InputError with the faults of model, schedule and options, all at once */
export function prepareRun(
	model: Model | CompiledModel,
	schedule: Schedule | Timeline,
	optionFaults: readonly Fault[] = [],
): Run {
	const faults: Fault[] = [];
	let compiled: CompiledModel | undefined;
	let timeline: Timeline | undefined;
	gatherFaults(faults, () => {
		compiled = compile(model);
	});
	gatherFaults(faults, () => {
		timeline = makeTimeline(schedule);
	});
	faults.push(...optionFaults);
	if (compiled === undefined || timeline === undefined || faults.length > 0) throw new InputError(faults);
	return { compiled, timeline };
}

/** The fault of a number that was given as an argument or an option; none when it is left out and may be. */
export function findNumberFault(
	name: string,
	value: unknown,
	needs: string,
	isMet: (x: number) => boolean,
): Fault[] {
	return typeof value === "number" && isMet(value)
		? []
		: [{ message: `${name} needs ${needs}, got ${show(value)}` }];
}

/** @throws InputError when the options are no object */
export function checkOptionsObject(options: unknown, caller: string): void {
	if (typeof options !== "object" || options === null)
		throw new InputError(`${caller} needs an object of options, got ${show(options)}`);
}
