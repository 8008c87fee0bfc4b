import type { SpeciesKey } from "./fungi.ts";
import type { EvidenceGrade, Provenance } from "./published.ts";

/** One published statement about CO2 and a crop, as printed. */
export interface CeilingRecord {
	/** Species key, or "any". */
	readonly species: string;
	/** Narrower name where the source gives one. */
	readonly of: string | null;
	readonly stage: string;
	/** [ppm]; null: open end. */
	readonly low: number | null;
	readonly high: number | null;
	readonly kind: string;
	/** As printed; null where not stated. */
	readonly temperatureC: string | null;
	readonly humidityPercent: string | null;
	readonly airChangesPerHour: string | null;
	readonly source: string;
	readonly provenance: Provenance;
	readonly evidence: EvidenceGrade;
}

type Row = readonly [
	species: string,
	of: string | null,
	stage: string,
	low: number | null,
	high: number | null,
	kind: string,
	temperatureC: string | null,
	humidityPercent: string | null,
	airChangesPerHour: string | null,
	source: string,
	provenance: Provenance,
	evidence: EvidenceGrade,
];
const pulmonarius = "Pleurotus pulmonarius";
const citrinopileatus = "Pleurotus citrinopileatus";
const second = "read second hand";

// biome-ignore format: a table reads best one record a line
const rows: readonly Row[] = [
	["oyster", null, "spawn run", 5000, 20_000, "tolerated", "24", "85–95", "1", "Stamets, as quoted", second, "moderate"],
	["oyster", null, "pinning", null, 1000, "ceiling", "10–15.6", "95–100", "4–8", "Stamets, as quoted", second, "moderate"],
	["oyster", null, "fruiting", null, 1000, "ceiling", "10–21", "85–90", "4–8", "Stamets, as quoted", second, "moderate"],
	["oyster", null, "pinning", null, 700, "ceiling", null, null, null, "extension-style text, no primary source", "read", "moderate"],
	["oyster", null, "fruiting", 3000, 9000, "damage", null, null, null, "Kinugawa et al. 1994 in Jung & Son 2021", second, "moderate"],
	["oyster", "Pleurotus group, mycelium on agar", "spawn run", 160_000, 220_000, "optimum; 360 000 inhibits", null, null, null, "Zadražil 1975, Eur. J. Appl. Microbiol. 1:327–335", "read", "strong"],
	["oyster", pulmonarius, "spawn run", 5000, null, "tolerated", "24–29", "90–100", "1", "Stamets p. 325", "read", "moderate"],
	["oyster", pulmonarius, "pinning", 400, 800, "range", "10–24", "95–100", "5–7", "Stamets p. 325", "read", "moderate"],
	["oyster", pulmonarius, "fruiting", 400, 800, "range", "18–27", "85–90", "5–7", "Stamets p. 325", "read", "moderate"],
	["oyster", citrinopileatus, "spawn run", 5000, 20_000, "tolerated", "24–29", "90–100", "1–2", "Stamets p. 290", "read", "moderate"],
	["oyster", citrinopileatus, "pinning", null, 1000, "ceiling", "21–27", "98–100", "4–8", "Stamets p. 290", "read", "moderate"],
	["oyster", citrinopileatus, "fruiting", null, 1000, "ceiling", "21–29", "90–95", "4–8", "Stamets p. 290", "read", "moderate"],
	["king oyster", null, "spawn run", 5000, 20_000, "tolerated", "24", "90–95", null, "figures of Stamets", second, "moderate"],
	["king oyster", null, "pinning", 500, 1000, "range", "10–15", "95–100", "4–8", "figures of Stamets", second, "moderate"],
	["king oyster", null, "fruiting", null, 2000, "ceiling", "15–21", "85–90", "4–5", "figures of Stamets", second, "moderate"],
	["king oyster", "closed plant of 12 bottles", "fruiting", 1000, 2000, "held", null, null, null, "Jung & Son 2021, Sustainability 13:5434", "read", "strong"],
	["shiitake", "room air", "spawn run", null, 3000, "ceiling", "22", "70–80", null, "bag practice, no primary source", "read", "weak"],
	["shiitake", null, "fruiting", 800, 1200, "range", "12–20", "85–95", null, "common practice, no source", "read", "weak"],
	["shiitake", null, "fruiting", null, 1000, "ceiling", "10–21", "85–95", "4–8", "Stamets", "from memory", "moderate"],
	["button", null, "pinning", 340, 1000, "optimum", null, null, null, "Long 1968, thesis, Univ. Bath", "read", "strong"],
	["button", null, "pinning", 1000, 1500, "onset of delay and loss; 10 000–20 000 under 1 ‰ of control", null, null, null, "Arch. Mikrobiol., doi 10.1007/BF00406860", "read", "strong"],
	["button", null, "pinning", null, 1600, "no effect seen; 5000–20 000 severe", null, null, null, "Korean J. Mycology 1981 9(1):7–12", "read", "moderate"],
	["button", null, "pinning", 1200, 1500, "practice, to limit pin number", null, null, null, "common practice, no source", "read", "weak"],
	["button", null, "fruiting", null, 1000, "ceiling, air 0.1 m/s", "16", "93", null, "Bowman 1989, Mushroom Science XII", "read", "strong"],
	["enoki", null, "pinning", 300, 1340, "range", null, null, null, "Wang et al. 2006, Acta Edulis Fungi 13(4)", "read", "strong"],
	["enoki", null, "elongation", 1340, 4480, "range", null, null, null, "Wang et al. 2006, Acta Edulis Fungi 13(4)", "read", "strong"],
	["enoki", null, "fruiting", 2000, 4000, "range", "10–16", "90–95", "2–4", "Stamets p. 231 (species inferred)", "read", "moderate"],
	["enoki", null, "fruiting", 1000, 5000, "range", "8–15", "80–90", null, "trade text, no source", "read", "weak"],
	["lion's mane", null, "spawn run", 3000, 10_000, "tolerated; slower > 10 000, stops > 30 000", null, null, null, "trade text, no source", "read", "weak"],
	["lion's mane", null, "fruiting", 300, 1000, "range", null, null, null, "trade text, no source", "read", "weak"],
	["lion's mane", null, "fruiting", 500, 1000, "range", "18–24", "90–95", "5–8", "Stamets, scanned text", second, "moderate"],
	["reishi", "antler", "fruiting", 20_000, 40_000, "wanted", "18–24", "95–100", "0–1", "Stamets 2000, second hand", second, "moderate"],
	["reishi", "caps", "fruiting", null, 2000, "ceiling", "21–27", "90–95", null, "Stamets 2000, second hand", second, "moderate"],
	["reishi", "caps", "fruiting", null, 1000, "ceiling", "25–28", "90–95", null, "trade text, no source", "read", "weak"],
	["any", null, "pinning", null, 1000, "ceiling, better < 500", null, "90–100", null, "Stamets p. 214", "read", "moderate"],
	["any", "inside an incubating bag", "spawn run", 20_000, 40_000, "typical; > 50 000 harmful; room < 1000", null, null, null, "Stamets p. 177", "read", "moderate"],
];

