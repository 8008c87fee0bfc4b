import { inWords } from "../../../lib/model/schedule/inwords.ts";
import type { RigReport } from "../../../lib/rig/check.ts";
import type { CommissioningPlan } from "../../../lib/rig/commissioning/commissioning.ts";
import type { Dimension } from "../../../lib/units/dimensions.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../../lib/units/format.ts";
import type { SayValue } from "../rounding.ts";

/** A value expected, in SI [unit of its dimension]. */
export interface ExpectedValue {
	readonly label: string;
	readonly value: number;
	readonly dimension: Dimension;
}

/** A step list to print: one test of the finished rig, with the values of this scenario. */
export interface CommissioningSheet {
	readonly id: "P1" | "P2" | "P3" | "P4" | "P5" | "P6" | "P7" | "P8";
	readonly title: string;
	readonly reason: string;
	readonly duration: string;
	readonly tools: readonly string[];
	readonly steps: readonly string[];
	readonly expected: readonly ExpectedValue[];
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

export interface SheetOptions {
	/** Units of the sentences. Default si. */
	readonly units?: UnitSystem;
	/** Name of the scenario file in the command lines. Default: that of the scenario. */
	readonly fileName?: string;
}

/** What the sentences of a sheet need beside its own numbers. */
export interface SheetContext {
	readonly report: RigReport;
	readonly plan: CommissioningPlan;
	readonly units: UnitSystem;
	/** Three digits, in the reader's units. */
	readonly say: SayValue;
	/** Name of the scenario file as it is typed. */
	readonly file: string;
	/** ` --schedule "rare and long"`, where the file has several. */
	readonly scheduleOption: string;
}

export function sheetContext(
	plan: CommissioningPlan,
	report: RigReport,
	{ units = "si", fileName = report.scenario.fileName }: SheetOptions,
): SheetContext {
	const chosen = report.scenario.schedules.length < 2 ? null : plan.schedule;
	return {
		report,
		plan,
		units,
		say: (value, dimension) => threeDigits(formatQuantity(value, dimension, units)),
		file: quoted(fileName),
		scheduleOption: chosen === null ? "" : ` --schedule ${quoted(chosen)}`,
	};
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
export function runWords({ plan, report }: SheetContext): string {
	const found = report.scenario.schedules.find(({ name }) => name === plan.schedule);
	return found === undefined
		? "the schedule that you mean to run"
		: `“${found.name}” (${inWords(found.schedule)})`;
}

/** An empty row to write in for each name. */
export const blankRows = (names: readonly string[], columns: number): string[][] =>
	names.map((name) => [name, ...Array<string>(columns - 1).fill("")]);

/** What can go wrong: the sign of it and its cause. */
export const troubles = (causes: Readonly<Record<string, string>>): CommissioningSheet["troubles"] =>
	Object.entries(causes).map(([sign, cause]) => ({ sign, cause }));

/** A value expected; none where it is not known. */
export const expectedValue = (label: string, value: number | null, dimension: Dimension): ExpectedValue[] =>
	value === null ? [] : [{ label, value, dimension }];

/** Response of the sensor, with the remark that it is assumed. */
export const responseWords = ({ plan: { sensor }, say }: SheetContext): string =>
	sensor.isAssumed
		? `${say(sensor.responseSeconds, "duration")}, assumed, because the file gives no sensor.response`
		: say(sensor.responseSeconds, "duration");

/** What a log is taken with. */
export const loggerWords = ({ plan, say }: SheetContext): string =>
	`CO₂ logger, a reading every ${say(plan.sensor.maxSampleIntervalSeconds, "duration")} or faster, automatic baseline off`;

/** Cautions of several sheets. */
export const GAS =
	"CO₂ harms people long before it harms mushrooms. Use little of it, in a ventilated room, and never put your head in a dosed chamber. A calibrated room alarm is the safety device; these sheets are none.";
export const BREATH = "Stand back while it logs: one breath into the chamber is a spike in the curve.";
export const BLADES =
	"Blades turn without warning when the timer says so: guard on, hair and sleeves away, and pull the plug before you reach in.";
export const SPORES =
	"Spores inflame lungs: filter or duct the air that leaves the chamber, and wear a mask near a ripe crop.";
