import * as z from "zod";
import { powerOfTen } from "../../power.ts";
import { formatDuration } from "../../units/format.ts";
import { normalizeText, parseValue } from "../../units/read.ts";
import { type Broken, mapping, oneOf, quantity, reading, timeOfDay, wholeNumber } from "../text/leaves.ts";
import { parseQuantity } from "../text/quantity.ts";
import { rule } from "../text/rules.ts";
import { voltage } from "./fan.ts";

const unitSeconds = { s: 1, min: 60, h: 3600 } as const;
type DisplayUnit = keyof typeof unitSeconds;

export interface Range {
	readonly lowSeconds: number;
	readonly highSeconds: number;
	readonly stepSeconds: number;
	readonly unit: DisplayUnit;
}

const isWhole = (x: number): boolean => Math.abs(x - Math.round(x)) <= 1e-9 * Math.max(1, x);

/** The unit that a display counts in when its step is written in this one; null when no display does. */
const displayUnit = (written: string): DisplayUnit | null => {
	if (written === "") return "s";
	const one = parseValue(`1 ${written}`, ["duration"]);
	const units = Object.keys(unitSeconds) as DisplayUnit[];
	return units.find((unit) => !("refused" in one) && one.value === unitSeconds[unit]) ?? null;
};

const readRange = (input: string): Range | Broken => {
	const example = { rule: 'needs a range such as "1..999 s by 1 s"' };
	const [span = "", by = "", ...more] = input.split(/\bby\b/);
	const ends = parseQuantity(span, ["duration"]);
	const step = parseValue(normalizeText(by), ["duration"]);
	if (more.length > 0 || "refused" in ends || "refused" in step || /±|\+\/?-/.test(span)) return example;
	const { low, high } = ends;
	if (low === null || high === null || low < 0 || step.value <= 0) return example;
	if ((high - low) / step.value > 1e6) return { rule: "must have at most 1000000 steps" };
	if (!isWhole(low / step.value)) return { rule: "must begin at a whole number of steps" };
	if (high / step.value < 1 - 1e-9) return { rule: "must hold at least one step" };
	const unit = displayUnit(step.unit);
	if (unit === null) return { rule: "must count in s, min or h" };
	return { lowSeconds: low, highSeconds: high, stepSeconds: step.value, unit };
};

const range = z
	.string({ error: 'needs a range such as "1..999 s by 1 s"' })
	.transform(reading(readRange))
	.meta({ examples: ["1..999 s by 1 s", "0.1..99.9 s by 0.1 s"] });

/** What the display shows at the upper end of a range, and how many digits that takes: one for each decimal of the step. */
const widest = ({ highSeconds, stepSeconds, unit }: Range): { shown: string; digits: number } => {
	const step = stepSeconds / unitSeconds[unit];
	let decimals = 0;
	while (decimals < 9 && !isWhole(step * powerOfTen(decimals))) decimals++;
	const highest = Math.floor(highSeconds / stepSeconds + 1e-9) * step;
	const shown = highest.toFixed(decimals);
	return { shown: `${shown} ${unit}`, digits: shown.replace(/^0?\.|\./, "").length };
};

/** Digits of a display that the file does not state. */
export const DEFAULT_DIGITS = 3;

const ampere = (description: string, example: string) =>
	quantity("current", description, { above: "0 A", max: "1000 A" }, [example]);

/** What the timer can show, and its contact rating. */
export const timer = mapping(
	{
		ranges: z
			.array(range, { error: 'needs a list such as ["1..999 s by 1 s"]' })
			.min(1, { error: 'needs at least one range such as "1..999 s by 1 s"' })
			.max(50, { error: "has more than 50 entries" })
			.meta({ description: "what the timer can show" }),
		shared: z
			.boolean({ error: "needs true or false" })
			.optional()
			.meta({ description: "whether on-time and off-time share one range; default false" }),
		digits: wholeNumber(1, 8, `digits of the display, 1 to 8; default ${DEFAULT_DIGITS}`).optional(),
		"power-up": oneOf(["on", "off"], "state at power-up; default not known").optional(),
		type: oneOf(
			["relay", "negative-switching"],
			"how it switches: a change-over relay (COM, NO, NC), or solid state in the negative (OUT+, OUT-)",
		).optional(),
		voltage: voltage("its nominal voltage; above 60 V a timer on the mains", ["12 V", "230 V"]).optional(),
		current: ampere("current of the board itself while the fan is on; default 50 mA", "50 mA").optional(),
		waiting: ampere(
			"standby current: current of the board while the fan is off; default 20 mA",
			"20 mA",
		).optional(),
		contact: ampere("contact rating for motors (inductive)", "3 A").optional(),
		resistive: ampere(
			"contact rating for resistive loads, if no motor rating is given; 30 % of it counts",
			"10 A",
		).optional(),
		operations: quantity("number", "rated switching operations of the contact", { above: "0", max: "1e12" }, [
			"100000",
		]).optional(),
	},
	"the timer",
).check(
	rule((section, say) => {
		// Digits that could not be read are a fault of their own.
		if ("digits" in section && section.digits === undefined) return;
		const { ranges = [], digits = DEFAULT_DIGITS } = section;
		for (const [index, entry] of ranges.entries()) {
			if (entry === undefined) continue;
			// An entry is read whole or not at all.
			const most = widest(entry as Range);
			if (most.digits > digits) {
				const message = `${most.shown} needs ${most.digits} digits, but the display has ${digits}; shorten the range or give "digits"`;
				say(["ranges", index], message);
			}
		}
	}),
);

const limitQuantity = (description: string, max: string, examples: readonly string[]) =>
	quantity("duration", description, { above: "0 s", max, isSingle: true }, examples);

/** What a setting must keep to, whatever the timer can show. */
export const limits = mapping(
	{
		burst: limitQuantity("minimum on-time", "1 d", ["3 s"]).optional(),
		pause: limitQuantity("minimum off-time", "30 d", ["30 s"]).optional(),
		cycle: limitQuantity("maximum cycle time", "30 d", ["30 min"]).optional(),
		life: limitQuantity("required contact life", "100 years", ["18 months", "2 years"]).optional(),
		quiet: mapping(
			{
				from: timeOfDay("when quiet hours begin"),
				to: timeOfDay("when they end"),
				cycle: limitQuantity("minimum cycle time in quiet hours", "1 d", ["20 min"]),
			},
			"hours with few fan starts; needs a timer with a clock",
		)
			.check(
				rule(({ from, to }, say) => {
					if (from !== undefined && from === to)
						say("to", "is the same time as from; quiet hours need an end");
				}),
			)
			.optional(),
	},
	"limits on the setting",
).check(
	rule(({ burst, pause, cycle, quiet }, say) => {
		if (cycle === undefined) return;
		const shortest = (burst?.value ?? 0) + (pause?.value ?? 0);
		if (shortest > cycle.value) {
			const parts = [burst && "burst", pause && "pause"].filter(Boolean).join(" and ");
			say("cycle", `is shorter than ${parts} (${formatDuration(shortest)}); no setting can meet it`);
		}
		if (quiet?.cycle !== undefined && quiet.cycle.value > cycle.value) {
			say(
				["quiet", "cycle"],
				`is longer than limits.cycle (${formatDuration(cycle.value)}); no setting can meet both`,
			);
		}
	}),
);
