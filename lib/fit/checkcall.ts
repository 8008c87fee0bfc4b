import { type Fault, InputError, show } from "../errors.ts";
import { exclusionReasons } from "../logs/log.ts";
import { LABELS } from "./estimate/fitplan.ts";

/** What an argument must be, and whether it is. */
type Rule = readonly [expected: string, is: (value: unknown) => boolean];

const isObject = (value: unknown): value is Record<string, unknown> =>
	typeof value === "object" && value !== null && !Array.isArray(value);
const isSeconds = (value: unknown): boolean =>
	typeof value === "number" && Number.isFinite(value) && value >= 0;
const oneOf = (...names: readonly string[]): Rule => [
	`one of ${names.map((name) => `"${name}"`).join(", ")}`,
	(value) => names.includes(value as string),
];
const listOf = ([expected, is]: Rule): Rule => [
	`a list of ${expected.replace(/^an? |^one /, "")}`,
	(value) => Array.isArray(value) && value.every(is),
];
const TEXT: Rule = ["a text", (value) => typeof value === "string"];
const FLAG: Rule = ["true or false", (value) => typeof value === "boolean"];
const SECONDS: Rule = ["a number of seconds, 0 or more", isSeconds];
/** Which names there are depends on the log; the plan of the fit says so of one that is unknown. */
const NAMES = listOf(TEXT);

const OPTIONS: Readonly<Record<string, Rule>> = {
	test: oneOf("log", "rise", "decay", "bursts"),
	burstSeconds: listOf(["a number of seconds above 0", (value) => isSeconds(value) && value !== 0]),
	schedule: TEXT,
	fan: oneOf("on", "off"),
	fanState: oneOf("now", "since", "fraction", "ignore"),
	phaseSeconds: ["a number of seconds", Number.isFinite],
	fix: [
		`an object of numbers or texts by ${Object.keys(LABELS).slice(0, 3).join(", ")} …`,
		(value) =>
			isObject(value) &&
			Object.values(value).every(
				(one) => one === undefined || typeof one === "string" || Number.isFinite(one),
			),
	],
	free: NAMES,
	prior: NAMES,
	exact: FLAG,
	days: FLAG,
	averagesCycles: FLAG,
	profile: FLAG,
	keep: listOf(oneOf(...exclusionReasons)),
	column: TEXT,
	warmUpSeconds: SECONDS,
	temperature: TEXT,
};

const LISTS = ["schedules", "substrate"] as const;
const OBJECTS = ["chamber", "intake", "fan", "target"] as const;

/**
 * Checks what a fit was called with, for those who call it without types.
 * @throws InputError that names each argument or option of a wrong type
 */
export function checkCall(scenario: unknown, log: unknown, options: unknown): void {
	const faults: Fault[] = [];
	const isScenario =
		isObject(scenario) &&
		LISTS.every((key) => Array.isArray(scenario[key])) &&
		OBJECTS.every((key) => isObject(scenario[key]));
	if (!isScenario)
		faults.push({ path: "scenario", message: `needs what parseScenario gives, got ${show(scenario)}` });
	if (
		!isObject(log) ||
		!ArrayBuffer.isView(log.timesSeconds) ||
		!Array.isArray(log.channels) ||
		!isObject(log.layout)
	)
		faults.push({ path: "log", message: `needs what readLog gives, got ${show(log)}` });
	if (!isObject(options))
		faults.push({
			path: "options",
			message: `need an object such as { test: "rise" }, got ${show(options)}`,
		});
	else
		for (const [name, [expected, is]] of Object.entries(OPTIONS))
			if (options[name] !== undefined && !is(options[name]))
				faults.push({ path: `options.${name}`, message: `needs ${expected}, got ${show(options[name])}` });
	if (faults.length > 0) throw new InputError(faults);
}
