import { deliveredFlow } from "../../../lib/model/fan/deliveredflow.ts";
import { powerOfTen } from "../../../lib/power.ts";
import type { Quantity, Scenario } from "../../../lib/scenario/scenario.ts";
import { speciesKeys, stageKeys } from "../../../lib/sources/fungi.ts";
import type { Dimension } from "../../../lib/units/dimensions.ts";
import type { Scale } from "../scale.ts";

/** What a control shows: a value in SI, its text where that says more, and where it is from. */
export interface Shown {
	readonly value: number;
	readonly dimension: Dimension;
	/** A range or a spread, as its author wrote it; else null. */
	readonly range: string | null;
	/** A remark on a value that nobody has given. */
	readonly remark: string | null;
}

/** A value that is moved or typed in. */
export interface QuantityControl {
	readonly kind: "quantity";
	/** Place in the file with dots, `substrate.0.mass`; of a schedule `A.on`. */
	readonly path: string;
	readonly label: string;
	readonly scale: Scale;
	readonly shown: (scenario: Scenario) => Shown;
}
/** One of some words. */
export interface ChoiceControl {
	readonly kind: "choice";
	readonly path: string;
	readonly label: string;
	readonly options: readonly string[];
	readonly chosen: (scenario: Scenario) => string;
}
export type Control = QuantityControl | ChoiceControl;
export interface ControlGroup {
	readonly title: string;
	readonly controls: readonly Control[];
}

/** Substrates that get controls of their own; more stay as the file has them. */
const MAX_SUBSTRATES = 4;

/** About ten times as little to ten times as much as the value that a scenario begins with. */
const around = (value: number, hasZero = false): Scale => {
	const power = powerOfTen(Math.floor(Math.log10(value)));
	const digit = value / power;
	const round = digit < 2 ? 1 : digit < 5 ? 2 : 5;
	return { low: (round * power) / 10, high: round * power * 20, hasZero };
};
/** A fixed range, widened where the value lies beyond it. */
const between = (low: number, high: number, value: number, hasZero = false): Scale => ({
	low: value > 0 ? Math.min(low, value) : low,
	high: Math.max(high, value),
	hasZero,
});

const shownOf = ({ value, dimension, low, text, origin }: Quantity): Shown => ({
	value,
	dimension,
	range: low !== null && origin.kind !== "default" ? text : null,
	remark: origin.kind === "default" ? "default" : origin.kind === "given" ? null : origin.kind,
});

/** Range of the two periods of a schedule [s]. */
export const ON_SCALE: Scale = { low: 1, high: 1800, hasZero: false };
export const OFF_SCALE: Scale = { low: 10, high: 21_600, hasZero: false };

/** What of a scenario can be moved, in the order of the page; the schedule has its own place. */
export function controlGroups(scenario: Scenario): readonly ControlGroup[] {
	const quantity = (
		path: string,
		label: string,
		of: (scenario: Scenario) => Quantity,
		scale: (value: number) => Scale,
	): QuantityControl => ({
		kind: "quantity",
		path,
		label,
		scale: scale(of(scenario).value),
		shown: (now) => shownOf(of(now)),
	});
	const { chamber, substrate } = scenario;
	return [
		{
			title: "Target",
			controls: [
				quantity(
					"target.ceiling",
					"ceiling",
					(s) => s.target.ceiling,
					(x) => between(500, 10_000, x),
				),
				{
					kind: "choice",
					path: "target.on",
					label: "judged value",
					options: ["peak", "mean", "worst hour"],
					chosen: (s) => s.target.on,
				},
			],
		},
		{
			title: "Fan",
			controls: [
				quantity("fan.flow", "flow", deliveredFlow, around),
				quantity(
					"fan.spin-up",
					"spin-up",
					(s) => s.fan.spinUp,
					(x) => between(0.1, 30, x, true),
				),
			],
		},
		{
			title: "Chamber",
			controls: [
				quantity("chamber.volume", "volume", (s) => s.chamber.volume, around),
				quantity(
					"chamber.leak",
					"leakage",
					(s) => s.chamber.leak,
					(x) =>
						chamber.leak.dimension === "flow"
							? around(x > 0 ? x : 1 / 3600, true)
							: between(0.01 / 3600, 5 / 3600, x, true),
				),
				quantity(
					"intake.co2",
					"intake CO₂",
					(s) => s.intake.co2,
					(x) => between(350, 3000, x),
				),
			],
		},
		...substrate.slice(0, MAX_SUBSTRATES).map((_, index) => substrateGroup(scenario, index, quantity)),
	];
}

function substrateGroup(
	{ substrate }: Scenario,
	index: number,
	quantity: (
		path: string,
		label: string,
		of: (scenario: Scenario) => Quantity,
		scale: (value: number) => Scale,
	) => QuantityControl,
): ControlGroup {
	const at = `substrate.${index}`;
	const own = substrate[index]!;
	return {
		title: substrate.length === 1 ? "Substrate" : `Substrate ${index + 1} of ${substrate.length}`,
		controls: [
			{
				kind: "choice",
				path: `${at}.species`,
				label: "species",
				options: speciesKeys,
				chosen: (s) => s.substrate[index]!.species,
			},
			// A flush holds the multipliers itself.
			...(own.flush === null
				? [
						{
							kind: "choice" as const,
							path: `${at}.stage`,
							label: "stage",
							options: stageKeys,
							chosen: (s: Scenario) => s.substrate[index]!.stage,
						},
					]
				: []),
			quantity(`${at}.mass`, "fresh mass", (s) => s.substrate[index]!.mass, around),
			{
				kind: "quantity",
				path: `${at}.rate`,
				label: "respiration",
				scale: between(5 / 3.6e9, 1000 / 3.6e9, own.respirationRate.value),
				shown: (s) => {
					const { respirationRate, stageFactor, rates } = s.substrate[index]!;
					const published = respirationRate.origin.kind === "default";
					return {
						...shownOf(respirationRate),
						value: respirationRate.value * stageFactor.value,
						remark:
							rates !== null
								? "by time, from the file"
								: published
									? "published, for this stage; yours may differ a lot"
									: null,
					};
				},
			},
		],
	};
}
