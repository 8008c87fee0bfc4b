import { isMains } from "../../../lib/model/fan/deliveredflow.ts";
import type { BurstGroup } from "../../../lib/rig/commissioning/burstplan.ts";
import type { SheetOf } from "../../../lib/rig/commissioning/commissioning.ts";
import { doseWords, dosingTools, EMPTY } from "./gaswords.ts";
import {
	about,
	BREATH,
	type CommissioningSheet,
	expectedValue,
	GAS,
	loggerWords,
	responseWords,
	type SheetContext,
	troubles,
} from "./sheet.ts";

const HEAD: Pick<CommissioningSheet, "id" | "title" | "reason" | "cautions"> = {
	id: "P5",
	title: "Counted bursts",
	reason:
		"With the fan on, the CO₂ falls too fast for any sensor. Single bursts with long waits between them determine the air changes of one burst, spin-up included. Two lengths separate flow and spin-up loss.",
	cautions: [GAS, BREATH, "The fan starts without warning: guard on, hands out."],
};

/** P5: air changes of a burst, counted. */
export function burstsSheet(sheet: SheetOf<"P5">, context: SheetContext): CommissioningSheet {
	const { say, file } = context;
	const { groups } = sheet;
	if (groups === null) return uncountable(sheet, context);
	const seconds = (x: number): string => say(x, "duration");
	return {
		...HEAD,
		duration: about(sheet.durationSeconds),
		tools: [
			loggerWords(context),
			...dosingTools(context),
			`the timer${isMains(context.report.scenario.fan.voltage) ? "" : ", or a watch and a switch in the low-voltage lead"}`,
		],
		steps: burstSteps(sheet, groups, context),
		expected: groups.flatMap(({ onSeconds, airChanges }) => [
			...expectedValue(`air changes of ${seconds(onSeconds)}`, airChanges, "number"),
			...expectedValue(`replaced by ${seconds(onSeconds)}`, -Math.expm1(-airChanges), "fraction"),
		]),
		record: {
			columns: ["burst", "before, ppm", "after, expected", "after, ppm", "time"],
			rows: groups.flatMap(({ onSeconds, readings }) =>
				readings.map((ppm, k) => [`${k + 1} of ${seconds(onSeconds)}`, "", String(Math.round(ppm)), "", ""]),
			),
		},
		acceptance: [
			`The air changes of a burst are within 15 % of the expected value: ${groups.map(({ onSeconds, airChanges }) => `${Number(airChanges.toPrecision(3))} for ${seconds(onSeconds)}`).join(", ")}.`,
			...(groups.length > 1
				? [
						"The intercept of the line through both lengths is the spin-up loss; it is not below 0 by more than its error.",
					]
				: []),
		],
		troubles: troubles({
			"first burst replaces less than the others": "not stirred, or the duct's own air came first",
			"plateaus slope down": "leakage: the fit allows for it, as long as they are straight",
			"far fewer air changes than expected":
				"the sensor hangs in the jet, or short-circuiting from inlet to outlet",
			"three equal values at a round number": "the sensor is at its limit: dose less",
		}),
		command: `lullgust fit bursts.csv --test bursts ${groups.map(({ onSeconds }) => `--burst ${onSeconds}s`).join(" ")} --scenario ${file}`,
		enter: "fan: { flow: … m3/h, spin-up: … s }; the command prints the lines.",
	};
}

function burstSteps(
	{ includesSchedule, pauseSeconds }: SheetOf<"P5">,
	groups: readonly BurstGroup[],
	context: SheetContext,
): string[] {
	const { plan, say } = context;
	const { cycle } = plan;
	const seconds = (x: number): string => say(x, "duration");
	const [short, long] = groups as readonly [BurstGroup, BurstGroup | undefined];
	const other =
		cycle === null
			? ""
			: `, not ${seconds(cycle.onSeconds)}: those ${cycle.onSeconds > short.onSeconds ? "leave too little to count" : "replace too little to be seen"}`;
	return [
		EMPTY,
		doseWords(context),
		includesSchedule
			? `The bursts of ${seconds(cycle!.onSeconds)} are those of the schedule.`
			: `The bursts are ${seconds(short.onSeconds)} long here${other}.`,
		`Wait ${about(pauseSeconds)} (5 × the response time of the sensor, ${responseWords(context)}, and some samples more). Run one burst of ${seconds(short.onSeconds)}. Wait ${about(pauseSeconds)} again. ${timesWords(short.count)} in all.`,
		...(long === undefined
			? []
			: [
					`Then ${timesWords(long.count).toLowerCase()} the same with ${seconds(long.onSeconds)}, in the same log and with the same waits.`,
				]),
		"Dose once only: a rise in the middle of the log spoils the plateau before it.",
		"Save the log as bursts.csv.",
	];
}

const timesWords = (count: number): string => ["", "Once", "Twice"][count] ?? `${count} times`;

function uncountable(
	{ obstacle }: SheetOf<"P5">,
	{ file, scheduleOption }: SheetContext,
): CommissioningSheet {
	const isStill = obstacle === "no flow";
	return {
		...HEAD,
		duration: "left out",
		tools: [],
		steps: [
			isStill
				? "By its curve this fan delivers nothing, so there is nothing to count. Mend that first; see the verdict list."
				: "This fan changes the air so fast that not even three bursts of 3 s can be counted in one dose. Take the flow from the bag test (P2), and its spin-up from the log of the acceptance run.",
		],
		expected: [],
		record: { columns: [], rows: [] },
		acceptance: [],
		troubles: [],
		command: isStill ? null : `lullgust fit week.csv --scenario ${file}${scheduleOption}`,
		enter: null,
	};
}
