import type { Confounded, Fit, FitName, Resolution } from "./fittypes.ts";

/** Correlation from which on two parameters cannot be separated. */
const MIN_CONFOUNDING = 0.95;
/** Starting values matter to nobody. */
const NUISANCE_PARAMETERS: readonly FitName[] = [
	"initialCo2",
	"initialReading",
	"switchShift",
	"offShift",
	"background",
];

type Advised = Pick<Fit, "parameters" | "free" | "correlation" | "test" | "curve" | "scenario" | "series">;

/** What would separate two parameters, by their kinds. */
const RESOLUTIONS: readonly {
	readonly pair: readonly [string, string];
	readonly by: Exclude<Resolution["code"], "second burst length">;
}[] = [
	{ pair: ["leak", "generation"], by: "leak test" },
	{ pair: ["flow", "offset"], by: "outdoor zero" },
	{ pair: ["leak", "offset"], by: "outdoor zero" },
	{ pair: ["flow", "generation"], by: "rise test" },
	{ pair: ["flow", "leak"], by: "leak test" },
	{ pair: ["flow", "response"], by: "response from data sheet" },
	{ pair: ["response", "phase"], by: "cycle start or response" },
	{ pair: ["offset", "generation"], by: "outdoor zero" },
];

const kindOf = (name: FitName): string => (name.startsWith("generation") ? "generation" : name);

const findResolution = (a: FitName, b: FitName): Resolution => {
	const kinds = [kindOf(a), kindOf(b)];
	const known = RESOLUTIONS.find(({ pair }) => kinds.includes(pair[0]) && kinds.includes(pair[1]));
	return { code: known?.by ?? "separate measurement" };
};

/** Parameters that the log does not determine, or cannot separate. */
export function findConfounded(
	fit: Advised,
	unidentifiable: readonly (readonly number[])[],
): readonly Confounded[] {
	const found: Confounded[] = [];
	const { parameters } = fit;
	const never = fit.curve.bursts.length === 0;
	for (const group of unidentifiable) {
		const names = group.map((k) => parameters[k]!.name).filter((name) => !NUISANCE_PARAMETERS.includes(name));
		if (names.length === 0) continue;
		const [first, second] = names;
		if (second === undefined)
			found.push({
				names,
				reason: { code: first === "flow" && never ? "fan never on" : "no effect" },
				resolvedBy: { code: first === "flow" ? "log over several bursts" : "log with an effect" },
			});
		else
			found.push({
				names,
				reason: { code: "only combination" },
				resolvedBy: findResolution(first!, second),
			});
	}
	const named = new Set(found.flatMap(({ names }) => names));
	// Of the days of a crop only the most correlated one is reported.
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
				reason: { code: "strongly correlated", correlation: r },
				resolvedBy: findResolution(a, b),
			} as const;
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
				reason: { code: "large error" },
				resolvedBy: { code: resolveAlone(one.name) },
			});
	return found;
}

function resolveAlone(name: FitName): Exclude<Resolution["code"], "second burst length"> {
	switch (kindOf(name)) {
		case "leak":
			return "leak test";
		case "offset":
			return "outdoor zero";
		case "response":
			return "response from data sheet";
		case "flow":
			return "counted bursts";
		case "generation":
			return "rise test";
		default:
			return "longer or denser log";
	}
}

/** The test that would help most next. */
export function recommendTest(fit: Advised, confounded: readonly Confounded[]): Fit["recommendedTest"] {
	const file = fit.scenario.fileName;
	const involving = (kind: string) =>
		confounded.find(({ names }) => names.some((one) => kindOf(one) === kind));
	const recommend = ({ names, reason }: Confounded, test: Resolution["code"], options: string) => ({
		test,
		names,
		reason,
		command: `lullgust fit ${options} --scenario ${file}`,
	});
	const leak = involving("leak");
	if (leak !== undefined && fit.test !== "decay")
		return recommend(leak, "leak test", "decay.csv --test decay");
	const flow = involving("flow");
	if (flow !== undefined) return recommend(flow, "counted bursts", "bursts.csv --test bursts");
	const generation = involving("generation");
	if (generation !== undefined && fit.test !== "rise")
		return recommend(generation, "rise test", "rise.csv --test rise");
	const other = confounded[0];
	return other === undefined ? null : recommend(other, other.resolvedBy.code, "day.csv");
}
