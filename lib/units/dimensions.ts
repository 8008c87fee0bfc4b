import { CO2_DENSITY_25C } from "../sources/constants.ts";

/** What a value measures. */
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
	| "mass flow"
	| "heat transmittance"
	| "number";

interface DimensionRule {
	readonly noun: string;
	readonly examples: readonly string[];
	/** What a unit boils down to, numerator/denominator → from that unit's SI number to ours. */
	readonly from: Readonly<Record<string, (x: number) => number>>;
	/** Several parts may be added up: `3 min 56 s`. */
	readonly compound?: boolean;
}
const same = (x: number): number => x;
export const dimensionRules: Readonly<Record<Dimension, DimensionRule>> = {
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
	"mass flow": { noun: "a mass per time", examples: ["250 g/h"], from: { "mass/time": same } },
	"heat transmittance": {
		noun: "a heat transmittance",
		examples: ["5.3 W/(m2 K)"],
		from: { "power/area kelvin": same },
	},
	number: { noun: "a plain number", examples: ["2.4"], from: { "/": same } },
};

/** What would do, in words: `a volume such as "180 L" or "6.4 ft3"`. */
export const expectation = (dimensions: readonly Dimension[]): string =>
	dimensions
		.map((dimension) => {
			const { noun, examples } = dimensionRules[dimension];
			return `${noun} such as ${examples.map((example) => `"${example}"`).join(" or ")}`;
		})
		.join(", or ");

/** Texts that a dimension takes. */
export const examplesOf = (dimension: Dimension): readonly string[] => dimensionRules[dimension].examples;
