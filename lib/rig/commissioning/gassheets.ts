import type { Model } from "../../model/chamber.ts";
import { simulate } from "../../solve/simulate.ts";
import { OUTDOOR_CO2 } from "../../sources/constants.ts";
import { burstPauseSeconds, planBursts } from "./burstplan.ts";
import {
	about,
	BREATH,
	blankRows,
	type CommissioningSheet,
	expectedValue,
	GAS,
	loggerWords,
	responseWords,
	type SheetFacts,
} from "./sheetfacts.ts";

const HOUR = 3600;
/** Share of the excess that must be gone before a decay says anything, and when one gives up waiting [s]: judgement. */
const DECAYED = 0.3;
const MAX_DECAY_SECONDS = 3 * HOUR;

/** How the air is brought to its level, in words. */
function doseWords({ dosing, say }: SheetFacts): string {
	const level = say(dosing.targetPpm, "concentration");
	if (dosing.dose === null)
		return `Nobody doses a chamber of this size by hand. Stay in it with the door shut, the reading in sight, until it stands at ${level}; then leave and shut it.`;
	const { breaths, bakingSodaKg } = dosing.dose;
	const grams = Number((1000 * bakingSodaKg).toPrecision(2));
	return `Bring it to about ${level}: some ${Math.max(1, Math.round(breaths))} breaths through a hose, or ${grams} g of baking soda in an open cup with more vinegar than it needs. Stir the air with a small fan inside, guarded.`;
}

/** What the chamber is like while it is tested without a crop. */
const EMPTY =
	"Take crop and substrate out: nothing in the chamber may give off CO2. The fit counts the air of the whole chamber.";

/** P3: where the sensor stands outdoors. */
export function zeroSheet(facts: SheetFacts): CommissioningSheet {
	const { responseSeconds, say } = facts;
	const year = Math.max(...Object.keys(OUTDOOR_CO2).map(Number));
	const outdoors = OUTDOOR_CO2[year]!.value;
	return {
		id: "P3",
		title: "Outdoor zero of the sensor",
		reason:
			"All that follows hangs on differences to the air drawn in. A sensor that is 50 ppm off makes every excess wrong.",
		duration: "20 to 30 min",
		tools: [loggerWords(facts), "a dry, shaded place outdoors or an open window"],
		steps: [
			"Switch the automatic baseline of the sensor off; in a chamber it never sees outdoor air.",
			"Put it outdoors, dry, in the shade, away from roads, chimneys and people, or out of an open window with the wind on it.",
			`Wait ${about(Math.max(1200, 10 * responseSeconds))} (its response is ${responseWords(facts)}). Stand back: no breath.`,
			`Take the mean of the last 5 min. Outdoor air has about ${Math.round(outdoors)} ppm (global mean ${year}), more near a town or on a still night.`,
			"Then put it for ten minutes where the fan draws its air, and note that reading too: less the offset it is intake.co2.",
		],
		expected: [
			expectedValue(`outdoor air, global mean ${year}`, outdoors, "concentration"),
			expectedValue("air drawn in, as in the file", facts.model.intakePpm, "concentration"),
		],
		record: {
			columns: ["place", "expected, ppm", "mean of 5 min, ppm", "temperature", "time"],
			rows: [
				["outdoors", "420 to 450", "", "", ""],
				["at the intake", String(Math.round(facts.model.intakePpm)), "", "", ""],
				["offset = outdoors − 426", "within ± 50", "", "", ""],
			].map((row) => row.map((cell) => cell.replace("426", String(Math.round(outdoors))))),
		},
		acceptance: [
			"Between 420 and 450 ppm, ± 50 ppm.",
			"If not: calibrate it outdoors as its maker says, or write the offset into the file.",
		],
		troubles: [
			{
				sign: "steps down each week or night; lowest value pinned at 400",
				cause: "automatic baseline: switch it off and calibrate anew",
			},
			{ sign: "low in the mountains", cause: "many sensors count molecules: set altitude or pressure" },
			{ sign: "drifts in the sun", cause: "warm housing: shade it and wait" },
			{ sign: "humidity reads high for days", cause: "a sensor long in damp air recovers slowly" },
		],
		cautions: ["Keep rain off the sensor and its supply.", BREATH],
		command: null,
		enter: `sensor: { offset: … ppm }, and intake: { co2: … ppm }; the file has ${say(facts.model.intakePpm, "concentration")}.`,
	};
}