export const ceilingRecords: readonly CeilingRecord[] = rows.map(
	([
		species,
		of,
		stage,
		low,
		high,
		kind,
		temperatureC,
		humidityPercent,
		airChangesPerHour,
		source,
		provenance,
		evidence,
	]) => ({
		species,
		of,
		stage,
		low,
		high,
		kind,
		temperatureC,
		humidityPercent,
		airChangesPerHour,
		source,
		provenance,
		evidence,
	}),
);

/** Where the records disagree: shown, not settled. */
export const ceilingConflicts: readonly { readonly species: string; readonly text: string }[] = [
	{
		species: "button",
		text: "pinning: 1000–1500 ppm harmful (Arch. Mikrobiol.), up to 1600 ppm harmless (Korean J. Mycology), 1200–1500 ppm used on purpose (common practice, no source)",
	},
	{ species: "reishi", text: "caps: ceiling 1000 ppm (trade text) or 2000 ppm (Stamets, second hand)" },
	{
		species: "any",
		text: "how fast a crop answers is unknown: hours of mean CO2 matter more than a one-minute peak, so say which figure the ceiling is held against",
	},
];

/** The records behind a default, of one species. */
export const ceilingRecordsOf = (key: SpeciesKey) =>
	ceilingRecords.filter((record) => record.species === key || record.species === "any");
