import type { Scenario } from "../scenario/scenario.ts";
import { METABOLIC_CO2 } from "../sources/people.ts";
import { DAY, timeOfDay } from "../time.ts";
import { ZERO_CELSIUS } from "./air/gaslaws.ts";
import type { IntakeExcess } from "./chamber.ts";
import type { Schedule } from "./schedule/schedule.ts";

export type Room = NonNullable<Scenario["intake"]["room"]>;

/** Fresh air of a room [m3/s]. */
export const ventilationM3PerS = ({ ventilation, volume }: Room): number =>
	ventilation.dimension === "air changes" ? ventilation.value * volume.value : ventilation.value;

/**
 * CO2 that a person breathes out at room conditions [m3/s]:  V = RQ · BMR · M · (T/p) · 0.000211 L/s   (20)
 * of an adult of 30 to 40 years, 87 kg; a woman gives off about a fifth less.
 */
export function personM3PerS(met: number, celsius: number, pascal: number): number {
	const { respiratoryQuotient, basalMegajoulePerDay, factor } = METABOLIC_CO2;
	const litres =
		respiratoryQuotient * basalMegajoulePerDay * met * ((celsius + ZERO_CELSIUS) / (pascal / 1000)) * factor;
	return litres / 1000;
}

/** When somebody is in the room. */
export const presence = ({ fromSeconds, toSeconds }: Room["people"][number]): Schedule => {
	const parts = [
		{ fromSeconds, schedule: { kind: "continuous" } as const },
		{ fromSeconds: toSeconds, schedule: { kind: "off" } as const },
	];
	return { kind: "daily", parts: parts.sort((a, b) => a.fromSeconds - b.fromSeconds) };
};

/** CO2 of the air that the chambers draw in: its mean, and how it goes through the day where people come and go. */
export interface RoomAir {
	readonly meanPpm: number;
	readonly excess: IntakeExcess | null;
}

/**
 * The air of a room whose chambers give off their mean all the time: what their bursts add to and fro around it is left to the zones of
 * `compareRooms`. With the exhaust inside, their fans change nothing but that,
 *
 *     C = C_out + 1e6 (Σ G + G_people)/Q      (21)
 *
 * and each change of who is there is followed as e^(-Qt/V).
 * @param chambersM3PerS what reaches the room from all chambers [m3/s]
 * @param peopleM3PerS what each of `room.people` gives off [m3/s]
 */
export function roomAir(room: Room, chambersM3PerS: number, peopleM3PerS: readonly number[]): RoomAir {
	const flow = ventilationM3PerS(room);
	const outdoor = room.outdoorCo2.value;
	const given = room.people.map(({ fromSeconds, toSeconds }, i) => ({
		m3PerS: peopleM3PerS[i]!,
		isThere: (at: number) =>
			fromSeconds < toSeconds ? at >= fromSeconds && at < toSeconds : at >= fromSeconds || at < toSeconds,
		share: timeOfDay(toSeconds - fromSeconds) / DAY,
	}));
	const meanPeople = given.reduce((sum, { m3PerS, share }) => sum + m3PerS * share, 0);
	const meanPpm = outdoor + (1e6 * (chambersM3PerS + meanPeople)) / flow;
	if (meanPeople === 0) return { meanPpm, excess: null };
	const switches = [...new Set([0, ...room.people.flatMap((p) => [p.fromSeconds, p.toSeconds])])].sort(
		(a, b) => a - b,
	);
	const rate = flow / room.volume.value;
	const pieces = switches.map((from, i) => {
		const people = given.reduce((sum, { m3PerS, isThere }) => sum + (isThere(from) ? m3PerS : 0), 0);
		return { from, seconds: (switches[i + 1] ?? DAY) - from, goal: (1e6 * (people - meanPeople)) / flow };
	});
	// The day maps the excess x at midnight to a x + b.
	const after = (x: number) =>
		pieces.reduce((at, { goal, seconds }) => goal + (at - goal) * Math.exp(-rate * seconds), x);
	const midnight = after(0) / -Math.expm1(-rate * DAY);
	let level = midnight;
	const starts = pieces.map(({ goal, seconds }) => {
		const start = level;
		level = goal + (level - goal) * Math.exp(-rate * seconds);
		return start;
	});
	return {
		meanPpm,
		excess: {
			ppmAt(time) {
				const at = timeOfDay(time);
				let i = pieces.length - 1;
				while (pieces[i]!.from > at) i--;
				const { goal, from } = pieces[i]!;
				return goal + (starts[i]! - goal) * Math.exp(-rate * (at - from));
			},
			breakpointsSeconds: switches,
			lowestPpm: Math.min(...starts),
			highestPpm: Math.max(...starts),
		},
	};
}
