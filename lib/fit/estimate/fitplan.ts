import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import type { Model } from "../../model/chamber.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { parseQuantity } from "../../scenario/text/quantity.ts";
import { HELD_SPREADS } from "../../sources/heldspreads.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { type Dimension, expectation } from "../../units/dimensions.ts";
import type { FitName, FitOptions } from "../fitoptions.ts";
import type { FitTemperature } from "../fittypes.ts";
import type { FitModel } from "../model/fitmodel.ts";
import type { FanHistory } from "../model/fitrun.ts";
import { MAX_TIMER_RATE_ERROR, MIN_CYCLES_FOR_RATE_ERROR } from "../model/phase.ts";
import { type FixedValue, type HeldValues, keepInputs, listHeldValues, Z_RANGE } from "./heldvalues.ts";

/** Time constant from which the search starts when the scenario names no sensor [s]: middle of the data sheets' 10..195 s. */
const DEFAULT_RESPONSE_SECONDS = 45;
/** Name of each kind of parameter in plain words, and its dimension. */
export const LABELS: Readonly<Record<string, readonly [string, Dimension]>> = {
	generation: ["CO₂ output", "flow"],
	flow: ["delivered flow", "flow"],
	leak: ["leakage", "flow"],
	offset: ["sensor offset", "concentration difference"],
	background: ["background CO₂", "concentration"],
	response: ["sensor response time", "duration"],
	initialCo2: ["CO₂ at the first reading", "concentration"],
	initialReading: ["first reading", "concentration"],
	phase: ["start of the first cycle", "duration"],
	timerRateError: ["timer runs slow by", "fraction"],
	q10: ["Q10", "number"],
	trend: ["growth of CO₂ output per day", "fraction"],
	"flush rise": ["start of the flush", "duration"],
	"flush fall": ["end of the flush", "duration"],
	"flush high": ["height of the flush", "number"],
	switchShift: ["fan column late by", "duration"],
	offShift: ["its switch-offs late by", "duration"],
};
/** What each test sets out to find; the starts always go with them. */
const SOUGHT: Readonly<Record<"log" | "rise" | "decay", readonly FitName[]>> = {
	log: ["generation", "flow", "leak", "offset", "response"],
	rise: ["generation", "leak"],
	decay: ["leak"],
};

/** What a fan column leaves open of its instants. */
const SHIFTS: readonly string[] = ["switchShift", "offShift"];

/** The background is the intake's CO2 with the offset that the model has for it. */
const inModel = (name: FitName): FitName => (name === "background" ? "offset" : name);

/** Days of CO2 output are one kind of parameter. */
export const kindOf = (name: string): string => (name.startsWith("generation") ? "generation" : name);

/** What a fit finds, what it holds, and how well that is known. */
export interface FitPlan {
	readonly parameters: readonly Parameter[];
	readonly held: HeldValues;
	/** The offset was given, so that what is left to find of the background is the intake's part. */
	readonly isOffsetHeld: boolean;
}

/**
 * The parameters as the options have them, from the scenario's values, with what is known of them beforehand. The background, which is
 * the sensor's offset beside the intake's CO2, is always found within what is known of both, unless it is asked for without.
 */
