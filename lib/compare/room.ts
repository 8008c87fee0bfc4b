import { buildModel, peopleM3PerS } from "../model/build.ts";
import { chamberZones } from "../model/chamberzones.ts";
import { presence, type Room, ventilationM3PerS } from "../model/roomair.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import { dutyCycle, makeTimeline } from "../model/schedule/timeline.ts";
import { type Actuator, type Flow, OUTDOORS, type ZoneModel } from "../model/zones.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { meanDeliveredM3PerS } from "../solve/continuous.ts";
import type { SolutionSegment } from "../solve/propagate/solutionsegment.ts";
import { solveZones, type ZoneSolution } from "../solve/zones/periodiczones.ts";
import { DAY, HOUR } from "../time.ts";

/** What could be done about the air of a room. */
export type RoomMeasure =
	| "as it is"
	| "staggered"
	| "all at once"
	| "exhaust outdoors"
	| "exhaust inside"
	| "twice the ventilation";

/** The air of a room and of its chambers, with everything that they do to each other. */
export interface RoomOutcome {
	readonly measure: RoomMeasure;
	readonly basis: ZoneSolution["basis"];
	/** [ppm] */
	readonly roomMeanPpm: number;
	readonly roomPeakPpm: number;
	readonly roomRipplePpm: number;
	/** Of the chamber with the highest peak [ppm]. */
	readonly chamberPeakPpm: number;
	readonly chamberMeanPpm: number;
	/** Highest mean of the room over any 8 h and any 15 min [ppm], which people are exposed to. */
	readonly highest8HoursPpm: number;
	readonly highest15MinutesPpm: number;
	/** Means by hour of the day [ppm], where anything changes through the day; else null. */
	readonly byHour: readonly { readonly roomPpm: number; readonly chamberPpm: number }[] | null;
}

/** One schedule in a room. */
export interface RoomComparison {
	readonly name: string;
	/** As the file has it, then what each measure alone would bring. */
	readonly outcomes: readonly RoomOutcome[];
}

/** Each schedule of a scenario whose chambers stand in a room; null where the scenario has none. */
export function compareRooms(scenario: Scenario): readonly RoomComparison[] | null {
	const { room } = scenario.intake;
	if (room === null) return null;
	const measures: readonly (readonly [RoomMeasure, Room])[] = [
		["as it is", room],
		...(room.chambers > 1
			? [
					[
						room.isStaggered ? "all at once" : "staggered",
						{ ...room, isStaggered: !room.isStaggered },
					] as const,
				]
			: []),
		[
			room.exhaust === "inside" ? "exhaust outdoors" : "exhaust inside",
			{ ...room, exhaust: room.exhaust === "inside" ? "outdoors" : "inside" },
		],
		[
			"twice the ventilation",
			{ ...room, ventilation: { ...room.ventilation, value: 2 * room.ventilation.value } },
		],
	];
	return scenario.schedules.map(({ name, schedule }) => ({
		name,
		outcomes: measures.map(([measure, changed]) => evaluateRoom(scenario, changed, schedule, measure)),
	}));
}

/** By how much chambers that take turns are apart is shared out over this: the longest cycle of the schedule [s]. */
function turnSeconds(schedule: Schedule): number {
	if (schedule.kind !== "daily") return makeTimeline(schedule).periodSeconds ?? DAY;
	return Math.max(
		0,
		...schedule.parts.map(({ schedule: part }) =>
			part.kind === "cycle" ? part.onSeconds + part.offSeconds : 0,
		),
	);
}

/**
 * Room and chambers as zones. Chambers that do everything at once are one of their volume; a crop that varies gives off its mean, and a fan that
 * takes time to change speed moves the same air at once: what the room sees of either is the same.
 */
