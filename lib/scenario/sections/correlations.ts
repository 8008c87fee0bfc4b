import * as z from "zod";
import { nearest } from "../../nearest.ts";
import { choleskyFactor } from "../../statistics/cholesky.ts";
import type { Correlations } from "../scenario.ts";
import type { Path, SourceDocument } from "../text/document.ts";
import { mapping, provenance } from "../text/leaves.ts";
import { rule } from "../text/rules.ts";

const MAX_INPUTS = 40;

/** The whole of a symmetric matrix given whole or by its lower triangle; null when it is neither. */
function wholeOf(rows: readonly (readonly number[])[]): number[][] | null {
	const n = rows.length;
	if (!rows.every(({ length }, i) => length === i + 1) && !rows.every(({ length }) => length === n))
		return null;
	const whole = rows.map((row, i) => Array.from({ length: n }, (_, j) => (j <= i ? row[j]! : rows[j]![i]!)));
	return rows.every((row, i) => row.every((r, j) => r === whole[i]![j]!)) ? whole : null;
}

const group = mapping(
	{
		between: z
			.array(z.string({ error: 'needs a path such as "fan.flow"' }), {
				error: "needs a list of paths such as [fan.flow, chamber.leak]",
			})
			.min(2, { error: "needs two paths or more" })
			.max(MAX_INPUTS, { error: `has more than ${MAX_INPUTS} paths` })
			.meta({ description: "paths of uncertain values, such as [fan.flow, chamber.leak]" }),
		matrix: z
			.array(z.array(z.number({ error: "needs numbers" }), { error: "needs rows such as [0.31, 1]" }), {
				error: "needs rows such as [[1], [0.31, 1]]",
			})
			.meta({
				description: "their correlations: the lower triangle by rows, [[1], [0.31, 1]], or the whole matrix",
			}),
		fitted: provenance.fitted,
		on: provenance.on,
	},
	"values whose errors are correlated",
).check(
	rule(({ between, matrix }, say) => {
		// A part that is no list has its own fault.
		if (!Array.isArray(between) || !Array.isArray(matrix)) return;
		const twice = between.find((path, i) => path !== undefined && between.indexOf(path) !== i);
		if (twice !== undefined) say("between", `names ${twice} twice`);
		if (matrix.length !== between.length) {
			say("matrix", `has ${matrix.length} rows for ${between.length} paths`);
			return;
		}
		if (matrix.flat().includes(undefined)) return;
		const whole = wholeOf(matrix as readonly (readonly number[])[]);
		if (whole === null)
			say("matrix", "is neither a lower triangle such as [[1], [0.31, 1]] nor a symmetric matrix");
		else if (whole.some((row, i) => row[i] !== 1)) say("matrix", "needs 1 on its diagonal");
		else if (whole.flat().some((r) => !(Math.abs(r) <= 1))) say("matrix", "needs correlations from -1 to 1");
		else if (choleskyFactor(whole) === null)
			say("matrix", "contradicts itself: no values can be correlated so");
	}),
);

/** The part of a scenario file that tells which errors go together. */
export const correlations = z
	.array(group, { error: "needs a list of { between, matrix } entries" })
	.max(MAX_INPUTS, { error: `has more than ${MAX_INPUTS} entries` })
	.meta({
		description:
			"correlations between uncertain values, from a fit; `fit --update` writes this part and `choose` draws with it",
	});

export const pathOf = (text: string): Path =>
	[...text.matchAll(/\[(\d+)\]|([^.[\]]+)/g)].map(([, index, key]) =>
		index === undefined ? (key ?? "") : Number(index),
	);

/** Path as the inputs are listed: a substrate that stands without a list is the first. */
const inputPathOf = (text: string): string => text.replace(/^substrate\./, "substrate[0].");

/** Names paths that the file does not hold, and those that stand in two entries. */
export function correlationFaults(
	source: SourceDocument,
	groups: readonly z.output<typeof group>[],
	say: (at: Path, message: string) => void,
): void {
	const seen = new Set<string>();
	const known = ["chamber", "intake", "substrate", "fan"].flatMap((key) =>
		source.keys([key]).map((inner) => `${key}.${inner}`),
	);
	for (const [k, { between }] of groups.entries())
		for (const [i, text] of between.entries()) {
			const path = pathOf(text);
			const single = path[1] === 0 ? [path[0]!, ...path.slice(2)] : path;
			const at = ["correlations", k, "between", i];
			if (!source.has(path) && !source.has(single)) {
				const near = nearest(text, known);
				const hint = near === null ? "remove it, or correct the path" : `did you mean "${near}"?`;
				say(at, `"${text}" is no value of this file; ${hint}`);
			}
			if (seen.has(inputPathOf(text))) say(at, `"${text}" is in two entries; merge them`);
			seen.add(inputPathOf(text));
		}
}

export const buildCorrelations = (groups: readonly z.output<typeof group>[]): readonly Correlations[] =>
	groups.map(({ between, matrix, ...stamp }) => ({
		...stamp,
		between: between.map(inputPathOf),
		matrix: wholeOf(matrix)!,
	}));
