import type { ComparedSchedule, Comparison } from "../../lib/compare/comparison.ts";
import { sampleCurve } from "../../lib/compare/curves.ts";
import { sampleHumidity } from "../../lib/compare/humidity.ts";
import { buildHumidity } from "../../lib/model/humidity.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { DAY, HOUR } from "../../lib/time.ts";
import { airAndWaterDrawings } from "../charts/airandwater.ts";
import { html } from "../page/html.ts";
import type { Section } from "../page/section.ts";
import { percentCell, roughTime, whole } from "../words/format.ts";
import { cycleOf } from "./herodata.ts";

/** Cycles that are shown. */
const CYCLES = 3;

/** CO2 and humidity of the settled pattern on one time axis; null where the file asks for no humidity, or CO2 does not settle. */
export function airAndWaterSection(
	{ scenario, model }: Comparison,
	{ name, schedule, summary, water }: ComparedSchedule,
): Section | null {
	const damp = buildHumidity(scenario, model);
	const found = damp === null || water.humidity === null ? null : periodicState(model, schedule);
	if (damp === null || water.humidity === null || found?.exists !== true) return null;
	const { humidity } = water;
	const cycle = cycleOf(schedule);
	// Of a day with other cycles in it, its middle.
	const fromSeconds = schedule.kind === "daily" ? DAY / 2 : 0;
	const seconds = cycle === null ? HOUR : CYCLES * cycle;
	const curve = sampleHumidity(scenario, damp, schedule, fromSeconds + seconds);
	const start = humidity.windowFromSeconds + fromSeconds;
	const air = sampleCurve(name, model, schedule, {
		fromSeconds: start,
		toSeconds: start + seconds,
		start: found.start,
	});
	const title = `CO₂ and humidity under “${name}”`;
	const recovery =
		humidity.recoverySeconds === null
			? "It never reaches the floor."
			: humidity.recoverySeconds === 0
				? "It stays above the floor."
				: `It is under the floor for up to ${roughTime(humidity.recoverySeconds)} without a break.`;
	return {
		id: "airandwater",
		heading: title,
		words: "CO₂ and humidity",
		sentence: `Each burst takes CO₂ and vapour out together: humidity swings from ${percentCell(humidity.lowestPercent)} to ${percentCell(humidity.highestPercent)}. ${recovery}`,
		body: html`<figure>${airAndWaterDrawings({
			id: "aw-d",
			title,
			desc: `CO₂ from ${whole(summary.troughPpm)} to ${whole(summary.peakPpm)} ppm, humidity from ${percentCell(humidity.lowestPercent)} to ${percentCell(humidity.highestPercent)}.`,
			co2: air,
			humidity: {
				timesSeconds: curve.timesSeconds.map((t) => t - fromSeconds),
				percent: curve.percent,
			},
			bursts: air.bursts,
			mist:
				scenario.water?.humidifier == null
					? null
					: curve.mist.map(({ startSeconds, endSeconds }) => ({
							startSeconds: startSeconds - fromSeconds,
							endSeconds: endSeconds - fromSeconds,
						})),
			fromSeconds: 0,
			toSeconds: seconds,
			intakePpm: model.intakePpm,
			ceilingPpm: summary.criterion.ceilingPpm,
			floorPercent: humidity.referencePercent,
		})}</figure>`,
	};
}
