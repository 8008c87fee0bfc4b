import type { Log } from "../logs/log.ts";
import { findClockStart } from "../logs/times/clockstart.ts";
import { localClock, offsetReader } from "../logs/times/zone.ts";
import type { ScenarioChange } from "../scenario/edit/update.ts";
import { DAY } from "../time.ts";
import type { FitName } from "./fitoptions.ts";
import type { DailyGeneration, FitDay, FittedParameter } from "./fittypes.ts";
import { rateOf } from "./respirationrate.ts";

/** What a log has of its first or last day joins the day beside it when it is shorter: it could hardly be told by itself [s]. */
export const MIN_PIECE_SECONDS = DAY / 4;
/** A day is whole when the log has so much of it; one on which clocks go forward has 23 h. */
const MIN_WHOLE_SHARE = 0.9;

/** A day of a log. */
export type LogDay = Pick<FitDay, "day" | "date" | "fromSeconds" | "toSeconds">;

/** `day 2 · 2026-03-11`, or `day 2` where the log has no dates. */
export const dayName = ({ day, date }: Pick<LogDay, "day" | "date">): string =>
	date === null ? `day ${day}` : `day ${day} · ${date}`;

/**
 * The days of a log: from midnight to midnight in its zone, 23 or 25 h where the clocks change; where it has no dates, from midnight
 * to midnight by the time of day of its first sample, or each 24 h from that sample where nothing is known of it.
 * @param untilSeconds last sample [s since the first]
 */
export function splitDays(
	log: Pick<Log, "startUtcSeconds" | "startsAtSeconds" | "layout">,
	untilSeconds: number,
): readonly LogDay[] {
	const { startUtcSeconds, layout } = log;
	const pieces: { date: string | null; fromSeconds: number; toSeconds: number; lengthOfDate: number }[] = [];
	const zone = layout.zone ?? "UTC";
	const start = startUtcSeconds ?? 0;
	const firstDay =
		startUtcSeconds === null ? 0 : Math.floor((startUtcSeconds + offsetReader(zone)(startUtcSeconds)) / DAY);
	const clock = localClock(zone);
	const timeOfDay = findClockStart(log) ?? 0;
	/** When a day begins [s since the first sample]. */
	const begins = (day: number): number =>
		startUtcSeconds === null ? day * DAY - timeOfDay : clock(day * DAY).utcSeconds - start;
	for (let day = firstDay; pieces.length === 0 || begins(day) < untilSeconds; day++) {
		const fromSeconds = Math.max(begins(day), 0);
		const toSeconds = Math.min(begins(day + 1), untilSeconds);
		const date = startUtcSeconds === null ? null : new Date(1000 * DAY * day).toISOString().slice(0, 10);
		pieces.push({ date, fromSeconds, toSeconds, lengthOfDate: toSeconds - fromSeconds });
	}
	/** Two neighbours as one, under the date of the longer. */
	const join = (at: number): void => {
		const [a, b] = [pieces[at]!, pieces[at + 1]!];
		const longer = a.lengthOfDate > b.lengthOfDate ? a : b;
		pieces.splice(at, 2, { ...longer, fromSeconds: a.fromSeconds, toSeconds: b.toSeconds });
	};
	if (pieces.length > 1 && pieces[0]!.lengthOfDate < MIN_PIECE_SECONDS) join(0);
	if (pieces.length > 1 && pieces.at(-1)!.lengthOfDate < MIN_PIECE_SECONDS) join(pieces.length - 2);
	return pieces.map(({ date, fromSeconds, toSeconds }, k) => ({ day: k + 1, date, fromSeconds, toSeconds }));
}

/** The days with what was given off on each, in the order of the first parameters. */
export const listFitDays = (
	days: readonly LogDay[],
	parameters: readonly FittedParameter[],
	startUtcSeconds: number | null,
): readonly FitDay[] =>
	days.map((day, k) => {
		const { value, standardError, isIdentifiable } = parameters[k]!;
		const instant = (seconds: number): string | null =>
			startUtcSeconds === null ? null : new Date(1000 * (startUtcSeconds + seconds)).toISOString();
		return {
			...day,
			from: instant(day.fromSeconds),
			to: instant(day.toSeconds),
			isWhole: day.toSeconds - day.fromSeconds >= MIN_WHOLE_SHARE * DAY,
			value,
			standardError,
			respirationRate: rateOf(parameters[k]),
			isIdentifiable,
		};
	});

