import type { Comparison } from "../../lib/compare/compare.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import type { RunStats } from "../../lib/solve/simulate.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";

export const formatPpm = (value: number): string => `${Math.round(value)} ppm`;

export const judgedPhrase = ({ criterion }: Summary): string =>
	`${criterion.statistic === "peak" ? "a peak" : criterion.statistic === "mean" ? "a mean" : "a worst hour"} of ${formatPpm(criterion.valuePpm)}`;

export const targetPhrase = ({ criterion }: Pick<Summary, "criterion">): string =>
	criterion.floorPpm === null
		? `the ceiling of ${formatPpm(criterion.ceilingPpm)} on the ${criterion.statistic}`
		: `the band of ${Math.round(criterion.floorPpm)} to ${formatPpm(criterion.ceilingPpm)}`;

export const airPhrase = (summary: Summary, units: UnitSystem): string =>
	`${formatQuantity(summary.freshAirM3PerDay, "volume", units)} of fresh air a day`;

/** An answer, the sentence that gives its grounds, and what else a reader should know at once. */
export interface Verdict {
	readonly answer: "Yes" | "No";
	readonly grounds: string;
	readonly more?: readonly string[];
}

/** The verdict as one paragraph. */
export const inOneBreath = ({ answer, grounds, more = [] }: Verdict): string =>
	[`${answer}.`, grounds, ...more].join(" ");

const quoted = (names: readonly string[]): string => {
	const all = names.map((name) => `“${name}”`);
	return all.length < 2 ? all.join("") : `${all.slice(0, -1).join(", ")} and ${all.at(-1)}`;
};

/** Zone that is judged, where a model has two: `stagnant zone`; null where there is but one. */
export const cropZoneName = ({ model, schedules }: Comparison): string | null =>
	(model.stagnantFraction ?? 0) > 0 ? `${schedules[0]?.summary.zone ?? "mixed"} zone` : null;

/** How many times as much CO2 the crop may give off, never rounded up: `× 1.84`. */
export const headroomText = (headroom: number | null): string => {
	if (headroom === null) return "–";
	const digits = headroom < 10 ? 2 : headroom < 100 ? 1 : 0;
	return `× ${(Math.floor(headroom * 10 ** digits * (1 + 1e-12)) / 10 ** digits).toFixed(digits)}`;
};

export const HEADROOM_NOTE =
	"“Room for” is how many times as much CO2 the crop may give off before the ceiling fails; below × 1 it fails already.";

/** A pause in whole seconds, never rounded up. */
const pauseText = (seconds: number): string =>
	formatDuration(seconds < 60 ? Math.floor(10 * seconds) / 10 : Math.floor(seconds));

export const longestPauseWords = (seconds: number | null): string =>
	seconds === null
		? "No pause is too long here: the leak alone holds the ceiling."
		: `No pause may be longer than ${pauseText(seconds)} here, whatever the fan.`;

/** The longest pause that a schedule states [s]; 0 where it states none. */
function pauseSeconds(schedule: Schedule): number {
	switch (schedule.kind) {
		case "cycle":
			return schedule.onSeconds === 0 ? Number.POSITIVE_INFINITY : schedule.offSeconds;
		case "daily":
			return Math.max(...schedule.parts.map((part) => pauseSeconds(part.schedule)));
		case "off":
			return Number.POSITIVE_INFINITY;
		default:
			return 0;
	}
}

