import { type ComparedSchedule, compareSchedules } from "../../compare/compare.ts";
import { type Dose, dose } from "../../lesson/bench.ts";
import { buildModel } from "../../model/build.ts";
import type { Model } from "../../model/chamber.ts";
import { inWords } from "../../model/schedule/inwords.ts";
import { periodSeconds, segments } from "../../model/schedule/schedule.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { Dimension } from "../../units/dimensions.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../units/format.ts";
import type { RigReport } from "../rigtypes.ts";

/** A value expected, in SI [unit of its dimension]. */
export interface RigValue {
	readonly label: string;
	readonly value: number;
	readonly dimension: Dimension;
}

/** A step list to print: one test of the finished rig, with the figures of this scenario. */
export interface CommissioningSheet {
	readonly id: "P1" | "P2" | "P3" | "P4" | "P5" | "P6" | "P7" | "P8";
	readonly title: string;
	readonly reason: string;
	readonly duration: string;
	readonly tools: readonly string[];
	readonly steps: readonly string[];
	/** What the library expects to be found. */
	readonly expected: readonly RigValue[];
	/** A table to fill in; "" is room to write. */
	readonly record: {
		readonly columns: readonly string[];
		readonly rows: readonly (readonly string[])[];
	};
	readonly acceptance: readonly string[];
	readonly troubles: readonly { readonly sign: string; readonly cause: string }[];
	readonly cautions: readonly string[];
	/** The command that evaluates the log; null where there is none. */
	readonly command: string | null;
	/** Where its result belongs in the scenario file. */
	readonly enter: string | null;
}

export interface CommissioningOptions {
	/** Units of the sentences. Default si. */
	readonly units?: UnitSystem;
	/** Name of the schedule that is to run. Default: the one that holds the ceiling with the least air, else the nearest. */
	readonly schedule?: string;
	/** Name of the scenario file in the command lines. Default: that of the scenario. */
	readonly fileName?: string;
}

