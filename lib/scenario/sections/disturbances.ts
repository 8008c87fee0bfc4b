import * as z from "zod";
import {
	FAN_TOLERANCE,
	FILTER_LOAD,
	FLUSH_DUE,
	INTAKE_RISE,
	TIMER_TOLERANCE,
	VOLTAGE_TOLERANCE,
	WARM_DAY,
} from "../../sources/disturbances.ts";
import type { PublishedValue } from "../../sources/published.ts";
import type { Dimension } from "../../units/dimensions.ts";
import { type Located, publishedDefault } from "../origins.ts";
import type { DisturbanceKey, Quantity, Scenario, Substrate } from "../scenario.ts";
import { mapping, oneOf, quantity } from "../text/leaves.ts";

const off = () => oneOf(["off"], "does not happen");
const range = (
	dimension: Dimension,
	description: string,
	min: string,
	max: string,
	{ low, high, unit }: PublishedValue,
) => {
	const example = `${low}..${high} ${unit}`.trim();
	return z
		.union([quantity(dimension, `${description}; default ${example}`, { min, max }, [example]), off()])
		.optional();
};
const tolerance = (description: string, { value }: PublishedValue) =>
	z
		.union([
			quantity(
				"fraction",
				`${description}, plus or minus; default ${value} %`,
				{ above: "0 %", max: "50 %", isSingle: true },
				[`${value} %`],
			),
			off(),
		])
		.optional();

/** What may happen in service: it enters the chance of a setting. */
export const disturbances = z
	.union(
		[
			off(),
			mapping(
				{
					filter: range("number", "pressure drop of the filter over its clean one", "1", "20", FILTER_LOAD),
					"warm-day": range(
						"temperature difference",
						"how much warmer the chamber gets",
						"-20 K",
						"20 K",
						WARM_DAY,
					),
					intake: range(
						"concentration difference",
						"how much more CO2 the intake air has",
						"-1000 ppm",
						"100000 ppm",
						INTAKE_RISE,
					),
					flush: range("number", "factor on respiration of the flush that is due", "0.1", "10", FLUSH_DUE),
					voltage: tolerance("supply voltage", VOLTAGE_TOLERANCE),
					fan: tolerance("delivered flow", FAN_TOLERANCE),
					timer: tolerance("rate of the timer", TIMER_TOLERANCE),
				},
				"what may happen in service",
			),
		],
		{ error: 'needs "off", or lines such as { flush: off, intake: 0..200 ppm }' },
	)
	.meta({
		description:
			"what may happen in service, beside what the inputs may be: it enters the chance of a setting",
	});

type Section = Located<z.output<typeof disturbances>>;

/** A range that was written as its two ends; one around a measured value has that in the middle. */
const isSpan = ({ value, low, high }: Quantity): boolean =>
	low !== null && high !== null && Math.abs(value - (low + high) / 2) > 1e-6 * (high - low);

/** Its rate was told for the stage as it is, so a flush comes on top. */
export const isFlushDue = ({ respirationRate, rates, flush, stage }: Substrate): boolean =>
	respirationRate.origin.kind !== "default" &&
	!isSpan(respirationRate) &&
	rates === null &&
	flush === null &&
	stage === "fruiting";

/** Where the file says nothing of it, and where it could happen at all. */
const CASES: readonly {
	readonly key: DisturbanceKey;
	readonly published: PublishedValue;
	readonly dimension: Dimension;
	readonly isPossible: (scenario: Told) => boolean;
	readonly isUntold: (scenario: Told) => boolean;
}[] = [
	{
		key: "filter",
		published: FILTER_LOAD,
		dimension: "number",
		isPossible: ({ fan }) => fan.filter !== null && fan.curve !== null,
		isUntold: ({ fan }) => fan.filter?.pressureDropRatio.origin.kind === "default",
	},
	{
		key: "warm-day",
		published: WARM_DAY,
		dimension: "temperature difference",
		isPossible: () => true,
		isUntold: ({ chamber: { temperature } }) =>
			temperature.amplitude.value === 0 && temperature.mean.low === null,
	},
	{
		key: "intake",
		published: INTAKE_RISE,
		dimension: "concentration difference",
		isPossible: () => true,
		isUntold: ({ intake }) => intake.co2.low === null && intake.daily === null,
	},
	{
		key: "flush",
		published: FLUSH_DUE,
		dimension: "number",
		isPossible: () => true,
		isUntold: ({ substrate }) => substrate.some(isFlushDue),
	},
	{
		key: "voltage",
		published: VOLTAGE_TOLERANCE,
		dimension: "fraction",
		isPossible: ({ supply }) => supply !== null,
		isUntold: ({ supply }) => supply?.voltage.low === null,
	},
	{
		key: "fan",
		published: FAN_TOLERANCE,
		dimension: "fraction",
		isPossible: () => true,
		isUntold: ({ fan: { flow, curve } }) =>
			[flow, ...curveValues(curve)].every((one) => (one?.low ?? null) === null),
	},
	{
		key: "timer",
		published: TIMER_TOLERANCE,
		dimension: "fraction",
		isPossible: () => true,
		isUntold: () => true,
	},
];
const curveValues = (curve: Scenario["fan"]["curve"]): readonly Quantity[] => {
	if (curve === null) return [];
	return curve.shape === "points"
		? curve.points.flatMap(({ flow, pressure }) => [flow, pressure])
		: [curve.freeDelivery, curve.shutOff];
};

type Told = Pick<Scenario, "chamber" | "intake" | "substrate" | "fan" | "supply">;

/** A factor around 1, or a range whose every value is as likely as another. */
const asDrawn = (quantity: Quantity): Quantity =>
	quantity.dimension === "fraction"
		? {
				...quantity,
				value: 1,
				low: 1 - quantity.value,
				high: 1 + quantity.value,
				dimension: "number",
				text: `±${quantity.text}`,
			}
		: {
				...quantity,
				low: quantity.low ?? quantity.value,
				high: quantity.high ?? quantity.value,
				distribution: quantity.distribution ?? "uniform",
			};

/** What may happen to this rig, as the file says it or by default. */
export const buildDisturbances = (given: Section | undefined, scenario: Told): Scenario["disturbances"] => {
	if (given === "off") return [];
	return CASES.flatMap(({ key, published, dimension, isPossible, isUntold }) => {
		const told = given?.[key];
		if (told === "off" || !isPossible(scenario) || (told === undefined && !isUntold(scenario))) return [];
		return [{ key, quantity: asDrawn(told ?? publishedDefault(published, dimension)) }];
	});
};
