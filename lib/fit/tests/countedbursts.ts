import type { Model } from "../../model/chamber.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { type Estimate, estimate, type Samples } from "../estimate/estimate.ts";
import { checkEnough } from "../estimate/fitsearch.ts";
import type { FitName } from "../fittypes.ts";
import { type Places, placesOf, readingModel } from "../model/fitmodel.ts";
import { type Edge, type ReadingBlock, readings } from "../model/readings.ts";
import type { Fall } from "./stepdetection.ts";

/** Parameters that a count shares with the other fits, in their order; then come the middles [s] and the air changes [-] of all bursts. */
export const SHARED = [
	"respiration",
	"flow",
	"leak",
	"offset",
	"lag",
	"start",
	"reading",
] as const satisfies readonly FitName[];
const OF: Places = Object.fromEntries(SHARED.map((name, place) => [name, place]));
const LAG = SHARED.indexOf("lag");

/** A burst is over for certain after so much of its length, so many seconds, and so many time constants of a fan that runs down. */
const OVER_SHARE = 0.25;
const OVER_SECONDS = 3;
const RUN_DOWN = 5;
/** A lag that has faded by so many of its time constants, when the samples set in, is none. */
const FADED = 6;
/** A lag so many times the time until the samples set in shows by itself; a shorter one must explain more than chance by so many standard deviations. */
const PLAIN_LAG = 2;
const BY_CHANCE = 3;
/** How far a burst may be from where it was found, in standard deviations of that. */
const FAR = 2;
/** No burst changes the air more often. */
const MOST_CHANGES = 6;

/** The bursts of a log as the dynamic model counts them. */
export interface Count {
	readonly estimate: Estimate;
	/** By the parameters of `estimate`: the shared ones, the middles, the air changes. */
	readonly parameters: readonly Parameter[];
	/** Place of the first middle and of the first air change among them. */
	readonly middleAt: number;
	readonly changesAt: number;
	/** Samples that no fan blew in. */
	readonly samples: Samples;
	/** The log shows that the sensor lags: without a lag it would be followed plainly worse. */
	readonly lagShows: boolean;
	/** How long burst number `k`, from 0, lasts as a square one [s], and the CO2 of the air right before and after it [ppm]. */
	widthSeconds(k: number): number;
	aroundPpm(k: number): { readonly before: number; readonly after: number };
}

/**
 * Counts the bursts of a log: one fit of all of it, in which each burst has air changes and an instant of its own.
 *
 * Between bursts only the leak works, so that a burst of n air changes takes the excess from x to x e^-n, whatever way the fan sped up; what is left of
 * it in the sensor's answer once the burst is over is one figure times e^-t/τ, which the free instant takes up. Hence samples
 * within a burst are left out, and the burst itself is drawn as square: n = (m Q/V) w about its middle.
 *
 * @param shared parameters named as in SHARED; that of the flow gives the height of the square bursts and is held
 * @param lastSeconds how long the longest burst may last [s]
 */
export function countBursts(
	model: Model,
	samples: Samples,
	shared: readonly Parameter[],
	falls: readonly Fall[],
	lastSeconds: number,
): Count {
	const middleAt = SHARED.length;
	const changesAt = middleAt + falls.length;
	const { volumeM3, mixing = 1, coastDownSeconds = 0 } = model;
	const perS = (mixing * shared[SHARED.indexOf("flow")]!.start) / volumeM3;

	/** From the middle of a burst to the first sample after it. */
	const half = (lastSeconds + samples.stepSeconds) / 2;
	const over = half + Math.max(OVER_SECONDS, OVER_SHARE * lastSeconds, RUN_DOWN * coastDownSeconds);
	const excluded = samples.excluded.slice();
	for (const [i, time] of samples.timesSeconds.entries())
		if (falls.some(({ atSeconds }) => time > atSeconds - half && time < atSeconds + over)) excluded[i] = 1;
	const still = { ...samples, excluded };
	// What came before the first sample that counts, such as a dose, is none of the model's.
	const origin = samples.timesSeconds[excluded.indexOf(0)] ?? 0;

	const edges = (values: ArrayLike<number>, wanted: readonly number[]): readonly Edge[] => [
		{ timeSeconds: Number.NEGATIVE_INFINITY, on: false, source: 0, byPhase: 0, byDrift: 0 },
		...falls.flatMap((_, k) =>
			[-0.5, 0.5].map((side): Edge => {
				const by = side / perS;
				const moved = [
					{ place: wanted.indexOf(middleAt + k), by: 1 },
					{ place: wanted.indexOf(changesAt + k), by },
				];
				return {
					timeSeconds: values[middleAt + k]! + by * values[changesAt + k]! - origin,
					on: side < 0,
					source: 0,
					byPhase: 0,
					byDrift: 0,
					moved: moved.filter(({ place }) => place >= 0),
				};
			}),
		),
	];
	const run = (
		values: ArrayLike<number>,
		timesSeconds: ArrayLike<number>,
		wanted: readonly number[],
		take: (block: ReadingBlock) => void,
	): void => {
		readings(
			readingModel(model, values, OF),
			edges(values, wanted),
			Float64Array.from(timesSeconds, (time) => time - origin),
			take,
			placesOf(OF, wanted),
		);
	};

	const parameters: readonly Parameter[] = [
		...shared.map((one, k): Parameter => {
			if (one.name === "flow") return { ...one, fixed: true };
			if (k !== LAG || one.fixed === true) return one;
			const least = over / FADED;
			return { ...one, lower: least, start: Math.max(one.start, least) };
		}),
		...falls.map(
			({ atSeconds, offSeconds }, k): Parameter => ({
				name: `middle of burst ${k + 1}`,
				start: atSeconds,
				lower: atSeconds - FAR * offSeconds,
				upper: atSeconds + FAR * offSeconds,
				prior: { mean: atSeconds, standardDeviation: offSeconds },
			}),
		),
		...falls.map(
			({ airChanges }, k): Parameter => ({
				name: `air changes of burst ${k + 1}`,
				start: Math.min(Math.max(airChanges, 0), MOST_CHANGES),
				lower: 0,
				upper: MOST_CHANGES,
			}),
		),
	];
	checkEnough(parameters, still);
	const found = estimate({ run }, still, parameters, true);
	const widthSeconds = (k: number): number => found.least.values[changesAt + k]! / perS;
	const lag = found.least.values[LAG]!;
	const lagShows = (): boolean => {
		const { fixed, lower } = parameters[LAG]!;
		if (fixed === true || lag > PLAIN_LAG * over) return fixed !== true;
		if (lag === lower) return false;
		const without = found.cost(
			parameters.map((one, k) =>
				k === LAG ? { ...one, start: lower!, fixed: true } : { ...one, start: found.least.values[k]! },
			),
		);
		// With a lag each burst has its instant to explain something by.
		const chance = 1 + falls.length + BY_CHANCE * Math.sqrt(2 * (1 + falls.length));
		return without.cost - found.least.cost > chance * found.least.variance! * found.inflation;
	};
	return {
		estimate: found,
		lagShows: lagShows(),
		parameters,
		middleAt,
		changesAt,
		samples: still,
		widthSeconds,
		aroundPpm(k) {
			const [middle, half] = [found.least.values[middleAt + k]!, widthSeconds(k) / 2];
			const ppm: number[] = [];
			run(found.least.values, [middle - half, middle + half], [], ({ chamberPpm }) => {
				ppm.push(chamberPpm[0]!, chamberPpm[1]!);
			});
			return { before: ppm[0]!, after: ppm[1]! };
		},
	};
}
