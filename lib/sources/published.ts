/** How much a figure is evidence: measured by a described method, practice or one source, or a guess. */
export type EvidenceGrade = "strong" | "moderate" | "weak";

/** How the figure came here; "definition" is exact by agreement. */
export type Provenance =
	| "read"
	| "read second hand"
	| "computed"
	| "from memory"
	| "judgement"
	| "definition";

/** A figure with its uncertainty, where it comes from, and how far to trust it. */
export interface PublishedValue {
	readonly value: number;
	/** As `lib/units.ts` reads it; "" for a plain number. */
	readonly unit: string;
	/** Ends of the range; null where none is stated. */
	readonly low: number | null;
	readonly high: number | null;
	readonly source: string;
	readonly provenance: Provenance;
	readonly evidence: EvidenceGrade;
}

/** A figure in one line; its ends where they are stated. */
export const published = (
	value: number,
	unit: string,
	source: string,
	provenance: Provenance,
	evidence: EvidenceGrade,
	low: number | null = null,
	high: number | null = null,
): PublishedValue => ({ value, unit, low, high, source, provenance, evidence });
