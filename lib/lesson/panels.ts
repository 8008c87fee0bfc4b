import { findNeededFlow } from "../choose/search/bindingconstraint.ts";
import { type Curve, sampleCurve } from "../compare/curves.ts";
import type { Model } from "../model/chamber.ts";
import type { CycleSchedule } from "../model/schedule/schedule.ts";
import { power, powerOfTen } from "../power.ts";
import { meanDeliveredM3PerS } from "../solve/continuous.ts";
import { periodicCycle } from "../solve/cycles/closedform.ts";
import { makeCycle } from "../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import { findPeriodicSteadyState, type PeriodicSteadyState, periodicState } from "../solve/periodic.ts";
import type { ConcentrationStats } from "../solve/propagate/solutionsegment.ts";
import { findRoot } from "../solve/root.ts";
import { seededUniform } from "../statistics/random.ts";
import { DAY } from "../time.ts";
import { type CeilingSetting, findCeilingSettings, findSettingOfCycle } from "./ceilingsettings.ts";
import { meanPenalty, peakPenalty } from "./intermittency.ts";
import type { LessonSchedule } from "./lessonschedule.ts";

const POINTS = 500;

/** `count` values from one end to the other, evenly apart in the logarithm. */
const logSpaced = (from: number, to: number, count: number): number[] =>
	Array.from({ length: count }, (_, i) => from * power(to / from, i / (count - 1)));

/** A schedule's regime over a window from the start of a burst; a cycle of a chamber that is aired always has one. */
function periodicCurve(name: string, model: Model, schedule: CycleSchedule, windowSeconds: number): Curve {
	const steadyState = findPeriodicSteadyState(model, schedule);
	return sampleCurve(name, model, schedule, {
		fromSeconds: 0,
		toSeconds: windowSeconds,
		points: POINTS,
		...(steadyState.exists ? { start: steadyState.start } : {}),
	});
}

const pickStats = ({ peakPpm, meanPpm, troughPpm, ripplePpm }: ConcentrationStats): ConcentrationStats => ({
	peakPpm,
	meanPpm,
	troughPpm,
	ripplePpm,
});

/** The same air in ever shorter cycles, beside continuous flow. */
export interface EqualAirPanel {
	readonly airM3PerHour: number;
	readonly continuousPpm: number;
	readonly windowSeconds: number;
	readonly cycles: readonly {
		/** The longest cycle is cut into so many. */
		readonly parts: number;
		readonly schedule: CycleSchedule;
		readonly stats: ConcentrationStats;
		readonly curve: Curve;
	}[];
}

const PARTS = [1, 4, 20];

export function equalAirPanel(model: Model, longest: LessonSchedule): EqualAirPanel {
	const { schedule, name, summary } = longest;
	const windowSeconds = schedule.onSeconds + schedule.offSeconds;
	const flow = meanDeliveredM3PerS(model, schedule);
	return {
		airM3PerHour: 3600 * flow,
		continuousPpm: summary.continuousPpm!,
		windowSeconds,
		cycles: PARTS.map((parts) => {
			const own = parts === 1 ? schedule : cycleOfEqualAir(model, flow, windowSeconds / parts);
			return {
				parts,
				schedule: own,
				stats: pickStats(periodicState(model, own) as PeriodicSteadyState),
				curve: periodicCurve(name, model, own, windowSeconds),
			};
		}),
	};
}

/** A cycle of given length with a given mean flow of the fan [m3/s], whatever its spin-up takes. */
function cycleOfEqualAir(model: Model, flow: number, cycleSeconds: number): CycleSchedule {
	const excess = (on: number) => meanDeliveredM3PerS(model, makeCycle(on, cycleSeconds - on)) - flow;
	const onSeconds = findRoot(excess, 0, cycleSeconds);
	return makeCycle(onSeconds, cycleSeconds - onSeconds);
}

/** Penalties of mean and peak over the excess of continuous flow with the same air [-]. */
export interface Penalties {
	/** Air changes of one burst [-]. */
	readonly airChangesPerBurst: number;
	/** (mean - continuous)/(continuous - supply), over the square of the share of pauses. */
	readonly mean: number;
	/** (peak - continuous)/(continuous - supply), over the share of pauses. */
	readonly peak: number;
}

