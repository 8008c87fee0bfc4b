import { ZERO_CELSIUS } from "../../model/air/gaslaws.ts";
import type { Model } from "../../model/chamber.ts";
import { deliveredFlow } from "../../model/fan/deliveredflow.ts";
import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import { HELD_SPREADS } from "../../sources/heldspreads.ts";
import type { Waves } from "../../statistics/waves.ts";
import type { ErrorSource, FitTemperature } from "../fittypes.ts";
import { statedAccuracy } from "../model/accuracy.ts";
import type { FanHistory } from "../model/fitrun.ts";
import { meanCelsius } from "../model/temperature.ts";

/** Kinds of parameters that a log's model has; days of CO2 output are one kind. */
export type ParameterKind =
	| "generation"
	| "flow"
	| "leak"
	| "offset"
	| "response"
	| "phase"
	| "switchShift"
	| "offShift";

/**
 * A value that a fit rests on without finding it, and how well it is known. A log only shows G/V, mQ/V, L/V and the background
 * sensor + intake, each times the sensor's gain; so a wrong value enters in one of three ways.
 */
export interface HeldInput {
	readonly source: Exclude<ErrorSource, "noise">;
	/** In the scenario file; null where it stands in none. */
	readonly path: string | null;
	readonly standardDeviation: number;
	/** The file or an option says how well it is known; else a documented default does. */
	readonly isStated: boolean;
	/** Relative error of a reported figure over the error of this value: what is reported is the model's value in other units. */
	readonly relative?: Readonly<Partial<Record<ParameterKind | "amount" | "rate", number>>>;
	/** Error of the background CO2 over that of this value [ppm]. */
	readonly background?: number;
	/** It is this parameter, held or known beforehand. */
	readonly own?: ParameterKind;
}

/** Standard deviations from the centre to the ends of a range (5 to 95 %), and to those of a data sheet (95 %). */
export const Z_RANGE = 1.645;
const Z_DATA_SHEET = 1.96;

/** What `fix` says of a value: how well it is known, and whether it is a share of the air. */
export interface FixedValue {
	readonly standardDeviation: number;
	readonly isStated: boolean;
	readonly isPerVolume: boolean;
}

/** What a fit holds, and how well it is known. */
export interface HeldValues {
	readonly inputs: readonly HeldInput[];
	/** Of the inputs, correlated as the scenario says. */
	readonly covariance: readonly (readonly number[])[];
	/** How far what is known of a parameter is off, over the error of each input. */
	knowledge(kind: string, value: number): readonly number[];
	/** Inputs from this one on are waves over the reading, which move it and no parameter. */
	readonly ofReading?: { readonly first: number; readonly waves: Waves };
}

