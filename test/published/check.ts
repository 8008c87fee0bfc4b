/** A published figure: a number, a yes or no, or null for "does not exist". */
export type Figure = number | boolean | null;
export type Tolerance = { readonly rel: number } | { readonly abs: number } | "exact";

/** A case of `fixtures/published`: what someone else found, and how near ours must come. */
export interface Case {
	readonly id: string;
	readonly topic: string;
	readonly source: string;
	readonly provenance: string;
	readonly equation: string;
	readonly inputs: Readonly<Record<string, number | boolean | readonly number[]>>;
	readonly expected: Readonly<Record<string, Figure | readonly Figure[]>>;
	readonly tolerance: Readonly<Record<string, Tolerance>>;
	readonly why: string;
	readonly note?: string;
}

/** One comparison; of a list of figures, the one that comes nearest to its tolerance. */
export interface Check {
	readonly id: string;
	readonly topic: string;
	/** What is compared, as the beginning of a sentence. */
	readonly what: string;
	readonly ours: Figure;
	readonly published: Figure;
	/** In the sense of the tolerance: relative or absolute; of a yes or no, 0 or infinite. */
	readonly deviation: number;
	readonly tolerance: Tolerance;
	/** Figures that were compared. */
	readonly figures: number;
	readonly within: boolean;
	readonly why: string;
	readonly source: string;
	readonly provenance: string;
}

/** What a case gives, by name; a name that is not there is a fault of ours. */
export interface Inputs {
	one(name: string): number;
	list(name: string): readonly number[];
	/** A published figure that another one is computed from. */
	published(name: string): number;
}

interface Comparison {
	readonly what: string;
	readonly ours: Figure | readonly Figure[];
}
/** Ours for one figure of a case: one way to find it, several, or why we do not. */
export type Answer = Comparison | readonly Comparison[] | { readonly notOurs: string };
type Answers = Readonly<Record<string, Answer>>;

/** How far off, in units of the tolerance: at most 1 is within. */
export const strain = ({ deviation, tolerance }: Pick<Check, "deviation" | "tolerance">): number => {
	if (deviation === 0) return 0;
	if (tolerance === "exact") return Number.POSITIVE_INFINITY;
	return deviation / ("rel" in tolerance ? tolerance.rel : tolerance.abs);
};

function deviationOf(ours: Figure, published: Figure, tolerance: Tolerance): number {
	if (ours === published) return 0;
	if (typeof ours !== "number" || typeof published !== "number") return Number.POSITIVE_INFINITY;
	const off = Math.abs(ours - published);
	// A figure that is not finite must not slip through as NaN.
	if (Number.isNaN(off)) return Number.POSITIVE_INFINITY;
	return tolerance !== "exact" && "rel" in tolerance ? off / Math.abs(published) : off;
}

function check(of: Case, key: string, { what, ours }: Comparison): Check {
	const published = [of.expected[key]!].flat();
	const found = [ours].flat();
	const tolerance = of.tolerance[key];
	if (tolerance === undefined || found.length !== published.length)
		throw new Error(`${of.id} ${key}: ${found.length} of ours for ${published.length} published`);
	const each = published.map((theirs, i) => {
		const deviation = deviationOf(found[i]!, theirs, tolerance);
		return { ours: found[i]!, published: theirs, deviation };
	});
	const worst = each.reduce((a, b) => (b.deviation > a.deviation ? b : a));
	const { id, topic, why, source, provenance } = of;
	return {
		id,
		topic,
		what,
		...worst,
		tolerance,
		figures: each.length,
		within: strain({ deviation: worst.deviation, tolerance }) <= 1,
		why,
		source,
		provenance,
	};
}

/**
 * Holds our answers against the published figures of every case, case by case.
 * @throws Error when a case or a figure has neither an answer nor a reason why not, so that none is dropped unseen
 */
export function checkCases(
	cases: readonly Case[],
	answersTo: (id: string, inputs: Inputs) => Answers | undefined,
): { checks: Check[]; notOurs: { id: string; key: string; reason: string }[] } {
	const checks: Check[] = [];
	const notOurs: { id: string; key: string; reason: string }[] = [];
	for (const of of cases) {
		const answers = answersTo(of.id, {
			one: (name) => numberOf(of, of.inputs, name),
			list: (name) => listOf(of, of.inputs, name),
			published: (name) => numberOf(of, of.expected, name),
		});
		if (answers === undefined) throw new Error(`nothing of ours answers ${of.id}`);
		for (const key of new Set([...Object.keys(of.expected), ...Object.keys(answers)])) {
			const answer = answers[key];
			if (answer === undefined || of.expected[key] === undefined)
				throw new Error(`${of.id} ${key}: ${answer === undefined ? "no answer" : "not in the case"}`);
			if ("notOurs" in answer) notOurs.push({ id: of.id, key, reason: answer.notOurs });
			else for (const comparison of [answer].flat()) checks.push(check(of, key, comparison as Comparison));
		}
	}
	return { checks, notOurs };
}

type Given = Case["inputs"] | Case["expected"];

function numberOf(of: Case, from: Given, name: string): number {
	const value = from[name];
	if (typeof value !== "number") throw new Error(`${of.id} gives no number ${name}`);
	return value;
}

function listOf(of: Case, from: Given, name: string): readonly number[] {
	const value = from[name];
	if (!Array.isArray(value)) throw new Error(`${of.id} gives no list ${name}`);
	return value;
}
