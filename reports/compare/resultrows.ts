import type { Comparison } from "../../lib/compare/compare.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import type { ConcentrationStats } from "../../lib/solve/propagate/solutionsegment.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import type { EvaluatedRun } from "../words/runverdict.ts";
import { headroomText, roundDuration } from "../words/verdict.ts";
import { marginText, orNone, percentCell, short, whole, yesNo } from "./cells.ts";

/** A row of the table of results. */
export interface Row {
	readonly label: string;
	readonly unit: string;
	readonly cell: (summary: Summary) => string;
	/** The same of a run, where a run has it. */
	readonly ofRun?: (run: EvaluatedRun) => string;
}
export interface RowGroup {
	readonly heading: string;
	readonly rows: readonly Row[];
}

const fourStats = (
	pick: (summary: Summary) => ConcentrationStats | null,
	pickOfRun: (run: EvaluatedRun) => ConcentrationStats | null,
): Row[] =>
	(["peak", "mean", "trough", "ripple"] as const).map((figure) => {
		const show = (figures: ConcentrationStats | null) => orNone(figures, (f) => whole(f[`${figure}Ppm`]));
		return {
			label: figure,
			unit: "ppm",
			cell: (summary) => show(pick(summary)),
			ofRun: (run) => show(pickOfRun(run)),
		};
	});

/** All rows, by what they are about. */
export const resultGroups = (
	{ schedules, model }: Comparison,
	zone: string | null,
	units: UnitSystem,
): RowGroup[] => {
	const summaries = schedules.map(({ summary }) => summary);
	const criterion = summaries[0]?.criterion;
	const sensed = zone === null ? "" : `, in the ${model.sensorZone ?? "mixed"} zone`;
	return [
		{
			heading: zone === null ? "CO₂ at the crop" : `CO₂ where the crop stands: ${zone}`,
			rows: [
				...fourStats(
					(s) => s,
					({ stats }) => stats,
				),
				{
					label: "worst hour, mean",
					unit: "ppm",
					cell: (s) => whole(s.maxHourlyMeanPpm),
					ofRun: ({ stats }) => whole(stats.maxHourlyMeanPpm),
				},
			],
		},
		...(summaries.some((s) => s.sensor !== null)
			? [
					{
						heading: `As the sensor shows it${sensed}`,
						rows: fourStats(
							(s) => s.sensor,
							({ stats }) => stats.sensor,
						),
					},
				]
			: []),
		{
			heading: "Against the target",
			rows: [
				{
					label: "meets the target",
					unit: "",
					cell: (s) => yesNo(s.criterion.isMet),
					ofRun: ({ isMet }) => yesNo(isMet),
				},
				{
					label: `margin of the ${criterion?.statistic ?? "peak"} to the ceiling`,
					unit: "ppm",
					cell: (s) => marginText(s.criterion, s.criterion.valuePpm, s.meanPpm),
					...(criterion === undefined
						? {}
						: { ofRun: ({ valuePpm, stats }) => marginText(criterion, valuePpm, stats.meanPpm) }),
				},
				{
					label: "headroom",
					unit: "in CO₂ output",
					cell: (s) => headroomText(s.criterion.headroomFactor).replace(" ", "\u00a0"),
				},
				{
					label: "above the ceiling",
					unit: "per hour",
					cell: (s) => formatDuration(roundDuration(s.exceedanceSecondsPerHour)),
					ofRun: ({ stats }) => formatDuration(roundDuration(36 * stats.exceedancePercent)),
				},
				{
					label: "above the ceiling",
					unit: "of the time",
					cell: (s) => percentCell(s.exceedancePercent),
					ofRun: ({ stats }) => percentCell(stats.exceedancePercent),
				},
				...(summaries.some((s) => s.belowFloorPercent !== null)
					? [
							{
								label: "below the floor",
								unit: "per hour",
								cell: (s: Summary) =>
									orNone(s.belowFloorSecondsPerHour, (x) => formatDuration(roundDuration(x))),
							},
							{
								label: "below the floor",
								unit: "of the time",
								cell: (s: Summary) => orNone(s.belowFloorPercent, percentCell),
							},
						]
					: []),
				{
					label: "first time above the ceiling",
					unit: "from the start",
					cell: (s) => orNone(s.firstExceedanceSeconds, (x) => formatDuration(roundDuration(x)), "never"),
				},
				{
					label: "time to settle",
					unit: "from the start",
					cell: (s) => orNone(s.settlingSeconds, (x) => formatDuration(roundDuration(x)), "never"),
				},
			],
		},
		{
			heading: "Air exchange",
			rows: [
				{
					label: "fresh air",
					unit: "per day",
					cell: (s) => formatQuantity(s.freshAirM3PerDay, "volume", units),
				},
				{
					label: "leakage",
					unit: "per day",
					cell: (s) => formatQuantity(s.infiltrationM3PerDay, "volume", units),
				},
				{ label: "bursts", unit: "per day", cell: (s) => burstCount(s.burstsPerDay) },
				{ label: "air changes", unit: "per burst", cell: (s) => orNone(s.airChangesPerBurst, short) },
				{
					label: "air replaced",
					unit: "per burst",
					cell: (s) => orNone(s.replacedFraction, (x) => percentCell(100 * x)),
				},
				{ label: "air changes", unit: "per hour", cell: (s) => short(s.airChangesPerHour) },
			],
		},
	];
};