export function planParameters(
	scenario: Scenario,
	{ model: base, temperature }: { readonly model: Model; readonly temperature: FitTemperature },
	series: CleanSeries,
	model: Pick<FitModel, "names" | "assumedM3PerS">,
	run: FanHistory,
	asked: FitOptions,
	test: "log" | "rise" | "decay",
): FitPlan {
	const options = {
		...asked,
		...(asked.free && { free: (asked.free as readonly FitName[]).map(inModel) }),
		...(asked.prior && { prior: asked.prior.map(inModel) }),
	};
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
		response: findInitialResponse(sensor?.response.value ?? null, test, sought.includes("response")),
		initialCo2: Math.max(firstReading - offset, 0),
		initialReading: firstReading,
		phase: run.phaseSeconds,
		timerRateError: 0,
		switchShift: 0,
		offShift: 0,
	};
	const lower: Readonly<Record<string, number>> = {
		offset: -2000,
		phase: -Infinity,
		timerRateError: -2 * MAX_TIMER_RATE_ERROR,
		switchShift: -Infinity,
		offShift: -Infinity,
	};
	const upper: Readonly<Record<string, number>> = {
		flow: 50 * base.deliveredM3PerS,
		offset: 2000,
		response: 3600,
		timerRateError: 2 * MAX_TIMER_RATE_ERROR,
	};
	const known = readFixedValues(options.fix ?? {}, scenario, base, model.assumedM3PerS);
	const unknown = [...(options.free ?? []), ...(options.prior ?? [])].filter(
		(name) => !(model.names as readonly string[]).includes(name) && name !== "generation",
	);
	if (unknown.length > 0)
		throw new InputError(`unknown parameter ${unknown.join(", ")}; use one of ${model.names.join(", ")}`);
	const span = series.timesSeconds.at(-1) ?? 0;
	const isRateErrorSought =
		run.seek !== null &&
		options.averagesCycles !== true &&
		span >= MIN_CYCLES_FOR_RATE_ERROR * (run.seek.onSeconds + run.seek.offSeconds);
	const isExact = options.exact === true;
	/** Kinds that are found beside what is known of them. */
	const withPrior = new Set<string>([
		"switchShift",
		"offShift",
		...(options.prior ?? []),
		...(isExact
			? options.free === undefined
				? ["offset"]
				: []
			: options.free?.includes("offset")
				? []
				: ["offset"]),
		// A rise hardly tells the leak, but what is known of it belongs into the error of the respiration.
		...(options.prior === undefined && test === "rise" && options.free === undefined && !known.has("leak")
			? ["leak"]
			: []),
		...[...known].flatMap(([kind, { isStated }]) => (isStated ? [kind] : [])),
	]);
	const all = listHeldValues(scenario, base, temperature, run, known);
	const held = !isExact
		? all
		: keepInputs(
				all,
				({ own, source }) => withPrior.has(own ?? "") || (source === "offset" && withPrior.has(source)),
			);
	const parameters = model.names.map((name, place): Parameter => {
		const kind = name.startsWith("generation") ? "generation" : name;
		const fixed = known.get(name) ?? known.get(kind);
		// Each respiration starts at what the scenario has for its hours.
		const initial =
			fixed?.at(place) ?? (kind === "generation" && !empty ? model.assumedM3PerS[place]! : value[kind]!);
		const prior = withPrior.has(kind) ? findPrior(kind, initial, held) : undefined;
		const isSought =
			name === "initialCo2" ||
			(name === "initialReading" && initial >= 0) ||
			(name === "phase" && run.seek !== null && options.averagesCycles !== true) ||
			(name === "timerRateError" && isRateErrorSought) ||
			(SHIFTS.includes(name) && prior !== undefined) ||
			(kind === "offset" && !isExact) ||
			options.prior?.includes(kind as FitName) === true ||
			sought.includes(kind as FitName);
		const isFree =
			fixed === undefined
				? isSought
				: prior !== undefined && (fixed.isStated || (kind === "offset" && !isExact));
		return {
			name,
			initial,
			lower: lower[kind] ?? 0,
			upper: upper[kind] ?? Infinity,
			fixed: !isFree,
			...(isFree && prior !== undefined ? { prior } : {}),
		};
	});
	const offsetFixed = known.get("offset");
	return { parameters, held, isOffsetHeld: offsetFixed !== undefined && !offsetFixed.isStated };
}

/** A response of nothing that the file states stays, but is no place to begin a search from. */
const findInitialResponse = (stated: number | null, test: string, isSought: boolean): number =>
	stated !== null && (stated > 0 || !isSought || test !== "log")
		? stated
		: test === "log"
			? DEFAULT_RESPONSE_SECONDS
			: 0;

