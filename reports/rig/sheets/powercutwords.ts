import type { SheetOf } from "../../../lib/rig/commissioning/commissioning.ts";
import {
	about,
	BLADES,
	type CommissioningSheet,
	expectedValue,
	runWords,
	type SheetContext,
	troubles,
} from "./sheet.ts";

/** P8: what happens when the power fails. */
export function powerCutSheet(sheet: SheetOf<"P8">, context: SheetContext): CommissioningSheet {
	const { say } = context;
	const { powerUp, offSeconds, risePpm, rigs, isOnMains } = sheet;
	const beginsOff = powerUp === "off" && offSeconds !== null;
	const row = (when: string): string[] => [when, "", "", ""];
	return {
		id: "P8",
		title: "Power cut",
		reason:
			"Power fails one day. A timer that waits for a key press then leaves the crop without air. One that begins with a pause waits longer than in any other pause.",
		duration: offSeconds === null ? "10 min" : `10 min, and ${about(offSeconds)} of waiting`,
		tools: ["stopwatch"],
		steps: [
			`Let the timer run ${runWords(context)}.`,
			`Pull the plug of the ${isOnMains ? "timer" : "adapter"} for 10 s in the middle of a burst, and put it in again${isOnMains ? "; where there is no plug, a licensed person switches" : ""}. Touch no key. Note what the timer does first, and when the first burst comes.`,
			"The same early in a pause.",
			"The same late in a pause.",
			...(rigs > 1
				? [`Now with all ${rigs} rigs on the adapter: all start together. None may click or twitch.`]
				: []),
			"Check that the timer setting is still there.",
		],
		expected: beginsOff
			? [
					...expectedValue("first burst after the power", offSeconds, "duration"),
					...expectedValue("rise meanwhile, at most", risePpm, "concentration difference"),
				]
			: [],
		record: {
			columns: ["plug pulled", "begins with", "first burst after", "setting kept?"],
			rows: [row("in a burst"), row("early in a pause"), row("late in a pause")],
		},
		acceptance: [
			"Three times it goes on cycling without a key press, with the timer setting unchanged.",
			beginning(sheet, say),
			...(beginsOff
				? [`In that pause the CO₂ rises by at most ${say(risePpm!, "concentration difference")}.`]
				: []),
		],
		troubles: troubles({
			"stands still until a key is pressed":
				"its mode waits for a trigger: choose the mode that cycles from power-up",
			"forgot its times": "they were not stored, or it cannot: take another timer",
			"all rigs start at once and the adapter cuts out":
				"it is too small for all fans starting: see the power table",
		}),
		cautions: [
			"Pull the plug by its body with dry hands, outside the damp; never work on the outlet.",
			BLADES,
		],
		command: null,
		enter: "timer: { power-up: on } or off, as found.",
	};
}

/** How the timer of the file begins. */
function beginning({ powerUp, offSeconds }: SheetOf<"P8">, say: SheetContext["say"]): string {
	if (powerUp === null)
		return "The file does not say how this timer begins (timer.power-up): this test shows it.";
	if (powerUp === "on") return "By the file it begins with a burst.";
	return offSeconds === null
		? "By the file it begins with a pause."
		: `By the file it begins with a pause: the first burst comes ${say(offSeconds, "duration")} after the power.`;
}
