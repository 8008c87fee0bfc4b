import { CONTACT_OPERATIONS, MIN_PULSE, RESISTIVE_SHARE } from "../../lib/sources/timers.ts";
import type { WordsOf } from "./findingnames.ts";
import { formatCount } from "./rounding.ts";

export const CONTACT_WORDS: WordsOf<"contact" | "contact life" | "pulse" | "power-up"> = {
	contact(found, say) {
		const { switchedAmps, ratingAmps, isMotorRating, usableAmps, load, isBelowMinimum } = found;
		const amps = (value: number): string => say(value, "current");
		const rating = isMotorRating
			? `its contact is rated ${amps(ratingAmps)} for motors`
			: `its contact carries ${amps(usableAmps)} for motors, ${RESISTIVE_SHARE.value} % of its resistive ${amps(ratingAmps)}`;
		return {
			finding: `The timer switches ${amps(switchedAmps)} of fans; ${rating}${load === "overloaded" ? ": it is overloaded" : ""}.${
				isBelowMinimum ? " So small a current may not keep a power contact clean." : ""
			}`,
			reason:
				"A small relay carries 7 to 10 A of heaters but only 3 A of motors. A welded contact leaves the fan on for good, and the crop dries out.",
			remedy:
				load !== "carried"
					? "Switch fewer fans, or put a larger relay or a solid-state switch behind the timer."
					: isBelowMinimum
						? "Try it with the real fan for a day, or take a solid-state timer."
						: null,
		};
	},

	"contact life"(found) {
		const { operations, operationsPerMonth, months, cautiousMonths, wantedMonths, verdict } = found;
		const round = (value: number): string => formatCount(Number(value.toPrecision(3)));
		const life =
			cautiousMonths === null
				? `Its rated ${formatCount(operations)} operations last ${round(months)} months.`
				: `A usual ${formatCount(operations)} operations last ${round(months)} months; a cautious ${formatCount(CONTACT_OPERATIONS.low!)} last ${round(cautiousMonths)} months.`;
		return {
			finding: `The contact switches ${round(operationsPerMonth)} times per month. ${life}`,
			reason:
				wantedMonths === null
					? "Every operation wears a contact. With a longer cycle it lasts longer."
					: `Every operation wears a contact. It must last ${round(wantedMonths)} months (limits.life).`,
			remedy:
				verdict === "ok"
					? null
					: "Take a longer cycle with on-time and off-time in the same ratio, take a solid-state timer, or replace the relay by the calendar.",
		};
	},

	pulse: ({ shortestSeconds }, say) => ({
		finding: `The shortest on- or off-time is only ${say(shortestSeconds, "duration")}.`,
		reason: `Pulses of 0.1 s can weld a contact. Keep every time at ${MIN_PULSE.value} s or more; 3 s or more is better.`,
		remedy: "Lengthen on-time and off-time in the same ratio.",
	}),

	"power-up"(found, say) {
		const { powerUp, longestOffSeconds, risePpm, verdict } = found;
		return {
			finding:
				powerUp === "off"
					? `After each power cut the timer waits ${say(longestOffSeconds, "duration")} before the fan runs. Meanwhile CO₂ rises by up to ${say(risePpm, "concentration")} more. If power fails more often than that, the fan never runs.`
					: "After each power cut the timer begins with a burst.",
			reason:
				"When power returns, a timer begins its cycle from the start, and so do all timers on the same line.",
			remedy:
				verdict === "ok"
					? null
					: "Take a timer or a mode that begins with the fan on, or a shorter cycle with on-time and off-time in the same ratio.",
		};
	},
};
