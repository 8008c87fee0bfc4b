import { compareSchedules } from "../../compare/compare.ts";
import type { ComparedSchedule } from "../../compare/comparison.ts";
import { dose } from "../../lesson/bench.ts";
import { buildModel } from "../../model/build.ts";
import type { Model } from "../../model/chamber.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { RigReport } from "../check.ts";
import { switchingTimes } from "../switchingtimes.ts";

export interface CommissioningOptions {
	/** Name of the schedule that is to run. Default: the one that meets the target with the least air, else the closest. */
	readonly schedule?: string;
}

/** Response of a usual sensor where the file names none [s]: middle of the data sheets' 10 to 195 s. */
const DEFAULT_RESPONSE_SECONDS = 45;
/** Waits in times of the sensor's response: 1 % of the step is left. */
const WAIT_RESPONSES = 5;
/** Level of a dosed chamber [ppm], and above the intake where nobody doses by hand [ppm]: judgement. */
const DOSED_PPM = 3000;
const MIN_INTAKE_EXCESS_PPM = 800;
/** Nobody doses more air than this by hand [m3]. */
const MAX_DOSED_M3 = 0.5;

/** The schedule that the sheets are made for; null where the file has none. */
function scheduleToRun(scenario: Scenario, name?: string): ComparedSchedule | null {
	if (scenario.schedules.length === 0) return null;
	const { schedules, best, closest } = compareSchedules(scenario);
	const wanted = name ?? best ?? closest ?? schedules[0]!.name;
	const found = schedules.find((one) => one.name === wanted);
	if (found === undefined) throw new RangeError(`there is no schedule "${wanted}"`);
	return found;
}

export type SheetFacts = ReturnType<typeof buildSheetFacts>;

/** What all sheets of a scenario are calculated from. */
export function buildSheetFacts(report: RigReport, { schedule }: CommissioningOptions) {
	const { scenario } = report;
	const model = buildModel(scenario);
	const comparedSchedule = scheduleToRun(scenario, schedule);
	const times = comparedSchedule && switchingTimes(comparedSchedule.schedule);
	const given = scenario.sensor?.response.value ?? 0;
	const responseSeconds = given > 0 ? given : DEFAULT_RESPONSE_SECONDS;
	const emptyM3 = scenario.chamber.volume.value;
	const byHand = emptyM3 <= MAX_DOSED_M3;
	const targetPpm = byHand
		? Math.max(DOSED_PPM, Math.ceil(model.intakePpm / 500) * 500 + 2000)
		: Math.round((model.intakePpm + MIN_INTAKE_EXCESS_PPM) / 100) * 100;
	const { source: _, ...still } = model;
	const emptyModel: Model = { ...still, volumeM3: emptyM3, generationM3PerS: 0 };
	return {
		report,
		scenario,
		/** Loaded chamber, and the whole chamber without crop and substrate. */
		model,
		emptyModel,
		/** The schedule that is to run; null where the file has none. */
		comparedSchedule,
		/** Its shortest burst and its longest pause [s]; null where it does not switch. */
		cycle: times && { onSeconds: times.shortestOn, offSeconds: times.longestOff },
		sensor: {
			/** Response time (t63) [s], given or assumed. */
			responseSeconds,
			isAssumed: given === 0,
			/** After a change the reading is left alone for so long [s]. */
			waitSeconds: Math.ceil((WAIT_RESPONSES * responseSeconds) / 30) * 30,
			/** Longest sampling interval that a log is worth reading with [s]. */
			maxSampleIntervalSeconds: Math.min(10, Math.max(1, Math.floor(responseSeconds / 4))),
		},
		/** How the empty chamber is brought to a level [ppm], and what that takes where it may be dosed by hand. */
		dosing: { targetPpm, dose: byHand ? dose(emptyM3, targetPpm - model.intakePpm) : null },
	};
}
