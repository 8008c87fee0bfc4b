import type { TimerRange } from "../../model/schedule/timer.ts";
import { VOLTAGE_MATCH } from "../../sources/supplies.ts";
import { CUBIC_FOOT } from "../../units/factors.ts";
import {
	about,
	blankRows,
	type CommissioningSheet,
	expectedValue,
	runWords,
	type SheetFacts,
} from "./sheetfacts.ts";

/** Sizes of bags and sacks that are to be had [m3]: common practice, no source. */
const BAGS = [0.01, 0.02, 0.035, 0.06, 0.075, 0.12, 0.24] as const;
/** Time in which a bag is best timed by hand, shortest and longest [s]: judgement. */
const FILL_SECONDS = { best: 6, min: 3, max: 15 } as const;
/** Spread of the mean flow that is still taken for the flow expected: judgement. */
const BAG_SHARE = 0.2;
/** A timer by its clock: one count and so much of the time: judgement. */
const CLOCK_SHARE = 0.02;
/** Cycles that are watched for drift last no longer than this together [s]. */
const MAX_WATCH_SECONDS = 3600;

const ELECTRIC =
	"Low-voltage side only. The adapter stays closed; the mains side belongs to a listed plug-in adapter and to licensed people, and local codes come first.";
const BLADES =
	"Blades turn without warning when the timer says so: guard on, hair and sleeves away, and the plug pulled before you reach in.";

/** P1: on the bench, before anything is connected to the chamber. */
export function benchSheet(facts: SheetFacts): CommissioningSheet {
	const { report, scenario, cycle, say } = facts;
	const { timer, supply, fan } = scenario;
	const volts = supply?.voltage.value ?? fan.voltage?.value ?? null;
	const window = volts === null ? null : [0.95, 1.05].map((factor) => volts * factor);
	const minusSwitched = timer?.type === "negative-switching";
	const [common, switched] = minusSwitched ? ["V−", "OUT−"] : ["COM", "NO"];
	const power = report.power;
	const onSeconds = cycle?.onSeconds ?? 0;
	const offSeconds = cycle?.offSeconds ?? 0;
	const round = onSeconds + offSeconds;
	const cycles = round === 0 ? 0 : Math.min(10, Math.floor(MAX_WATCH_SECONDS / round));
	const tolerance = (seconds: number): string =>
		`${say(seconds, "duration")} ± ${say(countSeconds(timer?.ranges ?? [], seconds) + CLOCK_SHARE * seconds, "duration")}`;
	const current = power === null ? "" : `: about ${say(power.fanAmps, "current")} expected`;
	const ohms = `${shortOhms(volts, power?.runningAmps ?? null)} Ω`;
	const reaching = power?.volts == null ? "" : `, about ${say(power.volts.volts, "voltage")} expected`;
	return {
		id: "P1",
		title: "Direction of the air and a dry run on the bench",
		reason:
			"A fan that is wired or mounted the wrong way, or a timer that counts in minutes where seconds were meant, is found here without harm to a crop.",
		duration: round === 0 ? "20 min" : `20 min, and ${about(round)} for one full cycle`,
		tools: [
			"multimeter",
			"stopwatch",
			"strip of tissue",
			"fan guard",
			"short wire link",
			"the connection list of this report",
		],
		steps: [
			"Put fan, timer and wires on a dry bench, the guard on the fan, nothing connected to the chamber, the adapter unplugged. Compare each wire with the connection list.",
			`Measure from plus to minus where the adapter will be joined, once as it is and once with a wire link from ${common} to ${switched} in place of the closed contact: more than ${ohms} both times. Take the link out.`,
			`Plug in the adapter alone, with nothing on it: ${
				window === null
					? "its voltage is that on the fan's label"
					: `${say(window[0]!, "voltage")} to ${say(window[1]!, "voltage")}`
			} (within ${VOLTAGE_MATCH.value} %), and plus is where you take it to be. Unplug.`,
			minusSwitched
				? "Without power measure OUT− against V−: no contact."
				: "Without power measure the contact: COM to NC closed, COM to NO open.",
			`Join the timer alone and set it for ${runWords(facts)}. Watch it through both states${minusSwitched ? "" : ": you hear the relay, and COM to NO closes and opens again"}.`,
			"Unplug, join the fan, plug in. Hold the tissue at the inlet and at the outlet, through the guard. Timer on: it is drawn to the inlet and blown away from the outlet, the way you want the air to go. Timer off: it hangs still once the fan has run down.",
			`While it runs, measure the current in the fan's lead${current}, and the voltage at the fan${reaching}.`,
			cycle === null
				? "Time one burst and one pause with the stopwatch."
				: `Time one burst (${say(onSeconds, "duration")}) and one pause (${say(offSeconds, "duration")}) with the stopwatch.${
						cycles > 1
							? ` For the drift time ${cycles} cycles in one go: ${about(cycles * round)}.`
							: " Ten cycles, which show the drift, can wait for the proving run."
					}`,
		],
		expected: [
			...(volts === null ? [] : [expectedValue("adapter without load", volts, "voltage")]),
			...(power === null ? [] : [expectedValue("current of the fan", power.fanAmps, "current")]),
			...(power?.volts == null ? [] : [expectedValue("voltage at the fan", power.volts.volts, "voltage")]),
			...(cycle === null
				? []
				: [expectedValue("burst", onSeconds, "duration"), expectedValue("pause", offSeconds, "duration")]),
		],
		record: {
			columns: ["what", "expected", "found"],
			rows: [
				["plus to minus, contact open", `> ${ohms}`, ""],
				["plus to minus, contact bridged", `> ${ohms}`, ""],
				["adapter without load", volts === null ? "" : say(volts, "voltage"), ""],
				["air goes the right way", "yes", ""],
				["current of the fan", power === null ? "" : say(power.fanAmps, "current"), ""],
				["voltage at the fan", power?.volts == null ? "" : say(power.volts.volts, "voltage"), ""],
				["burst", cycle === null ? "" : tolerance(onSeconds), ""],
				["pause", cycle === null ? "" : tolerance(offSeconds), ""],
			],
		},
		acceptance: [
			"No short circuit in either state, the right voltage and polarity.",
			"The air goes the right way while the timer is on, and only then.",
			"Burst and pause are within one count of the display and 2 % of what was set.",
		],
		troubles: [
			{
				sign: "fan runs in the pauses and rests in the bursts",
				cause: minusSwitched ? "on and off are swapped" : "it hangs on NC, or on and off are swapped",
			},
			{
				sign: "fan never stops",
				cause: minusSwitched
					? "its minus, or OUT−, is joined to the minus of the supply"
					: "its plus hangs on the supply and not on NO, or the contact has welded",
			},
			{
				sign: "timer clicks and starts anew at each burst",
				cause: "the adapter sags at the start: too small, or the wire too thin",
			},
			{ sign: "bursts sixty times too long", cause: "the timer counts in minutes, not in seconds" },
			{
				sign: "current far above the label",
				cause: "labels are often low: judge supply and fuse anew with what you found",
			},
		],
		cautions: [ELECTRIC, BLADES],
		command: null,
		enter: "fan: { current: … A } with the current that you measured; then run lullgust rig again.",
	};
}