/** What all sheets of a scenario are worked out from. */
export interface SheetFacts {
	readonly report: RigReport;
	readonly scenario: Scenario;
	/** Loaded chamber, and the whole chamber without crop and substrate. */
	readonly model: Model;
	readonly emptyModel: Model;
	/** The schedule that is to run; null where the file has none. */
	readonly comparedSchedule: ComparedSchedule | null;
	/** Its shortest burst and its longest pause [s]; null where it does not switch. */
	readonly cycle: { readonly onSeconds: number; readonly offSeconds: number } | null;
	/** Response of the sensor (t63) [s], given or assumed. */
	readonly responseSeconds: number;
	readonly isResponseAssumed: boolean;
	/** After a change the reading is left alone for so long [s]. */
	readonly waitSeconds: number;
	/** Longest step between samples that a log is worth reading with [s]. */
	readonly maxSampleIntervalSeconds: number;
	/** How the empty chamber is brought to a level [ppm], and what that takes where it may be dosed by hand. */
	readonly dosing: {
		readonly targetPpm: number;
		readonly dose: Dose | null;
	};
	readonly units: UnitSystem;
	say(value: number, dimension: Dimension): string;
	/** Name of the scenario file as it is typed. */
	readonly file: string;
	/** ` --schedule "rare and long"`, where the file has several. */
	readonly scheduleOption: string;
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
const DAY = 86_400;

/** The schedule that the sheets are made for; null where the file has none. */
function scheduleToRun(scenario: Scenario, name?: string): ComparedSchedule | null {
	if (scenario.schedules.length === 0) return null;
	const { schedules, best, closest } = compareSchedules(scenario);
	const wanted = name ?? best ?? closest ?? schedules[0]!.name;
	const found = schedules.find((one) => one.name === wanted);
	if (found === undefined) throw new RangeError(`there is no schedule "${wanted}"`);
	return found;
}

/** Works out what the sheets have in common. */
export function buildSheetFacts(
	report: RigReport,
	{ units = "si", schedule, fileName = report.scenario.fileName }: CommissioningOptions,
): SheetFacts {
	const { scenario } = report;
	const model = buildModel(scenario);
	const comparedSchedule = scheduleToRun(scenario, schedule);
	const given = scenario.sensor?.response.value ?? 0;
	const responseSeconds = given > 0 ? given : DEFAULT_RESPONSE_SECONDS;
	const emptyM3 = scenario.chamber.volume.value;
	const byHand = emptyM3 <= MAX_DOSED_M3;
	const targetPpm = byHand
		? Math.max(DOSED_PPM, Math.ceil(model.intakePpm / 500) * 500 + 2000)
		: Math.round((model.intakePpm + MIN_INTAKE_EXCESS_PPM) / 100) * 100;
	const { source: _, ...still } = model;
	return {
		report,
		scenario,
		model,
		emptyModel: { ...still, volumeM3: emptyM3, generationM3PerS: 0 },
		comparedSchedule,
		cycle: comparedSchedule === null ? null : cycleExtremes(comparedSchedule.schedule),
		responseSeconds,
		isResponseAssumed: given === 0,
		waitSeconds: Math.ceil((WAIT_RESPONSES * responseSeconds) / 30) * 30,
		maxSampleIntervalSeconds: Math.min(10, Math.max(1, Math.floor(responseSeconds / 4))),
		dosing: { targetPpm, dose: byHand ? dose(emptyM3, targetPpm - model.intakePpm) : null },
		units,
		say: (value, dimension) => threeDigits(formatQuantity(value, dimension, units)),
		file: quoted(fileName),
		scheduleOption:
			comparedSchedule === null || scenario.schedules.length < 2
				? ""
				: ` --schedule ${quoted(comparedSchedule.name)}`,
	};
}

/** Shortest burst and longest pause of a schedule. */
function cycleExtremes(schedule: ComparedSchedule["schedule"]): SheetFacts["cycle"] {
	const list = [...segments(schedule, periodSeconds(schedule) ?? DAY)];
	const lengths = (on: boolean) => list.filter((one) => one.isOn === on).map((one) => one.durationSeconds);
	const [bursts, pauses] = [lengths(true), lengths(false)];
	if (bursts.length === 0 || pauses.length === 0) return null;
	return { onSeconds: Math.min(...bursts), offSeconds: Math.max(...pauses) };
}

/** As a shell takes it for one word. */
const quoted = (word: string): string => {
	if (/^[\w./\\:-]+$/.test(word)) return word;
	return /["$`\\!]/.test(word) ? `'${word.replaceAll("'", "'\\''")}'` : `"${word}"`;
};

const threeDigits = (text: string): string =>
	text.replace(/^-?\d+(?:\.\d+)?(?= \D*$|$)/, (number) => String(Number(Number(number).toPrecision(3))));

/** A time as one would look at the clock: to 10 s from two minutes on, to the minute from twenty, to ten minutes from three hours. */
export function about(seconds: number): string {
	const step = seconds < 10 ? 0.1 : seconds < 120 ? 1 : seconds < 1200 ? 10 : seconds < 10_800 ? 60 : 600;
	return formatDuration(Math.max(step, Math.round(seconds / step) * step));
}

/** What the sheets call the schedule. */
export const runWords = ({ comparedSchedule }: SheetFacts): string =>
	comparedSchedule === null
		? "the schedule that you mean to run"
		: `“${comparedSchedule.name}” (${inWords(comparedSchedule.schedule)})`;

/** An empty row to write in for each name. */
export const blankRows = (names: readonly string[], columns: number): string[][] =>
	names.map((name) => [name, ...Array<string>(columns - 1).fill("")]);

/** A value expected. */
export const expectedValue = (label: string, value: number, dimension: RigValue["dimension"]): RigValue => ({
	label,
	value,
	dimension,
});

/** Response of the sensor, with the remark that it is assumed. */
export const responseWords = ({ responseSeconds, isResponseAssumed, say }: SheetFacts): string =>
	isResponseAssumed
		? `${say(responseSeconds, "duration")}, assumed, for the file gives no sensor.response`
		: say(responseSeconds, "duration");

/** What a log is taken with. */
export const loggerWords = (facts: SheetFacts): string =>
	`CO2 logger, a reading every ${facts.say(facts.maxSampleIntervalSeconds, "duration")} or faster, automatic baseline off`;

/** Cautions of several sheets. */
export const GAS =
	"CO2 harms people long before it harms mushrooms: little of it, in a ventilated room, never your head in a dosed chamber. A calibrated room alarm is the safety device; these sheets are none.";
export const BREATH = "Stand back while it logs: one breath into the chamber is a spike in the curve.";
