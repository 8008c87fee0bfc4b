import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import type { Model } from "../../model/chamber.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { plan } from "../estimate/fitplan.ts";
import type { FitName, FitOptions } from "../fittypes.ts";
import { fanRun } from "../model/fitrun.ts";
import {
	burstsInColumn,
	type ColumnBurst,
	lengthsByAir,
	lengthsInColumn,
	namedLengths,
} from "./burstlengths.ts";
import { type Count, countBursts, SHARED } from "./countedbursts.ts";
import { type Fall, findFalls } from "./stepdetection.ts";

/** Bursts that are needed, whatever their lengths, and samples after the last of them. */
const FEWEST = 3;
const FEWEST_AFTER = 4;
/** What is found beside the bursts unless `free` says otherwise. */
const SOUGHT: readonly FitName[] = ["flow", "leak", "lag", "offset"];
/** A fall that is no more than so many of its errors is none. */
const SEEN = 3;
/** CO2 that rises by so many air changes backwards, and so many ppm, was dosed or breathed. */
const DOSED = 0.2;
const DOSED_PPM = 100;
/** A fall that no burst of the fan column explains is worth a line from so many air changes on. */
const WORTH_A_LINE = 0.1;
/** A dose is over after some time, and so many time constants of the sensor. */
const DOSE_SECONDS = 60;
const FOLLOWED = 2;

/** A part of a log [s since the first sample]. */
export interface Part {
	readonly fromSeconds: number;
	readonly toSeconds: number;
}

/** The bursts of a log, counted. */
export interface LogBursts {
	readonly count: Count;
	/** On-times [s]; null for a fall that was no burst. */
	readonly onSeconds: readonly (number | null)[];
	/** What is used of the log: between two doses, without a fall that comes too late. */
	readonly used: Part;
	/** CO2 rises somewhere in the log. */
	readonly rises: boolean;
	/** Falls after that part, too late to be counted [s since the first sample]. */
	readonly late: readonly number[];
	/** Delivered flow [m3/s] and offset of the sensor [ppm] as they are known or said. */
	readonly flow: Parameter;
	readonly offset: Parameter;
}

type Options = FitOptions & { readonly burstSeconds: readonly number[] };
/** A fall, and the on-time that a fan column has for it. */
interface Found {
	readonly fall: Fall;
	readonly on: number | null;
}

/**
 * Finds the bursts of a log, in its fan column where that can be trusted, else as falls of its CO2, and counts them.
 * @throws InputError when fewer than three are to be seen, or they do not have the lengths that were named
 */