/** Divided by the share of pauses g (the mean by its square), the penalties of all chambers fall on two lines. */
export interface CollapsePanel {
	/** The lines, by formula. */
	readonly lines: readonly Penalties[];
	/** At one air change a burst. */
	readonly atOne: Penalties;
	/** Invented chambers, drawn at random. */
	readonly chambers: readonly Penalties[];
	readonly schedules: readonly (Penalties & { readonly name: string })[];
}

const CHAMBER_COUNT = 60;

export function collapsePanel(model: Model, schedules: readonly LessonSchedule[]): CollapsePanel {
	const own = schedules.map(({ name, airChangesPerBurst, dutyCycle, summary }) => {
		const excess = summary.continuousPpm! - model.intakePpm;
		const g = 1 - dutyCycle;
		return {
			name,
			airChangesPerBurst: airChangesPerBurst,
			mean: summary.meanPenaltyPpm! / excess / g ** 2,
			peak: summary.peakPenaltyPpm! / excess / g,
		};
	});
	const shown = own.map(({ airChangesPerBurst }) => airChangesPerBurst);
	const from = powerOfTen(Math.floor(Math.log10(Math.min(0.1, ...shown))));
	const to = powerOfTen(Math.ceil(Math.log10(Math.max(10, ...shown))));
	return {
		lines: logSpaced(from, to, 80).map(penaltiesOf),
		atOne: penaltiesOf(1),
		chambers: randomChambers(from, to),
		schedules: own,
	};
}

const penaltiesOf = (airChangesPerBurst: number): Penalties => ({
	airChangesPerBurst,
	mean: meanPenalty(0, airChangesPerBurst),
	peak: peakPenalty(0, airChangesPerBurst),
});

/** Chambers from a tub to a hall, with any fan, source and cycle, all worked out by the solver. */
function randomChambers(from: number, to: number): Penalties[] {
	const random = seededUniform(1);
	const between = (low: number, high: number) => low * power(high / low, random());
	return Array.from({ length: CHAMBER_COUNT }, () => {
		const airChangesPerBurst = between(from, to);
		const g = 1 - between(0.005, 0.8);
		const volumeM3 = between(0.02, 50);
		const onPerS = between(5, 600) / 3600;
		const onSeconds = airChangesPerBurst / onPerS;
		const rise = between(1e-6, 1e-4) / volumeM3;
		const excess = rise / (onPerS * (1 - g));
		const { peakPpm, meanPpm } = periodicCycle(0, rise, onPerS, 0, onSeconds, (onSeconds * g) / (1 - g));
		return { airChangesPerBurst, mean: (meanPpm / excess - 1) / g ** 2, peak: (peakPpm / excess - 1) / g };
	});
}

/** Air per day that just meets the ceiling on the mean and on the peak, by length of the cycle. */
export type PenaltyPanel =
	| {
			readonly isFeasible: true;
			/** Continuous flow that just meets the ceiling [m3/day]. */
			readonly continuousM3PerDay: number;
			readonly mean: readonly CeilingSetting[];
			readonly peak: readonly CeilingSetting[];
			/** One cycle for an example: settings and what they need more than continuous flow [-]. */
			readonly example: {
				readonly cycleSeconds: number;
				readonly mean: CeilingSetting;
				readonly peak: CeilingSetting;
				readonly meanPenalty: number;
				readonly peakPenalty: number;
			};
	  }
	| InfeasiblePanel;

/** Why a panel makes no sense in a chamber. */
export type InfeasibilityReason =
	| "stagnant zone"
	| "leakage suffices"
	| "fan too weak"
	| "fan hardly strong enough"
	| "every fan too weak";

export interface InfeasiblePanel {
	readonly isFeasible: false;
	readonly reason: InfeasibilityReason;
	/** The strongest fan that was tried, times this one [-]. */
	readonly maxFanFactor: number;
}

const FAN_FACTORS = [2, 4];

const infeasible = (reason: InfeasibilityReason): InfeasiblePanel => ({
	isFeasible: false,
	reason,
	maxFanFactor: Math.max(...FAN_FACTORS),
});

const BURSTS = logSpaced(0.005, 6, 36);

/** Settings with the peak just at the ceiling, by air changes of the burst; none where this fan is too weak. */
export const peakSettings = (model: Model, ceilingPpm: number): CeilingSetting[] =>
	findCeilingSettings(model, ceilingPpm, "peak", BURSTS);

/** Why no burst comes just to the ceiling; null when some do. */
function infeasibilityReason(model: Model, ceilingPpm: number): InfeasibilityReason | null {
	const needed = findNeededFlow(model, ceilingPpm);
	if (needed === null) return "stagnant zone";
	if (needed === 0) return "leakage suffices";
	if (needed >= model.deliveredM3PerS) return "fan too weak";
	return null;
}

