import type { Confounded, Resolution } from "../../lib/fit/findings.ts";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Fit } from "../../lib/fit/fittypes.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { upperFirst } from "../words/format.ts";
import { dimensionOf } from "./fitvalues.ts";

type Labelled = Pick<Fit, "parameters">;

/** `leakage`, `sensor offset` */
export const labelOf = ({ parameters }: Labelled, name: FitName): string =>
	parameters.find((one) => one.name === name)?.label ?? name;

/** `a, b and c` */
export const listed = (words: readonly string[], and = "and"): string =>
	words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${and} ${words.at(-1)}`;

/** Why a log does not determine parameters. */
export function confoundedReason(
	fit: Labelled,
	{ names, reason }: Pick<Confounded, "names" | "reason">,
): string {
	const all = names.map((name) => labelOf(fit, name));
	switch (reason.code) {
		case "fan never on":
			return "The fan never ran in this log.";
		case "no effect":
			return `Nothing in this log depends on ${listed(all)}.`;
		case "only combination":
			return `This log shows only a combination of ${listed(all)}.`;
		case "strongly correlated":
			return `${upperFirst(listed(all))} are strongly correlated (${reason.correlation.toFixed(3).replace("-", "−")}); this log separates them poorly.`;
		case "large error":
			return `The standard error of ${listed(all)} is too large for its value.`;
		case "one burst length":
			return `Bursts of one length cannot separate ${listed(all)}.`;
		case "faster than samples":
			return `The sensor responds faster than one reading every ${formatDuration(reason.sampleIntervalSeconds)} can show.`;
	}
}

/** What the command line calls a parameter. */
const optionOf = (name: FitName): string => {
	const kind = dimensionOf(name);
	return kind === "generation" ? "respiration" : kind;
};

/** What would determine them, as a sentence; one that ends with a command has no full stop. */
export function resolutionWords(fit: Labelled, { names, resolvedBy }: Confounded): string {
	const fixes = names.map((name) => `--fix ${optionOf(name)}=…`).join(" or ");
	switch (resolvedBy.code) {
		case "leak test":
			return "Run a leak test in the empty chamber, then use --fix leak=…";
		case "outdoor zero":
			return "Put the sensor outdoors for half an hour to find its offset, then use --fix offset=…";
		case "rise test":
			return "Run a rise test (--test rise), then use --fix respiration=…";
		case "response from data sheet":
			return "Take the sensor's response time from its data sheet and use --fix response=…";
		case "cycle start or response":
			return "Note when a cycle begins (--phase), or use --fix response=…";
		case "counted bursts":
			return "Run a test of counted bursts (--test bursts), or log for longer.";
		case "log over several bursts":
			return "Log several bursts of the programmed schedule.";
		case "log with an effect":
			return `Use a log in which ${listed(names.map((name) => labelOf(fit, name)))} matters, or ${fixes}`;
		case "separate measurement":
			return `Measure one of them separately, then use ${fixes}`;
		case "longer or denser log":
			return "Log for longer, or at a shorter sampling interval.";
		case "shorter sampling interval":
			return "Use a shorter sampling interval; the air changes hardly depend on it.";
		case "more bursts":
			return "Give more bursts, from a higher dose, with longer waits between them.";
		case "second burst length":
			return `Add as many bursts of three times the length (${formatDuration(resolvedBy.onSeconds)}) to the same log.`;
	}
}

const TESTS: Readonly<Record<Resolution["code"], string>> = {
	"leak test": "leak test",
	"outdoor zero": "sensor outdoors for half an hour",
	"rise test": "rise test",
	"response from data sheet": "response time from the data sheet",
	"cycle start or response": "start of a cycle noted by the clock",
	"counted bursts": "counted bursts",
	"log over several bursts": "log over several bursts of the schedule",
	"log with an effect": "log with another schedule",
	"separate measurement": "separate measurement",
	"longer or denser log": "longer log, or a shorter sampling interval",
	"shorter sampling interval": "shorter sampling interval",
	"more bursts": "more bursts",
	"second burst length": "bursts of a second length",
};

/** What the recommended test is called. */
export const testName = (test: Resolution["code"]): string => TESTS[test];

/** How the test that comes next is done; common practice, no source. */
const HOW: Readonly<Partial<Record<Resolution["code"], string>>> = {
	"leak test":
		"Take crop and substrate out. Raise CO₂ in the empty chamber to 2000 to 3000 ppm (a little from a bottle, or a few breaths) and stir the air. Leave the fan off and log for one to three hours, until the excess over the room has fallen by a third.",
	"counted bursts":
		"Raise CO₂ in the empty chamber above 3000 ppm. Give five bursts of the real on-time by hand and wait three to five times the sensor's response time after each. Repeat with three times the on-time.",
	"second burst length": "Repeat the test in the same log with as many bursts of three times the length.",
	"rise test":
		"With the crop inside, purge the chamber with fresh air and switch the fan off. Log for 15 to 60 minutes, until 2000 to 3000 ppm; do it once by day and once by night.",
};

/** Steps of a test; null for one that explains itself. */
export const howTo = (test: Resolution["code"]): string | null => HOW[test] ?? null;

export const NEXT_CAUTION =
	"Dose CO₂ only in small amounts, in a room with an open window and a CO₂ alarm. Never use dry ice in a closed vessel.";
