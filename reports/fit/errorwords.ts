import type { DerivedFigure, ErrorShare, ErrorSource, Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { percentOf, type ShownValue, shownNumbers } from "./fitvalues.ts";

/** Where an error comes from, in plain words. */
const SOURCES: Readonly<Record<ErrorSource, string>> = {
	noise: "noise of the log",
	intake: "intake CO₂",
	offset: "sensor offset",
	gain: "sensor gain",
	rounding: "sensor rounding",
	volume: "air volume",
	mass: "fresh mass",
	temperature: "temperature",
	pressure: "air pressure",
	q10: "Q10",
	mixing: "mixing efficiency",
	leak: "leakage",
	flow: "delivered flow",
	generation: "CO₂ output",
	response: "sensor response",
	phase: "cycle start",
	"on-time": "timer resolution",
	"fan column": "fan column",
};

/** Shares below this are not worth a word. */
const MIN_SHARE = 0.01;

/** `air volume 61 %, noise of the log 19 %, sensor gain 15 %`; null without an error. */
export function sharesWords(shares: readonly ErrorShare[]): string | null {
	const named = shares.filter(({ share }) => Math.abs(share) >= MIN_SHARE);
	return named.length === 0
		? null
		: named
				.map(({ source, share }) => `${SOURCES[source]} ${share < 0 ? "−" : ""}${percentOf(share)}`)
				.join(", ");
}

/** A parameter in the unit of another trade. */
export interface ShownFigure {
	readonly label: string;
	readonly shown: ShownValue;
	readonly shares: readonly ErrorShare[];
}

const UNITS: Readonly<
	Record<Exclude<DerivedFigure["quantity"], "respiration rate">, readonly [string, number, string]>
> = {
	"air changes": ["in air changes", 3600, "/h"],
	amount: ["as an amount", 1e6, "µmol/s"],
};

/** Air changes and amounts that go with a parameter; the rate per fresh mass has a row of its own. */
export const alsoShown = ({ alsoAs }: Pick<FittedParameter, "alsoAs">): readonly ShownFigure[] =>
	alsoAs.flatMap(({ quantity, ...figure }) => {
		if (quantity === "respiration rate") return [];
		const [label, factor, unit] = UNITS[quantity];
		return [{ label, shown: shownNumbers(figure, factor, unit, 3), shares: figure.shares }];
	});

/** What volumes and amounts of gas refer to. */
export const conditionsWords = ({ conditions }: Pick<Fit, "conditions">, units: UnitSystem): string =>
	`Volumes and amounts of CO₂ hold at ${formatQuantity(conditions.celsius, "temperature", units)}, ${formatQuantity(conditions.pascal, "pressure", units)} and ${formatQuantity(conditions.humidity, "fraction", units)} relative humidity.`;

/** How a rise was read; null for other tests. */
export const shapeWords = ({ riseShape }: Pick<Fit, "riseShape">): string | null =>
	riseShape === null
		? null
		: riseShape.code === "bent"
			? `The rise is read as bent by the leak (Akaike's criterion is ${riseShape.deltaAic.toFixed(1)} better than for a straight line); CO₂ output is its initial slope.`
			: `The rise is read as straight (Akaike's criterion is ${(-riseShape.deltaAic).toFixed(1)} better than with a leak); the errors include what a leak could still bend.`;