/** Which schedules fail because they pause longer than any fan makes up for. */
function pausesTooLong({ schedules, maxOffSeconds: longest }: Comparison): string[] {
	if (longest === null) return [];
	const tooLong = schedules
		.filter(({ schedule, summary }) => !summary.criterion.isMet && pauseSeconds(schedule) > longest)
		.map(({ name, schedule }) => ({ name, seconds: pauseSeconds(schedule) }));
	if (tooLong.length === 0) return [];
	const each = tooLong.map(({ name, seconds }) =>
		seconds === Number.POSITIVE_INFINITY
			? `“${name}” never airs`
			: `“${name}” pauses ${formatDuration(seconds)}`,
	);
	const said =
		each.length <= 3
			? `${each.slice(0, -1).join(", ")}${each.length > 1 ? " and " : ""}${each.at(-1)}`
			: `${each.length} schedules pause too long`;
	return [`${said}; ${lowerFirst(longestPauseWords(longest))}`];
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/** What becomes of the verdict at the high end of the range of respiration. */
function atTheHighEnd({ schedules, highRespiration }: Comparison): string[] {
	if (highRespiration === null || schedules.every(({ summary }) => !summary.criterion.isMet)) return [];
	const { factor, compliant } = highRespiration;
	if (!(factor > 1)) return [];
	const all = schedules.length;
	const now = schedules.filter(({ summary }) => summary.criterion.isMet).length;
	const names =
		compliant.length === all
			? all === 2
				? "both"
				: "all"
			: compliant.length <= 3
				? quoted(compliant)
				: `${compliant.length} of ${all}`;
	const then =
		all === 1
			? `it would ${compliant.length === 1 ? "hold even so" : "not hold"}`
			: compliant.length === 0
				? "none would hold"
				: compliant.length === now
					? `${names} would hold even so`
					: `only ${names} would hold`;
	return [
		`Were respiration at the high end of its range (${Number(factor.toPrecision(2))} × as much), ${then}.`,
	];
}

/** Whether one schedule holds the target, in words. */
export const verdictOfOne = (name: string, summary: Summary, units: UnitSystem): Verdict => ({
	answer: summary.criterion.isMet ? "Yes" : "No",
	grounds: `“${name}” ${summary.criterion.isMet ? "holds" : "misses"} ${targetPhrase(summary)}: ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`,
});

/** By what the winner leaves those behind that need as little air. */
const lowest = ({ criterion }: Summary): string =>
	({ peak: "peaks lowest", mean: "has the lowest mean", "worst hour": "has the lowest worst hour" })[
		criterion.statistic
	];

/** The answer to a comparison in words. */
export function verdictOf(comparison: Comparison, units: UnitSystem): Verdict {
	const { schedules, best, closest, ties } = comparison;
	const holding = schedules.filter(({ summary }) => summary.criterion.isMet);
	const named = schedules.find(({ name }) => name === (best ?? closest)) ?? schedules[0];
	if (named === undefined) return { answer: "No", grounds: "There is no schedule." };
	const { name, summary } = named;
	const more = [...pausesTooLong(comparison), ...atTheHighEnd(comparison)];
	if (schedules.length === 1) return { ...verdictOfOne(name, summary, units), more };
	const target = targetPhrase(summary);
	const zone = cropZoneName(comparison);
	const figures = `${judgedPhrase(summary)}${zone === null ? "" : ` in the ${zone}`} for ${airPhrase(summary, units)}`;
	if (best === null)
		return {
			answer: "No",
			grounds: `None of the ${schedules.length} schedules holds ${target}. The nearest is “${name}”: ${figures}.`,
			more,
		};
	if (holding.length === 1)
		return { answer: "Yes", grounds: `“${name}” alone holds ${target}: ${figures}.`, more };
	const who =
		holding.length < schedules.length
			? `${holding.length} of ${schedules.length} schedules hold`
			: schedules.length === 2
				? "Both hold"
				: `All ${schedules.length} schedules hold`;
	const lower = schedules.every(
		(other) =>
			!ties.includes(other.name) || other.summary.criterion.valuePpm > summary.criterion.valuePpm + 0.5,
	);
	const why =
		ties.length === 0
			? "needs the least air"
			: `needs the least air, as little as ${quoted(ties)}${lower ? `, and ${lowest(summary)}` : ""}`;
	return { answer: "Yes", grounds: `${who} ${target}. “${name}” ${why}: ${figures}.`, more };
}

/** A run held against the target. */
export interface EvaluatedRun {
	readonly stats: RunStats;
	/** The figure that is held against the ceiling [ppm]. */
	readonly valuePpm: number;
	readonly isMet: boolean;
}

/** Holds the figures of a run against the target that the schedule is judged by. */
export function evaluateRun(stats: RunStats, { criterion }: Summary): EvaluatedRun {
	const { peakPpm, meanPpm, maxHourlyMeanPpm } = stats;
	const valuePpm = { peak: peakPpm, mean: meanPpm, "worst hour": maxHourlyMeanPpm }[criterion.statistic];
	return {
		stats,
		valuePpm,
		isMet: valuePpm <= criterion.ceilingPpm && (criterion.floorPpm === null || meanPpm >= criterion.floorPpm),
	};
}

/** What the figures of a summary are of: the pattern that repeats, or a day of a run. */
export function basisWords({ basis, windowFromSeconds, windowSeconds, notes }: Summary): string {
	if (basis === "periodic") return "the pattern that repeats once the start is forgotten";
	if (windowSeconds < 86_400) return `the first ${formatDuration(windowSeconds)} from a fresh start`;
	const day = `day ${Math.floor(windowFromSeconds / 86_400) + 1} of a run from a fresh start`;
	// The solver says of the day that it chose whether it is that of the peak.
	return notes.some((note) => note.endsWith("on which the peak is reached."))
		? `${day}, on which the peak is reached`
		: day;
}

/** The same in short, for a table. */
export const basisShort = ({ basis, windowFromSeconds, windowSeconds }: Summary): string =>
	basis === "periodic"
		? "the pattern that repeats"
		: windowSeconds < 86_400
			? `the first ${formatDuration(windowSeconds)}`
			: `day ${Math.floor(windowFromSeconds / 86_400) + 1} of a run`;

/** Whether a run stays within the target; then, said to be so, what the schedule does in the long run. */
export function verdictOfRun(comparison: Comparison, figures: RunStats, units: UnitSystem): Verdict {
	const { name, summary } = comparison.schedules[0]!;
	const { criterion } = summary;
	const run = evaluateRun(figures, summary);
	const { durationSeconds, firstExceedanceSeconds, exceedancePercent, meanPpm } = figures;
	const zone = cropZoneName(comparison);
	const co2 = zone === null ? "the CO2" : `the CO2 in the ${zone}`;
	const own = judgedPhrase({ ...summary, criterion: { ...criterion, valuePpm: run.valuePpm } });
	const share = exceedancePercent < 0.1 ? "under 0.1" : exceedancePercent.toFixed(1);
	const crossing =
		firstExceedanceSeconds === null
			? `stays under the ceiling of ${formatPpm(criterion.ceilingPpm)}`
			: `${firstExceedanceSeconds === 0 ? "starts above" : "passes"} the ceiling of ${formatPpm(criterion.ceilingPpm)}${
					firstExceedanceSeconds === 0
						? ""
						: ` first after ${formatDuration(roundDuration(firstExceedanceSeconds))}`
				} and is above it ${share} % of the time`;
	const low = criterion.floorPpm !== null && meanPpm < criterion.floorPpm;
	const grounds = [
		`In this run of ${formatDuration(durationSeconds)} under “${name}” ${co2} ${crossing}: ${own}.`,
		...(low
			? [`Its mean of ${formatPpm(meanPpm)} is below the floor of ${formatPpm(criterion.floorPpm!)}.`]
			: []),
		...(criterion.statistic !== "peak" &&
		firstExceedanceSeconds !== null &&
		run.valuePpm <= criterion.ceilingPpm
			? [`The target is on the ${criterion.statistic}, so that is allowed.`]
			: []),
	];
	const long = `${upperFirst(basisWords(summary))}: ${criterion.isMet ? "holds" : "misses"} ${targetPhrase(summary)}, with ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`;
	return {
		answer: run.isMet ? "Yes" : "No",
		grounds: grounds.join(" "),
		more: [long, ...pausesTooLong(comparison), ...atTheHighEnd(comparison)],
	};
}

const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Tenths of a second say something only below a minute [s]. */
export const roundDuration = (seconds: number): number =>
	seconds < 60 ? Math.round(10 * seconds) / 10 : Math.round(seconds);
