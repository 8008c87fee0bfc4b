import type { ComparedSchedule, Comparison } from "../../lib/compare/comparison.ts";
import type { Curve } from "../../lib/compare/curves.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { fullHeightPercent, isDutyStrip } from "../charts/section/fanstrip.ts";
import { extremes, ppmScale, timeScale } from "../charts/section/scale.ts";
import { glyph } from "../charts/section/states.ts";
import { tile } from "../charts/section/tile.ts";
import { type Html, html } from "../page/html.ts";
import { roughTime, whole } from "../words/format.ts";
import { STATE_WORDS, stateOf } from "../words/states.ts";
import { cycleOf, shareWords } from "./herodata.ts";

const TILE = 190;

/** Schedules side by side in small drawings on one scale. */
export function scheduleTiles(
	id: string,
	comparison: Comparison,
	curves: readonly Curve[],
	shown: readonly ComparedSchedule[],
): Html {
	const { model, scenario, schedules } = comparison;
	const of = (schedule: ComparedSchedule): Curve => curves[schedules.indexOf(schedule)]!;
	const windowSeconds = Math.max(...curves.map(({ timesSeconds }) => timesSeconds.at(-1) ?? 0));
	const time = timeScale(0, TILE, 0, windowSeconds);
	const ends = shown.map((schedule) => extremes(of(schedule).co2Ppm));
	const ceilingPpm = scenario.target.ceiling.value;
	const scale = ppmScale(
		{ ceilingPpm, intakePpm: model.intakePpm, levels: ends.flat() },
		{ top: 24, bottom: 150 },
	);
	const fullPercent = fullHeightPercent(
		shown.map((schedule) => of(schedule).bursts),
		time,
	);
	return html`<div class="multi">${shown.map((schedule, place) => {
		const { name, summary, inWords } = schedule;
		const state = stateOf(comparison, schedule);
		const curve = of(schedule);
		const [, peakPpm] = ends[place]!;
		const above = summary.exceedanceSecondsPerHour;
		const isDuty = isDutyStrip(curve.bursts, time);
		return html`<figure>${tile(
			{
				id: `${id}-${place}`,
				title: `${name}: peak ${whole(peakPpm)} ppm, fan on ${shareWords(schedule.schedule)}`,
				trace: curve,
				windowSeconds,
				cycleSeconds: cycleOf(schedule.schedule),
				peakPpm,
				fan: {
					bursts: curve.bursts,
					fullPercent,
					words: isDuty ? `of ${fullPercent} %` : "fan",
					end: formatDuration(windowSeconds),
				},
			},
			scale,
		)}<h3>${name}</h3>${glyph(state, STATE_WORDS[state])}<figcaption>${inWords}. Up to ${whole(summary.peakPpm)} ppm${above > 0 && `, ${roughTime(above)} per hour above the ceiling`}.</figcaption></figure>\n`;
	})}</div>`;
}
