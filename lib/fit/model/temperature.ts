import { findInsideTemperature } from "../../logs/columns/insidetemperature.ts";
import type { CleanSeries } from "../../logs/log.ts";
import { createTemperatureProfile, type TemperatureProfile } from "../../model/crop/respiration.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { MINUTE, type SecondsSinceMidnight, sinceMidnight } from "../../time.ts";
import type { FitOptions } from "../fitoptions.ts";
import type { CelsiusRange, FitTemperature } from "../fittypes.ts";

/** Readings at a shorter step are gone by in means over so long [s]; longer means would blur the opening of a door. */
const SMOOTH = MINUTE;
/** A thermometer that was silent for more than this share of the log is not gone by. */
const MOST_SILENT = 0.5;
/** Moments at which the scenario's temperature is looked at for its range. */
const LOOKS = 2000;

/** What a log and a scenario have for the temperature inside, and which of them a fit goes by. */
export interface LogTemperature extends FitTemperature {
	/** By the clock of the log's first sample. */
	readonly profile: TemperatureProfile;
}

/**
 * The temperature that a fit goes by for Q10 and gas volume: that which the log has from inside, else the scenario's.
 * @param start of the log by the clock; null where it is not known, so that nothing can be said of a scenario that swings
 * @throws InputError for a column that the log does not have
 */
export function findLogTemperature(
	scenario: Scenario,
	series: CleanSeries,
	start: SecondsSinceMidnight | null,
	asked: FitOptions["temperature"] = "log",
): LogTemperature {
	const profile = createTemperatureProfile(scenario.chamber.temperature);
	const last = series.timesSeconds.at(-1) ?? 0;
	// A scenario whose hours are not known is taken over a day.
	const expected = rangeOf(
		profile,
		start ?? sinceMidnight(0),
		start === null ? (profile.periodSeconds ?? last) : last,
	);
	const fromScenario = {
		from: "scenario",
		column: null,
		logged: null,
		scenario: expected,
		meanErrorKelvin: 0,
		profile,
	} as const;
	const { channel, doubtful } = findInsideTemperature(
		series.log,
		asked === "log" || asked === "scenario" ? undefined : asked,
	);
	if (channel === null)
		return {
			...fromScenario,
			unused: doubtful.length === 0 ? null : { reason: "several columns", columns: doubtful },
		};
	const means = smoothed(series.timesSeconds, channel.values);
	const all = smoothed(series.timesSeconds, series.timesSeconds);
	if (means.length < (1 - MOST_SILENT) * all.length)
		return { ...fromScenario, unused: { reason: "mostly empty", columns: [channel.name] } };
	const first = start ?? sinceMidnight(0);
	const measured = createLoggedProfile(means, first);
	const both = {
		column: channel.name,
		logged: rangeOf(measured, first, last),
		scenario: expected,
		unused: null,
	};
	return asked === "scenario"
		? { ...both, from: "scenario", meanErrorKelvin: 0, profile }
		: { ...both, from: "log", meanErrorKelvin: meanError(means), profile: measured };
}

interface Mean {
	/** Middle of its readings [s since the first sample]. */
	readonly timeSeconds: number;
	readonly celsius: number;
}

/** Means over a minute, where there are readings. */
function smoothed(timesSeconds: Float64Array, values: Float64Array): readonly Mean[] {
	const sums = new Map<number, { time: number; celsius: number; count: number }>();
	for (let i = 0; i < values.length; i++) {
		const celsius = values[i]!;
		if (Number.isNaN(celsius)) continue;
		const bin = Math.floor(timesSeconds[i]! / SMOOTH);
		const sum = sums.get(bin) ?? { time: 0, celsius: 0, count: 0 };
		sum.time += timesSeconds[i]!;
		sum.celsius += celsius;
		sum.count++;
		sums.set(bin, sum);
	}
	return [...sums.values()].map(({ time, celsius, count }) => ({
		timeSeconds: time / count,
		celsius: celsius / count,
	}));
}

/** Standard deviation of the mean of all by their noise, which shows in how they bend from one to the next [K]. */
function meanError(means: readonly Mean[]): number {
	const bends = means
		.slice(2)
		.map(({ celsius }, i) => celsius - 2 * means[i + 1]!.celsius + means[i]!.celsius);
	const squares = bends.reduce((sum, bend) => sum + bend * bend, 0);
	return bends.length === 0 ? 0 : Math.sqrt(squares / bends.length / 6 / means.length);
}

/** Straight lines between the means, level before the first and after the last. */
function createLoggedProfile(means: readonly Mean[], start: SecondsSinceMidnight): TemperatureProfile {
	/** The mean after the moment that was asked for last: moments mostly follow each other. */
	let next = 0;
	return {
		celsiusAt(time) {
			const seconds = time - start;
			while (next > 0 && means[next - 1]!.timeSeconds > seconds) next--;
			while (next < means.length && means[next]!.timeSeconds <= seconds) next++;
			const [before, after] = [means[next - 1], means[next]];
			if (before === undefined || after === undefined) return (before ?? after)!.celsius;
			const share = (seconds - before.timeSeconds) / (after.timeSeconds - before.timeSeconds);
			return before.celsius + share * (after.celsius - before.celsius);
		},
		isTimeVarying: true,
		periodSeconds: null,
		breakpointsSeconds: means.map(({ timeSeconds }) => start + timeSeconds),
	};
}

function rangeOf(
	profile: TemperatureProfile,
	start: SecondsSinceMidnight,
	lengthSeconds: number,
): CelsiusRange {
	const celsius = Array.from({ length: LOOKS }, (_, i) =>
		profile.celsiusAt(sinceMidnight(start + (lengthSeconds * i) / (LOOKS - 1))),
	);
	return {
		meanCelsius: celsius.reduce((sum, one) => sum + one, 0) / celsius.length,
		lowestCelsius: Math.min(...celsius),
		highestCelsius: Math.max(...celsius),
	};
}

/** Mean of the temperature that a fit went by [°C]. */
export const meanCelsius = ({ from, logged, scenario }: FitTemperature): number =>
	(from === "log" && logged !== null ? logged : scenario).meanCelsius;
