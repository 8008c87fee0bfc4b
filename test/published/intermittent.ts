import { type Method, simulate } from "../../lib/index.ts";
import { equalMeanEfficacy, equalPeakEfficacy, meanPenalty, peakPenalty } from "../../lib/public/lesson.ts";
import { findRoot } from "../../lib/solve/root.ts";
import { box, excess, HOUR, SUPPLY_PPM, steadyPpm } from "./box.ts";
import type { Answer, Inputs } from "./check.ts";

/** Rise of the closed chamber [ppm/h]; without effect on any ratio. */
const RISE = 1000;
/** Air changes an hour beyond which a burst is a complete flush. */
const FLUSH = 1e8;

/** A cycle beside constant flow: on fraction, period [h], air changes an hour of the constant flow and of the leak. */
interface Cycle {
	readonly on: number;
	readonly hours: number;
	readonly constant: number;
	readonly leak?: number;
}

const steadyState = ({ on, hours, leak = 0 }: Cycle, burst: number) =>
	excess(box(RISE, burst - leak, leak), on * hours, (1 - on) * hours);
const continuous = ({ constant }: Cycle) => steadyPpm(box(RISE, constant)) - SUPPLY_PPM;

/**
 * Air changes an hour during the burst (fan and leak) at which the mean or the peak of our regime meets constant flow;
 * null when even a complete flush in each burst is not enough.
 */
function burstRate(cycle: Cycle, figure: "mean" | "peak"): number | null {
	const above = (burst: number) => steadyState(cycle, burst)[figure] - continuous(cycle);
	let high = cycle.constant / cycle.on;
	while (above(high) > 0) {
		if (high > FLUSH) return null;
		high *= 4;
	}
	return findRoot(above, high / 4, high);
}

/** Efficacy: mean air of constant flow over mean air of the bursts that do as well. */
function efficacy(cycle: Cycle, figure: "mean" | "peak"): number | null {
	const burst = burstRate(cycle, figure);
	return burst === null ? null : cycle.constant / (cycle.on * burst + (1 - cycle.on) * (cycle.leak ?? 0));
}

/** As the cases count: N is half the air changes of constant flow in a cycle. */
const cycleOf = (f: number, n: number): Cycle => ({ on: f, hours: 2 * n, constant: 1 });

/** Equal mean, equal peak, with and without leak. */
export function intermittent(id: string, inputs: Inputs): Record<string, Answer> | undefined {
	const { one, list, published } = inputs;
	if (/^INT-f|^INT-quickcycle/.test(id)) {
		const cycle = cycleOf(one("f"), one("N"));
		const eps = [
			{ what: "efficacy at equal mean, by root search", ours: efficacy(cycle, "mean") },
			{ what: "efficacy at equal mean, by formula", ours: equalMeanEfficacy(one("f"), one("N")) },
		];
		if (id === "INT-quickcycle") return { eps };
		const burst = burstRate(cycle, "mean") ?? Number.NaN;
		const { mean, peak, trough } = steadyState(cycle, burst);
		return {
			eps,
			A_on_over_A_eq: { what: "burst over constant flow at equal mean, by root search", ours: burst },
			// At the published burst, for at ours it is 1 by construction.
			mean_over_continuous: {
				what: "mean over that of constant flow, at the published burst",
				ours: steadyState(cycle, published("A_on_over_A_eq")).mean / continuous(cycle),
			},
			peak_over_mean: { what: "peak over mean", ours: peak / mean },
			trough_over_mean: { what: "trough over mean", ours: trough / mean },
		};
	}
	if (id.startsWith("INTPEAK-")) {
		const cycle = cycleOf(one("f"), one("N"));
		const burst = burstRate(cycle, "peak") ?? Number.NaN;
		return {
			eps_peak: [
				{ what: "efficacy at equal peak, by root search", ours: efficacy(cycle, "peak") },
				{ what: "efficacy at equal peak, by formula", ours: equalPeakEfficacy(one("f"), one("N")) },
			],
			A_on_over_A_eq: { what: "burst over constant flow at equal peak, by root search", ours: burst },
			mean_over_continuous: {
				what: "mean over that of constant flow at equal peak",
				ours: steadyState(cycle, burst).mean / continuous(cycle),
			},
		};
	}
	if (id.startsWith("INT-LEAK-")) {
		const cycle = {
			on: one("f"),
			hours: one("T_h"),
			constant: one("A_eq_per_h"),
			leak: one("A_off_per_h"),
		};
		return {
			A_on_exact_per_h: {
				what: "air changes an hour of the burst with leak, by root search",
				ours: burstRate(cycle, "mean"),
			},
			eps_total_exact: { what: "efficacy at equal mean with leak", ours: efficacy(cycle, "mean") },
			...(id === "INT-LEAK-0.3-0.25-1"
				? {
						eps_formula: {
							what: "efficacy by the formula for no leak, the leak taken off the turnover",
							ours: equalMeanEfficacy(cycle.on, ((cycle.constant - cycle.leak) * cycle.hours) / 2),
						},
					}
				: {}),
		};
	}
	switch (id) {
		case "INT-nosol":
			return {
				solvable: {
					what: "some burst meets constant flow in the mean",
					ours: burstRate(cycleOf(one("f"), one("N")), "mean") !== null,
				},
			};
		case "INT-3h-rule":
			return {
				eps: [
					{
						what: "efficacy of running every 3 h, by root search",
						ours: list("f").map((on) =>
							efficacy({ on, hours: one("T_h"), constant: one("A_eq_per_h") }, "mean"),
						),
					},
					{
						what: "efficacy of running every 3 h, by formula",
						ours: list("f").map((on) => equalMeanEfficacy(on, (one("A_eq_per_h") * one("T_h")) / 2)),
					},
				],
			};
		case "INT-RESAVE":
			return {
				factor: {
					what: "flow of a short cycle over constant flow at equal mean",
					ours: factorOfShortCycles(one("on_h") / (one("on_h") + one("off_h"))),
				},
			};
		case "INT-IRC":
			return {
				factor: {
					what: "flow of a short cycle over constant flow at equal mean, to two digits",
					ours: list("run_pct").map((run) => Number(factorOfShortCycles(run / 100).toPrecision(2))),
				},
			};
		case "INT-F2":
			return { y20: twoRateBox(inputs) };
		case "INT-62.2-R":
			return relativeExposure(inputs);
	}
	return undefined;
}