function roomZones(scenario: Scenario, room: Room, schedule: Schedule): ZoneModel {
	const { source: _, startPpm: __, intakeExcess: ___, ...moving } = buildModel(scenario);
	const { spinUpTauSeconds: ____, coastDownTauSeconds: _____, ...still } = moving;
	const duty = dutyCycle(schedule);
	const full = duty > 0 ? meanDeliveredM3PerS(moving, schedule) / duty : still.deliveredM3PerS;
	const model = { ...still, deliveredM3PerS: full };
	const turn = turnSeconds(schedule);
	const isOne = !room.isStaggered || room.chambers === 1;
	const to = room.exhaust === "inside" ? "room" : OUTDOORS;
	const parts = Array.from({ length: isOne ? 1 : room.chambers }, (_, i) =>
		chamberZones(model, {
			name: `chamber ${i + 1}`,
			schedule,
			phaseSeconds: isOne ? 0 : (i * turn) / room.chambers,
			from: "room",
			to,
			count: isOne ? room.chambers : 1,
		}),
	);
	const fresh = ventilationM3PerS(room);
	const people = peopleM3PerS(scenario).map((m3PerS, i) => ({ m3PerS, name: `people ${i + 1}` }));
	const presences: Actuator[] = people.map(({ name }, i) => ({ name, schedule: presence(room.people[i]!) }));
	return {
		zones: [{ name: "room", volumeM3: room.volume.value }, ...parts.flatMap(({ zones }) => zones)],
		flows: [
			{ from: OUTDOORS, to: "room", m3PerS: fresh },
			{ from: "room", to: OUTDOORS, m3PerS: fresh },
			...parts.flatMap(({ flows, actuators }): Flow[] => [
				...flows,
				// What the fans blow outdoors, the room draws in besides.
				...(to === OUTDOORS
					? flows
							.filter((flow) => flow.to === OUTDOORS && flow.by === actuators[0]!.name)
							.map(({ m3PerS, by }) => ({ from: OUTDOORS, to: "room", m3PerS, by: by! }))
					: []),
			]),
		],
		actuators: [...presences, ...parts.flatMap(({ actuators }) => actuators)],
		sources: [
			...people.map(({ name, m3PerS }) => ({ zone: "room", perS: 1e6 * m3PerS, by: name })),
			...parts.flatMap(({ sources }) => sources),
		],
		outdoor: room.outdoorCo2.value,
	};
}

function evaluateRoom(scenario: Scenario, room: Room, schedule: Schedule, measure: RoomMeasure): RoomOutcome {
	const model = roomZones(scenario, room, schedule);
	const means = makeWindowMeans();
	const { levels, basis, windowSeconds } = solveZones(model, 4 * DAY, means.add);
	const chambers = Object.entries(levels).filter(([name]) => name.startsWith("chamber"));
	const [, worst] = chambers.reduce((a, b) => (b[1].peakPpm > a[1].peakPpm ? b : a));
	const inside = levels.room!;
	const isDaily = room.people.length > 0 || schedule.kind === "daily";
	return {
		measure,
		basis,
		roomMeanPpm: inside.meanPpm,
		roomPeakPpm: inside.peakPpm,
		roomRipplePpm: inside.ripplePpm,
		chamberPeakPpm: worst.peakPpm,
		chamberMeanPpm: worst.meanPpm,
		highest8HoursPpm: means.highest(8 * HOUR, windowSeconds) ?? inside.meanPpm,
		highest15MinutesPpm: means.highest(HOUR / 4, windowSeconds) ?? inside.peakPpm,
		byHour: isDaily ? means.byHour(windowSeconds) : null,
	};
}

/** Grid on which means over windows are looked for [s]. */
const GRID_SECONDS = 60;

/** Integrals of the room and of the first chamber on a grid of minutes, from which means over windows follow. */
function makeWindowMeans() {
	const integrals: number[][] = [[0], [0]];
	let from = Number.NaN;
	const sums = [0, 0];
	return {
		add(solution: SolutionSegment) {
			if (Number.isNaN(from)) from = solution.startSeconds;
			const end = solution.startSeconds + solution.durationSeconds - from;
			for (const i of [0, 1]) {
				const list = integrals[i]!;
				while (list.length * GRID_SECONDS <= end + 1e-6)
					list.push(
						sums[i]! +
							solution.integralTo(
								i,
								Math.min(list.length * GRID_SECONDS + from - solution.startSeconds, solution.durationSeconds),
							),
					);
				sums[i]! += solution.integralTo(i, solution.durationSeconds);
			}
		},
		/** Highest mean of the room over a window, of a pattern that repeats; null where the window has no grid. */
		highest(seconds: number, windowSeconds: number): number | null {
			const list = integrals[0]!;
			const steps = seconds / GRID_SECONDS;
			const whole = Math.round(windowSeconds / GRID_SECONDS);
			// A pattern shorter than the window has its own mean over it, but for what is left over.
			if (windowSeconds < 2 * seconds || Math.abs(whole * GRID_SECONDS - windowSeconds) > 1e-6) return null;
			const at = (n: number) => Math.floor(n / whole) * list[whole]! + list[n % whole]!;
			let highest = 0;
			for (let n = 0; n < whole; n++) highest = Math.max(highest, (at(n + steps) - at(n)) / seconds);
			return highest;
		},
		byHour(windowSeconds: number) {
			if (Math.abs(windowSeconds - DAY) > 1e-6) return null;
			const mean = (i: number, hour: number) =>
				(integrals[i]![60 * (hour + 1)]! - integrals[i]![60 * hour]!) / HOUR;
			return Array.from({ length: 24 }, (_, hour) => ({ roomPpm: mean(0, hour), chamberPpm: mean(1, hour) }));
		},
	};
}
