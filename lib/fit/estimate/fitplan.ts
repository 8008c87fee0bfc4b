import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import type { Model } from "../../model/chamber.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { type Dimension, expectation, normalizeText, parseValue } from "../../units/units.ts";
import type { FitName, FitOptions } from "../fittypes.ts";
import type { FitModel } from "../model/fitmodel.ts";
import type { Run } from "../model/fitrun.ts";
import { CYCLES_FOR_DRIFT, MOST_DRIFT } from "../model/phase.ts";

/** Time constant from which the search starts when the scenario names no sensor [s]: middle of the data sheets' 10..195 s. */
const USUAL_LAG = 45;
/** Name of each kind of parameter in plain words, and its dimension. */
export const LABELS: Readonly<Record<string, readonly [string, Dimension]>> = {
	respiration: ["CO2 given off", "flow"],
	flow: ["delivered flow", "flow"],
	leak: ["leak", "flow"],
	offset: ["sensor offset", "concentration difference"],
	lag: ["sensor response (t63)", "duration"],
	start: ["CO2 at the first sample", "concentration"],
	reading: ["reading at the first sample", "concentration"],
	phase: ["start of the first cycle", "duration"],
	drift: ["timer slow by", "fraction"],
};
/** What each test sets out to find; the starts always go with them. */
const SOUGHT: Readonly<Record<"log" | "rise" | "decay", readonly FitName[]>> = {
	log: ["respiration", "flow", "leak", "offset", "lag"],
	rise: ["respiration", "leak"],
	decay: ["leak"],
};

/** The parameters as the options have them, from the scenario's values. */
export function plan(
	scenario: Scenario,
	base: Model,
	series: CleanSeries,
	model: Pick<FitModel, "names">,
	run: Run,
	options: FitOptions,
	test: "log" | "rise" | "decay",
): readonly Parameter[] {
	const { sensor } = scenario;
	const firstReading = series.co2Ppm.find((_, i) => series.excluded[i] === 0) ?? base.supplyPpm;
	const offset = sensor?.offset.value ?? 0;
	const sought = options.free ?? (test === "decay" && options.fan === "on" ? ["flow"] : SOUGHT[test]);
	const empty = test === "decay" && !sought.includes("respiration");
	const value: Readonly<Record<string, number>> = {
		respiration: empty ? 0 : base.generationM3PerS,
		flow: base.fanM3PerS,
		leak: base.leakM3PerS,
		offset,
		lag: sensor?.response.value || (test === "log" ? USUAL_LAG : 0),
		start: Math.max(firstReading - offset, 0),
		reading: firstReading,
		phase: run.phaseSeconds,
		drift: 0,
	};
	const lower: Readonly<Record<string, number>> = { offset: -2000, phase: -Infinity, drift: -2 * MOST_DRIFT };
	const upper: Readonly<Record<string, number>> = {
		flow: 50 * base.fanM3PerS,
		offset: 2000,
		lag: 3600,
		drift: 2 * MOST_DRIFT,
	};
	const known = fixedValues(options.fix ?? {}, scenario, base);
	const unknown = [...(options.free ?? []), ...(options.prior ?? [])].filter(
		(name) => !model.names.includes(name) && name !== "respiration",
	);
	if (unknown.length > 0)
		throw new InputError(`no parameter is called ${unknown.join(", ")}; there are ${model.names.join(", ")}`);
	const span = (series.timesSeconds.at(-1) ?? 0) - 0;
	const seekDrift =
		run.seek !== null && span >= CYCLES_FOR_DRIFT * (run.seek.onSeconds + run.seek.offSeconds);
	return model.names.map((name) => {
		const kind = name.startsWith("respiration") ? "respiration" : name;
		const fixedAt = known.get(name) ?? known.get(kind);
		const start = fixedAt ?? value[kind]!;
		const free =
			fixedAt === undefined &&
			(name === "start" ||
				(name === "reading" && start >= 0) ||
				(name === "phase" && run.seek !== null) ||
				(name === "drift" && seekDrift) ||
				options.prior?.includes(kind as FitName) === true ||
				(sought.includes(kind as FitName) && !(inRise(name, options) && scenario.chamber.leak.low === null)));
		const prior = free ? priorOf(kind as FitName, scenario, base, options) : undefined;
		return {
			name,
			start,
			lower: lower[kind] ?? 0,
			upper: upper[kind] ?? Infinity,
			fixed: !free,
			...(prior === undefined ? {} : { prior }),
		};
	});
}

