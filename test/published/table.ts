import { type Check, type Figure, strain, type Tolerance } from "./check.ts";
import { publishedChecks } from "./checks.ts";

/** As many digits as the tolerance can tell apart, and one more. */
function figureText(
	figure: Figure,
	{ published, tolerance }: Pick<Check, "published" | "tolerance">,
): string {
	if (typeof figure !== "number") return figure === null ? "none" : figure ? "yes" : "no";
	if (tolerance === "exact" || typeof published !== "number") return String(figure);
	const relative = "rel" in tolerance ? tolerance.rel : tolerance.abs / Math.max(Math.abs(published), 1e-300);
	const digits = Math.min(Math.max(Math.ceil(-Math.log10(relative)) + 1, 4), 15);
	return String(Number(figure.toPrecision(digits)));
}

/** Deviations below this are rounding errors, which differ from one engine to the next and are not told apart. */
function rounding({ published, tolerance }: Check): number {
	if (tolerance === "exact" || typeof published !== "number") return 0;
	if ("rel" in tolerance) return Math.min(1e-12, tolerance.rel);
	return Math.min(1e-12 * Math.max(Math.abs(published), 1), tolerance.abs);
}

function deviationText(check: Check): string {
	const { deviation } = check;
	if (!Number.isFinite(deviation)) return "differs";
	if (deviation < rounding(check)) return `< ${rounding(check).toExponential(0)}`;
	return deviation === 0 ? "0" : deviation.toExponential(1);
}

const toleranceText = (tolerance: Tolerance): string => {
	if (tolerance === "exact") return "exact";
	const [bound, kind] = "rel" in tolerance ? [tolerance.rel, "rel"] : [tolerance.abs, "abs"];
	return `${bound < 1e-3 ? bound.toExponential() : bound} ${kind}`;
};

const wordsOf = (check: Check): string =>
	check.figures > 1 ? `${check.what} (worst of ${check.figures})` : check.what;

/** A check as a sentence. */
export const sentence = (check: Check): string =>
	`${check.id}: ${wordsOf(check)} is ${figureText(check.published, check)} within ${toleranceText(check.tolerance)}`;

/** All checks as aligned text, with the source of each case and, at the end, what is not compared and why. */
export function textTable({ checks, notOurs }: ReturnType<typeof publishedChecks>): string {
	const rows = checks.map((check) => [
		check.within ? "ok" : "OFF",
		check.id,
		wordsOf(check),
		figureText(check.ours, check),
		figureText(check.published, check),
		deviationText(check),
		toleranceText(check.tolerance),
		`${check.source} (${check.provenance})`,
	]);
	const head = ["", "case", "what", "ours", "published", "deviation", "tolerance", "source"];
	const widths = head.map((_, i) => Math.max(...[head, ...rows].map((row) => row[i]!.length)));
	const line = (row: readonly string[]) =>
		row
			.map((cell, i) => (i >= 3 && i <= 5 ? cell.padStart(widths[i]!) : cell.padEnd(widths[i]!)))
			.join("  ")
			.trimEnd();
	const off = checks.filter((check) => !check.within).length;
	return [
		line(head),
		...rows.map(line),
		"",
		...notOurs.map(({ id, key, reason }) => `not compared: ${id} ${key}: ${reason}`),
		"",
		`${checks.length - off} within, ${off} off`,
	].join("\n");
}

/** One line a case: of its checks, the one that comes nearest to its tolerance. */
export function markdownTable(checks: readonly Check[]): string {
	const rows = [...new Set(checks.map((check) => check.id))].map((id) => {
		const own = checks.filter((check) => check.id === id);
		const figures = own.reduce((sum, check) => sum + check.figures, 0);
		const worst = own.reduce((a, b) => (told(b) > told(a) ? b : a));
		return [
			id,
			worst.what,
			String(figures),
			figureText(worst.ours, worst),
			figureText(worst.published, worst),
			deviationText(worst),
			toleranceText(worst.tolerance),
		];
	});
	const head = ["case", "what", "figures", "ours", "published", "deviation", "tolerance"];
	return [head, ["---", "---", "--:", "--:", "--:", "--:", "---"], ...rows]
		.map((row) => `| ${row.join(" | ")} |`)
		.join("\n");
}

/** Strain without the last bits, so that they do not choose the line that is shown. */
const told = (check: Check): number =>
	check.deviation < rounding(check) ? 0 : Number(strain(check).toPrecision(3));

const MARKERS = /(<!-- accuracy -->)[\s\S]*?(<!-- \/accuracy -->)/;

/** A README with the table between its markers; null when it has none. */
export function withAccuracy(readme: string, checks: readonly Check[]): string | null {
	if (!MARKERS.test(readme)) return null;
	return readme.replace(MARKERS, (_, begin, end) => `${begin}\n\n${markdownTable(checks)}\n\n${end}`);
}

export { publishedChecks };
