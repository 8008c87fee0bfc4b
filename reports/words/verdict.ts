import type { Comparison } from "../../lib/compare/comparison.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { powerOfTen } from "../../lib/power.ts";
import { listLimits, type TargetLimit } from "../../lib/solve/criterion.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { DAY } from "../../lib/time.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { formatPpm, inRow, percentCell, short, whole } from "./format.ts";
import { windowWords } from "./steadystate.ts";

type Criterion = Summary["criterion"];

/** "a peak of 952 ppm" */
export const judgedPhrase = ({ criterion }: Pick<Summary, "criterion">): string =>
	`a ${criterion.statistic} of ${formatPpm(criterion.valuePpm)}`;

/** "the CO₂ peak under the 1000 ppm ceiling", which a schedule keeps or does not keep. */
export const targetPhrase = ({ criterion }: Pick<Summary, "criterion">): string =>
	inRow([airTarget({ criterion }), ...humidityTarget(criterion)]);

/** "the lowest humidity above 85 %" */
const humidityTarget = ({ humidity }: Criterion): string[] => {
	if (humidity === undefined) return [];
	const { floorPercent, on, ceilingPercent } = humidity;
	return [
		...(floorPercent === null
			? []
			: [`${on === "trough" ? "the lowest" : "mean"} humidity above ${short(floorPercent)} %`]),
		...(ceilingPercent === null ? [] : [`the highest humidity under ${short(ceilingPercent)} %`]),
	];
};

const airTarget = ({ criterion }: Pick<Summary, "criterion">): string => {
	const { statistic, ceilingPpm, floorPpm } = criterion;
	if (criterion.floorStatistic !== undefined || criterion.further !== undefined)
		return inRow(listLimits(criterion).map(limitPhrase));
	if (floorPpm !== null) return `CO₂ in the band of ${Math.round(floorPpm)} to ${formatPpm(ceilingPpm)}`;
	const judged = { peak: "the CO₂ peak", mean: "mean CO₂", "worst hour": "CO₂ in the worst hour" }[statistic];
	return `${judged} under the ${formatPpm(ceilingPpm)} ceiling`;
};

/** "the trough above 700 ppm" */
const limitPhrase = ({ side, statistic, ppm }: TargetLimit): string =>
	`the ${statistic} ${side === "ceiling" ? "under" : "above"} ${formatPpm(ppm)}`;

/** "keeps the CO₂ peak under the 1000 ppm ceiling: 952 ppm" */
export const keepsTarget = (criterion: Criterion): string => {
	const keeps = criterion.isMet ? "keeps" : "does not keep";
	return `${keeps} ${targetPhrase({ criterion })}: ${judgedValue(criterion)}`;
};

/** The value alone where the target names its statistic. */
const judgedValue = (criterion: Criterion): string => {
	const { humidity } = criterion;
	return [
		criterion.floorPpm === null ? formatPpm(criterion.valuePpm) : judgedPhrase({ criterion }),
		...(humidity === undefined
			? []
			: [
					`${[
						...(humidity.floorPercent === null ? [] : [percentCell(humidity.valuePercent)]),
						...(humidity.ceilingPercent === null ? [] : [percentCell(humidity.highestPercent)]),
					].join(" to ")} humidity`,
				]),
	].join(" and ");
};

export const airPhrase = (summary: Summary, units: UnitSystem): string =>
	`${formatQuantity(summary.freshAirM3PerDay, "volume", units)} of fresh air per day`;

/** An answer, the sentence that gives its grounds, and what else a reader should know at once. */
export interface Verdict {
	readonly answer: "Yes" | "Likely" | "Even chance" | "Unlikely" | "No";
	readonly grounds: string;
	readonly more?: readonly string[];
}

/** The verdict as one paragraph. */
export const inOneBreath = ({ answer, grounds, more = [] }: Verdict): string =>
	[`${answer}.`, grounds, ...more].join(" ");

const quoted = (names: readonly string[]): string => inRow(names.map((name) => `“${name}”`));

/** Zone of the crop, where a model has two: `stagnant zone`; null where there is but one. */
export const cropZoneName = ({ model, schedules }: Comparison): string | null =>
	(model.stagnantFraction ?? 0) > 0 ? `${schedules[0]?.summary.zone ?? "mixed"} zone` : null;

