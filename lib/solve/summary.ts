import { balance, type Model } from "../model/chamber.ts";
import { burstsPerDay, type Schedule } from "../model/schedule.ts";
import { continuousState, meanFanM3PerS } from "./continuous.ts";
import type { Instant } from "./integrate.ts";
import { type Figures, figures, findRegime, type NoRegime } from "./periodic.ts";
import { after, measure, newMeasure } from "./piece.ts";
import { simulate, type Trajectory } from "./simulate.ts";
import { freshStart, methodFor, type SolverOptions, walk } from "./walk.ts";
import { worstHour } from "./worsthour.ts";

/** What a schedule does to the CO2 in the zone of the crop, and what it costs. */
export interface Summary extends Figures {
	/** The figures are those of the regime that repeats, or of a run when no regime repeats. */
	readonly basis: "periodic" | "run";
	/** Length of that period or run [s]. */
	readonly windowSeconds: number;
	/** When the peak is reached, from the start of the period or run [s]. */
	readonly peakSeconds: number;
	/** Zone that is judged: the one with most of the source. */
	readonly zone: "mixed" | "stagnant";
	/** Highest mean over any 60 min [ppm]. */
	readonly worstHourMeanPpm: number;
	readonly judged: {
		readonly on: "peak" | "mean" | "worst hour";
		/** The figure that is held against the ceiling [ppm]. */
		readonly valuePpm: number;
		readonly ceilingPpm: number;
		readonly floorPpm: number | null;
		/** The figure is at or below the ceiling and, when there is a floor, the mean is at or above it. */
		readonly within: boolean;
	};
	/** Time above the ceiling [s in each hour, on average] and as a share of all time [%]. */
	readonly aboveCeilingSecondsPerHour: number;
	readonly aboveCeilingPercent: number;
	/** Time below the floor of a wanted band; null when there is no floor. */
	readonly belowFloorSecondsPerHour: number | null;
	readonly belowFloorPercent: number | null;
	/** First time above the ceiling from a fresh start [s]; null: never. */
	readonly firstAboveSeconds: number | null;
	/** From a fresh start until the remaining difference to the regime is under 1 % of the regime's peak excess [s]; null: no regime. */
	readonly settleSeconds: number | null;
	readonly burstsPerDay: number;
	/** Delivered (mixing-corrected) air of one burst over the free volume [-]; null when there is no burst. */
	readonly airChangesPerBurst: number | null;
	/** Fraction of the excess that one burst blows out, 1 - exp(-n) [0..1]; null when there is no burst. */
	readonly replacedPerBurst: number | null;
	/** Air changes per hour by the fan, averaged over time [1/h]. */
	readonly airChangesPerHour: number;
	/** Air through the fan a day [m3/day], leak not counted. */
	readonly freshAirM3PerDay: number;
	/** Leak a day [m3/day]. */
	readonly leakM3PerDay: number;
	/** CO2 under never-ending flow with the same air a day, in the judged zone [ppm]; null when there is no air at all. */
	readonly continuousPpm: number | null;
	/** Mean less continuous, peak less continuous [ppm]: the price of intermittency. */
	readonly meanPenaltyPpm: number | null;
	readonly peakPenaltyPpm: number | null;
	/** As the sensor shows it, through its lag; null when the model has no sensor. */
	readonly sensor: Figures | null;
	/** Remarks for the reader: why no regime repeats, and the like. */
	readonly notes: readonly string[];
}

export interface SummaryOptions extends SolverOptions {
	/** [ppm] */
	readonly ceilingPpm: number;
	/** Lower end of a wanted band [ppm]. */
	readonly floorPpm?: number;
	/** Figure that is held against the ceiling. Default: peak. */
	readonly on?: "peak" | "mean" | "worst hour";
}

const DAY = 86_400;
/** Days given to a run without a regime to forget its start, where the respiration repeats daily. */
const WARM_UP_DAYS = 3;
/** No search for the first time above, or for settling, goes further. */
const LONGEST_SEARCH = 60 * DAY;

/**
 * The figures of merit of one schedule in one chamber: of the regime that repeats, or of a run when none does.
 * @throws InputError for a model, schedule or target that makes no sense, SolverError when odex cannot vouch for its answer
 */