export function burstsOfLog(
	scenario: Scenario,
	model: Model,
	series: CleanSeries,
	options: Options,
): LogBursts {
	const { timesSeconds, co2Ppm, log } = series;
	const stepSeconds = log.intervalSeconds;
	const column = burstsInColumn(series);
	const lengths =
		column === null
			? namedLengths(options.burstSeconds)
			: lengthsInColumn(column, options.burstSeconds, stepSeconds);
	const longest = Math.max(...lengths, 0);
	const shared = plan(
		scenario,
		model,
		series,
		{ names: SHARED },
		fanRun(scenario, series, { ...options, test: "decay" }),
		{
			...options,
			free: options.free ?? SOUGHT,
			prior: [...(options.prior ?? []), ...(options.free === undefined ? (["offset"] as const) : [])],
		},
		"decay",
	);
	const of = (name: (typeof SHARED)[number]) => shared[SHARED.indexOf(name)]!;
	const good = [...timesSeconds.keys()].filter((i) => series.excluded[i] === 0);
	const search = ({ fromSeconds, toSeconds }: Part): ReturnType<typeof findFalls> => {
		const within = good.filter((i) => timesSeconds[i]! >= fromSeconds && timesSeconds[i]! <= toSeconds);
		if (within.length < 2 * FEWEST_AFTER || !(longest > 0)) return { falls: [], lagSeconds: 0 };
		return findFalls(
			within.map((i) => timesSeconds[i]!),
			within.map((i) => co2Ppm[i]!),
			{
				supplyPpm: model.supplyPpm + of("offset").start,
				lagSeconds: of("lag").start,
				lengthsSeconds: [...new Set(lengths)],
				leakPerS: of("leak").start / model.volumeM3,
			},
		);
	};

	const whole = { fromSeconds: 0, toSeconds: timesSeconds.at(-1) ?? 0 };
	const first = search(whole);
	const rises = first.falls.some(isDose);
	const follow = Math.max(DOSE_SECONDS, FOLLOWED * Math.max(first.lagSeconds, of("lag").start));
	const dosed = rises ? betweenRises(first.falls, follow, whole) : whole;
	// A dose is no burst backwards, and spoils what is made of the falls beside it.
	const seen = rises ? search(dosed) : first;
	const inside = seen.falls.filter(({ airChanges }) => airChanges > 0);
	const enough = inside.filter(({ atSeconds }) => {
		const rested = atSeconds + longest + seen.lagSeconds;
		return (
			good.filter((i) => timesSeconds[i]! > rested && timesSeconds[i]! <= dosed.toSeconds).length >=
			FEWEST_AFTER
		);
	});
	tooFew(enough.length);
	const late = inside.slice(enough.length).map(({ atSeconds }) => atSeconds);
	const before = (longest + stepSeconds) / 2 + seen.lagSeconds / 4;
	const used = { ...dosed, toSeconds: late.length === 0 ? dosed.toSeconds : late[0]! - before };
	const excluded = series.excluded.slice();
	for (const [i, time] of timesSeconds.entries())
		if (time < used.fromSeconds || time > used.toSeconds) excluded[i] = 1;

	// Square bursts about as wide as the real ones.
	const height =
		(Math.max(...enough.map(({ airChanges }) => airChanges)) * model.volumeM3) /
		((model.mixing ?? 1) * longest);
	const firstPpm = co2Ppm[excluded.indexOf(0)]!;
	const starts: Readonly<Partial<Record<string, number>>> = {
		flow: height,
		lag: seen.lagSeconds,
		start: Math.max(firstPpm - of("offset").start, 0),
		reading: firstPpm,
	};
	const asked = shared.map((one): Parameter => {
		const start = starts[one.name];
		if (one.name === "offset") return { ...one, fixed: true };
		return start === undefined || (one.fixed === true && one.name !== "flow") ? one : { ...one, start };
	});
	const counted = (found: readonly Found[]): Count =>
		countBursts(
			model,
			{ timesSeconds, co2Ppm, excluded, stepSeconds },
			asked,
			found.map(({ fall }) => fall),
			longest,
		);
	const rest = { used, rises, late, flow: of("flow"), offset: of("offset") };
	if (column !== null) {
		const found = matched(enough, column, lengths, stepSeconds).filter(
			({ fall }) => fall.atSeconds > used.fromSeconds && fall.atSeconds + longest < used.toSeconds,
		);
		return { ...rest, count: counted(found), onSeconds: found.map(({ on }) => on) };
	}
	let found: readonly Found[] = enough.map((fall) => ({ fall, on: null }));
	let count = counted(found);
	const air = (k: number) => count.estimate.least.values[count.changesAt + k]!;
	const real = found.filter((_, k) => {
		const error = count.estimate.standardErrors[count.changesAt + k];
		return error == null || air(k) > SEEN * error;
	});
	if (real.length < found.length) {
		tooFew(real.length);
		found = real;
		count = counted(found);
	}
	return {
		...rest,
		count,
		onSeconds: lengthsByAir(
			found.map((_, k) => air(k)),
			lengths,
		),
	};
}

function tooFew(bursts: number): void {
	if (bursts < FEWEST)
		throw new InputError(
			`${bursts === 0 ? "no burst is" : bursts === 1 ? "only one burst is" : `only ${bursts} bursts are`} to be seen in the log; dose the chamber to 3000 ppm, then give at least ${FEWEST} bursts and wait three to five times the sensor's response after each`,
		);
}

const isDose = ({ airChanges, dropPpm }: Fall): boolean => airChanges < -DOSED && dropPpm < -DOSED_PPM;

/** The part between two doses that holds most falls, some time after the first and before the next. */
function betweenRises(falls: readonly Fall[], followSeconds: number, whole: Part): Part {
	const rises = falls.filter(isDose).map(({ atSeconds }) => atSeconds);
	const parts = [...rises, null].map(
		(rise, k): Part => ({
			fromSeconds: k === 0 ? whole.fromSeconds : rises[k - 1]! + followSeconds,
			toSeconds: rise === null ? whole.toSeconds : rise - followSeconds / 2,
		}),
	);
	const holds = ({ fromSeconds, toSeconds }: Part) =>
		falls.filter(
			({ atSeconds, airChanges }) => airChanges > 0 && atSeconds > fromSeconds && atSeconds < toSeconds,
		).length;
	return parts.reduce((best, part) => (holds(part) > holds(best) ? part : best));
}

/** A column's bursts, each with the fall that it made, and falls that it does not explain. */
function matched(
	falls: readonly Fall[],
	column: readonly ColumnBurst[],
	lengths: readonly number[],
	stepSeconds: number,
): readonly Found[] {
	const own = column.map(({ fromSeconds, toSeconds }, k) => {
		const atSeconds = (fromSeconds + toSeconds) / 2;
		const fall = falls.find(
			(one) => Math.abs(one.atSeconds - atSeconds) <= lengths[k]! + 2 * stepSeconds + 2 * one.offSeconds,
		);
		return {
			made: fall,
			fall: {
				atSeconds,
				offSeconds: stepSeconds / 3,
				airChanges: fall?.airChanges ?? 0,
				dropPpm: fall?.dropPpm ?? 0,
			},
			on: lengths[k]!,
		};
	});
	const strange = falls.filter(
		(fall) => fall.airChanges > WORTH_A_LINE && !own.some(({ made }) => made === fall),
	);
	return [...own, ...strange.map((fall) => ({ fall, on: null }))].sort(
		(a, b) => a.fall.atSeconds - b.fall.atSeconds,
	);
}