/** The values behind a log's fit with their standard deviations: those of the file, of the options, else the defaults. */
export function listHeldValues(
	scenario: Scenario,
	base: Model,
	temperature: FitTemperature,
	run: Pick<FanHistory, "seek" | "fan" | "fanFrom">,
	fixed: ReadonlyMap<string, FixedValue>,
): HeldValues {
	const { chamber, intake, sensor, substrate } = scenario;
	const { volumeM3 } = base;
	const inputs: HeldInput[] = [];
	const add = (
		source: HeldInput["source"],
		path: string | null,
		quantity: Pick<Quantity, "low" | "high"> | null,
		assumed: number,
		effect: Pick<HeldInput, "relative" | "background" | "own">,
	): void => {
		const isStated = quantity != null && quantity.low !== null && quantity.high !== null;
		const standardDeviation = isStated ? (quantity.high! - quantity.low!) / (2 * Z_RANGE) : assumed / Z_RANGE;
		if (standardDeviation > 0) inputs.push({ source, path, standardDeviation, isStated, ...effect });
	};
	const perVolume = { leak: 1 / volumeM3, flow: 1 / volumeM3, generation: 1 / volumeM3 };
	add("volume", "chamber.volume", chamber.volume, HELD_SPREADS.volume.value * chamber.volume.value, {
		relative: perVolume,
	});
	const isEmpty = volumeM3 === chamber.volume.value;
	const total = substrate.reduce((sum, one) => sum + outputOf(one), 0);
	const celsius = meanCelsius(temperature);
	const [first] = substrate;
	for (const [k, one] of substrate.entries()) {
		const { mass, volume } = one;
		if (!isEmpty && volume !== null)
			add("volume", `substrate[${k}].volume`, volume, HELD_SPREADS.substrateVolume.value * volume.value, {
				relative: { leak: -1 / volumeM3, flow: -1 / volumeM3, generation: -1 / volumeM3 },
			});
		add("mass", `substrate[${k}].mass`, mass, HELD_SPREADS.mass.value * mass.value, {
			relative: { rate: -outputOf(one) / total / mass.value },
		});
	}
	const kelvin = celsius + ZERO_CELSIUS;
	const isLogged = temperature.from === "log";
	add(
		"temperature",
		isLogged
			? null
			: chamber.temperature.amplitude.value === 0
				? "chamber.temperature"
				: "chamber.temperature.mean",
		isLogged ? null : chamber.temperature.mean,
		isLogged
			? Math.hypot(HELD_SPREADS.thermometer.value, Z_RANGE * temperature.meanErrorKelvin)
			: HELD_SPREADS.temperature.value,
		{ relative: { amount: -1 / kelvin, rate: -1 / kelvin - Math.log(first?.q10.value ?? 1) / 10 } },
	);
	if (first !== undefined)
		add("q10", "substrate[0].q10", first.q10, 0, {
			relative: { rate: -(celsius - first.reference.value) / 10 / first.q10.value },
		});
	add(
		"pressure",
		"chamber.pressure",
		chamber.pressure,
		HELD_SPREADS.pressure.value * chamber.pressure.value,
		{
			relative: { amount: 1 / chamber.pressure.value, rate: 1 / chamber.pressure.value },
		},
	);
	add("mixing", "chamber.mixing", chamber.mixing, 0, { relative: { flow: -1 / chamber.mixing.value } });
	const isIntakeKnown = intake.co2.origin.kind !== "default";
	const { intake: given, unknownIntake } = HELD_SPREADS;
	add("intake", "intake.co2", intake.co2, (isIntakeKnown ? given : unknownIntake).value, { background: 1 });
	const { ppm, share } = statedAccuracy(scenario);
	/** A data sheet's ends are those of 95 %. */
	const dataSheet = ({
		value,
		origin,
	}: Quantity): readonly [Pick<Quantity, "low" | "high"> | null, number] => {
		const end = (value * Z_RANGE) / Z_DATA_SHEET;
		return origin.kind === "default" ? [null, end] : [{ low: -end, high: end }, end];
	};
	const offset = sensor?.offset;
	const ofFix = (kind: string) => {
		const value = fixed.get(kind);
		return value === undefined
			? undefined
			: { standardDeviation: value.standardDeviation, isStated: value.isStated, path: null };
	};
	const ownOf = (
		kind: Exclude<ParameterKind, "switchShift" | "offShift">,
		path: string | null,
		quantity: Pick<Quantity, "low" | "high"> | null,
		scale: number,
		assumed: number,
	): void => {
		const fix = ofFix(kind);
		const effect = kind === "offset" ? { background: 1 } : { own: kind };
		if (fix !== undefined) {
			if (fix.standardDeviation > 0) inputs.push({ source: kind, ...fix, ...effect });
			return;
		}
		const { low = null, high = null } = quantity ?? {};
		add(
			kind,
			path,
			low === null || high === null ? null : { low: low * scale, high: high * scale },
			assumed,
			effect,
		);
	};
	const [ofSheet, assumedOffset] = dataSheet(ppm);
	ownOf(
		"offset",
		"sensor.offset",
		offset != null && offset.low !== null ? offset : ofSheet,
		1,
		assumedOffset,
	);
	add("gain", null, ...dataSheet(share), {
		background: intake.co2.value,
		relative: { generation: -1 },
	});
	const perAir = chamber.leak.dimension === "air changes";
	ownOf(
		"leak",
		"chamber.leak",
		chamber.leak,
		perAir ? volumeM3 : 1,
		HELD_SPREADS.leak.value * base.infiltrationM3PerS,
	);
	ownOf("flow", "fan.flow", deliveredFlow(scenario), 1, HELD_SPREADS.flow.value * base.deliveredM3PerS);
	const rate = first?.respirationRate;
	ownOf(
		"generation",
		"substrate[0].rate",
		rate ?? null,
		rate === undefined ? 0 : base.generationM3PerS / rate.value,
		HELD_SPREADS.rate.value * base.generationM3PerS,
	);
	const response = sensor?.response;
	ownOf(
		"response",
		"sensor.response",
		response ?? null,
		1,
		HELD_SPREADS.response.value * (response?.value ?? 0),
	);
	if (run.fan.kind === "scheduled" && run.seek === null)
		ownOf("phase", null, null, 1, HELD_SPREADS.instant.value);
	// The instants of a fan column are as likely anywhere up to so far either way.
	const timing = run.fan.kind === "logged" ? run.fan.timing : undefined;
	for (const [own, reach] of [
		["switchShift", timing?.shiftWithinSeconds],
		["offShift", timing?.offShiftWithinSeconds],
	] as const)
		add("fan column", null, null, (Z_RANGE * (reach ?? 0)) / Math.sqrt(3), { own });
	const schedule = run.fan.kind === "scheduled" ? run.fan.schedule : null;
	if (schedule?.kind === "cycle")
		add("on-time", null, null, Z_RANGE * onTimeSd(scenario, schedule.onSeconds), {
			relative: { flow: -1 / schedule.onSeconds },
		});
	const isLeakPerVolume = fixed.get("leak")?.isPerVolume ?? perAir;
	return {
		inputs,
		covariance: covarianceOf(inputs, scenario),
		knowledge: (kind, value) =>
			inputs.map(({ source, own, background = 0, relative }) =>
				kind === "offset"
					? background
					: own === kind
						? // Where the crop is out nothing is given off, for certain.
							Number(kind !== "generation" || value !== 0)
						: kind === "leak" && isLeakPerVolume && source === "volume"
							? 0
							: -value * (relative?.[kind as ParameterKind] ?? 0),
			),
	};
}

