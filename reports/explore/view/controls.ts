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

/** A control of a quantity that the file holds; `range` is fixed, else about the value that the page begins with. */
const quantity =
	(scenario: Scenario) =>
	(
		path: string,
		label: string,
		of: (scenario: Scenario) => Quantity,
		range?: Scale | readonly [low: number, high: number],
	): QuantityControl => {
		const { value } = of(scenario);
		const scale =
			range === undefined ? around(value) : "low" in range ? range : between(range[0], range[1], value);
		return { kind: "quantity", path, label, scale, shown: (now) => shownOf(of(now)) };
	};

/** What of a scenario can be moved, in the order of the page; the schedule has its own place. */
export function controlGroups(scenario: Scenario): readonly ControlGroup[] {
	const { chamber, fan, substrate } = scenario;
	const control = quantity(scenario);
	const leak = chamber.leak.value;
	const leakScale =
		chamber.leak.dimension === "flow"
			? around(leak > 0 ? leak : 1 / 3600, true)
			: between(0.01 / 3600, 5 / 3600, leak, true);
	return [
		{
			title: "Target",
			controls: [
				control("target.ceiling", "ceiling", (s) => s.target.ceiling, [500, 10_000]),
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
				control("fan.flow", "flow", deliveredFlow),
				control("fan.spin-up", "spin-up", (s) => s.fan.spinUp, between(0.1, 30, fan.spinUp.value, true)),
			],
		},
		{
			title: "Chamber",
			controls: [
				control("chamber.volume", "volume", (s) => s.chamber.volume),
				control("chamber.leak", "leakage", (s) => s.chamber.leak, leakScale),
				scenario.intake.room === null
					? control("intake.co2", "intake CO₂", (s) => s.intake.co2, [350, 3000])
					: control("intake.room.ventilation", "fresh air of the room", (s) => s.intake.room!.ventilation),
			],
		},
		...substrate.slice(0, MAX_SUBSTRATES).map((_, index) => substrateGroup(scenario, index)),
	];
}

function substrateGroup(scenario: Scenario, index: number): ControlGroup {
	const { substrate } = scenario;
	const at = `substrate.${index}`;
	const own = substrate[index]!;
	const stage: ChoiceControl = {
		kind: "choice",
		path: `${at}.stage`,
		label: "stage",
		options: stageKeys,
		chosen: (s) => s.substrate[index]!.stage,
	};
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
			...(own.flush === null ? [stage] : []),
			quantity(scenario)(`${at}.mass`, "fresh mass", (s) => s.substrate[index]!.mass),
			{
				kind: "quantity",
				path: `${at}.rate`,
				label: "respiration",
				scale: between(5 / 3.6e9, 1000 / 3.6e9, own.respirationRate.value),
				shown: (s) => shownRate(s.substrate[index]!),
			},
		],
	};
}

function shownRate({ respirationRate, stageFactor, rates }: Scenario["substrate"][number]): Shown {
	const isPublished = respirationRate.origin.kind === "default";
	return {
		...shownOf(respirationRate),
		value: respirationRate.value * stageFactor.value,
		remark:
			rates !== null
				? "by time, from the file"
				: isPublished
					? "published, for this stage; yours may differ a lot"
					: null,
	};
}
