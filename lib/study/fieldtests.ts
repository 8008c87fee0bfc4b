import { InputError } from "../errors.ts";
import type { CleanSeries } from "../logs/log.ts";
import { buildModel } from "../model/build.ts";
import { fanSeconds } from "../model/fan.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { studentQuantile } from "../statistics/student.ts";
import { type CountedBurst, countBursts, type Plateau } from "./countedbursts.ts";
import { changesOf } from "./fitchanges.ts";
import type { Fit, FitName, FittedParameter } from "./fitting.ts";

/** Bursts that a length needs before their spread says anything. */
const FEWEST = 3;
/** Relative error up to which a burst is counted. */
const CLEAR = 0.1;

/**
 * Counted bursts in the empty, dosed chamber: air changes of one burst and, from two lengths, the delivered flow as the slope and
 * the time that the fan loses to speeding up as the intercept of n over the on-time:  n = (m Q/V)(t_on - loss).
 *
 * @param onSeconds length of the bursts, one or two of them [s]; with a trusted fan column the log's own lengths are taken
 * @throws InputError when fewer than three bursts are to be seen
 */
export function fitBursts(scenario: Scenario, series: CleanSeries, onSeconds: readonly number[]): Fit {
	const loaded = buildModel(scenario);
	// Bursts are counted with crop and substrate out.
	const model = { ...loaded, volumeM3: scenario.chamber.volume.value };
	const supplyPpm = model.supplyPpm + (scenario.sensor?.offset.value ?? 0);
	const { timesSeconds, co2Ppm, excluded } = series;
	const { bursts: seen, plateaus } = countBursts(
		timesSeconds,
		co2Ppm,
		excluded,
		supplyPpm,
		model.sensorSeconds ?? 0,
	);
	// A burst whose fall drowns in the scatter of its plateaus would only blur the others.
	const bursts = seen.filter(({ airChanges, standardError }) => standardError <= CLEAR * airChanges);
	if (bursts.length < FEWEST)
		throw new InputError(
			`${bursts.length === 0 ? "no burst is" : `only ${bursts.length} bursts are`} to be seen in the log; dose the chamber to 3000 ppm, then give at least ${FEWEST} bursts and wait three to five times the sensor's response after each`,
		);
	const lengths = lengthsOf(bursts, series, onSeconds);
	const groups = [...new Set(lengths)].sort((a, b) => a - b);
	const { volumeM3 } = model;
	const mixing = model.mixing ?? 1;
	const spin = model.spinUpSeconds ?? 0;
	const first = groups[0]!;
	const mean = meanOf(bursts.filter((_, k) => lengths[k] === first).map(({ airChanges }) => airChanges));
	const known = { value: first - fanSeconds(model, true, 0, first), standardError: null as number | null };
	const two = groups.length > 1 ? straight(lengths, bursts) : null;
	const coast = fanSeconds(model, false, spin > 0 ? -Math.expm1(-first / spin) : 1, 1e9);
	const found =
		two === null
			? {
					flow: {
						value: (mean.value * volumeM3) / (mixing * (first - known.value + coast)),
						standardError:
							mean.standardError === null
								? null
								: (mean.standardError * volumeM3) / (mixing * (first - known.value + coast)),
					},
					loss: { value: known.value - coast, standardError: null },
				}
			: {
					flow: {
						value: (two.slope.value * volumeM3) / mixing,
						standardError: (two.slope.standardError * volumeM3) / mixing,
					},
					loss: two.intercept,
				};
	const quantile = (degrees: number) => studentQuantile(0.975, Math.max(degrees, 1));
	const t1 = quantile(mean.count - 1);
	const t2 = two === null ? t1 : quantile(bursts.length - 2);
	const parameter = (
		name: FitName,
		label: string,
		dimension: FittedParameter["dimension"],
		of: { readonly value: number; readonly standardError: number | null },
		start: number,
		t: number,
		free = true,
	): FittedParameter => ({
		name,
		label,
		dimension,
		value: of.value,
		standardError: of.standardError,
		low: of.standardError === null ? null : of.value - t * of.standardError,
		high: of.standardError === null ? null : of.value + t * of.standardError,
		start,
		lower: Number.NEGATIVE_INFINITY,
		upper: Number.POSITIVE_INFINITY,
		status: free ? "free" : "fixed",
		atBound: false,
		told:
			of.standardError !== null &&
			of.standardError <= Math.max(Math.abs(of.value) / 2, name === "spin-up loss" ? 1 : 0),
	});
	const expected = (mixing * model.fanM3PerS * (first - known.value + coast)) / volumeM3;
	const parameters = [
		parameter("per burst", `air changes per burst of ${first} s`, "number", mean, expected, t1),
		parameter("flow", "delivered flow", "flow", found.flow, model.fanM3PerS, t2),
		parameter(
			"spin-up loss",
			"on-time lost to speeding up",
			"duration",
			found.loss,
			known.value - coast,
			t2,
			two !== null,
		),
	];
	const drawn = drawing(series, plateaus);
	return {
		kind: "fit",
		test: "bursts",
		scenario,
		series,
		scheduleName: null,
		fanFrom: `${bursts.length} bursts found in the log`,
		parameters,
		free: parameters.filter(({ status }) => status === "free").map(({ name }) => name),
		correlation: [],
		worstPair: null,
		confounded:
			two === null
				? [
						{
							names: ["flow", "spin-up loss"],
							why: "bursts of one length tell flow and spin-up loss only together",
							partedBy: "as many bursts of three times the length, in the same log",
						},
					]
				: [],
		profiles: [],
		...drawn,
		curve: {
			...drawn.curve,
			bursts: bursts.map(({ atSeconds }, k) => ({
				startSeconds: atSeconds,
				endSeconds: atSeconds + lengths[k]!,
			})),
		},
		days: null,
		rate: null,
		stopped: { reason: "converged", steps: 1 },
		next:
			two === null
				? {
						test: "bursts of a second length",
						why: "flow and spin-up loss show apart only over two lengths",
						command: `lullgust fit bursts.csv --test bursts --burst ${first}s --burst ${3 * first}s --scenario ${scenario.fileName}`,
					}
				: null,
		changes: changesOf(scenario, loaded, parameters, null),
		together: null,
		warnings: series.warnings,
	};
}

