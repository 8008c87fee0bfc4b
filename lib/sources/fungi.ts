import { type EvidenceGrade, type PublishedValue, published } from "./published.ts";

// biome-ignore format: a list of names
export const speciesKeys = ["oyster", "king oyster", "shiitake", "button", "lion's mane", "enoki", "reishi", "unknown"] as const;
export type SpeciesKey = (typeof speciesKeys)[number];

// biome-ignore format: a list of names
export const stageKeys = ["spawn run", "colonised", "pinning", "fruiting", "flush peak", "between flushes", "late flush"] as const;
export type StageKey = (typeof stageKeys)[number];

export interface Species {
	readonly latin: string;
	readonly aliases: readonly string[];
	/**
	 * CO2 given off by a fruiting block, pins to harvest of one flush, block and fruit bodies together, per fresh mass
	 * [mg/(kg h)]: median, and 5th and 95th percentile of a lognormal distribution, as `low` and `high`.
	 */
	readonly rate: PublishedValue;
	/** Temperature the rate belongs to [°C]. */
	readonly referenceC: number;
	/** Geometric standard deviation of the prior [-]. */
	readonly geometricSd: number;
	/** What too much CO2 looks like. */
	readonly excess: string;
}

const prior = (
	p50: number,
	p05: number,
	p95: number,
	basis: string,
	evidence: EvidenceGrade,
): PublishedValue =>
	published(
		p50,
		"mg/(kg h)",
		`prior: ${basis}; measure your own block (rise test)`,
		"judgement",
		evidence,
		p05,
		p95,
	);

// biome-ignore format: a record reads best on one line
export const species: Readonly<Record<SpeciesKey, Species>> = {
	oyster: {
		latin: "Pleurotus ostreatus and allies",
		aliases: ["pleurotus ostreatus", "pleurotus", "pearl oyster", "blue oyster", "phoenix oyster", "golden oyster"],
		rate: prior(155, 60, 400, "carbon balance 143–344, back-calculated air exchange 42–167, fruit-body rates", "moderate"),
		referenceC: 18,
		geometricSd: 1.78,
		excess: "long stipe, small cap, trumpet or coral; cap growth stops at 3000–9000 ppm",
	},
	"king oyster": {
		latin: "Pleurotus eryngii",
		aliases: ["pleurotus eryngii", "eryngii", "king trumpet", "trumpet"],
		rate: prior(106, 40, 280, "scaled from oyster", "weak"),
		referenceC: 16,
		geometricSd: 1.807,
		excess: "a long thick stem is wanted; small cap",
	},
	shiitake: {
		latin: "Lentinula edodes",
		aliases: ["lentinula edodes", "lentinula"],
		rate: prior(42, 15, 120, "oyster ÷ 5 in fruiting; 30 % dry loss in 120 d", "weak"),
		referenceC: 16,
		geometricSd: 1.882,
		excess: "long stem, small cap",
	},
	button: {
		latin: "Agaricus bisporus, per kg of compost",
		aliases: ["agaricus bisporus", "agaricus", "champignon", "cremini", "portobello", "white button"],
		rate: prior(57, 25, 130, "30–60 of the compost at 16 °C plus growing mushrooms", "moderate"),
		referenceC: 17,
		geometricSd: 1.651,
		excess: "fewer and later pins from 1000–1500 ppm; none at 10 000–20 000 ppm",
	},
	"lion's mane": {
		latin: "Hericium erinaceus",
		aliases: ["lions mane", "hericium erinaceus", "hericium"],
		rate: prior(87, 30, 250, "rank between oyster and reishi", "weak"),
		referenceC: 18,
		geometricSd: 1.905,
		excess: "coral-like, no ball",
	},
	enoki: {
		latin: "Flammulina velutipes",
		aliases: ["enokitake", "flammulina velutipes", "flammulina", "velvet shank"],
		rate: prior(44, 15, 130, "ranked above oyster at equal °C, but fruited cold", "weak"),
		referenceC: 10,
		geometricSd: 1.928,
		excess: "a band is wanted: too little is wrong as well",
	},
	reishi: {
		latin: "Ganoderma lucidum",
		aliases: ["ganoderma lucidum", "ganoderma", "lingzhi"],
		rate: prior(60, 20, 180, "lowest but one in the ranking", "weak"),
		referenceC: 25,
		geometricSd: 1.95,
		excess: "antler growth, which some growers want (20 000–40 000 ppm)",
	},
	unknown: {
		latin: "not known",
		aliases: ["other", "mixed"],
		rate: prior(84, 20, 350, "envelope of the other species", "weak"),
		referenceC: 18,
		geometricSd: 2.387,
		excess: "",
	},
};

/** Other names of a stage that people write. */
export const stageAliases: Readonly<Record<StageKey, readonly string[]>> = {
	"spawn run": ["incubation", "colonisation", "colonization"],
	colonised: ["colonized", "resting"],
	pinning: ["pins", "primordia", "initiation"],
	fruiting: ["cropping"],
	"flush peak": ["flush"],
	"between flushes": ["rest"],
	"late flush": ["late third flush"],
};

// biome-ignore format: a record reads best on one line
const span = (low: number, high: number): PublishedValue =>
	published(Math.sqrt(low * high), "", `multiplier on the fruiting prior at equal temperature, ${low}..${high} (geometric mean)`, "judgement", "weak", low, high);

/** Multiplier on the fruiting prior at equal temperature [-]; the value is the geometric mean of the span. */
export const stageFactors: Readonly<Record<StageKey, PublishedValue>> = {
	"spawn run": span(0.8, 1.5),
	colonised: span(0.4, 0.8),
	pinning: span(0.5, 1),
	fruiting: published(1, "", "the priors are for a fruiting block", "definition", "strong"),
	"flush peak": span(1.3, 2.5),
	"between flushes": span(0.3, 0.7),
	"late flush": span(0.25, 0.6),
};

/** Factor on respiration per 10 K [-]; trust it only within ±6 K of the reference. */
// biome-ignore format: a record reads best on one line
export const q10 = published(2.4, "", "judgement on button 2.15–2.9 (Varoquaux et al. 1999; Iqbal et al.), oyster 2.68–2.85 (Arda 2011; Bohling & Hansen 1989)", "judgement", "moderate", 1.9, 3.2);
