import type { ComparedSchedule, Comparison } from "../../lib/compare/comparison.ts";
import { sampleCurve } from "../../lib/compare/curves.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { cycleDrawings } from "../charts/section/cycle.ts";
import { html } from "../page/html.ts";
import type { Section } from "../page/section.ts";
import { formatTime, percentCell, upperFirst, whole } from "../words/format.ts";
import { spareWords } from "./herodata.ts";

/** What happens between two bursts; null where the schedule has no cycle that repeats alike. */
export function cycleSection(
	{ model }: Comparison,
	{ name, schedule, summary }: ComparedSchedule,
	units: UnitSystem,
): Section | null {
	if (schedule.kind !== "cycle" || schedule.onSeconds === 0 || schedule.offSeconds === 0) return null;
	const { onSeconds, offSeconds } = schedule;
	const period = onSeconds + offSeconds;
	const found = periodicState(model, schedule);
	if (!found.exists || Math.abs(found.periodSeconds - period) > 1e-6 * period) return null;
	const trace = sampleCurve(name, model, schedule, {
		fromSeconds: 0,
		toSeconds: 2.7 * period,
		start: found.start,
	});
	const burstSeconds = trace.bursts.find(({ startSeconds }) => startSeconds > 0.5 * period)!.startSeconds;
	const { peakPpm, meanPpm, troughPpm, criterion, replacedFraction, freshAirM3PerDay, burstsPerDay } =
		summary;
	const { spinUpTauSeconds = 0, coastDownTauSeconds = 0 } = model;
	const moved = `${formatQuantity(freshAirM3PerDay / burstsPerDay, "volume", units)} of air per burst`;
	const lag =
		spinUpTauSeconds > 0 || coastDownTauSeconds > 0
			? ` The fan spins up with a time constant of ${formatTime(spinUpTauSeconds)} and coasts down with ${formatTime(coastDownTauSeconds)}.`
			: "";
	const title = `One cycle of “${name}”`;
	const ripple = whole(peakPpm - troughPpm);
	return {
		id: "cycle",
		heading: title,
		words: "One cycle",
		sentence: `In ${formatDuration(offSeconds)} of pause the CO₂ rises by ${ripple} ppm; a burst of ${formatDuration(onSeconds)} takes that out again.${lag}`,
		body: html`<figure>${cycleDrawings({
			id: "cycle-d",
			title: `${title}, with its measures`,
			desc: `The fan runs ${formatDuration(onSeconds)}: CO₂ falls from ${whole(peakPpm)} to ${whole(troughPpm)} ppm, and climbs back in ${formatDuration(offSeconds)}. ${upperFirst(spareWords(peakPpm, criterion.ceilingPpm))}.`,
			trace,
			fromSeconds: burstSeconds - 0.14 * period,
			burstSeconds,
			onSeconds,
			offSeconds,
			toSeconds: burstSeconds + 1.04 * period,
			model,
			peakPpm,
			meanPpm,
			troughPpm,
			ceilingPpm: criterion.ceilingPpm,
			spare: spareWords(peakPpm, criterion.ceilingPpm),
			replaced: replacedFraction === null ? "" : `a burst replaces ${percentCell(100 * replacedFraction)}`,
			moved,
		})}</figure>`,
	};
}