/** Resistance under which a short circuit is suspected [ohm]: half of what fans and timer have while running, at most 10. */
const shortOhms = (volts: number | null, runAmps: number | null): number =>
	volts === null || runAmps === null ? 10 : Number(Math.min(10, volts / runAmps / 2).toPrecision(2));

/** Step of the range in which a time is set [s]: the finest that holds it. */
const countSeconds = (
	ranges: readonly Pick<TimerRange, "lowSeconds" | "highSeconds" | "stepSeconds">[],
	seconds: number,
): number => {
	const steps = ranges
		.filter(({ lowSeconds, highSeconds }) => seconds >= lowSeconds && seconds <= highSeconds)
		.map(({ stepSeconds }) => stepSeconds);
	return steps.length === 0 ? 0 : Math.min(...steps);
};

/** P2: what the fan delivers, by the time in which it fills a bag. */
export function bagSheet({ scenario, report, say, units }: SheetFacts): CommissioningSheet {
	const flow = scenario.fan.flow.value;
	const far = (size: number): number => Math.abs(Math.log(size / flow / FILL_SECONDS.best));
	const bag = BAGS.reduce((best, size) => (far(size) < far(best) ? size : best));
	const fill = bag / flow;
	const fits = flow > 0 && fill >= FILL_SECONDS.min && fill <= 2 * FILL_SECONDS.max;
	const litres = say(bag, "volume");
	const us = units === "us";
	const factor = us
		? `flow in cfm = ${Number(((60 * bag) / CUBIC_FOOT).toPrecision(3))} / seconds`
		: `flow in m³/h = ${Number((3600 * bag).toPrecision(3))} / seconds`;
	return {
		id: "P2",
		title: "Bag test of the delivered flow",
		reason:
			"The catalogue flow is never the delivered one. A bag that fills in some seconds tells what really comes out behind filter and duct.",
		duration: "15 min",
		tools: [
			fits ? `light bag of about ${litres}, its real volume known` : "light bag, its real volume known",
			"stopwatch",
			"tape",
			"a helper",
		],
		steps: [
			`Choose a bag that fills in ${FILL_SECONDS.min} to ${FILL_SECONDS.max} s${fits ? `: about ${litres} here` : ""}. Find its real volume: blow it up taut, close it, and fit it into a carton that you can measure; the litres printed on a sack are more than it holds.`,
			"Fit the real filter and duct, as in use. Shut the door and tape other openings, so that the air has one way out. Set the timer by hand to on, or take a long burst.",
			"Let the fan run for half a minute. Press the bag flat, slide it over the mouth where the air comes out (the vent of a fan that blows in, the duct of one that draws out), and start the watch.",
			"Stop the watch when the bag is taut. Do not wait for it to bulge: a small fan has little pressure.",
			"Five times. Flow = volume of the bag / mean time.",
		],
		expected: fits
			? [
					expectedValue("delivered flow", flow, "flow"),
					expectedValue(`time to fill ${litres}`, fill, "duration"),
					expectedValue("at least", fill / (1 + BAG_SHARE), "duration"),
					expectedValue("at most", fill / (1 - BAG_SHARE), "duration"),
				]
			: [expectedValue("delivered flow", flow, "flow")],
		record: {
			columns: ["", "1", "2", "3", "4", "5", "mean"],
			rows: [
				...blankRows(["time to fill, s"], 7),
				...blankRows([us ? "bag, ft³" : "bag, L"], 7),
				...blankRows([us ? "flow, cfm = 60 × ft³ / s" : "flow, m³/h = 3.6 × L / s"], 7),
			],
		},
		acceptance: [
			"The five times differ by at most 10 % from their mean.",
			fits
				? `The mean is ${say(flow, "flow")} ± 20 %: a bag of ${litres} fills in ${say(fill / (1 + BAG_SHARE), "duration")} to ${say(fill / (1 - BAG_SHARE), "duration")} (${factor}).`
				: flow > 0
					? `The mean is ${say(flow, "flow")} ± 20 %. No usual bag fills in a time that one can stop: a larger sack, or an anemometer in a tube of two to three diameters.`
					: "By its curve this fan delivers nothing: any air that fills a bag is news.",
		],
		troubles: [
			{
				sign: "bag stays limp",
				cause: "the fan has too little pressure for a bag: trust counted bursts (P5) more",
			},
			{ sign: "times grow from run to run", cause: "leaking bag, a warm motor, or a sagging adapter" },
			{
				sign: "far below what was expected",
				cause:
					report.fan === null
						? "the flow of the file is a catalogue figure"
						: "leaks between fan and duct, a crushed duct, a clogged filter, or a curve that is not this fan's",
			},
		],
		cautions: [
			BLADES,
			"Keep bags away from children and from the inlet of the fan.",
			"Spores: try it before the crop is in. With a crop wear a mask and do not blow the bag's air about.",
		],
		command: null,
		enter: `fan: { flow: … ${us ? "cfm" : "m3/h"} }, with ± from your five runs${report.fan === null ? "" : "; it may stand beside the curve, and counts"}.`,
	};
}

