import { existsSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { SolverError } from "../../lib/index.ts";
import { type Case, checkCases } from "./check.ts";
import { publishedChecks } from "./checks.ts";
import { stiffByOdex } from "./ode.ts";
import { sentence, textTable, withAccuracy } from "./table.ts";

const result = publishedChecks();

const topics = [...new Set(result.checks.map((check) => check.topic))];

describe.each(topics)("%s", (topic) => {
	const checks = result.checks.filter((check) => check.topic === topic);
	test.each(checks.map((check) => [sentence(check), check] as const))("%s", (_sentence, check) => {
		const { ours, deviation, tolerance, why, source } = check;
		expect(check.within, JSON.stringify({ ours, deviation, tolerance, why, source })).toBe(true);
	});
});

test("odex refuses the stiff van der Pol oscillator rather than return a wrong end", () => {
	expect(stiffByOdex).toThrow(SolverError);
});

const planted: Case = {
	id: "PLANT",
	topic: "planted",
	source: "none",
	provenance: "computed",
	equation: "-",
	inputs: {},
	expected: { x: [10, 20], possible: false },
	tolerance: { x: { rel: 1e-3 }, possible: "exact" },
	why: "to see the comparison itself fail",
};
const answer = (x: number[], possible: boolean) =>
	checkCases([planted], () => ({
		x: { what: "x", ours: x },
		possible: { what: "it is possible", ours: possible },
	})).checks.map((check) => check.within);

test("a figure that is off, not finite, or a wrong yes or no is not within", () => {
	expect(answer([10.009, 20], false)).toEqual([true, true]);
	expect(answer([10, 20.03], false)).toEqual([false, true]);
	expect(answer([10, Number.NaN], false)).toEqual([false, true]);
	expect(answer([10, Number.POSITIVE_INFINITY], true)).toEqual([false, false]);
});

test("a published figure that is neither answered nor declined is an error", () => {
	expect(() => checkCases([planted], () => ({ x: { what: "x", ours: [10, 20] } }))).toThrow(
		"PLANT possible: no answer",
	);
	expect(() => checkCases([planted], () => undefined)).toThrow("nothing of ours answers PLANT");
	expect(() => answer([10], false)).toThrow("1 of ours for 2 published");
});

test("the table says what is off and what is not compared", () => {
	const { checks } = checkCases([planted], () => ({
		x: { what: "x", ours: [10, 21] },
		possible: { notOurs: "no reason" },
	}));
	const text = textTable({ checks, notOurs: [{ id: "PLANT", key: "possible", reason: "no reason" }] });
	expect(text).toContain("OFF  PLANT");
	expect(text).toContain("not compared: PLANT possible: no reason");
	expect(text).toContain("0 within, 1 off");
});

const readme = new URL("../../fixtures/published/README.md", import.meta.url);

test.runIf(existsSync(readme))(
	"the accuracy table of the published figures is the one that the checks give",
	() => {
		const text = readFileSync(readme, "utf8");
		// Between versions of Node the last bits of sines and powers differ, and with them the digits of a deviation of an
		// orbit, and of a fit that searches until nothing but these bits changes.
		const steady = (table: string | null) =>
			(table ?? "").split("\n").filter((line) => !/^\| (ODE-(ARENSTORF|VDPSTIFF)|NLS-)/.test(line));
		expect(steady(withAccuracy(text, result.checks))).toEqual(steady(text));
	},
);
