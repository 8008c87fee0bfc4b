import type { Model } from "../model/chamber.ts";
import { power, powerOfTen } from "../power.ts";
import { periodicCycle } from "../solve/cycles/closedform.ts";
import { seededUniform } from "../statistics/random.ts";
import { HOUR } from "../time.ts";
import { logSpaced } from "./ceilingsettings.ts";
import { meanPenalty, peakPenalty } from "./intermittency.ts";
import type { LessonSchedule } from "./lessonschedule.ts";

/** Penalties of mean and peak over the excess of continuous flow with the same air [-]. */
export interface Penalties {
	/** Air changes of one burst [-]. */
	readonly airChangesPerBurst: number;
	/** (mean - continuous)/(continuous - supply), over the square of the share of pauses. */
	readonly mean: number;
	/** (peak - continuous)/(continuous - supply), over the share of pauses. */
	readonly peak: number;
}

const CHAMBER_COUNT = 60;

/** Divided by the share of pauses g (the mean by its square), the penalties of all chambers fall on two lines. */
export function collapsePanel(model: Model, schedules: readonly LessonSchedule[]) {
	const own = schedules.map(({ name, airChangesPerBurst, dutyCycle, summary }) => {
		const excess = summary.continuousPpm! - model.intakePpm;
		const g = 1 - dutyCycle;
		const mean = summary.meanPenaltyPpm! / excess / g ** 2;
		return { name, airChangesPerBurst, mean, peak: summary.peakPenaltyPpm! / excess / g };
	});
	const shown = own.map(({ airChangesPerBurst }) => airChangesPerBurst);
	const from = powerOfTen(Math.floor(Math.log10(Math.min(0.1, ...shown))));
	const to = powerOfTen(Math.ceil(Math.log10(Math.max(10, ...shown))));
	return {
		/** The lines, by formula. */
		lines: logSpaced(from, to, 80).map(penaltiesOf),
		/** At one air change a burst. */
		atOne: penaltiesOf(1),
		/** Invented chambers, drawn at random. */
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
		const onPerS = between(5, 600) / HOUR;
		const onSeconds = airChangesPerBurst / onPerS;
		const rise = between(1e-6, 1e-4) / volumeM3;
		const excess = rise / (onPerS * (1 - g));
		const { peakPpm, meanPpm } = periodicCycle(0, rise, onPerS, 0, onSeconds, (onSeconds * g) / (1 - g));
		return { airChangesPerBurst, mean: (meanPpm / excess - 1) / g ** 2, peak: (peakPpm / excess - 1) / g };
	});
}
