import type { Confounded, Fit, FitName, FittedParameter } from "./fittypes.ts";

/** Correlation from which on two parameters hang together so much that each alone should be doubted. */
const MIN_CONFOUNDING = 0.95;
/** Starting values matter to nobody. */
const NUISANCE_PARAMETERS: readonly FitName[] = ["initialCo2", "initialReading"];

type Advised = Pick<Fit, "parameters" | "free" | "correlation" | "test" | "curve" | "scenario" | "series">;

/** What would part two parameters, by their kinds. */
const RESOLUTIONS: readonly { readonly pair: readonly [string, string]; readonly by: string }[] = [
	{ pair: ["leak", "generation"], by: "a leak decay in the empty chamber, then --fix leak=…" },
	{
		pair: ["flow", "offset"],
		by: "the sensor outdoors for half an hour (its outdoor zero), then --fix offset=…",
	},
	{
		pair: ["leak", "offset"],
		by: "the sensor outdoors for half an hour (its outdoor zero), then --fix offset=…",
	},
	{
		pair: ["flow", "generation"],
		by: "a closed-chamber rise test (--test rise), then --fix respiration=…",
	},
	{ pair: ["flow", "leak"], by: "a leak decay in the empty chamber, then --fix leak=…" },
	{ pair: ["flow", "response"], by: "the sensor's response from its data sheet, --fix lag=…" },
	{
		pair: ["response", "phase"],
		by: "a note of when a cycle began (--phase), or the sensor's response (--fix lag=…)",
	},
	{ pair: ["offset", "generation"], by: "the sensor outdoors for half an hour, then --fix offset=…" },
];

const kindOf = (name: FitName): string => (name.startsWith("generation") ? "generation" : name);

const findResolution = (a: FitName, b: FitName): string => {
	const kinds = [kindOf(a), kindOf(b)];
	const known = RESOLUTIONS.find(({ pair }) => kinds.includes(pair[0]) && kinds.includes(pair[1]));
	return (
		known?.by ?? `a measurement of one of them by itself, then --fix ${kindOf(a)}=… or --fix ${kindOf(b)}=…`
	);
};

/** Parameters that the log does not tell, or tells only together with another. */
export function findConfounded(
	fit: Advised,
	unidentifiable: readonly (readonly number[])[],
): readonly Confounded[] {
	const found: Confounded[] = [];
	const { parameters } = fit;
	const label = (name: FitName) => parameters.find((one) => one.name === name)!.label;
	const never = fit.curve.bursts.length === 0;
	for (const group of unidentifiable) {
		const names = group.map((k) => parameters[k]!.name).filter((name) => !NUISANCE_PARAMETERS.includes(name));
		if (names.length === 0) continue;
		if (names.length === 1)
			found.push({
				names,
				why:
					names[0] === "flow" && never
						? "the fan never ran in this log"
						: `nothing in this log depends on ${label(names[0]!)}`,
				resolvedBy:
					names[0] === "flow"
						? "a log over several bursts of the programmed schedule"
						: `a log in which ${label(names[0]!)} matters, or --fix ${names[0]}=…`,
			});
		else
			found.push({
				names,
				why: `only a combination of ${names.map(label).join(" and ")} shows in this log`,
				resolvedBy: findResolution(names[0]!, names[1]!),
			});
	}
	const named = new Set(found.flatMap(({ names }) => names));
	// Of the days of a crop only the one that hangs most on something else is worth a line.
	const strongest = new Map<string, { readonly entry: Confounded; readonly r: number }>();
	for (const [i, a] of fit.free.entries())
		for (const [j, b] of fit.free.entries()) {
			if (
				i >= j ||
				NUISANCE_PARAMETERS.includes(a) ||
				NUISANCE_PARAMETERS.includes(b) ||
				named.has(a) ||
				named.has(b)
			)
				continue;
			const r = fit.correlation[i]![j]!;
			if (!(Math.abs(r) >= MIN_CONFOUNDING)) continue;
			const kinds = [kindOf(a), kindOf(b)].sort().join(" ");
			if (kindOf(a) === kindOf(b) || Math.abs(r) <= Math.abs(strongest.get(kinds)?.r ?? 0)) continue;
			const entry = {
				names: [a, b],
				why: `${label(a)} and ${label(b)} hang together (correlation ${r.toFixed(3).replace("-", "−")})`,
				resolvedBy: findResolution(a, b),
			};
			strongest.set(kinds, { entry, r });
		}
	for (const { entry } of strongest.values()) found.push(entry);
	const explained = new Set(found.flatMap(({ names }) => names));
	for (const one of parameters)
		if (
			one.status !== "fixed" &&
			!one.isIdentifiable &&
			!explained.has(one.name) &&
			!NUISANCE_PARAMETERS.includes(one.name)
		)
			found.push({
				names: [one.name],
				why: `the error of ${one.label} is too large for its value`,
				resolvedBy: resolveAlone(one),
			});
	return found;
}

function resolveAlone({ name }: FittedParameter): string {
	switch (kindOf(name)) {
		case "leak":
			return "a leak decay in the empty chamber, then --fix leak=…";
		case "offset":
			return "the sensor outdoors for half an hour, then --fix offset=…";
		case "response":
			return "the sensor's response from its data sheet, --fix lag=…";
		case "flow":
			return "counted bursts (--test bursts), or a longer log";
		case "generation":
			return "a closed-chamber rise test (--test rise)";
		default:
			return "a longer log, or a shorter step between samples";
	}
}

/** The test that would help most next. */
export function recommendTest(fit: Advised, confounded: readonly Confounded[]): Fit["recommendedTest"] {
	const file = fit.scenario.fileName;
	const involves = (name: string) =>
		confounded.find(({ names }) => names.some((one) => kindOf(one) === name));
	const command = (log: string, rest: string) => `lullgust fit ${log} ${rest}--scenario ${file}`;
	const leak = involves("leak");
	if (leak !== undefined && fit.test !== "decay")
		return {
			test: "leak decay",
			why: leak.why,
			command: command("decay.csv", "--test decay "),
		};
	const flow = involves("flow");
	if (flow !== undefined)
		return {
			test: "counted bursts",
			why: flow.why,
			command: command("bursts.csv", "--test bursts "),
		};
	const generation = involves("generation");
	if (generation !== undefined && fit.test !== "rise")
		return {
			test: "closed-chamber rise",
			why: generation.why,
			command: command("rise.csv", "--test rise "),
		};
	const other = confounded[0];
	if (other !== undefined)
		return { test: other.resolvedBy.replace(/, .*/, ""), why: other.why, command: command("day.csv", "") };
	return null;
}
