import type { Comparison } from "../../lib/compare/compare.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import type { RunFigures } from "../../lib/solve/simulate.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/units.ts";

export const ppm = (value: number): string => `${Math.round(value)} ppm`;

export const judgedPhrase = ({ judged }: Summary): string =>
	`${judged.on === "peak" ? "a peak" : judged.on === "mean" ? "a mean" : "a worst hour"} of ${ppm(judged.valuePpm)}`;

export const targetPhrase = ({ judged }: Pick<Summary, "judged">): string =>
	judged.floorPpm === null
		? `the ceiling of ${ppm(judged.ceilingPpm)} on the ${judged.on}`
		: `the band of ${Math.round(judged.floorPpm)} to ${ppm(judged.ceilingPpm)}`;

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
export const zoneName = ({ model, schedules }: Comparison): string | null =>
	(model.stagnantFraction ?? 0) > 0 ? `${schedules[0]?.summary.zone ?? "mixed"} zone` : null;

/** How many times as much CO2 the crop may give off, never rounded up: `× 1.84`. */
export const headroomText = (headroom: number | null): string => {
	if (headroom === null) return "–";
	const digits = headroom < 10 ? 2 : headroom < 100 ? 1 : 0;
	return `× ${(Math.floor(headroom * 10 ** digits * (1 + 1e-12)) / 10 ** digits).toFixed(digits)}`;
};

export const HEADROOM_WORDS =
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
function pausesTooLong({ schedules, longestPauseSeconds: longest }: Comparison): string[] {
	if (longest === null) return [];
	const tooLong = schedules
		.filter(({ schedule, summary }) => !summary.judged.within && pauseSeconds(schedule) > longest)
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
	if (highRespiration === null || schedules.every(({ summary }) => !summary.judged.within)) return [];
	const { factor, holding } = highRespiration;
	if (!(factor > 1)) return [];
	const all = schedules.length;
	const now = schedules.filter(({ summary }) => summary.judged.within).length;
	const names =
		holding.length === all
			? all === 2
				? "both"
				: "all"
			: holding.length <= 3
				? quoted(holding)
				: `${holding.length} of ${all}`;
	const then =
		all === 1
			? `it would ${holding.length === 1 ? "hold even so" : "not hold"}`
			: holding.length === 0
				? "none would hold"
				: holding.length === now
					? `${names} would hold even so`
					: `only ${names} would hold`;
	return [
		`Were respiration at the high end of its range (${Number(factor.toPrecision(2))} × as much), ${then}.`,
	];
}

/** Whether one schedule holds the target, in words. */
export const verdictOfOne = (name: string, summary: Summary, units: UnitSystem): Verdict => ({
	answer: summary.judged.within ? "Yes" : "No",
	grounds: `“${name}” ${summary.judged.within ? "holds" : "misses"} ${targetPhrase(summary)}: ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`,
});

/** By what the winner leaves those behind that need as little air. */
const lowest = ({ judged }: Summary): string =>
	({ peak: "peaks lowest", mean: "has the lowest mean", "worst hour": "has the lowest worst hour" })[
		judged.on
	];

/** The answer to a comparison in words. */
export function verdictOf(comparison: Comparison, units: UnitSystem): Verdict {
	const { schedules, winner, nearest, asThrifty } = comparison;
	const holding = schedules.filter(({ summary }) => summary.judged.within);
	const named = schedules.find(({ name }) => name === (winner ?? nearest)) ?? schedules[0];
	if (named === undefined) return { answer: "No", grounds: "There is no schedule." };
	const { name, summary } = named;
	const more = [...pausesTooLong(comparison), ...atTheHighEnd(comparison)];
	if (schedules.length === 1) return { ...verdictOfOne(name, summary, units), more };
	const target = targetPhrase(summary);
	const zone = zoneName(comparison);
	const figures = `${judgedPhrase(summary)}${zone === null ? "" : ` in the ${zone}`} for ${airPhrase(summary, units)}`;
	if (winner === null)
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
			!asThrifty.includes(other.name) || other.summary.judged.valuePpm > summary.judged.valuePpm + 0.5,
	);
	const best =
		asThrifty.length === 0
			? "needs the least air"
			: `needs the least air, as little as ${quoted(asThrifty)}${lower ? `, and ${lowest(summary)}` : ""}`;
	return { answer: "Yes", grounds: `${who} ${target}. “${name}” ${best}: ${figures}.`, more };
}

/** A run held against the target. */
export interface JudgedRun {
	readonly figures: RunFigures;
	/** The figure that is held against the ceiling [ppm]. */
	readonly valuePpm: number;
	readonly within: boolean;
}

/** Holds the figures of a run against the target that the schedule is judged by. */
export function judgeRun(figures: RunFigures, { judged }: Summary): JudgedRun {
	const { peakPpm, meanPpm, worstHourMeanPpm } = figures;
	const valuePpm = { peak: peakPpm, mean: meanPpm, "worst hour": worstHourMeanPpm }[judged.on];
	return {
		figures,
		valuePpm,
		within: valuePpm <= judged.ceilingPpm && (judged.floorPpm === null || meanPpm >= judged.floorPpm),
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
export function verdictOfRun(comparison: Comparison, figures: RunFigures, units: UnitSystem): Verdict {
	const { name, summary } = comparison.schedules[0]!;
	const { judged } = summary;
	const run = judgeRun(figures, summary);
	const { durationSeconds, firstAboveSeconds, aboveCeilingPercent, meanPpm } = figures;
	const zone = zoneName(comparison);
	const co2 = zone === null ? "the CO2" : `the CO2 in the ${zone}`;
	const own = judgedPhrase({ ...summary, judged: { ...judged, valuePpm: run.valuePpm } });
	const share = aboveCeilingPercent < 0.1 ? "under 0.1" : aboveCeilingPercent.toFixed(1);
	const crossing =
		firstAboveSeconds === null
			? `stays under the ceiling of ${ppm(judged.ceilingPpm)}`
			: `${firstAboveSeconds === 0 ? "starts above" : "passes"} the ceiling of ${ppm(judged.ceilingPpm)}${
					firstAboveSeconds === 0 ? "" : ` first after ${formatDuration(rounded(firstAboveSeconds))}`
				} and is above it ${share} % of the time`;
	const low = judged.floorPpm !== null && meanPpm < judged.floorPpm;
	const grounds = [
		`In this run of ${formatDuration(durationSeconds)} under “${name}” ${co2} ${crossing}: ${own}.`,
		...(low ? [`Its mean of ${ppm(meanPpm)} is below the floor of ${ppm(judged.floorPpm!)}.`] : []),
		...(judged.on !== "peak" && firstAboveSeconds !== null && run.valuePpm <= judged.ceilingPpm
			? [`The target is on the ${judged.on}, so that is allowed.`]
			: []),
	];
	const long = `${upperFirst(basisWords(summary))}: ${judged.within ? "holds" : "misses"} ${targetPhrase(summary)}, with ${judgedPhrase(summary)} for ${airPhrase(summary, units)}.`;
	return {
		answer: run.within ? "Yes" : "No",
		grounds: grounds.join(" "),
		more: [long, ...pausesTooLong(comparison), ...atTheHighEnd(comparison)],
	};
}

const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Tenths of a second say something only below a minute [s]. */
export const rounded = (seconds: number): number =>
	seconds < 60 ? Math.round(10 * seconds) / 10 : Math.round(seconds);
