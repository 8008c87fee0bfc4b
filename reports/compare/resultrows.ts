import type { Comparison } from "../../lib/compare/comparison.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import type { ConcentrationStats } from "../../lib/solve/propagate/solutionsegment.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import type { ValueRow } from "../page/table.ts";
import { formatTime, orNone, percentCell, short, whole, yesNo } from "../words/format.ts";
import type { EvaluatedRun } from "../words/runverdict.ts";
import { headroomText, marginText } from "../words/verdict.ts";

/** A row of the table of results. */
export interface SummaryRow extends ValueRow {
	readonly cell: (summary: Summary) => string;
	/** The same of a run, where a run has it. */
	readonly ofRun: (run: EvaluatedRun) => string;
}

const row = (
	label: string,
	unit: string,
	cell: (summary: Summary) => string,
	ofRun: (run: EvaluatedRun) => string = () => "–",
): SummaryRow => ({ label, unit, cell, ofRun });

const fourStats = (
	pick: (source: Summary | EvaluatedRun["stats"]) => ConcentrationStats | null,
): SummaryRow[] =>
	(["peak", "mean", "trough", "ripple"] as const).map((statistic) => {
		const show = (source: Summary | EvaluatedRun["stats"]) =>
			orNone(pick(source), (stats) => whole(stats[`${statistic}Ppm`]));
		return row(statistic, "ppm", show, ({ stats }) => show(stats));
	});

/** All rows, by what they are about. */
export function resultGroups(
	{ schedules, model }: Comparison,
	zone: string | null,
	units: UnitSystem,
): readonly { readonly heading: string; readonly rows: readonly SummaryRow[] }[] {
	const summaries = schedules.map(({ summary }) => summary);
	const { criterion } = summaries[0]!;
	const volume = (m3: number) => formatQuantity(m3, "volume", units);
	return [
		{
			heading: zone === null ? "CO₂ at the crop" : `CO₂ where the crop stands: ${zone}`,
			rows: [
				...fourStats((source) => source),
				row(
					"worst hour, mean",
					"ppm",
					(s) => whole(s.maxHourlyMeanPpm),
					({ stats }) => whole(stats.maxHourlyMeanPpm),
				),
			],
		},
		...(summaries.every((s) => s.sensor === null)
			? []
			: [
					{
						heading: `As the sensor shows it${zone === null ? "" : `, in the ${model.sensorZone ?? "mixed"} zone`}`,
						rows: fourStats(({ sensor }) => sensor),
					},
				]),
		{
			heading: "Against the target",
			rows: [
				row(
					"meets the target",
					"",
					(s) => yesNo(s.criterion.isMet),
					({ isMet }) => yesNo(isMet),
				),
				row(
					`margin of the ${criterion.statistic} to the ceiling`,
					"ppm",
					(s) => marginText(s.criterion, s.criterion.valuePpm, s.meanPpm),
					({ valuePpm, stats }) => marginText(criterion, valuePpm, stats.meanPpm),
				),
				row("headroom", "in CO₂ output", (s) =>
					headroomText(s.criterion.headroomFactor).replace(" ", "\u00a0"),
				),
				row(
					"above the ceiling",
					"per hour",
					(s) => formatTime(s.exceedanceSecondsPerHour),
					({ stats }) => formatTime(36 * stats.exceedancePercent),
				),
				row(
					"above the ceiling",
					"of the time",
					(s) => percentCell(s.exceedancePercent),
					({ stats }) => percentCell(stats.exceedancePercent),
				),
				...(summaries.every((s) => s.belowFloorPercent === null)
					? []
					: [
							row("below the floor", "per hour", (s) => orNone(s.belowFloorSecondsPerHour, formatTime)),
							row("below the floor", "of the time", (s) => orNone(s.belowFloorPercent, percentCell)),
						]),
				row("first time above the ceiling", "from the start", (s) =>
					orNone(s.firstExceedanceSeconds, formatTime, "never"),
				),
				row("time to settle", "from the start", (s) => orNone(s.settlingSeconds, formatTime, "never")),
			],
		},
		{
			heading: "Air exchange",
			rows: [
				row("fresh air", "per day", (s) => volume(s.freshAirM3PerDay)),
				row("leakage", "per day", (s) => volume(s.infiltrationM3PerDay)),
				row("bursts", "per day", (s) => burstCount(s.burstsPerDay)),
				row("air changes", "per burst", (s) => orNone(s.airChangesPerBurst, short)),
				row("air replaced", "per burst", (s) => orNone(s.replacedFraction, (x) => percentCell(100 * x))),
				row("air changes", "per hour", (s) => short(s.airChangesPerHour)),
			],
		},
	];
}
