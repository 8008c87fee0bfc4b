import { DAY, HOUR, MINUTE, MONTH, WEEK } from "../time.ts";

/** Exact lengths [m], volumes [m3] and masses [kg] by definition: the international yard and pound of 1959. */
export const FOOT = 0.3048;
export const INCH = 0.0254;
export const CUBIC_FOOT = 0.028316846592;
export const POUND = 0.45359237;
/** Conventional inch of water [Pa]: 1000 kg/m3, 9.80665 m/s2. */
export const INCH_OF_WATER = 249.08891;

/** What a unit measures. */
export type UnitKind =
	| "length"
	| "area"
	| "volume"
	| "mass"
	| "time"
	| "celsius"
	| "fahrenheit"
	| "kelvin"
	| "pressure"
	| "current"
	| "voltage"
	| "power"
	| "energy"
	| "resistance"
	| "ppm"
	| "percent";

// Name → kind, numerator, denominator of the exact factor to SI. Two integers or short decimals keep x·n/d correctly
// rounded where x·0.001 would not be. Foot, inch, pound and gallons are exact by definition (international yard and
// pound 1959; US gallon 231 in3; UK gallon 4.54609 L).
const unitTable: readonly (readonly [
	names: string,
	kind: UnitKind,
	numerator: number,
	denominator: number,
])[] = [
	["mm", "length", 1, 1000],
	["cm", "length", 1, 100],
	["dm", "length", 1, 10],
	["m metre metres meter meters", "length", 1, 1],
	["in inch inches", "length", 254, 10_000],
	["ft foot feet", "length", 3048, 10_000],
	["mL ml millilitre millilitres milliliter milliliters", "volume", 1, 1e6],
	["L l litre litres liter liters", "volume", 1, 1000],
	["gal gallon gallons", "volume", 3.785411784, 1000],
	["ukgal", "volume", 4.54609, 1000],
	["mg", "mass", 1, 1e6],
	["g gram grams gramme grammes", "mass", 1, 1000],
	["kg kilo kilos", "mass", 1, 1],
	["t tonne tonnes", "mass", 1000, 1],
	["lb lbs LB pound pounds", "mass", 45_359_237, 1e8],
	["oz ounce ounces", "mass", 45_359_237, 16e8],
	["ms", "time", 1, 1000],
	["s sec secs second seconds", "time", 1, 1],
	["min mins minute minutes", "time", MINUTE, 1],
	["h hr hrs hour hours", "time", HOUR, 1],
	["d day days", "time", DAY, 1],
	["week weeks", "time", WEEK, 1],
	// Mean lengths: 30.44 d and 365.25 d.
	["month months", "time", MONTH, 1],
	["year years", "time", 31_557_600, 1],
	["C celsius", "celsius", 1, 1],
	["F fahrenheit", "fahrenheit", 1, 1],
	["K kelvin", "kelvin", 1, 1],
	["Pa", "pressure", 1, 1],
	["hPa mbar", "pressure", 100, 1],
	["kPa", "pressure", 1000, 1],
	["inwater", "pressure", 24_908_891, 1e5],
	["mmwater", "pressure", 980_665, 1e5],
	["mA", "current", 1, 1000],
	["A amp amps", "current", 1, 1],
	["V volt volts", "voltage", 1, 1],
	["W watt watts", "power", 1, 1],
	["Wh", "energy", 3600, 1],
	["ohm ohms", "resistance", 1, 1],
	["ppm ppmv", "ppm", 1, 1],
	["% percent", "percent", 1, 1],
];
const units = new Map(
	unitTable.flatMap(([names, kind, numerator, denominator]) =>
		names.split(" ").map((name) => [name, { kind, numerator, denominator }] as const),
	),
);

/** The unit of a name, in its own case or, where it is a word, in any; undefined where there is none. */
export const unitNamed = (name: string) =>
	units.get(name) ?? (name.length > 2 ? units.get(name.toLowerCase()) : undefined);