/** P8: what happens when the power fails. */
export function powerCutSheet(facts: SheetFacts): CommissioningSheet {
	const { scenario, cycle, model, say } = facts;
	const powerUp = scenario.timer?.powerUp ?? null;
	const wait = cycle?.offSeconds ?? null;
	const expected =
		powerUp === null
			? "The file does not say how this timer begins (timer.power-up): this test tells."
			: powerUp === "on"
				? "By the file it begins with a burst."
				: wait === null
					? "By the file it begins with a pause."
					: `By the file it begins with a pause: the first burst comes ${say(wait, "duration")} after the power.`;
	const row = (when: string) => [when, "", "", ""];
	return {
		id: "P8",
		title: "Power cut",
		reason:
			"Power fails one day. A timer that waits for a key press then leaves the crop without air, and one that begins with a pause waits longer than any other pause.",
		duration: wait === null ? "10 min" : `10 min, and ${about(wait)} of waiting`,
		tools: ["stopwatch"],
		steps: [
			`Let the timer run ${runWords(facts)}.`,
			"Pull the plug of the adapter for 10 s in the middle of a burst, and put it in again. Touch no key. Note what the timer does first, and when the first burst comes.",
			"The same early in a pause.",
			"The same late in a pause.",
			...(scenario.supply !== null && scenario.supply.rigs > 1
				? [
						`Now with all ${scenario.supply.rigs} rigs on the adapter: all start together. None may click or twitch.`,
					]
				: []),
			"Look whether the times that were set are still there.",
		],
		expected:
			wait === null || powerUp !== "off"
				? []
				: [
						expectedValue("first burst after the power", wait, "duration"),
						expectedValue(
							"rise meanwhile, at most",
							(1e6 * model.generationM3PerS * wait) / model.volumeM3,
							"concentration difference",
						),
					],
		record: {
			columns: ["plug pulled", "begins with", "first burst after", "times kept?"],
			rows: [row("in a burst"), row("early in a pause"), row("late in a pause")],
		},
		acceptance: [
			"Three times it goes on cycling without a key press, with the times that were set.",
			expected,
			...(wait === null || powerUp !== "off"
				? []
				: [
						`In that pause the CO2 rises by at most ${say((1e6 * model.generationM3PerS * wait) / model.volumeM3, "concentration difference")} over what it was.`,
					]),
		],
		troubles: [
			{
				sign: "stands still until a key is pressed",
				cause: "it is in a mode that waits for a trigger: choose the mode that cycles from power-up",
			},
			{ sign: "forgot its times", cause: "they were not stored, or it cannot: take another timer" },
			{
				sign: "all rigs start at once and the adapter cuts out",
				cause: "too small for a common start: see the power table",
			},
		],
		cautions: [
			"Pull the plug by its body with dry hands, outside the damp; never work on the outlet.",
			BLADES,
		],
		command: null,
		enter: "timer: { power-up: on } or off, as found.",
	};
}
