import type { SheetOf } from "../../../lib/rig/commissioning/commissioning.ts";
import { VOLTAGE_MATCH } from "../../../lib/sources/supplies.ts";
import {
	about,
	BLADES,
	type CommissioningSheet,
	expectedValue,
	runWords,
	type SheetContext,
	troubles,
} from "./sheet.ts";

const ELECTRIC =
	"Low-voltage side only. Keep the adapter closed. The mains side belongs to a listed plug-in adapter and to licensed people, and local codes come first.";

const MAINS =
	"Mains voltage kills. Keep every cover closed, keep water and damp air away, and leave each wire, switch and fuse to a licensed person; local codes come first.";

/** P1: on the bench, before anything is connected to the chamber. */
export function benchSheet(sheet: SheetOf<"P1">, context: SheetContext): CommissioningSheet {
	if (sheet.isOnMains) return mainsBenchSheet(sheet, context);
	const { plan, say } = context;
	const { cycle } = plan;
	const { supplyVolts, fanAmps, fanVolts } = sheet;
	const period = cycle === null ? 0 : cycle.onSeconds + cycle.offSeconds;
	const ohms = `${sheet.shortCircuitOhms} Ω`;
	const said = (value: number | null, dimension: "voltage" | "current"): string =>
		value === null ? "" : say(value, dimension);
	const withTolerance = (seconds: number, tolerance: number): string =>
		`${say(seconds, "duration")} ± ${say(tolerance, "duration")}`;
	return {
		id: "P1",
		title: "Direction of the air and a dry run on the bench",
		reason:
			"Here you find a fan wired or mounted the wrong way, or a timer that counts minutes instead of seconds, without harm to a crop.",
		duration: period === 0 ? "20 min" : `20 min, and ${about(period)} for one full cycle`,
		tools:
			"multimeter; stopwatch; strip of tissue; fan guard; short wire link; the connection list of this report".split(
				"; ",
			),
		steps: benchSteps(sheet, context),
		expected: [
			...expectedValue("adapter without load", supplyVolts, "voltage"),
			...expectedValue("current of the fan", fanAmps, "current"),
			...expectedValue("voltage at the fan", fanVolts, "voltage"),
			...expectedValue("burst", cycle?.onSeconds ?? null, "duration"),
			...expectedValue("pause", cycle?.offSeconds ?? null, "duration"),
		],
		record: {
			columns: ["what", "expected", "found"],
			rows: [
				["positive to negative, contact open", `> ${ohms}`, ""],
				["positive to negative, contact bridged", `> ${ohms}`, ""],
				["adapter without load", said(supplyVolts, "voltage"), ""],
				["air goes the right way", "yes", ""],
				["current of the fan", said(fanAmps, "current"), ""],
				["voltage at the fan", said(fanVolts, "voltage"), ""],
				["burst", cycle === null ? "" : withTolerance(cycle.onSeconds, sheet.onToleranceSeconds), ""],
				["pause", cycle === null ? "" : withTolerance(cycle.offSeconds, sheet.offToleranceSeconds), ""],
			],
		},
		acceptance: [
			"No short circuit in either state, the right voltage and polarity.",
			"The air goes the right way while the timer is on, and only then.",
			"Burst and pause are within one count of the display and 2 % of the setting.",
		],
		troubles: benchTroubles(sheet),
		cautions: [ELECTRIC, BLADES],
		command: null,
		enter: "fan: { current: … A } with the current that you measured; then run lullgust rig again.",
	};
}