export function penaltyPanel(
	model: Model,
	ceilingPpm: number,
	peak: readonly CeilingSetting[],
): PenaltyPanel {
	const reason = infeasibilityReason(model, ceilingPpm);
	if (reason !== null) return infeasible(reason);
	const longest = maxOffSeconds(model, ceilingPpm);
	const cycleSeconds = niceSeconds((longest ?? Number.POSITIVE_INFINITY) / 2);
	const examples = (["mean", "peak"] as const).map((figure) =>
		findSettingOfCycle(model, ceilingPpm, figure, cycleSeconds),
	);
	const [meanSetting, peakSetting] = examples;
	if (meanSetting == null || peakSetting == null) return infeasible("fan hardly strong enough");
	const continuousM3PerDay = DAY * findNeededFlow(model, ceilingPpm)!;
	return {
		isFeasible: true,
		continuousM3PerDay,
		mean: findCeilingSettings(model, ceilingPpm, "mean", BURSTS),
		peak,
		example: {
			cycleSeconds,
			mean: meanSetting,
			peak: peakSetting,
			meanPenalty: meanSetting.airM3PerDay / continuousM3PerDay - 1,
			peakPenalty: peakSetting.airM3PerDay / continuousM3PerDay - 1,
		},
	};
}

/** A round time not longer than this one, at most an hour [s]. */
const niceSeconds = (most: number): number =>
	[3600, 1800, 1200, 900, 600, 300, 240, 180, 120, 60, 30, 20, 10, 5].find((s) => s <= most) ?? most;

/** Burst that keeps the peak at the ceiling, by length of the pause, for this fan and for stronger ones. */
export type MaxOffTimePanel =
	| {
			readonly isFeasible: true;
			/** No pause may be longer, whatever the fan [s]. */
			readonly maxOffSeconds: number;
			readonly fans: readonly { readonly times: number; readonly settings: readonly CeilingSetting[] }[];
	  }
	| InfeasiblePanel;

export function maxOffTimePanel(
	model: Model,
	ceilingPpm: number,
	peak: readonly CeilingSetting[],
): MaxOffTimePanel {
	const longest = maxOffSeconds(model, ceilingPpm);
	if (longest === null) return infeasible("leakage suffices");
	const fans = [
		{ times: 1, settings: peak },
		...FAN_FACTORS.map((times) => ({
			times,
			settings: peakSettings({ ...model, deliveredM3PerS: times * model.deliveredM3PerS }, ceilingPpm),
		})),
	];
	if (fans.every(({ settings }) => settings.length === 0)) return infeasible("every fan too weak");
	return { isFeasible: true, maxOffSeconds: longest, fans };
}

/** One cycle as sensors of different slowness show it. */
export interface SensorPanel {
	readonly schedule: Pick<LessonSchedule, "name" | "inWords">;
	readonly windowSeconds: number;
	readonly air: ConcentrationStats;
	readonly curve: Curve;
	readonly sensors: readonly {
		/** Time to 63 % of a step [s]. */
		readonly responseSeconds: number;
		readonly shown: ConcentrationStats;
	}[];
	/** What each sensor shows over the window. */
	readonly shownCurves: readonly Curve[];
}

const RESPONSES_SECONDS = [20, 60, 180];

export function sensorPanel(model: Model, schedule: LessonSchedule): SensorPanel {
	const cycle = schedule.schedule;
	const windowSeconds = 2 * (cycle.onSeconds + cycle.offSeconds);
	const withSensor = (responseSeconds: number): Model => ({
		...model,
		responseSeconds,
		sensorZone: schedule.summary.zone,
	});
	const sensors = RESPONSES_SECONDS.map((responseSeconds) => ({
		responseSeconds,
		shown: (periodicState(withSensor(responseSeconds), cycle) as PeriodicSteadyState).sensor!,
	}));
	return {
		schedule: { name: schedule.name, inWords: schedule.inWords },
		windowSeconds,
		air: pickStats(schedule.summary),
		curve: periodicCurve(schedule.name, model, cycle, windowSeconds),
		sensors,
		shownCurves: RESPONSES_SECONDS.map((responseSeconds) => {
			const both = periodicCurve(schedule.name, withSensor(responseSeconds), cycle, windowSeconds);
			return { ...both, co2Ppm: both.sensorPpm! };
		}),
	};
}
