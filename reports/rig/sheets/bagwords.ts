import { FILL_SECONDS } from "../../../lib/rig/commissioning/benchsheets.ts";
import type { SheetOf } from "../../../lib/rig/commissioning/commissioning.ts";
import { CUBIC_FOOT } from "../../../lib/units/factors.ts";
import {
	BLADES,
	blankRows,
	type CommissioningSheet,
	expectedValue,
	type SheetContext,
	troubles,
} from "./sheet.ts";

/** P2: what the fan delivers, by the time in which it fills a bag. */
export function bagSheet(sheet: SheetOf<"P2">, { report, say, units }: SheetContext): CommissioningSheet {
	const { flowM3PerS, bagM3, fillSeconds, minFillSeconds, maxFillSeconds } = sheet;
	const us = units === "us";
	const litres = bagM3 === null ? null : say(bagM3, "volume");
	return {
		id: "P2",
		title: "Bag test of the delivered flow",
		reason:
			"The catalogue flow is never the delivered one. A bag that fills in some seconds shows what really comes out behind filter and duct.",
		duration: "15 min",
		tools: [
			litres !== null
				? `light bag of about ${litres}, its real volume known`
				: "light bag, its real volume known",
			"stopwatch",
			"tape",
			"a helper",
		],
		steps: [
			`Choose a bag that fills in ${FILL_SECONDS.min} to ${FILL_SECONDS.max} s${litres !== null ? `: about ${litres} here` : ""}. Find its real volume: blow it up taut, close it, and fit it into a carton that you can measure. The litres printed on a sack are more than it contains.`,
			"Fit the real filter and duct, as in use. Shut the door and tape other openings, so that the air has one way out. Set the timer by hand to on, or take a long burst.",
			"Let the fan run for half a minute. Press the bag flat, slide it over the mouth where the air comes out (the vent of a fan that blows in, the duct of one that draws out), and start the watch.",
			"Stop the watch when the bag is taut. Do not wait for it to bulge: a small fan has little pressure.",
			"Do this five times. Flow = volume of the bag / mean time.",
		],
		expected: [
			...expectedValue("delivered flow", flowM3PerS, "flow"),
			...expectedValue(`time to fill ${litres}`, fillSeconds, "duration"),
			...expectedValue("at least", minFillSeconds, "duration"),
			...expectedValue("at most", maxFillSeconds, "duration"),
		],
		record: {
			columns: ["", "1", "2", "3", "4", "5", "mean"],
			rows: blankRows(
				[
					"time to fill, s",
					us ? "bag, ft³" : "bag, L",
					us ? "flow, cfm = 60 × ft³ / s" : "flow, m³/h = 3.6 × L / s",
				],
				7,
			),
		},
		acceptance: ["The five times differ by at most 10 % from their mean.", flowAcceptance(sheet, say, us)],
		troubles: troubles({
			"bag stays limp": "the fan has too little pressure for a bag: trust counted bursts (P5) more",
			"times grow from run to run": "leaking bag, a warm motor, or a sagging adapter",
			"far below what was expected":
				report.fan === null
					? "the flow of the file is a catalogue value"
					: "leaks between fan and duct, a crushed duct, a clogged filter, or the wrong fan curve",
		}),
		cautions: [
			BLADES,
			"Keep bags away from children and from the inlet of the fan.",
			"Spores: do this before the crop is in. With a crop, wear a mask and do not blow the bag's air about.",
		],
		command: null,
		enter: `fan: { flow: … ${us ? "cfm" : "m3/h"} }, with ± from your five runs${report.fan === null ? "" : "; it may stand beside the curve, and counts"}.`,
	};
}

function flowAcceptance(
	{ flowM3PerS, bagM3, minFillSeconds, maxFillSeconds, flowShare }: SheetOf<"P2">,
	say: SheetContext["say"],
	us: boolean,
): string {
	if (!(flowM3PerS > 0))
		return "By its curve this fan delivers nothing. If air fills the bag, the curve is wrong.";
	const mean = `The mean is ${say(flowM3PerS, "flow")} ± ${100 * flowShare} %`;
	if (bagM3 === null)
		return `${mean}. No usual bag fills in a time that one can stop: take a larger sack, or an anemometer in a tube of two to three diameters.`;
	const formula = us
		? `flow in cfm = ${Number(((60 * bagM3) / CUBIC_FOOT).toPrecision(3))} / seconds`
		: `flow in m³/h = ${Number((3600 * bagM3).toPrecision(3))} / seconds`;
	return `${mean}: a bag of ${say(bagM3, "volume")} fills in ${say(minFillSeconds!, "duration")} to ${say(maxFillSeconds!, "duration")} (${formula}).`;
}
