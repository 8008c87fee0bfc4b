import { CO2_DENSITY_25C } from "../sources/constants.ts";

export type Dimension =
	| "length"
	| "area"
	| "volume"
	| "mass"
	| "duration"
	| "temperature"
	| "temperature difference"
	| "flow"
	| "velocity"
	| "air changes"
	| "concentration"
	| "concentration difference"
	| "fraction"
	| "respiration"
	| "density"
	| "pressure"
	| "current"
	| "voltage"
	| "power"
	| "energy"
	| "resistance"
	| "number";

/** Units that a reader wants to see. */
export type UnitSystem = "si" | "us";

/** A number read from text, in SI (m, m2, m3, kg, s, °C, K, m3/s, m/s, 1/s, ppm, 0..1, kg/(kg s), kg/m3, Pa, A, V, W, J, Ω). */
export interface ParsedValue {
	readonly value: number;
	readonly dimension: Dimension;
	/** The unit as written; "" when there was none. */
	readonly unit: string;
}
/** Why a text could not be read; "" when it is plainly not of the dimension. */
export interface Refusal {
	readonly refused: string;
}

type Kind =
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
const unitTable: readonly (readonly [names: string, kind: Kind, numerator: number, denominator: number])[] = [
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
	["min mins minute minutes", "time", 60, 1],
	["h hr hrs hour hours", "time", 3600, 1],
	["d day days", "time", 86_400, 1],
	["week weeks", "time", 604_800, 1],
	// Mean lengths: 30.44 d and 365.25 d.
	["month months", "time", 2_630_016, 1],
	["year years", "time", 31_557_600, 1],
	["C celsius", "celsius", 1, 1],
	["F fahrenheit", "fahrenheit", 1, 1],
	["K kelvin", "kelvin", 1, 1],
	["Pa", "pressure", 1, 1],
	["hPa mbar", "pressure", 100, 1],
	["kPa", "pressure", 1000, 1],
	["inwater", "pressure", 24_908_891, 1e5], // conventional: 1000 kg/m3, 9.80665 m/s2
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

interface DimensionRule {
	readonly noun: string;
	readonly examples: readonly string[];
	/** What a unit boils down to, numerator/denominator → from that unit's SI number to ours. */
	readonly from: Readonly<Record<string, (x: number) => number>>;
	/** Several parts may be added up: `3 min 56 s`. */
	readonly compound?: boolean;
}
const same = (x: number): number => x;
const rules: Readonly<Record<Dimension, DimensionRule>> = {
	length: { noun: "a length", examples: ["300 m", "980 ft"], from: { "length/": same }, compound: true },
	area: { noun: "an area", examples: ["225 cm2", "35 in2"], from: { "area/": same } },
	volume: { noun: "a volume", examples: ["180 L", "6.4 ft3"], from: { "volume/": same } },
	mass: { noun: "a mass", examples: ["5 kg", "11 lb"], from: { "mass/": same }, compound: true },
	duration: { noun: "a time", examples: ["4 s", "3 min 56 s"], from: { "time/": same }, compound: true },
	temperature: {
		noun: "a temperature",
		examples: ["18 C", "64 F"],
		from: { "celsius/": same, "fahrenheit/": (x) => ((x - 32) * 5) / 9, "kelvin/": (x) => x - 273.15 },
	},
	"temperature difference": {
		noun: "a temperature difference",
		examples: ["2 K", "3.6 F"],
		from: { "celsius/": same, "fahrenheit/": (x) => (x * 5) / 9, "kelvin/": same },
	},
	flow: { noun: "a flow", examples: ["70 m3/h", "40 cfm"], from: { "volume/time": same } },
	velocity: { noun: "a velocity", examples: ["2.5 m/s", "500 fpm"], from: { "length/time": same } },
	"air changes": { noun: "air changes", examples: ["0.3 /h"], from: { "/time": same } },
	concentration: {
		noun: "a CO2 concentration",
		examples: ["1000 ppm", "0.1 %"],
		from: { "ppm/": same, "percent/": (x) => x * 10_000 },
	},
	"concentration difference": {
		noun: "a CO2 difference",
		examples: ["25 ppm", "-40 ppm"],
		from: { "ppm/": same, "percent/": (x) => x * 10_000 },
	},
	fraction: { noun: "a share", examples: ["90 %", "0.9"], from: { "percent/": (x) => x / 100, "/": same } },
	respiration: {
		noun: "a respiration rate",
		examples: ["150 mg/(kg h)", "60..400 mg/(kg h)"],
		// Millilitres of CO2 are read at 25 °C and 101.325 kPa.
		from: { "mass/mass time": same, "volume/mass time": (x) => x * CO2_DENSITY_25C.value },
	},
	density: { noun: "a density", examples: ["400 kg/m3", "0.4 kg/L"], from: { "mass/volume": same } },
	pressure: { noun: "a pressure", examples: ["97 kPa", "60 Pa", "0.25 inH2O"], from: { "pressure/": same } },
	current: { noun: "a current", examples: ["3 A", "300 mA"], from: { "current/": same } },
	voltage: { noun: "a voltage", examples: ["12 V"], from: { "voltage/": same } },
	power: { noun: "a power", examples: ["6 W"], from: { "power/": same } },
	energy: { noun: "an energy", examples: ["2.4 Wh"], from: { "energy/": same, "power time/": same } },
	resistance: { noun: "a resistance", examples: ["0.2 ohm"], from: { "resistance/": same } },
	number: { noun: "a plain number", examples: ["2.4"], from: { "/": same } },
};

/** What would do, in words: `a volume such as "180 L" or "6.4 ft3"`. */
export const expectation = (dimensions: readonly Dimension[]): string =>
	dimensions
		.map((dimension) => {
			const { noun, examples } = rules[dimension];
			return `${noun} such as ${examples.map((example) => `"${example}"`).join(" or ")}`;
		})
		.join(", or ");

/** Texts that a dimension takes. */
export const examplesOf = (dimension: Dimension): readonly string[] => rules[dimension].examples;

/** One spelling for what people type: Unicode minus, dots, superscripts and spaces, and "per" for "/". */
export const normalizeText = (text: string): string =>
	text
		.replace(/[⁻₋]/g, "-")
		.normalize("NFKC")
		.replace(/[−‐‑]/g, "-")
		.replace(/[·⋅•∙×]/g, "*")
		.replace(/\s+/g, " ")
		.trim();

const spellings: readonly (readonly [RegExp, string])[] = [
	[/\bper\b/gi, "/"],
	[/\b(?:cu\.?|cubic) ?(mm|cm|dm|m|in|ft|feet|foot|inch|inches|met(?:re|er)s?)\b/gi, "$1^3"],
	[/\bcfm\b/gi, "ft3/min"],
	[/\bfpm\b/gi, "ft/min"],
	[/\b(?:sq\.?|square) ?(mm|cm|dm|m|in|ft|feet|foot|inch|inches|met(?:re|er)s?)\b/gi, "$1^2"],
	[/\b(?:in\.?|inch|inches) ?(?:of )?(?:H2O|w\.?[gc]\b\.?|water(?: (?:gauge|column))?)/gi, "inwater"],
	[/\bmm ?(?:of )?(?:H2O|w\.?[gc]\b\.?|water(?: (?:gauge|column))?)/gi, "mmwater"],
	[/Ω/g, "ohm"],
	[/\b(?:UK|imp(?:erial)?)\.? gal(?:lons?)?\b/gi, "ukgal"],
	[/\bUS gal(?:lons?)?\b/gi, "gal"],
	[/\bACH\b/gi, "/h"],
	[/\b(?:air )?(?:ex)?changes?\b/gi, "1"],
	[/(?:°|\bdeg(?:rees?)?\b) ?(?=[CFK])/g, ""],
];

interface ParsedUnit {
	readonly signature: string;
	readonly toSi: (x: number) => number;
}

const lookUp = (name: string) =>
	units.get(name) ?? (name.length > 2 ? units.get(name.toLowerCase()) : undefined);

const parseUnit = (written: string): ParsedUnit | null => {
	let text = written;
	for (const [pattern, replacement] of spellings) text = text.replace(pattern, replacement);
	const above: string[] = [];
	const below: string[] = [];
	let numerator = 1;
	let denominator = 1;
	let sign = 1;
	let group: number | null = null;
	let rest = text.trim();
	while (rest !== "") {
		const token = /^(?:([A-Za-z%]+)(?:\^?(-?[1-3])(?!\d))?|1(?![\d.])|[/*()])\s*/.exec(rest);
		if (token === null) return null;
		const [all, name, power] = token;
		rest = rest.slice(all.length);
		if (name === undefined) {
			const mark = all.trim();
			if (mark === "/") {
				if (sign < 0) return null;
				sign = -1;
			} else if (mark === "(") {
				if (group !== null) return null;
				group = sign;
				sign = 1;
			} else if (mark === ")") {
				if (group === null) return null;
				group = null;
			}
			continue;
		}
		const unit = lookUp(name);
		if (unit === undefined) return null;
		let exponent = Number(power ?? 1) * sign * (group ?? 1);
		sign = 1;
		let { kind } = unit;
		if (Math.abs(exponent) > 1) {
			if (kind !== "length") return null;
			kind = Math.abs(exponent) === 3 ? "volume" : "area";
		}
		const up = exponent > 0;
		exponent = Math.abs(exponent);
		(up ? above : below).push(kind);
		numerator *= (up ? unit.numerator : unit.denominator) ** exponent;
		denominator *= (up ? unit.denominator : unit.numerator) ** exponent;
	}
	if (sign < 0 || group !== null) return null;
	const signature = `${above.sort().join(" ")}/${below.sort().join(" ")}`;
	return { signature, toSi: (x) => (x * numerator) / denominator };
};

const numberPattern =
	/^[+-]?(?:\d{1,3}(?: \d{3})+(?!\d)(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+)(?:e[+-]?\d+(?![\d.]))?/i;

const whyNot = (dimensions: readonly Dimension[], signature: string): string => {
	if (dimensions.includes("concentration") && signature === "mass/volume") {
		return "mass per volume depends on temperature and pressure; write ppm";
	}
	if (dimensions.includes("duration") && signature === "length/") return "m is metre; write min for minutes";
	return "";
};

const readOne = (
	digits: string,
	written: string,
	dimensions: readonly Dimension[],
): ParsedValue | Refusal => {
	const unit = parseUnit(written);
	if (unit === null) return { refused: "" };
	for (const dimension of dimensions) {
		const convert = rules[dimension].from[unit.signature];
		if (convert === undefined) continue;
		const value = convert(unit.toSi(Number(digits.replaceAll(" ", ""))));
		return Number.isFinite(value)
			? { value, dimension, unit: written }
			: { refused: "it must be a finite number" };
	}
	return { refused: whyNot(dimensions, unit.signature) };
};

/** `3 min 56 s`: larger units first, each part positive. */
const readCompound = (text: string, dimension: Dimension): ParsedValue | Refusal => {
	let total = 0;
	let smallest = Number.POSITIVE_INFINITY;
	for (const [, digits, written] of text.matchAll(/(\d+(?:\.\d+)?) ?([A-Za-z]+)/g)) {
		const part = readOne(digits ?? "", written ?? "", [dimension]);
		const unit = readOne("1", written ?? "", [dimension]);
		if ("refused" in part || "refused" in unit) return { refused: "" };
		if (unit.value >= smallest) return { refused: "write the larger unit first" };
		smallest = unit.value;
		total += part.value;
	}
	return { value: total, dimension, unit: "" };
};

/** Reads one value with its unit as people write it into SI, or says why not; takes what `normalizeText` gives. */
export const parseValue = (text: string, dimensions: readonly Dimension[]): ParsedValue | Refusal => {
	if (/\d ?,/.test(text)) return { refused: "write a point for decimals and no comma in thousands" };
	const clock = /^(\d{1,2}):(\d{2})$/.exec(text);
	if (clock !== null && dimensions.includes("duration")) {
		const [, large, small] = clock.map(Number) as [number, number, number];
		return {
			refused: `write ${formatDuration(60 * large + small)}, or ${formatDuration(3600 * large + 60 * small)} if hours and minutes are meant`,
		};
	}
	if (/^[+-]?\.?(?:nan|inf(?:inity)?)\b/i.test(text)) return { refused: "it must be a finite number" };
	const compound = dimensions.find((dimension) => rules[dimension].compound === true);
	if (compound !== undefined && /^(?:\d+(?:\.\d+)? ?[A-Za-z]+ ?){2,}$/.test(text))
		return readCompound(text, compound);
	const digits = numberPattern.exec(text)?.[0];
	if (digits === undefined) return { refused: "" };
	return readOne(digits, text.slice(digits.length).trim(), dimensions);
};

/** At most four significant digits, integers whole, no trailing zeros. */
const digits = (x: number): string => {
	const rounded = Math.abs(x) >= 1000 ? Math.round(x) : Number(x.toPrecision(4));
	return String(rounded === 0 ? 0 : rounded);
};

/** Time in words: `4 s`, `3 min 56 s`, `1 h 30 min`, `2 d 3 h`; tenths of a second only below an hour. */
export const formatDuration = (seconds: number): string => {
	if (!Number.isFinite(seconds)) return String(seconds);
	if (seconds < 0) return `-${formatDuration(-seconds)}`;
	if (seconds < 59.95) return `${digits(seconds)} s`;
	const tenths = seconds < 3600 ? Math.round(seconds * 10) : Math.round(seconds) * 10;
	const whole = Math.floor(tenths / 10);
	const parts: [number, string][] = [
		[Math.floor(whole / 86_400), "d"],
		[Math.floor(whole / 3600) % 24, "h"],
		[Math.floor(whole / 60) % 60, "min"],
		[(tenths % 600) / 10, "s"],
	];
	return parts
		.filter(([count]) => count > 0)
		.map(([count, unit]) => `${count} ${unit}`)
		.join(" ");
};

/** A value in SI [unit of its dimension] as a reader of that unit system wants it, at most four significant digits. */
export const formatQuantity = (value: number, dimension: Dimension, system: UnitSystem = "si"): string => {
	const us = system === "us";
	switch (dimension) {
		case "length":
			return us ? `${digits(value / 0.3048)} ft` : `${digits(value)} m`;
		case "area":
			if (us) return `${digits(value / 0.0254 ** 2)} in²`;
			return Math.abs(value) < 1e-4 ? `${digits(value * 1e6)} mm²` : `${digits(value * 1e4)} cm²`;
		case "volume":
			if (us) return `${digits(value / 0.028316846592)} ft³`;
			return Math.abs(value) < 1 ? `${digits(value * 1000)} L` : `${digits(value)} m³`;
		case "mass":
			if (us) return `${digits(value / 0.45359237)} lb`;
			return Math.abs(value) < 1000 ? `${digits(value)} kg` : `${digits(value / 1000)} t`;
		case "duration":
			return formatDuration(value);
		case "temperature":
			return us ? `${digits(value * 1.8 + 32)} °F` : `${digits(value)} °C`;
		case "temperature difference":
			return us ? `${digits(value * 1.8)} °F` : `${digits(value)} K`;
		case "flow":
			return us ? `${digits((value / 0.028316846592) * 60)} cfm` : `${digits(value * 3600)} m³/h`;
		case "velocity":
			return us ? `${digits((value / 0.3048) * 60)} fpm` : `${digits(value)} m/s`;
		case "air changes":
			return `${digits(value * 3600)} /h`;
		case "concentration":
			return `${Math.round(value)} ppm`;
		case "concentration difference":
			return `${digits(value)} ppm`;
		case "fraction":
			return `${digits(value * 100)} %`;
		case "respiration":
			return `${digits(value * 3.6e9)} mg/(kg·h)`;
		case "density":
			return us ? `${digits((value / 0.45359237) * 0.028316846592)} lb/ft³` : `${digits(value)} kg/m³`;
		case "pressure":
			if (Math.abs(value) >= 5000) return `${digits(value / 1000)} kPa`;
			return us ? `${digits(value / 249.08891)} inH₂O` : `${digits(value)} Pa`;
		case "current":
			return `${digits(value)} A`;
		case "voltage":
			return `${digits(value)} V`;
		case "power":
			return `${digits(value)} W`;
		case "energy":
			return `${digits(value / 3600)} Wh`;
		case "resistance":
			return `${digits(value)} Ω`;
		case "number":
			return digits(value);
	}
};
