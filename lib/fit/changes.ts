import { power } from "../power.ts";
import type { ChangeCorrelations, ScenarioChange } from "../scenario/edit/update.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { DAY } from "../time.ts";
import type { ErrorBudget } from "./estimate/errorbudget.ts";
import { type HeldValues, Z_RANGE } from "./estimate/heldvalues.ts";
import type { FitName } from "./fitoptions.ts";
import type { DerivedFigure, FittedParameter } from "./fittypes.ts";
import { rateOf } from "./respirationrate.ts";

/**
 * Changes that write what the log told back to the scenario file; what it did not tell stays as it is.
 * @param celsius mean temperature of the log, for which the rate is written [°C]
 * @param given what was fixed by the options: it is written as well, without an error of its own
 */
export function listChanges(
	scenario: Scenario,
	parameters: readonly FittedParameter[],
	celsius: number,
	given: Given,
): readonly ScenarioChange[] {
	const changes: ScenarioChange[] = [];
	const identifiable = (name: FitName) =>
		parameters.find(
			(one) =>
				one.name === name && (given.names.includes(name) || (one.status !== "fixed" && one.isIdentifiable)),
		);
	const add = (of: FittedParameter, change: ScenarioChange): void => {
		changes.push(of.status === "fixed" ? { ...change, isGiven: true } : change);
	};
	const flow = identifiable("flow");
	if (flow !== undefined && flow.value > 1e-6)
		add(flow, writeChange("fan.flow", flow.value, flow.standardError, 3600, "m3/h"));
	const leak = identifiable("leak");
	if (leak !== undefined)
		add(
			leak,
			scenario.chamber.leak.dimension === "air changes"
				? writeChange("chamber.leak", ...airChangesOf(leak), 3600, "/h")
				: writeChange("chamber.leak", leak.value, leak.standardError, 3.6e6, "L/h"),
		);
	const generation = identifiable("generation");
	const isRateGiven = generation?.status === "fixed";
	const rate = rateOf(generation);
	// A rate is that of the middle of the log, and a file has no growth that would carry it on.
	const trend = identifiable("trend");
	const noted =
		trend === undefined
			? {}
			: {
					part: `mean of the log, ${trend.value < 0 ? "−" : "+"}${(100 * Math.abs(trend.value)).toPrecision(2)} % a day`,
				};
	if (generation !== undefined && (rate !== null || isRateGiven)) {
		// What the scenario has for the same hours is where the search started.
		const factor = generation.value / (isRateGiven ? given.assumedM3PerS : generation.initial);
		const relative = isRateGiven ? 0 : (rate?.standardError ?? 0) / rate!.value;
		for (const [index, item] of scenario.substrate.entries()) {
			// The log tells the rate at its own temperature; written for that one, it needs no Q10, whose spread would blur it again.
			const reference = isRateGiven ? item.reference.value : Number(celsius.toFixed(2));
			const warmth = power(item.q10.value, (reference - item.reference.value) / 10);
			// Rates that are written hold for the stage as it is, so a stage's multiplier goes into them.
			const scale = factor * item.stageFactor.value * warmth * 3.6e9;
			for (const [path, value] of item.rates === null
				? [[`substrate[${index}].rate`, item.respirationRate.value] as const]
				: item.rates.map(
						(row, k) => [`substrate[${index}].rates[${k}].rate`, row.respirationRate.value] as const,
					))
				add(generation, { ...writeChange(path, value, value * relative, scale, "mg/(kg h)"), ...noted });
			if (warmth !== 1) add(generation, { path: `substrate[${index}].reference`, text: `${reference} C` });
		}
	}
	for (const [name, key, scale, unit] of [
		["q10", "q10", 1, ""],
		["flush rise", "flush.rise", 1 / DAY, "d"],
		["flush fall", "flush.fall", 1 / DAY, "d"],
		["flush high", "flush.high", 1, ""],
	] as const) {
		const one = identifiable(name);
		if (one === undefined) continue;
		for (const [index, { flush }] of scenario.substrate.entries())
			if (name === "q10" || flush !== null)
				add(one, writeChange(`substrate[${index}].${key}`, one.value, one.standardError, scale, unit));
	}
	if (given.names.includes("q10"))
		for (const [index, { q10 }] of scenario.substrate.entries()) {
			const spread = q10.low === null || q10.high === null ? 0 : (q10.high - q10.low) / 2 / Z_RANGE;
			changes.push({ ...writeChange(`substrate[${index}].q10`, q10.value, spread, 1, ""), isGiven: true });
		}
	const response = identifiable("response");
	if (response !== undefined)
		add(response, writeChange("sensor.response", response.value, response.standardError, 1, "s"));
	const offset = identifiable("offset");
	if (offset !== undefined)
		add(offset, writeChange("sensor.offset", offset.value, offset.standardError, 1, "ppm"));
	return changes;
}

