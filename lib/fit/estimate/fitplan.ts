import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import type { Model } from "../../model/chamber.ts";
import { deliveredFlow } from "../../model/fan/deliveredflow.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { type Dimension, expectation } from "../../units/dimensions.ts";
import { normalizeText, parseValue } from "../../units/read.ts";
import type { FitName, FitOptions } from "../fittypes.ts";
import type { FitModel } from "../model/fitmodel.ts";
import type { FanHistory } from "../model/fitrun.ts";
import { MAX_TIMER_RATE_ERROR, MIN_CYCLES_FOR_RATE_ERROR } from "../model/phase.ts";

/** Time constant from which the search starts when the scenario names no sensor [s]: middle of the data sheets' 10..195 s. */
const DEFAULT_RESPONSE_SECONDS = 45;
/** Name of each kind of parameter in plain words, and its dimension. */
export const LABELS: Readonly<Record<string, readonly [string, Dimension]>> = {
	generation: ["CO₂ output", "flow"],
	flow: ["delivered flow", "flow"],
	leak: ["leakage", "flow"],
	offset: ["sensor offset", "concentration difference"],
	response: ["sensor response time", "duration"],
	initialCo2: ["CO₂ at the first reading", "concentration"],
	initialReading: ["first reading", "concentration"],
	phase: ["start of the first cycle", "duration"],
	timerRateError: ["timer runs slow by", "fraction"],
	switchShift: ["fan column late by", "duration"],
	offShift: ["its switch-offs late by", "duration"],
};
/** What each test sets out to find; the starts always go with them. */
const SOUGHT: Readonly<Record<"log" | "rise" | "decay", readonly FitName[]>> = {
	log: ["generation", "flow", "leak", "offset", "response"],
	rise: ["generation", "leak"],
	decay: ["leak"],
};