/** Rules of building codes take the efficacy for 1, which it is in the limit of short cycles. */
const factorOfShortCycles = (on: number): number => 1 / (on * equalMeanEfficacy(on, 0)!);

/** DETEST F2 as what it is: a chamber with a leak of 0.5 and a fan of 1 air change a unit of time, one on, one off. */
function twoRateBox({ one }: Inputs) {
	const model = {
		volumeM3: 1,
		intakePpm: 0,
		generationM3PerS: one("S") / 1e6,
		deliveredM3PerS: one("a_even") - one("a_odd"),
		infiltrationM3PerS: one("a_odd"),
	};
	return (["exact", "runge-kutta", "odex"] as const).map((method: Method) => ({
		what: `DETEST F2 as a chamber on a timer, through simulate, ${method}`,
		ours: simulate(
			model,
			{ kind: "cycle", onSeconds: 1, offSeconds: 1 },
			{
				startPpm: one("y0"),
				durationSeconds: one("x_end"),
				sampleTimes: [one("x_end")],
				method,
				relativeTolerance: 1e-10,
			},
		).co2Ppm[0]!,
	}));
}

function relativeExposure({ one }: Inputs) {
	const volume = one("V_m3");
	const unit = RISE / (one("Qtot_m3_h") / volume);
	const model = box(RISE, one("on_Q_m3_h") / volume);
	const [onSeconds, offSeconds] = [one("on_h") * HOUR, one("off_h") * HOUR];
	const { co2Ppm } = simulate(
		model,
		{ kind: "cycle", onSeconds, offSeconds, startsWith: "off" },
		{
			startPpm: SUPPLY_PPM + one("R0") * unit,
			durationSeconds: onSeconds + offSeconds,
			sampleTimes: [offSeconds, onSeconds + offSeconds],
		},
	);
	const exposure = (ppm: number) => (ppm - SUPPLY_PPM) / unit;
	const { peak, mean, trough } = excess(model, one("on_h"), one("off_h"));
	return {
		first_peak: { what: "relative exposure after the first pause", ours: exposure(co2Ppm[0]!) },
		first_trough: { what: "relative exposure after the first burst", ours: exposure(co2Ppm[1]!) },
		periodic_peak: { what: "relative exposure, periodic peak", ours: peak / unit },
		periodic_trough: { what: "relative exposure, periodic trough", ours: trough / unit },
		periodic_mean: { what: "relative exposure, periodic mean", ours: mean / unit },
	};
}

/** The tables: shape of the regime by duty cycle and air changes a burst, efficacies by on fraction and N. */
export function tables(id: string, { one, list }: Inputs): Record<string, Answer> | undefined {
	if (id.startsWith("SHAPE-")) {
		const on = one("d");
		// A burst of n air changes in a cycle of one hour; constant flow with the same air makes n an hour.
		const shape = (figure: "mean" | "peak" | "trough") =>
			list("n").map((n) => {
				const cycle = { on, hours: 1, constant: n };
				return steadyState(cycle, n / on)[figure] / continuous(cycle);
			});
		const row = (figure: "mean" | "peak" | "trough") => ({
			what: `${figure} over constant flow with the same air, 0.1 to 5 air changes a burst`,
			ours: shape(figure),
		});
		const formula = (figure: "mean" | "peak", penalty: typeof meanPenalty) => ({
			what: `${figure} over constant flow with the same air, by formula`,
			ours: list("n").map((n) => 1 + penalty(on, n)),
		});
		return {
			mean: [row("mean"), formula("mean", meanPenalty)],
			peak: [row("peak"), formula("peak", peakPenalty)],
			trough: row("trough"),
		};
	}
	const figure = id.startsWith("EPS-mean-") ? "mean" : id.startsWith("EPS-peak-") ? "peak" : undefined;
	if (figure === undefined) return undefined;
	return {
		[figure === "mean" ? "eps" : "eps_peak"]: [
			{
				what: `efficacy at equal ${figure}, on fraction ${one("f")}, by root search`,
				ours: list("N").map((n) => efficacy(cycleOf(one("f"), n), figure)),
			},
			{
				what: `efficacy at equal ${figure}, on fraction ${one("f")}, by formula`,
				ours: list("N").map((n) => (figure === "mean" ? equalMeanEfficacy : equalPeakEfficacy)(one("f"), n)),
			},
		],
	};
}