/** On-time of each burst: from the fan column, from the one length, or of two lengths by the widest gap in air changes. */
function lengthsOf(
	bursts: readonly CountedBurst[],
	{ fan, log }: CleanSeries,
	onSeconds: readonly number[],
): readonly number[] {
	if (fan !== null) {
		const edges = [...(fan.onAtStart ? [0] : []), ...fan.switchesSeconds];
		return bursts.map(({ atSeconds }) => {
			const k = edges.findIndex(
				(start, index) =>
					index % 2 === 0 &&
					Math.abs(start - atSeconds) <= 2 * log.intervalSeconds &&
					index + 1 < edges.length,
			);
			if (k < 0)
				throw new InputError(
					`the log falls at ${Math.round(atSeconds)} s, where its fan column shows no burst; leave the column out or mend it`,
				);
			return edges[k + 1]! - edges[k]!;
		});
	}
	const lengths = [...new Set(onSeconds)].sort((a, b) => a - b);
	if (lengths.length === 0 || lengths.length > 2 || lengths.some((length) => !(length > 0)))
		throw new InputError("counted bursts need the length of the bursts: one or two on-times above 0 s");
	if (lengths.length === 1) return bursts.map(() => lengths[0]!);
	const sorted = bursts.map(({ airChanges }) => airChanges).sort((a, b) => a - b);
	let gap = 1;
	for (let k = 2; k < sorted.length; k++)
		if (sorted[k]! - sorted[k - 1]! > sorted[gap]! - sorted[gap - 1]!) gap = k;
	const border = (sorted[gap]! + sorted[gap - 1]!) / 2;
	return bursts.map(({ airChanges }) => (airChanges < border ? lengths[0]! : lengths[1]!));
}

function meanOf(values: readonly number[]): {
	readonly value: number;
	readonly standardError: number | null;
	readonly count: number;
} {
	const count = values.length;
	const value = values.reduce((sum, x) => sum + x, 0) / count;
	const variance = values.reduce((sum, x) => sum + (x - value) ** 2, 0) / Math.max(count - 1, 1);
	return { value, standardError: count < FEWEST ? null : Math.sqrt(variance / count), count };
}

/** n = slope (t_on - intercept) through all bursts. */
function straight(
	lengths: readonly number[],
	bursts: readonly CountedBurst[],
): {
	readonly slope: { readonly value: number; readonly standardError: number };
	readonly intercept: { readonly value: number; readonly standardError: number };
} {
	const n = bursts.length;
	// Weighed by their errors: the later a burst, the less CO2 is left to show it.
	const weights = bursts.map(({ standardError }) => 1 / Math.max(standardError, 1e-6) ** 2);
	const total = weights.reduce((sum, w) => sum + w, 0);
	const mean = (of: (k: number) => number) => weights.reduce((sum, w, k) => sum + w * of(k), 0) / total;
	const x = mean((k) => lengths[k]!);
	const y = mean((k) => bursts[k]!.airChanges);
	const xx = total * mean((k) => (lengths[k]! - x) ** 2);
	const xy = total * mean((k) => (lengths[k]! - x) * (bursts[k]!.airChanges - y));
	const slope = xy / xx;
	const squares = total * mean((k) => (bursts[k]!.airChanges - y - slope * (lengths[k]! - x)) ** 2);
	// Their own errors are believed unless the bursts scatter by more.
	const variance = Math.max(squares / Math.max(n - 2, 1), 1);
	const value = x - y / slope;
	return {
		slope: { value: slope, standardError: Math.sqrt(variance / xx) },
		// Where the line crosses 0: its error follows from those of mean and slope, which are independent.
		intercept: {
			value,
			standardError: Math.sqrt(variance / total + ((value - x) ** 2 * variance) / xx) / Math.abs(slope),
		},
	};
}

/** The plateaus as the model's line, NaN on the falls. */
function drawing(
	{ timesSeconds, co2Ppm, excluded }: CleanSeries,
	plateaus: readonly Plateau[],
): Pick<Fit, "residuals" | "curve"> {
	const sensorPpm = Float64Array.from(timesSeconds, (time) => {
		const on = plateaus.find(({ fromSeconds, toSeconds }) => time >= fromSeconds && time <= toSeconds);
		return on === undefined ? Number.NaN : on.ppm + on.slope * (time - on.fromSeconds);
	});
	const ppm = co2Ppm.map((logged, i) => (excluded[i] === 0 ? logged - sensorPpm[i]! : Number.NaN));
	const used = ppm.filter((e) => !Number.isNaN(e));
	return {
		residuals: {
			used: used.length,
			worth: used.length,
			accuracyPpm: Number.POSITIVE_INFINITY,
			follows: true,
			rmsPpm: Math.sqrt(used.reduce((sum, e) => sum + e * e, 0) / Math.max(used.length, 1)),
			neighbourCorrelation: 0,
			ppm,
			autocorrelation: [1],
		},
		curve: { timesSeconds, loggedPpm: co2Ppm, sensorPpm, chamberPpm: sensorPpm, excluded, bursts: [] },
	};
}