/** The parameters as the options have them, from the scenario's values. */
export function planParameters(
	scenario: Scenario,
	base: Model,
	series: CleanSeries,
	model: Pick<FitModel, "names" | "assumedM3PerS">,
	run: FanHistory,
	options: FitOptions,
	test: "log" | "rise" | "decay",
): readonly Parameter[] {
	const { sensor } = scenario;
	const firstReading = series.co2Ppm.find((_, i) => series.excluded[i] === 0) ?? base.intakePpm;
	const offset = sensor?.offset.value ?? 0;
	const sought = options.free ?? (test === "decay" && options.fan === "on" ? ["flow"] : SOUGHT[test]);
	const empty = test === "decay" && !sought.includes("generation");
	const value: Readonly<Record<string, number>> = {
		generation: empty ? 0 : base.generationM3PerS,
		flow: base.deliveredM3PerS,
		leak: base.infiltrationM3PerS,
		offset,
		response: sensor?.response.value || (test === "log" ? DEFAULT_RESPONSE_SECONDS : 0),
		initialCo2: Math.max(firstReading - offset, 0),
		initialReading: firstReading,
		phase: run.phaseSeconds,
		timerRateError: 0,
		switchShift: 0,
		offShift: 0,
	};
	const timing = run.fan.kind === "logged" ? run.fan.timing : undefined;
	/** Shifts of a fan column are as likely anywhere up to so far either way [s]. */
	const within = new Map<string, number>([
		["switchShift", timing?.shiftWithinSeconds ?? 0],
		["offShift", timing?.offShiftWithinSeconds ?? 0],
	]);
	const lower: Readonly<Record<string, number>> = {
		offset: -2000,
		phase: -Infinity,
		timerRateError: -2 * MAX_TIMER_RATE_ERROR,
	};
	const upper: Readonly<Record<string, number>> = {
		flow: 50 * base.deliveredM3PerS,
		offset: 2000,
		response: 3600,
		timerRateError: 2 * MAX_TIMER_RATE_ERROR,
	};
	const known = readFixedValues(options.fix ?? {}, scenario, base, model.assumedM3PerS);
	const unknown = [...(options.free ?? []), ...(options.prior ?? [])].filter(
		(name) => !model.names.includes(name) && name !== "generation",
	);
	if (unknown.length > 0)
		throw new InputError(`unknown parameter ${unknown.join(", ")}; use one of ${model.names.join(", ")}`);
	const span = (series.timesSeconds.at(-1) ?? 0) - 0;
	const isRateErrorSought =
		run.seek !== null && span >= MIN_CYCLES_FOR_RATE_ERROR * (run.seek.onSeconds + run.seek.offSeconds);
	return model.names.map((name, place) => {
		const kind = name.startsWith("generation") ? "generation" : name;
		const fixedAt = (known.get(name) ?? known.get(kind))?.(place);
		const reach = fixedAt === undefined ? (within.get(name) ?? 0) : 0;
		if (reach > 0)
			// A uniform error has its greatest value over √3 as standard deviation; bounds lie beyond all of it.
			return {
				name,
				initial: 0,
				lower: -2 * reach,
				upper: 2 * reach,
				prior: { mean: 0, standardDeviation: reach / Math.sqrt(3) },
			};
		// Each respiration starts at what the scenario has for its hours.
		const initial = fixedAt ?? (kind === "generation" && !empty ? model.assumedM3PerS[place]! : value[kind]!);
		const free =
			fixedAt === undefined &&
			(name === "initialCo2" ||
				(name === "initialReading" && initial >= 0) ||
				(name === "phase" && run.seek !== null) ||
				(name === "timerRateError" && isRateErrorSought) ||
				options.prior?.includes(kind as FitName) === true ||
				(sought.includes(kind as FitName) &&
					!(isLeakOfRise(name, options) && scenario.chamber.leak.low === null)));
		const prior = free ? findPrior(kind as FitName, scenario, base, options) : undefined;
		return {
			name,
			initial,
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
const isLeakOfRise = (name: string, options: FitOptions): boolean =>
	options.test === "rise" && name === "leak" && options.free === undefined;

function findPrior(
	name: FitName,
	scenario: Scenario,
	base: Model,
	options: FitOptions,
): { readonly mean: number; readonly standardDeviation: number } | undefined {
	const asked = [...(options.prior ?? []), ...(options.free === undefined ? ["offset"] : [])];
	// A short rise cannot tell the leak, but what is known of it belongs into the error of the respiration.
	if (!asked.includes(name) && !(options.prior === undefined && isLeakOfRise(name, options)))
		return undefined;
	if (name === "offset") {
		const accuracy = scenario.sensor?.accuracy.ppm.value ?? 50;
		return { mean: scenario.sensor?.offset.value ?? 0, standardDeviation: accuracy / Z };
	}
	const { chamber, sensor } = scenario;
	const quantity = { leak: chamber.leak, flow: deliveredFlow(scenario), response: sensor?.response }[
		name as "leak" | "flow" | "response"
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

function readFixedValues(
	fix: Readonly<Partial<Record<FitName, number | string>>>,
	scenario: Scenario,
	base: Model,
	assumedM3PerS: readonly number[],
): ReadonlyMap<string, (place: number) => number> {
	const faults: { path: string; message: string }[] = [];
	/** By name, and for respiration by its place among those of the days. */
	const known = new Map<string, (place: number) => number>();
	for (const [name, given] of Object.entries(fix)) {
		if (given === undefined) continue;
		const label = LABELS[name];
		if (label === undefined) {
			faults.push({
				path: `fix ${name}`,
				message: `is not a parameter; use one of ${Object.keys(LABELS).join(", ")}`,
			});
			continue;
		}
		if (typeof given === "number") {
			known.set(name, () => given);
			continue;
		}
		const dimensions: Dimension[] =
			name === "leak"
				? ["flow", "air changes"]
				: name === "generation"
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
		// A rate per fresh mass is that of the first substrate at its reference temperature; the others keep their share.
		const first = scenario.substrate[0];
		if (read.dimension === "respiration" && first !== undefined) {
			const factor = read.value / (first.respirationRate.value * first.stageFactor.value);
			known.set(name, (place) => factor * assumedM3PerS[place]!);
			continue;
		}
		const value = read.value * (read.dimension === "air changes" ? base.volumeM3 : 1);
		known.set(name, () => value);
	}
	if (faults.length > 0) throw new InputError(faults);
	return known;
}
