import type { Model } from "../../model/chamber.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { type Estimate, estimate, type FitSamples } from "../estimate/estimate.ts";
import { checkEnough } from "../estimate/fitsearch.ts";
import type { FitName } from "../fitoptions.ts";
import {
	createReadingModel,
	createSourceShape,
	findJacobianColumns,
	type ParameterPlaces,
} from "../model/fitmodel.ts";
import { predictReadings, type ReadingBlock, type SwitchEvent } from "../model/readings.ts";
import type { ConcentrationStep } from "./stepdetection.ts";

/** Parameters that a count shares with the other fits, in their order; then come the middles [s] and the air changes [-] of all bursts. */
export const SHARED = [
	"generation",
	"flow",
	"leak",
	"offset",
	"response",
	"initialCo2",
	"initialReading",
] as const satisfies readonly FitName[];
const PLACES: ParameterPlaces = Object.fromEntries(SHARED.map((name, place) => [name, place]));
const RESPONSE = SHARED.indexOf("response");

/** A burst is over for certain after so much of its length, so many seconds, and so many time constants of a fan that runs down. */
const OVER_SHARE = 0.25;
const OVER_SECONDS = 3;
const RUN_DOWN = 5;
/** A lag that has faded by so many of its time constants, when the samples set in, is none. */
const MIN_RESPONSE_SPAN = 6;
/** A lag so many times the time until the samples set in shows by itself; a shorter one must explain more than chance by so many standard deviations. */
const MIN_PLAIN_RESPONSE = 2;
const MIN_STANDARD_DEVIATIONS = 3;
/** How far a burst may be from where it was found, in standard deviations of that. */
const MAX_SHIFT = 2;
/** No burst changes the air more often. */
const MAX_AIR_CHANGES = 6;

/** The bursts of a log as the dynamic model counts them. */
export interface BurstCount {
	readonly estimate: Estimate;
	/** By the parameters of `estimate`: the shared ones, the middles, the air changes. */
	readonly parameters: readonly Parameter[];
	/** Place of the first middle and of the first air change among them. */
	readonly middleAt: number;
	readonly changesAt: number;
	/** Samples that no fan blew in. */
	readonly samples: FitSamples;
	/** The log shows that the sensor lags: without a lag it would be followed plainly worse. */
	readonly isResponseIdentifiable: boolean;
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
	samples: FitSamples,
	shared: readonly Parameter[],
	steps: readonly ConcentrationStep[],
	lastSeconds: number,
): BurstCount {
	const middleAt = SHARED.length;
	const changesAt = middleAt + steps.length;
	const { volumeM3, mixingEfficiency = 1, coastDownTauSeconds = 0 } = model;
	const perS = (mixingEfficiency * shared[SHARED.indexOf("flow")]!.initial) / volumeM3;

	/** From the middle of a burst to the first sample after it. */
	const half = (lastSeconds + samples.stepSeconds) / 2;
	const over = half + Math.max(OVER_SECONDS, OVER_SHARE * lastSeconds, RUN_DOWN * coastDownTauSeconds);
	const excluded = samples.excluded.slice();
	for (const [i, time] of samples.timesSeconds.entries())
		if (steps.some(({ atSeconds }) => time > atSeconds - half && time < atSeconds + over)) excluded[i] = 1;
	const still = { ...samples, excluded };
	// What came before the first sample that counts, such as a dose, is none of the model's.
	const origin = samples.timesSeconds[excluded.indexOf(0)] ?? 0;

	const shape = createSourceShape(model, [model.generationM3PerS]);
	const since = shape === undefined ? undefined : (seconds: number) => shape(origin + seconds, 0);
	const switchEvents = (values: ArrayLike<number>, wanted: readonly number[]): readonly SwitchEvent[] => [
		{ timeSeconds: Number.NEGATIVE_INFINITY, isOn: false, source: 0, dTimeDPhase: 0, dTimeDRateError: 0 },
		...steps.flatMap((_, k) =>
			[-0.5, 0.5].map((side): SwitchEvent => {
				const dTime = side / perS;
				const movedBy = [
					{ column: wanted.indexOf(middleAt + k), dTime: 1 },
					{ column: wanted.indexOf(changesAt + k), dTime },
				];
				return {
					timeSeconds: values[middleAt + k]! + dTime * values[changesAt + k]! - origin,
					isOn: side < 0,
					source: 0,
					dTimeDPhase: 0,
					dTimeDRateError: 0,
					movedBy: movedBy.filter(({ column }) => column >= 0),
				};
			}),
		),
	];
	const predict = (
		values: ArrayLike<number>,
		timesSeconds: ArrayLike<number>,
		wanted: readonly number[],
		take: (block: ReadingBlock) => void,
	): void => {
		predictReadings(
			createReadingModel(model, values, PLACES, 1, since),
			switchEvents(values, wanted),
			Float64Array.from(timesSeconds, (time) => time - origin),
			take,
			findJacobianColumns(PLACES, wanted),
		);
	};

	const parameters: readonly Parameter[] = [
		...shared.map((one, k): Parameter => {
			if (one.name === "flow") return { ...one, fixed: true };
			if (k !== RESPONSE || one.fixed === true) return one;
			const least = over / MIN_RESPONSE_SPAN;
			return { ...one, lower: least, initial: Math.max(one.initial, least) };
		}),
		...steps.map(
			({ atSeconds, offSeconds }, k): Parameter => ({
				name: `middle of burst ${k + 1}`,
				initial: atSeconds,
				lower: atSeconds - MAX_SHIFT * offSeconds,
				upper: atSeconds + MAX_SHIFT * offSeconds,
				prior: { mean: atSeconds, standardDeviation: offSeconds },
			}),
		),
		...steps.map(
			({ airChanges }, k): Parameter => ({
				name: `air changes of burst ${k + 1}`,
				initial: Math.min(Math.max(airChanges, 0), MAX_AIR_CHANGES),
				lower: 0,
				upper: MAX_AIR_CHANGES,
			}),
		),
	];
	checkEnough(parameters, still);
	const found = estimate({ predict }, still, parameters, true);
	const widthSeconds = (k: number): number => found.least.values[changesAt + k]! / perS;
	const response = found.least.values[RESPONSE]!;
	const isResponseIdentifiable = (): boolean => {
		const { fixed, lower } = parameters[RESPONSE]!;
		if (fixed === true || response > MIN_PLAIN_RESPONSE * over) return fixed !== true;
		if (response === lower) return false;
		const without = found.cost(
			parameters.map((one, k) =>
				k === RESPONSE ? { ...one, start: lower!, fixed: true } : { ...one, start: found.least.values[k]! },
			),
		);
		// With a lag each burst has its instant to explain something by.
		const chance = 1 + steps.length + MIN_STANDARD_DEVIATIONS * Math.sqrt(2 * (1 + steps.length));
		return without.cost - found.least.cost > chance * found.least.variance! * found.varianceInflation;
	};
	return {
		estimate: found,
		isResponseIdentifiable: isResponseIdentifiable(),
		parameters,
		middleAt,
		changesAt,
		samples: still,
		widthSeconds,
		aroundPpm(k) {
			const [middle, half] = [found.least.values[middleAt + k]!, widthSeconds(k) / 2];
			const ppm: number[] = [];
			predict(found.least.values, [middle - half, middle + half], [], ({ chamberPpm }) => {
				ppm.push(chamberPpm[0]!, chamberPpm[1]!);
			});
			return { before: ppm[0]!, after: ppm[1]! };
		},
	};
}
