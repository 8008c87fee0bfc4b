import type * as z from "zod";
import type { Fault } from "../../errors.ts";
import { nearest } from "../../nearest.ts";
import { aliasesIn, keyNamed } from "./aliases.ts";
import { BLOCK_STYLE, type Path, type SourceDocument } from "./document.ts";

type Issue = z.core.$ZodIssue;

const otherKind = 1000;

// How far a value is from one variant of a union: a foreign key counts more than a missing or a wrong one, another kind
// of value (text where a mapping is wanted) counts most.
const misfit = (issues: readonly Issue[]): number => {
	let sum = 0;
	for (const issue of issues) {
		const atRoot = issue.path.length === 0;
		if (issue.code === "unrecognized_keys") sum += 10 * issue.keys.length;
		else if (atRoot && (issue.code === "invalid_type" || issue.code === "invalid_value")) sum += otherKind;
		else if (atRoot && issue.code === "invalid_union")
			sum += misfit(likeliest(issue.errors) ?? issue.errors.flat());
		else sum += issue.path.length === 1 ? 6 : 1;
	}
	return sum;
};

/** Issues of the variant that was most likely meant; null when the value is of no variant's kind. */
const likeliest = (variants: readonly (readonly Issue[])[]): readonly Issue[] | null => {
	let best: readonly Issue[] | null = null;
	let least = otherKind;
	for (const issues of variants) {
		const distance = misfit(issues);
		if (distance < least) [best, least] = [issues, distance];
	}
	return best;
};

/** Turns what the schema found into faults with line, column, the value received and the way out. */
export const toFaults = (source: SourceDocument, base: Path, issues: readonly Issue[]): Fault[] => {
	const faults: Fault[] = [];
	const suggested = new Set<string>();
	const missing: { readonly path: Path; readonly fault: Fault }[] = [];

	const add = (issue: Issue, above: Path): void => {
		const path: Path = [...above, ...(issue.path as (string | number)[])];
		if (issue.code === "unrecognized_keys") {
			const own = issue.message.split("\n");
			const known = [...own, ...aliasesIn(path)];
			for (const key of issue.keys) {
				const near = nearest(
					key,
					known.filter((name) => !source.has([...path, keyNamed(path, name)])),
				);
				if (near !== null) suggested.add([...path, keyNamed(path, near)].join("\u0000"));
				const hint = near === null ? `; known here: ${own.join(", ")}` : `; did you mean "${near}"?`;
				faults.push(source.fault([...path, key], `is no known key${hint}`, "key"));
			}
			return;
		}
		if (issue.code === "invalid_union") {
			const empty = source.received(path) === BLOCK_STYLE && source.keys(path).length === 0;
			const inner = empty ? null : likeliest(issue.errors);
			if (inner !== null) {
				for (const one of inner) add(one, path);
				return;
			}
		}
		const { whole = false, reason = "" } = (issue.code === "custom" ? issue.params : undefined) ?? {};
		if (!source.has(path)) {
			missing.push({ path, fault: source.fault(path, `is missing; it ${issue.message}`, "key") });
			return;
		}
		const got = whole ? "" : `, got ${source.received(path)}`;
		faults.push(source.fault(path, `${issue.message}${got}${reason === "" ? "" : ` (${reason})`}`));
	};
	for (const issue of issues) add(issue, base);
	// A mistyped key is one fault, not two.
	for (const { path, fault } of missing) if (!suggested.has(path.join("\u0000"))) faults.push(fault);
	return faults;
};