const airChangesOf = ({ alsoAs }: FittedParameter): readonly [number, number | null] => {
	const { value, standardError } = alsoAs.find(({ quantity }) => quantity === "air changes")!;
	return [value, standardError];
};

/** Values that the options fixed, and the CO2 output that the scenario has for the log [m3/s]. */
export interface Given {
	readonly names: readonly string[];
	readonly assumedM3PerS: number;
}

/** Changed values that the balance hangs on, by the parameter that each comes from. */
const PARAMETER_OF = [
	[/^fan\.flow$/, "flow"],
	[/^chamber\.leak$/, "leak"],
	[/^substrate\b/, "generation"],
	[/^fan\.spin-up$/, "lost on-time"],
] as const;

/** The unit of another trade in which a parameter is written back, where it has one. */
export const writtenAs = ({ chamber }: Scenario, name: FitName): DerivedFigure["quantity"] | null =>
	name === "generation"
		? "respiration rate"
		: name === "leak" && chamber.leak.dimension === "air changes"
			? "air changes"
			: null;

/** Held values of the file with a spread of their own, with which the errors of changed values go together from this correlation on. */
const HELD_PATHS = /^(chamber\.volume|chamber\.mixing|intake\.co2|substrate\[\d+\]\.mass)$/;
const MIN_HELD_CORRELATION = 0.05;

/**
 * How the errors of the changed values go together, and with those of values that they were held beside: a rate that is high because the
 * mass is low must not be drawn with another mass. null when fewer than two have any.
 * @param placeOf the figure in the budget that a parameter is written from
 */
export function findChangeCorrelations(
	changes: readonly ScenarioChange[],
	placeOf: (name: FitName) => number,
	{ covariance, withInputs }: ErrorBudget,
	{ inputs, covariance: between }: HeldValues,
): ChangeCorrelations | null {
	const changed = changes.flatMap(({ path, text }) => {
		const name = PARAMETER_OF.find(([start]) => start.test(path))?.[1];
		const place = name === undefined || !text.includes("±") ? -1 : placeOf(name);
		return place < 0 ? [] : [{ path, place, input: -1 }];
	});
	const sd = (variance: number): number => Math.sqrt(Math.max(variance, Number.MIN_VALUE));
	const heldPaths = inputs.flatMap(({ path, isStated }, input) =>
		isStated &&
		path !== null &&
		HELD_PATHS.test(path) &&
		!changes.some((one) => one.path === path) &&
		changed.some(
			({ place }) =>
				Math.abs(withInputs[place]![input]!) >=
				MIN_HELD_CORRELATION * sd(covariance[place]![place]!) * sd(between[input]![input]!),
		)
			? [{ path, place: -1, input }]
			: [],
	);
	const known = [...changed, ...heldPaths];
	if (known.length < 2) return null;
	type One = (typeof known)[number];
	const of = (a: One, b: One): number =>
		a.place >= 0
			? b.place >= 0
				? covariance[a.place]![b.place]!
				: withInputs[a.place]![b.input]!
			: b.place >= 0
				? withInputs[b.place]![a.input]!
				: between[a.input]![b.input]!;
	return {
		between: known.map(({ path }) => path),
		// Rates that one factor scaled are one and the same unknown.
		matrix: known.map((a) =>
			known.map((b) =>
				a.place === b.place && a.input === b.input
					? 1
					: Math.max(-1, Math.min(1, of(a, b) / (sd(of(a, a)) * sd(of(b, b))))),
			),
		),
	};
}

/** `63.2 m3/h ±1.4 %`; an offset, which may be 0 or less, as `-12 ppm ±4 ppm`. */
export function writeChange(
	path: string,
	value: number,
	standardError: number | null,
	scale: number,
	unit: string,
): ScenarioChange {
	const spread = Z_RANGE * (standardError ?? 0);
	const inUnit = value * scale;
	const error = spread * scale;
	const digits = error > 0 ? Math.min(Math.max(1 - Math.floor(Math.log10(error)), 0), 9) : 6;
	const number = Number(inUnit.toFixed(digits));
	if (!(error > 0)) return { path, text: `${number} ${unit}`.trimEnd() };
	if (unit === "ppm") return { path, text: `${number} ppm ±${Number(error.toPrecision(2))} ppm` };
	if (!(number > 0)) return { path, text: `0 ${unit}`.trimEnd() };
	// What cannot be negative must not have a spread that says so.
	const percent = Math.min((100 * spread) / value, 99);
	return { path, text: `${number}${unit === "" ? "" : ` ${unit}`} ±${Number(percent.toPrecision(2))} %` };
}
