import { describe, expect, test } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { fitLog } from "../../lib/fit/fit.ts";
import { verifyLog } from "../../lib/fit/verify.ts";
import { readLog } from "../../lib/logs/read.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { starterScenario } from "../../lib/scenario/starter.ts";
import { leastSquares } from "../../lib/statistics/leastsquares.ts";
import { uniforms } from "./disturbed/disturbedlog.ts";

const scenario = parseScenario(starterScenario());
const minutes = Array.from({ length: 121 }, (_, k) => k);
const log = readLog(["minutes,CO2 (ppm)", ...minutes.map((t) => `${t},${500 + 5 * t + (t % 3)}`)].join("\n"));
/** What is right nowhere. */
const WRONG: readonly unknown[] = [
	null,
	Symbol("a"),
	10n,
	() => 1,
	new Date(0),
	new Map(),
	Number.NaN,
	[null],
	[{}],
];
const OPTIONS = [
	...[
		"test",
		"burstSeconds",
		"schedule",
		"fan",
		"fanState",
		"phaseSeconds",
		"free",
		"prior",
		"exact",
		"days",
	],
	...["averagesCycles", "profile", "keep", "column", "warmUpSeconds", "temperature"],
];

/** The calls, each with what its refusal must name. */
const CALLS: readonly (readonly [string, (wrong: unknown) => unknown])[] = [
	...OPTIONS.flatMap((name) => [
		[`options.${name}`, (wrong: unknown) => fitLog(scenario, log, { [name]: wrong })] as const,
		[`options.${name}`, (wrong: unknown) => verifyLog(scenario, log, { [name]: wrong })] as const,
	]),
	["options.fix", (wrong) => fitLog(scenario, log, { fix: { leak: wrong as string } })],
	["scenario", (wrong) => fitLog(wrong as typeof scenario, log)],
	["log", (wrong) => fitLog(scenario, wrong as typeof log)],
	["options", (wrong) => verifyLog(scenario, log, (wrong ?? 1) as object)],
	...["name", "initial", "lower", "upper", "fixed", "prior"].map(
		(key) =>
			[
				key === "name" || key === "initial" ? "" : `a.${key}`,
				(wrong: unknown) =>
					leastSquares({ parameters: [{ name: "a", initial: 1, [key]: wrong }], rows: () => undefined }),
			] as const,
	),
	["parameters", (wrong) => leastSquares({ parameters: wrong as [], rows: () => undefined })],
	[
		"rows",
		(wrong) => leastSquares({ parameters: [], rows: typeof wrong === "function" ? 1 : wrong } as never),
	],
	[
		"costTolerance",
		(wrong) => leastSquares({ parameters: [], rows: () => undefined }, { costTolerance: wrong as number }),
	],
	[
		"jacobianRow",
		(wrong) =>
			leastSquares({
				parameters: [{ name: "a", initial: 1 }],
				rows: (_, to) => to.add(1, (Array.isArray(wrong) ? null : wrong) as number[]),
			}),
	],
];
/** Values that some argument takes after all. */
const isTaken = (path: string, wrong: unknown): boolean =>
	(/options$/.test(path) && (wrong instanceof Map || wrong instanceof Date)) ||
	(path === "parameters" && Array.isArray(wrong) && wrong.length === 0);

describe("10,000 calls with values of a wrong type", () => {
	test("are refused with an InputError that names the argument", () => {
		const random = uniforms(5);
		const astray: string[] = [];
		for (let k = 0; k < 10_000; k++) {
			const [path, call] = CALLS[k % CALLS.length]!;
			const wrong = WRONG[Math.floor(random() * WRONG.length)];
			if (isTaken(path, wrong)) continue;
			let error: unknown;
			try {
				call(wrong);
			} catch (thrown) {
				error = thrown;
			}
			if (!(error instanceof InputError) || !error.message.includes(path))
				astray.push(`${path} ${String(wrong)}: ${String(error)}`);
		}
		expect(astray.slice(0, 5)).toEqual([]);
	});
});
