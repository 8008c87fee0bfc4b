import { describe, expect, test } from "vitest";
import { budgetErrors } from "../../../lib/fit/estimate/errorbudget.ts";
import type { Estimate } from "../../../lib/fit/estimate/estimate.ts";
import type { HeldValues } from "../../../lib/fit/estimate/heldvalues.ts";
import { fitSeries } from "../../../lib/fit/fit.ts";
import type { FitName } from "../../../lib/fit/fitoptions.ts";
import type { Fit } from "../../../lib/fit/fittypes.ts";
import { parseScenario } from "../../../lib/scenario/parse.ts";
import { seriesOf } from "../syntheticlog.ts";
import { bell, type DrawnChamber, dice, drawnLog } from "./drawnlog.ts";
import { drawnTest } from "./drawntests.ts";

const of = (fit: Fit, name: FitName) => fit.parameters.find((one) => one.name === name)!;
const shareOf = (fit: Fit, name: FitName, source: string): number =>
	of(fit, name).shares.find((one) => one.source === source)?.share ?? 0;

/** Inverse by Gauss and Jordan, rows and columns scaled. */
function inverse(matrix: readonly (readonly number[])[]): number[][] {
	const scale = matrix.map((row, i) => Math.sqrt(row[i]!));
	const rows = matrix.map((row, i) => [
		...row.map((value, j) => value / scale[i]! / scale[j]!),
		...row.map((_, j) => Number(i === j)),
	]);
	for (let c = 0; c < rows.length; c++) {
		const pivot = rows[c]![c]!;
		rows[c] = rows[c]!.map((value) => value / pivot);
		for (let i = 0; i < rows.length; i++) {
			const factor = rows[i]![c]!;
			if (i !== c) rows[i] = rows[i]!.map((value, j) => value - factor * rows[c]![j]!);
		}
	}
	return rows.map((row, i) => row.slice(rows.length).map((value, j) => value / scale[i]! / scale[j]!));
}

test("a mean of n readings beside a held zero errs by s²/n + u², as the law of propagation of errors says (GUM 5.1.2)", () => {
	// y = θ + h with h held at 0 ± u: rows scaled to unit variance have slope 1/s over both.
	const [n, s, u] = [25, 4, 1.5];
	const found = {
		least: {
			variance: 1,
			standardErrors: [s / Math.sqrt(n), null],
			unscaledCovariance: [
				[s ** 2 / n, Number.NaN],
				[Number.NaN, Number.NaN],
			],
		},
		varianceInflation: 1,
		information: () => [[n / s ** 2], [0]],
	} as unknown as Estimate;
	const held: HeldValues = {
		inputs: [{ source: "response", path: null, standardDeviation: u, isStated: true, own: "response" }],
		covariance: [[u ** 2]],
		knowledge: (kind) => [Number(kind === "response")],
	};
	const { covariance, shares } = budgetErrors(
		found,
		[
			{ name: "leak", initial: 7 },
			{ name: "response", initial: 0, fixed: true },
		],
		held,
		[{ parameters: [1, 0], inputs: [0] }],
	);
	expect(covariance[0]![0]).toBeCloseTo(s ** 2 / n + u ** 2, 12);
	expect(shares[0]!.map(({ source }) => source)).toEqual(["response", "noise"]);
	expect(shares[0]![0]!.share).toBeCloseTo(u ** 2 / (s ** 2 / n + u ** 2), 12);
});

test("knowledge of u beside readings of s²/n gives their common error, each counted once", () => {
	const [n, s, u] = [25, 4, 1.5];
	const variance = 1 / (n / s ** 2 + 1 / u ** 2);
	const found = {
		least: { variance: 1, standardErrors: [Math.sqrt(variance)], unscaledCovariance: [[variance]] },
		varianceInflation: 1,
		information: () => [],
	} as unknown as Estimate;
	const held: HeldValues = {
		inputs: [{ source: "leak", path: null, standardDeviation: u, isStated: true, own: "leak" }],
		covariance: [[u ** 2]],
		knowledge: () => [1],
	};
	const { covariance, shares } = budgetErrors(
		found,
		[{ name: "leak", initial: 7, prior: { mean: 7, standardDeviation: u } }],
		held,
		[{ parameters: [1], inputs: [0] }],
	);
	expect(covariance[0]![0]).toBeCloseTo(variance, 12);
	expect(shares[0]!.find(({ source }) => source === "leak")!.share).toBeCloseTo(variance / u ** 2, 12);
});