/** Half of a 95 % interval over its standard deviation. */
const Z = 1.96;
/** Half of a scenario's range, which is read as 5 % to 95 %, over its standard deviation. */
const Z_RANGE = 1.645;

/** The leak of a rise test, found only within what the scenario knows of it. */
const inRise = (name: string, options: FitOptions): boolean =>
	options.test === "rise" && name === "leak" && options.free === undefined;

function priorOf(
	name: FitName,
	scenario: Scenario,
	base: Model,
	options: FitOptions,
): { readonly mean: number; readonly standardDeviation: number } | undefined {
	const asked = [...(options.prior ?? []), ...(options.free === undefined ? ["offset"] : [])];
	// A short rise cannot tell the leak, but what is known of it belongs into the error of the respiration.
	if (!asked.includes(name) && !(options.prior === undefined && inRise(name, options))) return undefined;
	if (name === "offset") {
		const accuracy = scenario.sensor?.accuracy.ppm.value ?? 50;
		return { mean: scenario.sensor?.offset.value ?? 0, standardDeviation: accuracy / Z };
	}
	const { chamber, fan, sensor } = scenario;
	const quantity = { leak: chamber.leak, flow: fan.flow, lag: sensor?.response }[
		name as "leak" | "flow" | "lag"
	];
	if (quantity === undefined || quantity === null || quantity.low === null || quantity.high === null)
		throw new InputError(
			`${name} cannot be a prior: the scenario gives no range for it; write one, such as ±20 %, or free it`,
		);
	const scale = quantity.dimension === "air changes" ? base.volumeM3 : 1;
	return {
		mean: quantity.value * scale,
		standardDeviation: ((quantity.high - quantity.low) * scale) / (2 * Z_RANGE),
	};
}

function fixedValues(
	fix: Readonly<Partial<Record<FitName, number | string>>>,
	scenario: Scenario,
	base: Model,
): ReadonlyMap<string, number> {
	const faults: { path: string; message: string }[] = [];
	const known = new Map<string, number>();
	for (const [name, given] of Object.entries(fix)) {
		if (given === undefined) continue;
		const label = LABELS[name];
		if (label === undefined) {
			faults.push({
				path: `fix ${name}`,
				message: `is no parameter; there are ${Object.keys(LABELS).join(", ")}`,
			});
			continue;
		}
		if (typeof given === "number") {
			known.set(name, given);
			continue;
		}
		const dimensions: Dimension[] =
			name === "leak"
				? ["flow", "air changes"]
				: name === "respiration"
					? ["flow", "respiration"]
					: [label[1]];
		const read = parseValue(normalizeText(given), dimensions);
		if ("refused" in read) {
			const why = read.refused === "" ? "" : `; ${read.refused}`;
			faults.push({
				path: `fix ${name}`,
				message: `needs ${expectation(dimensions)}, got "${given}"${why}`,
			});
			continue;
		}
		// A rate per fresh mass is that of the first substrate; the others keep their share.
		const first = scenario.substrate[0];
		const per =
			read.dimension === "air changes"
				? base.volumeM3
				: read.dimension === "respiration" && first !== undefined
					? base.generationM3PerS / (first.rate.value * first.stageFactor.value)
					: 1;
		known.set(name, read.value * per);
	}
	if (faults.length > 0) throw new InputError(faults);
	return known;
}