/** P4: leak, from the decay of CO2 with the fan off. */
export function leakSheet(facts: SheetFacts): CommissioningSheet {
	const { emptyModel, dosing, say, file, waitSeconds } = facts;
	const decay = predictDecay(emptyModel, dosing.targetPpm);
	const excess = dosing.targetPpm - emptyModel.intakePpm;
	const goal = emptyModel.intakePpm + (1 - DECAYED) * excess;
	const seconds = decay?.seconds ?? null;
	const tight = seconds === null || seconds > MAX_DECAY_SECONDS;
	const duration = tight ? "3 h" : `${about(Math.max(HOUR, seconds))}, until the excess has fallen by 30 %`;
	return {
		id: "P4",
		title: "Leak, by decay",
		reason:
			"The leak airs the chamber all the time, also when the timer fails. It decides how high the CO2 climbs in long pauses.",
		duration,
		tools: [
			loggerWords(facts),
			...(dosing.dose === null ? [] : ["hose, or cup, soda and vinegar"]),
			"small guarded stirring fan",
		],
		steps: [
			EMPTY,
			"Unplug the rig's fan; leave flaps and vents as in use. Hang the sensor at crop height, away from the inlet.",
			doseWords(facts),
			`Shut the door, stir for two minutes, wait ${about(waitSeconds)} (5 × the response of the sensor, ${responseWords(facts)}).`,
			`Log without opening until the excess over the intake has fallen by ${100 * DECAYED} %: from ${say(dosing.targetPpm, "concentration")} to ${say(goal, "concentration")}${
				tight
					? ". By the file that takes more than 3 h: stop then, and the leak is as small as the log can tell"
					: `, about ${about(seconds)} by the file`
			}.`,
			"Save the log as decay.csv.",
		],
		expected: [
			expectedValue("start of the log", dosing.targetPpm, "concentration"),
			expectedValue("end of the log", goal, "concentration"),
			...(decay === null
				? []
				: [
						expectedValue("leak", emptyModel.infiltrationM3PerS / emptyModel.volumeM3, "air changes"),
						expectedValue("time until the excess fell by 30 %", decay.seconds, "duration"),
					]),
		],
		record: {
			columns: ["", "time", "reading, ppm", "intake, ppm"],
			rows: blankRows(["start", "a third on", "two thirds on", "end"], 4),
		},
		acceptance: [
			"The excess has fallen by 30 % or more, or 3 h are over.",
			"The model follows the log: R² above 0.98, residuals without a bend.",
		],
		troubles: [
			{ sign: "falls in steps", cause: "door, draught, or the fan ran: do it again" },
			{ sign: "fast first, then slow", cause: "not stirred: a part of the air was not mixed yet" },
			{
				sign: "rises",
				cause: "something in the chamber gives off CO2, or the intake has more than was written",
			},
			{
				sign: "falls far faster than expected",
				cause: "a flap that stands open, or the stack effect through two openings",
			},
		],
		cautions: [
			GAS,
			...(dosing.dose === null
				? []
				: ["Soda in vinegar makes gas: open cup only, never a closed vessel; goggles on."]),
			BREATH,
		],
		command: `lullgust fit decay.csv --test decay --scenario ${file}`,
		enter: "chamber: { leak: … /h }; the command prints the line.",
	};
}

/** Time until the excess in the mixed air has fallen by the share wanted [s]; null without a leak. */
function predictDecay(model: Model, levelPpm: number): { readonly seconds: number } | null {
	if (!(model.infiltrationM3PerS > 0)) return null;
	// The excess of all air together falls at least this slowly; stepping finds it for two zones as well.
	const slowest = (20 * model.volumeM3) / model.infiltrationM3PerS;
	const count = 4000;
	const { timesSeconds, co2Ppm } = simulate(
		model,
		{ kind: "off" },
		{
			startPpm: levelPpm,
			durationSeconds: slowest,
			sampleTimes: Float64Array.from({ length: count + 1 }, (_, k) => slowest * (k / count) ** 3),
		},
	);
	const goal = model.intakePpm + (1 - DECAYED) * (levelPpm - model.intakePpm);
	const after = co2Ppm.findIndex((ppm) => ppm <= goal);
	if (after < 1) return null;
	const [t0, t1, c0, c1] = [
		timesSeconds[after - 1]!,
		timesSeconds[after]!,
		co2Ppm[after - 1]!,
		co2Ppm[after]!,
	];
	return { seconds: t0 + ((t1 - t0) * (c0 - goal)) / (c0 - c1) };
}