describe("a decay of 300 L with all that is held drawn into the squares", () => {
	const chamber: DrawnChamber = {
		litres: 300,
		leakLPerH: 120,
		flowM3PerH: 0,
		outputLPerH: 0,
		intakePpm: 450,
		startPpm: 3000,
		lagSeconds: 30,
		offsetPpm: 0,
		gain: 1,
	};
	const run = { hours: 5, stepSeconds: 60, blows: [], noisePpm: 6, roundedTo: 0.001 };
	const { timesSeconds, co2Ppm } = drawnLog(chamber, run, bell(dice(5)));
	const scenario = parseScenario(
		`
chamber: { volume: 300 L ±5 %, leak: 0.4 /h }
intake: { co2: 450 ppm ±40 ppm }
substrate: { mass: 5 kg }
fan: { flow: 10 m3/h }
sensor: { response: 30 s ±10 s, accuracy: 30 ppm + 3 % }
schedules: { a: off }
`,
		"decay.yaml",
	);
	const fit = fitSeries(scenario, seriesOf(timesSeconds, co2Ppm, 60), { test: "decay" });

	test("has the error that least squares with one row more for each of them give, by derivatives of another model", () => {
		const spreads: readonly (readonly [keyof DrawnChamber, number, number | null])[] = [
			["leakLPerH", 1, null],
			["startPpm", 1, null],
			["litres", 3, 15 / 1.645],
			["intakePpm", 1, 40 / 1.645],
			["lagSeconds", 1, 10 / 1.645],
			["offsetPpm", 1, 30 / 1.96],
			["gain", 0.001, 0.03 / 1.96],
		];
		const shown = (more: Partial<DrawnChamber>) =>
			drawnLog({ ...chamber, ...more }, { ...run, noisePpm: 0, roundedTo: 1e-9 }, () => 0).co2Ppm;
		const slopes = spreads.map(([name, step]) => {
			const [up, down] = [shown({ [name]: chamber[name] + step }), shown({ [name]: chamber[name] - step })];
			return up.map((ppm, i) => (ppm - down[i]!) / (2 * step));
		});
		// The noise is white: neighbours that the fit found alike by chance are whitened alike here.
		const rho = fit.residuals.lag1Autocorrelation;
		const sigma = fit.residuals.rmsPpm * Math.sqrt(1 - rho ** 2);
		const whitened = slopes.map((column) =>
			column.map(
				(value, i) => (i === 0 ? value * Math.sqrt(1 - rho ** 2) : value - rho * column[i - 1]!) / sigma,
			),
		);
		// The first reading of a lagging sensor is free in a fit, and so it is here.
		const first = timesSeconds.map((time, i) => {
			const left = (t: number) => Math.exp(-t / 30);
			return (i === 0 ? Math.sqrt(1 - rho ** 2) : left(time) - rho * left(time - 60)) / sigma;
		});
		const columns = [...whitened, first];
		const normal = columns.map((a, i) =>
			columns.map(
				(b, j) =>
					a.reduce((sum, value, k) => sum + value * b[k]!, 0) +
					(i === j ? (spreads[i]?.[2] ?? Number.POSITIVE_INFINITY) ** -2 : 0),
			),
		);
		const covariance = inverse(normal);
		const error = Math.sqrt(covariance[0]![0]!) / 3.6e6;
		expect(of(fit, "leak").standardError! / error).toBeGreaterThan(0.98);
		expect(of(fit, "leak").standardError! / error).toBeLessThan(1.02);
	});

	test("says where its error comes from, in shares that sum to 1", () => {
		const sum = (shares: Fit["parameters"][number]["shares"]) =>
			shares.reduce((to, { share }) => to + share, 0);
		const leak = of(fit, "leak");
		expect(sum(leak.shares)).toBeCloseTo(1, 9);
		for (const one of fit.parameters.flatMap(({ alsoAs }) => alsoAs))
			if (one.standardError !== null) expect(sum(one.shares)).toBeCloseTo(1, 9);
		// 5 % of the volume over 1.645 is its part of the leak in L/h, and none of the air changes.
		expect(Math.sqrt(shareOf(fit, "leak", "volume")) * leak.standardError!).toBeCloseTo(
			(0.05 / 1.645) * leak.value,
			9,
		);
		const [airChanges] = leak.alsoAs;
		expect(
			airChanges!.shares.some(({ source, share }) => source === "volume" && Math.abs(share) > 1e-12),
		).toBe(false);
		expect(airChanges!.value * 0.3).toBeCloseTo(leak.value, 15);
	});
});