/** A timer's display shows whole steps, and what it keeps lies evenly within one [s]; 0 where the file has no timer. */
export function onTimeSd({ timer }: Pick<Scenario, "timer">, onSeconds: number): number {
	const range = timer?.ranges.find(
		({ lowSeconds, highSeconds }) => lowSeconds <= onSeconds && onSeconds <= highSeconds,
	);
	return (range?.stepSeconds ?? 0) / Math.sqrt(12);
}

/** CO2 of a substrate in no unit in particular: only shares are asked for. */
const outputOf = ({ mass, respirationRate, stageFactor }: Scenario["substrate"][number]): number =>
	mass.value * respirationRate.value * stageFactor.value;

function covarianceOf(
	inputs: readonly HeldInput[],
	{ correlations }: Pick<Scenario, "correlations">,
): readonly (readonly number[])[] {
	const between = (a: string | null, b: string | null): number => {
		if (a === null || b === null) return 0;
		const group = correlations.find((one) => one.between.includes(a) && one.between.includes(b));
		return group === undefined ? 0 : group.matrix[group.between.indexOf(a)]![group.between.indexOf(b)]!;
	};
	return inputs.map((a, i) =>
		inputs.map((b, j) => (i === j ? 1 : between(a.path, b.path)) * a.standardDeviation * b.standardDeviation),
	);
}

/** Of the inputs only some: the others count as exact. */
export function keepInputs(held: HeldValues, keep: (input: HeldInput) => boolean): HeldValues {
	const places = held.inputs.flatMap((input, k) => (keep(input) ? [k] : []));
	const of = <T>(list: readonly T[]): T[] => places.map((k) => list[k]!);
	return {
		inputs: of(held.inputs),
		covariance: of(held.covariance).map(of),
		knowledge: (kind, value) => of(held.knowledge(kind, value)),
	};
}

/** The same with another standard deviation for a parameter that is held, told by the log itself. */
export function withSpread(held: HeldValues, kind: "leak", standardDeviation: number): HeldValues {
	const own = { source: kind, path: null, standardDeviation, isStated: false, own: kind };
	const others = keepInputs(held, (input) => input.own !== kind);
	return {
		inputs: [...others.inputs, own],
		covariance: [
			...others.covariance.map((row) => [...row, 0]),
			[...others.inputs.map(() => 0), standardDeviation ** 2],
		],
		knowledge: (of, value) => [...others.knowledge(of, value), of === kind ? 1 : 0],
	};
}