/**
 * What the days say together. Mean and trend are sums Σ c v over the days' values v; their errors are those of the sum,
 * for days that share flow, leak, lag and volume err together. The trend is that of the crop alone: what temperature and stage do to a day, or
 * to that part of it which the log has, is taken out of its value, as the scenario has it where the search started.
 * @param combine a sum of the days' values by their weights, with its error
 * @param isAdequate the model follows the log
 */
export function summarizeDays(
	days: readonly FitDay[],
	parameters: readonly FittedParameter[],
	combine: (
		weights: readonly number[],
	) => Pick<FittedParameter, "value" | "standardError" | "ci95Low" | "ci95High" | "shares" | "alsoAs">,
	isAdequate = true,
): DailyGeneration {
	const known = days.filter(({ standardError }) => standardError !== null);
	const counted = known.length > 0 ? known : days;
	const combined = (weight: (day: FitDay) => number) => {
		const sum = combine(days.map((day) => (counted.includes(day) ? weight(day) : 0)));
		return known.length > 0 ? sum : { ...sum, standardError: null, ci95Low: null, ci95High: null };
	};
	const length = ({ fromSeconds, toSeconds }: FitDay): number => toSeconds - fromSeconds;
	const middle = ({ fromSeconds, toSeconds }: FitDay): number => (fromSeconds + toSeconds) / 2 / DAY;
	const total = counted.reduce((sum, day) => sum + length(day), 0);
	const share = (day: FitDay): number => length(day) / total;
	const assumed = ({ day }: FitDay): number => parameters[day - 1]!.initial;
	const meanAssumed = counted.reduce((sum, day) => sum + length(day) * assumed(day), 0) / total;
	/** From a day to one with the mean temperature and stage of all. */
	const level = (day: FitDay): number => (assumed(day) > 0 ? meanAssumed / assumed(day) : 1);
	const centre = counted.reduce((sum, day) => sum + share(day) * middle(day), 0);
	const spread = counted.reduce((sum, day) => sum + share(day) * (middle(day) - centre) ** 2, 0);

	const mean = combined(share);
	const [first] = parameters as readonly [FittedParameter];
	const byValue = counted.toSorted((a, b) => a.value - b.value);
	const writtenDay =
		days.findLast((day) => day.isIdentifiable && day.isWhole) ??
		findLongest(days.filter((day) => day.isIdentifiable));
	return {
		mean: {
			...first,
			initial: meanAssumed,
			name: "generation",
			label: `CO₂ output, mean of ${counted.length} ${counted.length === 1 ? "day" : "days"}`,
			...mean,
			ci95Low: mean.ci95Low === null ? null : Math.max(mean.ci95Low, 0),
			isAtBound: false,
			isIdentifiable:
				isAdequate && mean.standardError !== null && mean.standardError <= Math.abs(mean.value) / 2,
		},
		leastDay: byValue[0]!.day,
		greatestDay: byValue.at(-1)!.day,
		trendPerDay:
			counted.length < 2 || known.length === 0
				? null
				: trendOf(combined((day) => (level(day) * share(day) * (middle(day) - centre)) / spread)),
		writtenDay: writtenDay?.day ?? null,
	};
}

const trendOf = ({
	shares: _,
	alsoAs: __,
	...trend
}: Pick<FittedParameter, "shares" | "alsoAs"> & NonNullable<DailyGeneration["trendPerDay"]>) => trend;

const findLongest = (days: readonly FitDay[]): FitDay | undefined =>
	days.toSorted((a, b) => b.toSeconds - b.fromSeconds - (a.toSeconds - a.fromSeconds))[0];

/** Of a crop that changes from day to day, the current rate is written back: that of the day in `writtenDay`. */
export const nameWrittenDay =
	(daily: DailyGeneration | null) =>
	(name: FitName): FitName =>
		daily !== null && name === `generation of day ${daily.writtenDay}` ? "generation" : name;

/** Changes of the substrate say from which day they are. */
export function markDay(
	changes: readonly ScenarioChange[],
	days: readonly FitDay[] | null,
	daily: DailyGeneration | null,
): readonly ScenarioChange[] {
	const day = days?.find((one) => one.day === daily?.writtenDay);
	if (day === undefined) return changes;
	const part = `${day.isWhole ? "last whole day" : "longest day"}, ${day.date ?? `day ${day.day}`}`;
	return changes.map((change) => (change.path.endsWith("rate") ? { ...change, part } : change));
}