describe("a decay whose intake is 50 ppm off", () => {
	const decay = (intake: string, hours: number, intakePpm = 470) => {
		const log = drawnLog(
			{
				litres: 300,
				leakLPerH: 105,
				flowM3PerH: 0,
				outputLPerH: 0,
				intakePpm,
				startPpm: 3000,
				lagSeconds: 0,
				offsetPpm: 0,
				gain: 1,
			},
			{ hours, stepSeconds: 60, blows: [], noisePpm: 4 },
			bell(dice(11)),
		);
		const scenario = parseScenario(
			`chamber: { volume: 300 L }\nintake: { co2: ${intake} }\nsubstrate: { mass: 5 kg }\nfan: { flow: 10 m3/h }\nschedules: { a: off }`,
			"decay.yaml",
		);
		const series = seriesOf(log.timesSeconds, log.co2Ppm, 60);
		return (exact: boolean) => fitSeries(scenario, series, { test: "decay", exact });
	};
	const airChanges = (fit: Fit) => of(fit, "leak").alsoAs[0]!;

	test.each([
		["420 ppm", 470],
		["350..500 ppm", 470],
	])(
		"given as %s where it is %d: the stated interval holds the truth, and without it would not",
		(intake, intakePpm) => {
			const found = decay(intake, 5, intakePpm);
			const { ci95Low, ci95High } = airChanges(found(false));
			expect(ci95Low! * 3600).toBeLessThan(0.35);
			expect(ci95High! * 3600).toBeGreaterThan(0.35);
			const alone = airChanges(found(true));
			expect(alone.ci95High! * 3600).toBeLessThan(0.35);
		},
	);

	test("a range is no better known than it is wide, and the tail narrows it", () => {
		const [short, long] = [1.5, 12].map((hours) =>
			of(decay("400..450 ppm", hours, 440)(false), "background"),
		);
		expect(short!.standardError!).toBeGreaterThan(15);
		expect(long!.standardError!).toBeLessThan(5);
		expect(long!.status).toBe("prior");
		expect(Math.abs(long!.value - 440)).toBeLessThan(3 * long!.standardError!);
	});

	test("a tail that intake and sensor cannot explain is gone by alone, and the contradiction is named", () => {
		const fit = decay("420 ppm", 14, 700)(false);
		const [warning] = fit.warnings;
		expect(warning).toMatchObject({ code: "background contradicts intake", expectedPpm: 420 });
		const free = { ...of(fit, "background") };
		expect(free.status).toBe("free");
		expect(Math.abs(free.value - 700)).toBeLessThan(3 * free.standardError!);
		expect(Math.abs(airChanges(fit).value * 3600 - 0.35)).toBeLessThan(
			3 * 3600 * airChanges(fit).standardError!,
		);
		// The default agrees with what is found without any knowledge.
		expect(decay("420 ppm", 14, 440)(false).warnings).toEqual([]);
	});
});

describe("a closed rise", () => {
	test("is read as bent where its leak shows, and as straight where nothing speaks for one", () => {
		const rise = (leakLPerH: number, leak: string) => {
			const log = drawnLog(
				{
					litres: 200,
					leakLPerH,
					flowM3PerH: 0,
					outputLPerH: 0.3,
					intakePpm: 450,
					startPpm: 500,
					lagSeconds: 0,
					offsetPpm: 0,
					gain: 1,
				},
				{ hours: 1, stepSeconds: 20, blows: [], noisePpm: 5 },
				bell(dice(3)),
			);
			const scenario = parseScenario(
				`chamber: { volume: 200 L, leak: ${leak} }\nintake: { co2: 450 ppm ±5 ppm }\nsubstrate: { mass: 5 kg }\nfan: { flow: 10 m3/h }\nschedules: { a: off }`,
				"rise.yaml",
			);
			return fitSeries(scenario, seriesOf(log.timesSeconds, log.co2Ppm, 20), { test: "rise" });
		};
		const bent = rise(120, "0.1..2 /h");
		expect(bent.riseShape!.code).toBe("bent");
		expect(bent.riseShape!.deltaAic).toBeGreaterThan(0);
		expect(Math.abs(of(bent, "leak").value * 3.6e6 - 120)).toBeLessThan(
			3 * 3.6e6 * of(bent, "leak").standardError!,
		);
		const straight = rise(0, "0.001..0.05 /h");
		expect(straight.riseShape!.code).toBe("straight");
		for (const fit of [bent, straight]) {
			const { value, standardError } = of(fit, "generation");
			expect(Math.abs(value * 3.6e6 - 0.3)).toBeLessThan(3 * 3.6e6 * standardError!);
		}
	});
});

test("what is held goes with what is written: a flow that is high because the volume is, is drawn with that volume", () => {
	const { fit: run } = drawnTest("log", 2);
	const fit = run();
	const { between, matrix } = fit.changeCorrelations!;
	const of = (a: string, b: string) => matrix[between.indexOf(a)]![between.indexOf(b)]!;
	expect(of("fan.flow", "chamber.volume")).toBeGreaterThan(0.5);
	expect(of("substrate[0].rate", "substrate[0].mass")).toBeLessThan(-0.05);
	// Flow over volume is known far better than the flow.
	const flow = fit.parameters.find(({ name }) => name === "flow")!;
	const airChanges = flow.alsoAs[0]!;
	expect(airChanges.standardError! / airChanges.value).toBeLessThan((0.9 * flow.standardError!) / flow.value);
});