/** Factor by which CO₂ output can grow, never rounded up: `× 1.84`. */
export const headroomText = (headroom: number | null): string => {
	if (headroom === null) return "–";
	if (headroom <= 0) return "none";
	const digits = headroom < 10 ? 2 : headroom < 100 ? 1 : 0;
	return `× ${(Math.floor(headroom * powerOfTen(digits) * (1 + 1e-12)) / powerOfTen(digits)).toFixed(digits)}`;
};

export const HEADROOM_NOTE =
	"Headroom is the factor by which CO₂ output can grow before the judged value passes the ceiling. Below 1, it is above the ceiling now.";

/** An off-time in whole seconds, never rounded up. */
const offTimeText = (seconds: number): string =>
	formatDuration(seconds < 60 ? Math.floor(10 * seconds) / 10 : Math.floor(seconds));

export const maxOffTimeWords = (seconds: number | null): string =>
	seconds === null
		? "Leakage alone keeps CO₂ under the ceiling, so no off-time is too long."
		: seconds === 0
			? "With any fan, no off-time is short enough."
			: `With any fan, the longest possible off-time in this chamber is ${offTimeText(seconds)}.`;

/** The longest off-time that a schedule states [s]; 0 where it states none. */
function longestOffSeconds(schedule: Schedule): number {
	switch (schedule.kind) {
		case "cycle":
			return schedule.onSeconds === 0 ? Number.POSITIVE_INFINITY : schedule.offSeconds;
		case "daily":
			return Math.max(...schedule.parts.map((part) => longestOffSeconds(part.schedule)));
		case "off":
			return Number.POSITIVE_INFINITY;
		default:
			return 0;
	}
}

export const intakeAboveCeiling = (intakePpm: number, ceilingPpm: number): string =>
	`The intake air has ${formatPpm(intakePpm)} and the ceiling is ${formatPpm(ceilingPpm)}, so no schedule meets the target. Draw in fresher air, or raise the ceiling.`;

/** Which schedules miss the target because their off-time is too long for any fan, or why all do. */
export function offTimeWarnings({ schedules, maxOffSeconds, model, scenario }: Comparison): string[] {
	if (maxOffSeconds === null) return [];
	const ceilingPpm = scenario.target.ceiling.value;
	if (model.intakePpm >= ceilingPpm) return [intakeAboveCeiling(model.intakePpm, ceilingPpm)];
	const tooLong = schedules
		.filter(
			({ schedule, summary }) => !summary.criterion.isMet && longestOffSeconds(schedule) > maxOffSeconds,
		)
		.map(({ name, schedule }) => ({ name, seconds: longestOffSeconds(schedule) }));
	if (tooLong.length === 0) return [];
	const each = tooLong.map(({ name, seconds }) =>
		seconds === Number.POSITIVE_INFINITY
			? `“${name}” never runs the fan`
			: `“${name}” has an off-time of ${formatDuration(seconds)}`,
	);
	const found = each.length <= 3 ? inRow(each) : `${each.length} schedules have too long an off-time`;
	return [`${found}. ${maxOffTimeWords(maxOffSeconds)}`];
}

/** What becomes of the verdict at the high end of the range of respiration. */
export function highRespirationWords({ schedules, highRespiration }: Comparison): string[] {
	const metNow = schedules.filter(({ summary }) => summary.criterion.isMet).length;
	if (highRespiration === null || metNow === 0 || !(highRespiration.factor > 1)) return [];
	const { factor, compliant } = highRespiration;
	const [all, left] = [schedules.length, compliant.length];
	const meet = left === 1 ? "meets" : "meet";
	const names =
		left === all ? (all === 2 ? "both" : `all ${all}`) : left <= 3 ? quoted(compliant) : `${left} of ${all}`;
	const then =
		all === 1
			? left === 1
				? "it still meets the target"
				: "it does not meet the target"
			: left === 0
				? "no schedule meets the target"
				: left === metNow
					? `${names} still ${meet} the target`
					: `only ${names} ${meet} the target`;
	return [
		`If respiration is at the high end of its range (${Number(factor.toPrecision(factor < 1.1 ? 3 : 2))} times the central value), ${then}.`,
	];
}

