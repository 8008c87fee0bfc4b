import type { Hero } from "../../charts/section/hero.ts";
import { type Readings, readingsOf } from "../../charts/section/reading.ts";
import { extremes } from "../../charts/section/scale.ts";
import { heroOf } from "../../compare/herodata.ts";
import type { Explored } from "../explored.ts";
import { unrolled } from "../traces.ts";

/** The signs of A and B beside their names, as on the map: filled and open. */
export const SIGNS = ["◆", "◇"] as const;

/** The drawing at the head of the live page: A in ink, B dashed in grey; the sensor's line is that of the one that is moved. */
export function liveHero({ comparison, traces: { traces, windowSeconds }, state }: Explored): Hero {
	const [a, b] = comparison.schedules;
	const pattern = traces.map((trace) => unrolled(trace, windowSeconds));
	const hero = heroOf(comparison, { pattern, range: null }, state.units, [a!, b ?? null]);
	const { timesSeconds, sensorPpm } = pattern[state.activeSchedule]!;
	const signed = <T extends { readonly name: string; readonly inShort: string }>(
		curve: T,
		sign: string,
	): T => ({
		...curve,
		name: `${sign} ${curve.name}`,
		inShort: `${sign} ${curve.inShort}`,
	});
	return {
		...hero,
		windowSeconds,
		subject: signed(hero.subject, SIGNS[0]),
		rival: hero.rival && signed(hero.rival, SIGNS[1]),
		shown: state.isSensorShown && sensorPpm !== null ? { timesSeconds, co2Ppm: sensorPpm } : null,
	};
}

/** Peaks are held on an axis that grows in such steps of the room, so that it stands still under a moving curve. */
const STEP = 0.5;

/** Top of the axis for a hero [ppm], where it stood at `held`: it grows by steps, and shrinks when half of it is empty. */
export function steadyTop({ subject, rival, ceilingPpm, intakePpm }: Hero, held: number): number {
	const room = Math.max(ceilingPpm - intakePpm, 1);
	const highest = Math.max(
		...[subject, rival].flatMap((curve) => (curve === null ? [] : extremes(curve.trace.co2Ppm)[1])),
	);
	const step = (ppm: number): number =>
		Math.max(1, Math.ceil((ppm - ceilingPpm) / (STEP * room))) * STEP * room;
	const needed = ceilingPpm + step(highest);
	const isRoomy = held - intakePpm > 2 * (needed - intakePpm);
	return held >= needed && !isRoomy ? held : needed;
}

/** What the reading line reads. */
export const liveReadings = ({ subject, rival, windowSeconds, isTimeOfDay }: Hero): Readings =>
	readingsOf(windowSeconds, isTimeOfDay, rival === null ? [subject] : [subject, rival]);
