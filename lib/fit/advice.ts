import type { Confounded, Resolution } from "./findings.ts";
import type { FitName } from "./fitoptions.ts";
import type { Fit } from "./fittypes.ts";

/** Correlation from which on two parameters are hardly separated: known the one, the other's error is less than half. */
const MIN_CONFOUNDING = 0.9;
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

/** Share of the variance from which on an error is the log's own; what comes of the volume makes errors alike that no test parts. */
const MIN_NOISE_SHARE = 0.5;

/** Pairs of parameters that a log can hardly separate, the closest first; of the days of a crop the closest one stands for all. */
function findCorrelated(fit: Advised): readonly (Confounded & { readonly r: number })[] {
	const isOfLog = (name: FitName): boolean =>
		fit.parameters.some(
			(one) =>
				one.name === name &&
				one.shares.some(({ source, share }) => source === "noise" && share >= MIN_NOISE_SHARE),
		);
	const pairs = fit.free.flatMap((a, i) =>
		fit.free.slice(i + 1).flatMap((b, k) => {
			const r = Math.abs(fit.correlation[i]![i + 1 + k]!);
			return r >= MIN_CONFOUNDING &&
				kindOf(a) !== kindOf(b) &&
				![a, b].some((name) => NUISANCE_PARAMETERS.includes(name)) &&
				[a, b].every(isOfLog)
				? [
						{
							names: [a, b],
							reason: { code: "strongly correlated", correlation: fit.correlation[i]![i + 1 + k]! } as const,
							resolvedBy: findResolution(a, b),
							r,
						},
					]
				: [];
		}),
	);
	return pairs.sort((a, b) => b.r - a.r);
}

/** Parameters that the log does not determine, each named once: by itself, or with the one that it cannot be separated from. */
export function findConfounded(
	fit: Advised,
	unidentifiable: readonly (readonly number[])[],
): readonly Confounded[] {
	const found: Confounded[] = [];
	const named = new Set<FitName>();
	const add = (one: Confounded): void => {
		found.push(one);
		for (const name of one.names) named.add(name);
	};
	const { parameters } = fit;
	const never = fit.curve.bursts.length === 0;
	for (const group of unidentifiable) {
		const names = group
			.map((k) => parameters[k]!.name)
			.filter((name) => !NUISANCE_PARAMETERS.includes(name) && !named.has(name));
		const [first, second] = names;
		if (first === undefined) continue;
		if (second === undefined)
			add({
				names,
				reason: { code: first === "flow" && never ? "fan never on" : "no effect" },
				resolvedBy: { code: first === "flow" ? "log over several bursts" : "log with an effect" },
			});
		else add({ names, reason: { code: "only combination" }, resolvedBy: findResolution(first, second) });
	}
	const isOpen = (name: FitName): boolean =>
		parameters.some(
			(one) => one.name === name && !one.isIdentifiable && one.status !== "fixed" && !named.has(name),
		);
	for (const { r: _, ...pair } of findCorrelated(fit))
		if (pair.names.some(isOpen) && !pair.names.some((name) => named.has(name))) add(pair);
	for (const { name } of parameters)
		if (isOpen(name) && !NUISANCE_PARAMETERS.includes(name))
			add({ names: [name], reason: { code: "large error" }, resolvedBy: { code: resolveAlone(name) } });
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

/** The field test that a parameter is best found by, and its option; in this order they help most. */
const FIELD_TESTS = [
	["leak", "leak test", "decay"],
	["flow", "counted bursts", "bursts"],
	["generation", "rise test", "rise"],
] as const;

/** What would help most next, and the command for it; never the test that was just done. */
export function recommendTest(fit: Advised, confounded: readonly Confounded[]): Fit["recommendedTest"] {
	const open = [...confounded, ...findCorrelated(fit)];
	const { fileName } = fit.scenario;
	const recommend = (
		{ names, reason }: Confounded,
		test: Resolution["code"],
		log: string,
		options: string,
	) => ({
		test,
		names,
		reason,
		command: `lullgust fit ${log} --test ${options} --scenario ${fileName}`,
	});
	for (const [kind, test, option] of FIELD_TESTS) {
		const one = open.find(({ names }) => names.some((name) => kindOf(name) === kind));
		if (one !== undefined && fit.test !== option) return recommend(one, test, `${option}.csv`, option);
	}
	/** The same log once more, with what was measured beside it. */
	const held: Readonly<Partial<Record<Resolution["code"], string>>> = {
		"outdoor zero": "--fix offset=…",
		"response from data sheet": "--fix response=…",
		"cycle start or response": "--phase …",
	};
	const other = open.find(({ resolvedBy }) => held[resolvedBy.code] !== undefined);
	return other === undefined
		? null
		: recommend(
				other,
				other.resolvedBy.code,
				fit.series.log.fileName,
				`${fit.test} ${held[other.resolvedBy.code]}`,
			);
}