/** P1 of a fan or timer on the mains: direction and times, and no part of the wiring. */
function mainsBenchSheet(sheet: SheetOf<"P1">, context: SheetContext): CommissioningSheet {
	const { cycle } = context.plan;
	const { say } = context;
	const times = [
		["burst", cycle?.onSeconds ?? null, sheet.onToleranceSeconds],
		["pause", cycle?.offSeconds ?? null, sheet.offToleranceSeconds],
	] as const;
	return {
		id: "P1",
		title: "Direction of the air and a dry run",
		reason:
			"Here you find a fan mounted the wrong way, or a timer that counts minutes instead of seconds, without harm to a crop.",
		duration:
			cycle === null
				? "20 min"
				: `20 min, and ${about(cycle.onSeconds + cycle.offSeconds)} for one full cycle`,
		tools: ["stopwatch", "strip of tissue", "fan guard"],
		steps: [
			"First a licensed person makes and tests the mains wiring under local codes. Nothing on this sheet opens, touches or measures it.",
			"Put the fan on dry ground, the guard on, nothing connected to the chamber.",
			`Set the timer for ${runWords(context)}. Watch it through both states.`,
			"Hold the tissue at the inlet and at the outlet, through the guard. Timer on: the tissue is drawn to the inlet and blown away from the outlet, the way you want the air to go. Timer off: it hangs still once the fan has run down.",
			"Time one burst and one pause with the stopwatch.",
		],
		expected: times.flatMap(([label, seconds]) => expectedValue(label, seconds, "duration")),
		record: {
			columns: ["what", "expected", "found"],
			rows: [
				["wired and tested by a licensed person", "yes", ""],
				["air goes the right way", "yes", ""],
				...times.map(([label, seconds, tolerance]) => [
					label,
					seconds === null ? "" : `${say(seconds, "duration")} ± ${say(tolerance, "duration")}`,
					"",
				]),
			],
		},
		acceptance: [
			"The air goes the right way while the timer is on, and only then.",
			"Burst and pause are within one count of the display and 2 % of the setting.",
		],
		troubles: troubles({
			"fan runs in the pauses, or never stops":
				"wiring or contact: pull the plug, and leave it to a licensed person",
			"bursts sixty times too long": "the timer counts in minutes, not in seconds",
		}),
		cautions: [MAINS, BLADES],
		command: null,
		enter: null,
	};
}

function benchSteps(sheet: SheetOf<"P1">, context: SheetContext): string[] {
	const { plan, say } = context;
	const { cycle } = plan;
	const { isNegativeSwitching, supplyVolts, fanAmps, fanVolts, timedCycles } = sheet;
	const [common, switched] = isNegativeSwitching ? ["V−", "OUT−"] : ["COM", "NO"];
	const current = fanAmps === null ? "" : `: about ${say(fanAmps, "current")} expected`;
	const reaching = fanVolts === null ? "" : `, about ${say(fanVolts, "voltage")} expected`;
	const voltage =
		supplyVolts === null
			? "its voltage is that on the fan's label"
			: `${say(0.95 * supplyVolts, "voltage")} to ${say(1.05 * supplyVolts, "voltage")}`;
	const many =
		timedCycles > 1
			? ` To find how much the timer runs slow or fast, time ${timedCycles} cycles in one go: ${about(timedCycles * ((cycle?.onSeconds ?? 0) + (cycle?.offSeconds ?? 0)))}.`
			: " Ten cycles, which show how much the timer runs slow or fast, can wait for the acceptance run.";
	return [
		"Put fan, timer and wires on a dry bench, the guard on the fan, nothing connected to the chamber, the adapter unplugged. Compare each wire with the connection list.",
		`Measure from positive to negative where the adapter will be joined, once as it is and once with a wire link from ${common} to ${switched} in place of the closed contact: more than ${sheet.shortCircuitOhms} Ω both times. Take the link out.`,
		`Plug in the adapter alone, with nothing on it: ${voltage} (within ${VOLTAGE_MATCH.value} %), and the positive is where you expect it. Unplug.`,
		isNegativeSwitching
			? "Without power measure OUT− against V−: no contact."
			: "Without power measure the contact: COM to NC closed, COM to NO open.",
		`Join the timer alone and set it for ${runWords(context)}. Watch it through both states${isNegativeSwitching ? "" : ": you hear the relay, and COM to NO closes and opens again"}.`,
		"Unplug, join the fan, plug in. Hold the tissue at the inlet and at the outlet, through the guard. Timer on: the tissue is drawn to the inlet and blown away from the outlet, the way you want the air to go. Timer off: it hangs still once the fan has run down.",
		`While it runs, measure the current in the fan's lead${current}, and the voltage at the fan${reaching}.`,
		cycle === null
			? "Time one burst and one pause with the stopwatch."
			: `Time one burst (${say(cycle.onSeconds, "duration")}) and one pause (${say(cycle.offSeconds, "duration")}) with the stopwatch.${many}`,
	];
}

const benchTroubles = ({ isNegativeSwitching }: SheetOf<"P1">) =>
	troubles({
		"fan runs in the pauses and stops in the bursts": isNegativeSwitching
			? "on and off are swapped"
			: "it is wired to NC, or on and off are swapped",
		"fan never stops": isNegativeSwitching
			? "its negative, or OUT−, is joined to the negative of the supply"
			: "its positive is wired to the supply and not to NO, or the contact has welded",
		"timer clicks and restarts at each burst":
			"the adapter sags at the start: it is too small, or the cable too thin",
		"bursts sixty times too long": "the timer counts in minutes, not in seconds",
		"current far above the label": "labels are often low: check supply and fuse again with what you found",
	});