/** P5: air changes of a burst, counted. */
export function burstsSheet(facts: SheetFacts): CommissioningSheet {
	const { dosing, say, file, cycle } = facts;
	const plan = planBursts(facts);
	const pause = burstPauseSeconds(facts);
	const seconds = (x: number): string => say(x, "duration");
	const stand: Pick<CommissioningSheet, "id" | "title" | "reason" | "cautions"> = {
		id: "P5",
		title: "Counted bursts",
		reason:
			"With the fan on the CO2 falls too fast for any sensor. Single bursts with long waits between tell the air changes of one burst, spin-up and all; two lengths tell flow and spin-up loss apart.",
		cautions: [GAS, BREATH, "The fan starts without warning: guard on, hands out."],
	};
	if (plan === null) return uncountable(facts, stand);
	const [short, long] = plan as readonly [(typeof plan)[0], (typeof plan)[0] | undefined];
	const own = plan.some(({ onSeconds }) => onSeconds === cycle?.onSeconds);
	const bursts = plan.reduce((sum, { count }) => sum + count, 0);
	const rows = plan.flatMap(({ onSeconds, readings }) =>
		readings.map((ppm, k) => [`${k + 1} of ${seconds(onSeconds)}`, "", String(Math.round(ppm)), "", ""]),
	);
	const n = (x: number): number => Number(x.toPrecision(3));
	return {
		...stand,
		duration: about((bursts + 1) * pause + 600),
		tools: [
			loggerWords(facts),
			...(dosing.dose === null ? [] : ["hose, or cup, soda and vinegar"]),
			"the timer, or a watch and a switch in the low-voltage lead",
		],
		steps: [
			EMPTY,
			doseWords(facts),
			own
				? `The bursts of ${seconds(cycle!.onSeconds)} are those of the schedule.`
				: `The bursts are ${seconds(short.onSeconds)} long here${
						cycle === null
							? ""
							: `, not ${seconds(cycle.onSeconds)}: those ${cycle.onSeconds > short.onSeconds ? "leave too little to count" : "blow out too little to be seen"}`
					}.`,
			`Wait ${about(pause)} (5 × the response of the sensor, ${responseWords(facts)}, and some samples more). One burst of ${seconds(short.onSeconds)}. Wait ${about(pause)} again. ${timesWords(short.count)} in all.`,
			...(long === undefined
				? []
				: [
						`Then ${timesWords(long.count).toLowerCase()} the same with ${seconds(long.onSeconds)}, in the same log and with the same waits.`,
					]),
			"Dose once only: a rise in the middle of the log spoils the plateau before it.",
			"Save the log as bursts.csv.",
		],
		expected: plan.flatMap(({ onSeconds, airChanges }) => [
			expectedValue(`air changes of ${seconds(onSeconds)}`, airChanges, "number"),
			expectedValue(`replaced by ${seconds(onSeconds)}`, -Math.expm1(-airChanges), "fraction"),
		]),
		record: {
			columns: ["burst", "before, ppm", "after, expected", "after, ppm", "time"],
			rows,
		},
		acceptance: [
			`The air changes of a burst are within 15 % of what is expected: ${plan.map(({ onSeconds, airChanges }) => `${n(airChanges)} for ${seconds(onSeconds)}`).join(", ")}.`,
			...(long === undefined
				? []
				: [
						"The intercept of the line through both lengths is the spin-up loss; it is not below 0 by more than its error.",
					]),
		],
		troubles: [
			{
				sign: "first burst blows out less than the others",
				cause: "not stirred, or the duct's own air came first",
			},
			{ sign: "plateaus slope down", cause: "leak: the fit allows for it, as long as they are straight" },
			{
				sign: "far fewer air changes than expected",
				cause: "the sensor hangs in the jet, or the air takes the short way out",
			},
			{ sign: "three equal values at a round number", cause: "the sensor is at its ceiling: dose less" },
		],
		command: `lullgust fit bursts.csv --test bursts ${plan.map(({ onSeconds }) => `--burst ${onSeconds}s`).join(" ")} --scenario ${file}`,
		enter: "fan: { flow: … m3/h, spin-up: … s }; the command prints the lines.",
	};
}

const timesWords = (count: number): string => ["", "Once", "Twice"][count] ?? `${count} times`;

function uncountable(
	{ model, file, scheduleOption }: SheetFacts,
	stand: Pick<CommissioningSheet, "id" | "title" | "reason" | "cautions">,
): CommissioningSheet {
	const still = model.deliveredM3PerS === 0;
	return {
		...stand,
		duration: "left out",
		tools: [],
		steps: [
			still
				? "By its curve this fan delivers nothing, so there is nothing to count. Mend that first; see the verdict list."
				: "This fan changes the air so fast that not even three bursts of 3 s can be counted in one dose. Take the flow from the bag test (P2), and its spin-up from the log of the proving run.",
		],
		expected: [],
		record: { columns: [], rows: [] },
		acceptance: [],
		troubles: [],
		command: still ? null : `lullgust fit week.csv --scenario ${file}${scheduleOption}`,
		enter: null,
	};
}