/** Whether one schedule meets the target. */
const verdictOfOne = (name: string, summary: Summary, units: UnitSystem): Verdict => ({
	answer: summary.criterion.isMet ? "Yes" : "No",
	grounds: `“${name}” ${keepsTarget(summary.criterion)}, with ${airPhrase(summary, units)}.`,
});

/** What sets the best schedule apart from those that need the same air. */
const lowest = ({ criterion }: Summary): string =>
	({ peak: "the lowest peak", mean: "the lowest mean", "worst hour": "the lowest worst hour" })[
		criterion.statistic
	];

/** The answer to a comparison in words. */
export function verdictOf(comparison: Comparison, units: UnitSystem): Verdict {
	const { schedules, best, closest, ties } = comparison;
	const compliant = schedules.filter(({ summary }) => summary.criterion.isMet);
	const named = schedules.find(({ name }) => name === (best ?? closest)) ?? schedules[0];
	if (named === undefined) return { answer: "No", grounds: "There is no schedule." };
	const { name, summary } = named;
	const more = [...offTimeWarnings(comparison), ...highRespirationWords(comparison)];
	if (schedules.length === 1) return { ...verdictOfOne(name, summary, units), more };
	const target = targetPhrase(summary);
	const zone = cropZoneName(comparison);
	const values = `${judgedValue(summary.criterion)}${zone === null ? "" : ` in the ${zone}`}, with ${airPhrase(summary, units)}`;
	if (best === null)
		return {
			answer: "No",
			grounds: `None of the ${schedules.length} schedules keeps ${target}. The closest is “${name}”: ${values}.`,
			more,
		};
	if (compliant.length === 1)
		return { answer: "Yes", grounds: `Only “${name}” keeps ${target}: ${values}.`, more };
	const who =
		compliant.length < schedules.length
			? `${compliant.length} of ${schedules.length} schedules keep`
			: schedules.length === 2
				? "Both schedules keep"
				: `All ${schedules.length} schedules keep`;
	const isLower = schedules.every(
		(other) =>
			!ties.includes(other.name) || other.summary.criterion.valuePpm > summary.criterion.valuePpm + 0.5,
	);
	const why =
		ties.length === 0
			? "needs the least air"
			: `needs the least air, the same as ${quoted(ties)}${isLower ? `, and has ${lowest(summary)}` : ""}`;
	return { answer: "Yes", grounds: `${who} ${target}. “${name}” ${why}: ${values}.`, more };
}

/** What the values of a summary describe: the settled pattern, or a day of a run. */
export const basisWords = ({ basis, noPeriodicState, windowFromSeconds, windowSeconds }: Summary): string => {
	if (basis === "periodic") return "the settled pattern, which repeats and no longer depends on the start";
	const { isPeakDay = false, shiftSeconds = null } = noPeriodicState ?? {};
	const window = windowWords({ windowFromSeconds, windowSeconds, isPeakDay, shiftSeconds });
	return windowSeconds < DAY ? `${window} of a run` : window.replace(/^(day \d+)/, "$1 of a run");
};

/** The same in short, for a table. */
export const basisShort = ({ basis, noPeriodicState, windowFromSeconds, windowSeconds }: Summary): string =>
	basis === "periodic"
		? "the settled pattern"
		: noPeriodicState?.shiftSeconds != null
			? "the worst timing"
			: windowSeconds < DAY
				? `the first ${formatDuration(windowSeconds)}`
				: `day ${Math.floor(windowFromSeconds / DAY) + 1} of a run`;

/** `66 below`, `340 above`, `12 below the floor`. */
export const marginText = (
	{ ceilingPpm, floorPpm }: Summary["criterion"],
	valuePpm: number,
	meanPpm: number,
): string => {
	const over = valuePpm - ceilingPpm;
	if (over > 0) return `${over < 0.5 ? "< 1" : whole(over)} above`;
	if (floorPpm !== null && meanPpm < floorPpm) return `${whole(floorPpm - meanPpm)} below the floor`;
	return `${whole(-over)} below`;
};