export function summarize(model: Model, schedule: Schedule, options: SummaryOptions): Summary {
	const { ceilingPpm, floorPpm, on = "peak" } = options;
	const b = balance(model);
	const found = findRegime(model, schedule, options);
	const regime = "start" in found ? found : null;
	const span =
		regime === null ? runWindow(model, schedule, found as NoRegime) : { from: 0, to: regime.period };
	const start = regime?.start ?? freshStart(model);
	const exact = methodFor(model, options) === "exact";
	const crop = newMeasure();
	const sensor = newMeasure();
	const hour = worstHour(b.crop, exact ? 24 : 1);
	walk(model, schedule, span.to, start, options, (whole) => {
		const piece = after(whole, span.from);
		if (piece === null) return;
		measure(crop, piece, b.crop, ceilingPpm, floorPpm ?? Number.NEGATIVE_INFINITY);
		if (b.sensor > 0) measure(sensor, piece, b.sensor, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
		hour.add(piece);
	});
	const own = figures(crop);
	const worstHourMeanPpm = hour.meanPpm(regime !== null);
	const valuePpm = { peak: own.peakPpm, mean: own.meanPpm, "worst hour": worstHourMeanPpm }[on];
	const fanM3PerS = meanFanM3PerS(model, schedule, span.to);
	const bursts = burstsPerDay(schedule, span.to);
	const perBurst = bursts > 0 ? ((model.mixing ?? 1) * fanM3PerS * DAY) / bursts / model.volumeM3 : null;
	const continuousPpm = continuousState(model, schedule, span.to);
	return {
		...own,
		basis: regime === null ? "run" : "periodic",
		windowSeconds: span.to - span.from,
		peakSeconds: crop.peakSeconds,
		zone: b.crop === 0 ? "mixed" : "stagnant",
		worstHourMeanPpm,
		judged: {
			on,
			valuePpm,
			ceilingPpm,
			floorPpm: floorPpm ?? null,
			within: valuePpm <= ceilingPpm && (floorPpm === undefined || own.meanPpm >= floorPpm),
		},
		aboveCeilingSecondsPerHour: (3600 * crop.aboveSeconds) / crop.durationSeconds,
		aboveCeilingPercent: (100 * crop.aboveSeconds) / crop.durationSeconds,
		belowFloorSecondsPerHour:
			floorPpm === undefined ? null : (3600 * crop.belowSeconds) / crop.durationSeconds,
		belowFloorPercent: floorPpm === undefined ? null : (100 * crop.belowSeconds) / crop.durationSeconds,
		firstAboveSeconds:
			regime === null && span.from === 0
				? crop.firstAboveSeconds
				: firstAbove(model, schedule, options, own.peakPpm),
		settleSeconds: regime === null ? null : settle(model, schedule, regime, own.peakPpm, options),
		burstsPerDay: bursts,
		airChangesPerBurst: perBurst,
		replacedPerBurst: perBurst === null ? null : -Math.expm1(-perBurst),
		airChangesPerHour: ((model.mixing ?? 1) * fanM3PerS * 3600) / model.volumeM3,
		freshAirM3PerDay: fanM3PerS * DAY,
		leakM3PerDay: model.leakM3PerS * DAY,
		continuousPpm,
		meanPenaltyPpm: continuousPpm === null ? null : own.meanPpm - continuousPpm,
		peakPenaltyPpm: continuousPpm === null ? null : own.peakPpm - continuousPpm,
		sensor: b.sensor > 0 ? figures(sensor) : null,
		notes: regime === null ? [noteOn(found as NoRegime, span)] : [],
	};
}

/** What is looked at when nothing repeats [s]. */
function runWindow(model: Model, schedule: Schedule, why: NoRegime): { from: number; to: number } {
	switch (why.cause) {
		case "no air":
			return { from: 0, to: DAY };
		case "periods do not meet":
			return { from: WARM_UP_DAYS * DAY, to: (WARM_UP_DAYS + 1) * DAY };
		default: {
			const lastSwitch = schedule.kind === "switches" ? (schedule.switchSeconds.at(-1) ?? 0) : 0;
			const horizon = model.source?.variesInTime ? model.source.horizonSeconds : 0;
			return { from: 0, to: Math.ceil(Math.max(lastSwitch + 1, horizon, 3600) / 3600) * 3600 };
		}
	}
}

function noteOn(why: NoRegime, span: { from: number; to: number }): string {
	const length = `${Math.round(((span.to - span.from) / 3600) * 10) / 10} h`;
	return span.from === 0
		? `${why.reason} The figures are those of the first ${length} from the start.`
		: `${why.reason} The figures are those of ${length} after ${WARM_UP_DAYS} days.`;
}

/** First time above the ceiling from a fresh start [s]. */
function firstAbove(
	model: Model,
	schedule: Schedule,
	options: SummaryOptions,
	regimePeak: number,
): number | null {
	const start = freshStart(model);
	const crop = balance(model).crop;
	const from = model.supplyPpm + start.state[crop]!;
	// From below, the run stays below the regime: more CO2 now never means less later.
	if (from <= options.ceilingPpm && regimePeak <= options.ceilingPpm) return null;
	const seen = newMeasure();
	walk(model, schedule, LONGEST_SEARCH, start, options, (piece) => {
		measure(seen, piece, crop, options.ceilingPpm, Number.NEGATIVE_INFINITY);
		return seen.firstAboveSeconds === null ? undefined : "stop";
	});
	return seen.firstAboveSeconds;
}

/** Time from a fresh start until the difference to the regime stays under 1 % of the peak's excess [s]. */
function settle(
	model: Model,
	schedule: Schedule,
	regime: { start: Instant; period: number },
	peakPpm: number,
	options: SolverOptions,
): number | null {
	const crop = balance(model).crop;
	const small = 0.01 * Math.max(peakPpm - model.supplyPpm, 1e-9);
	const away = (x: Float64Array) => Math.abs(x[crop]! - regime.start.state[crop]!);
	let now = freshStart(model);
	let elapsed = 0;
	while (away(now.state) > small) {
		now = walk(model, schedule, regime.period, now, options);
		elapsed += regime.period;
		if (elapsed > LONGEST_SEARCH) return null;
	}
	if (elapsed === 0) return 0;
	// Within those periods, the last moment at which the two still differed.
	const samples = { durationSeconds: elapsed, sampleSeconds: elapsed / 2000, ...options };
	const zone = (t: Trajectory) => (crop === 0 ? t.co2Ppm : t.stagnantPpm!);
	const fresh = simulate(model, schedule, { ...samples, start: freshStart(model) });
	const settled = zone(simulate(model, schedule, { ...samples, start: regime.start }));
	const last = zone(fresh).findLastIndex((ppm, i) => Math.abs(ppm - settled[i]!) > small);
	return fresh.timesSeconds[Math.min(last + 1, 2000)]!;
}