function findPrior(
	kind: string,
	mean: number,
	held: HeldValues,
): NonNullable<Parameter["prior"]> | undefined {
	const gradient = held.knowledge(kind, mean);
	const variance = gradient.reduce(
		(sum, a, i) => sum + a * gradient.reduce((part, b, j) => part + b * held.covariance[i]![j]!, 0),
		0,
	);
	return variance > 0 ? { mean, standardDeviation: Math.sqrt(variance) } : undefined;
}

/** A value that `fix` gives. */
interface Fixed extends FixedValue {
	/** For respiration by its place among those of the days. */
	readonly at: (place: number) => number;
}

/** Values of the options: a number counts as exact, a text has the spread that stands in it or else a usual one. */
function readFixedValues(
	fix: Readonly<Partial<Record<FitName, number | string>>>,
	scenario: Scenario,
	base: Model,
	assumedM3PerS: readonly number[],
): ReadonlyMap<string, Fixed> {
	const faults: { path: string; message: string }[] = [];
	const known = new Map<string, Fixed>();
	for (const [name, given] of Object.entries(fix)) {
		if (given === undefined) continue;
		const label = LABELS[name];
		const target = inModel(name as FitName);
		const less = name === "background" ? base.intakePpm : 0;
		if (label === undefined) {
			faults.push({
				path: `fix ${name}`,
				message: `is not a parameter; use one of ${Object.keys(LABELS).join(", ")}`,
			});
			continue;
		}
		if (typeof given === "number") {
			known.set(target, {
				at: () => given - less,
				standardDeviation: 0,
				isStated: false,
				isPerVolume: false,
			});
			continue;
		}
		const dimensions: Dimension[] =
			name === "leak"
				? ["flow", "air changes"]
				: name === "generation"
					? ["flow", "respiration"]
					: [label[1]];
		// Nothing is nothing in any unit.
		const read = parseQuantity(
			given.trim() === "0" ? `0 ${UNIT_OF_NOTHING[label[1]] ?? ""}` : given,
			dimensions,
		);
		if ("refused" in read) {
			const why = read.refused === "" ? "" : `; ${read.refused}`;
			faults.push({
				path: `fix ${name}`,
				message: `needs ${expectation(dimensions)}, got "${given}"${why}`,
			});
			continue;
		}
		// A rate per fresh mass is that of the first substrate at its reference temperature; the others keep their share.
		const [first] = scenario.substrate;
		const isRate = read.dimension === "respiration" && first !== undefined;
		const isPerVolume = read.dimension === "air changes";
		const per = isRate
			? 1 / (first.respirationRate.value * first.stageFactor.value)
			: isPerVolume
				? base.volumeM3
				: 1;
		const scale = (place: number): number => (isRate ? per * assumedM3PerS[place]! : per);
		const isStated = read.low !== null && read.high !== null;
		const usual = USUAL_SPREADS[target] ?? HELD_SPREADS.fixed.value * Math.abs(read.value);
		const spread = isStated ? (read.high - read.low) / 2 : usual;
		known.set(target, {
			at: (place) => read.value * scale(place) - less,
			standardDeviation: (spread * scale(0)) / Z_RANGE,
			isStated,
			isPerVolume,
		});
	}
	if (faults.length > 0) throw new InputError(faults);
	return known;
}

const UNIT_OF_NOTHING: Readonly<Partial<Record<Dimension, string>>> = {
	"concentration difference": "ppm",
	flow: "m3/h",
	duration: "s",
};

/** Spreads of held values that are no shares of them; starts and rate error count as they are given. */
const USUAL_SPREADS: Readonly<Record<string, number>> = {
	offset: HELD_SPREADS.fixedOffset.value,
	phase: HELD_SPREADS.instant.value,
	initialCo2: 0,
	initialReading: 0,
	timerRateError: 0,
};
