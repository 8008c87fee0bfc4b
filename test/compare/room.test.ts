import { expect, it } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { compareRooms } from "../../lib/compare/room.ts";
import { buildModel, peopleM3PerS } from "../../lib/model/build.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { sinceMidnight } from "../../lib/time.ts";
import { roomSections } from "../../reports/compare/roomsection.ts";
import { exposureWords, roomHours, roomRows } from "../../reports/words/room.ts";

const scenarioOf = (room: string, schedules = "steady: continuous") =>
	parseScenario(
		`chamber: { volume: 200 L, leak: 50 L/h, temperature: 20 C }
intake: { ${room} }
substrate: { species: oyster, mass: 4 kg, rate: 150 mg/(kg h), volume: 10 L }
fan: { flow: 20 m3/h }
target: { ceiling: 1000 ppm }
schedules: { ${schedules} }
`,
		"room.yaml",
	);
const roomOf = (more: string, schedules?: string) =>
	scenarioOf(`room: { volume: 15 m3, ventilation: 1 /h, outdoor: { co2: 420 ppm }${more} }`, schedules);
const cycle = "bursts: { on: 10 s, off: 590 s }";
const outcomesOf = (scenario: ReturnType<typeof roomOf>) => compareRooms(scenario)![0]!.outcomes;
const named = (scenario: ReturnType<typeof roomOf>, measure: string) =>
	outcomesOf(scenario).find((one) => one.measure === measure)!;

it("fans that run all the time give room and chamber the closed form, with the exhaust inside and outdoors", () => {
	const scenario = roomOf(", chambers: 4");
	const [g, q, leak, fresh] = [buildModel(scenario).generationM3PerS, 20 / 3600, 0.05 / 3600, 15 / 3600];
	const rise = (1e6 * g) / (q + leak);
	const inside = 420 + (4e6 * g) / fresh;
	const outdoors = 420 + (4 * leak * rise) / (fresh + 4 * q);
	expect(named(scenario, "as it is").roomMeanPpm).toBeCloseTo(inside, 8);
	expect(named(scenario, "as it is").chamberPeakPpm).toBeCloseTo(inside + rise, 8);
	expect(named(scenario, "exhaust outdoors").roomMeanPpm).toBeCloseTo(outdoors, 8);
	expect(named(scenario, "exhaust outdoors").chamberPeakPpm).toBeCloseTo(outdoors + rise, 8);
	expect(named(scenario, "twice the ventilation").roomMeanPpm).toBeCloseTo(420 + (inside - 420) / 2, 8);
});

it("every command reckons with the mean air of the room, which the schedules do not change and staggering only steadies", () => {
	const scenario = roomOf(", chambers: 4", `${cycle}, often: { on: 2 s, off: 90 s }`);
	const { model, schedules } = compareSchedules(scenario);
	const room = compareRooms(scenario);
	for (const { outcomes } of room!)
		for (const { measure, roomMeanPpm } of outcomes.slice(0, 2))
			expect(roomMeanPpm, measure).toBeCloseTo(model.intakePpm, 8);
	const [once, turns] = room![0]!.outcomes;
	expect(turns!.measure).toBe("staggered");
	expect(turns!.roomRipplePpm).toBeLessThan(once!.roomRipplePpm / 3);
	// The verdict takes the mean air; what the room swings about it moves the peak by no more than that swing.
	for (const [i, { summary }] of schedules.entries()) {
		const { chamberPeakPpm, roomRipplePpm } = room![i]!.outcomes[0]!;
		expect(Math.abs(summary.peakPpm - chamberPeakPpm)).toBeLessThan(roomRipplePpm);
	}
});

it("people who come and go are followed through the day, and past midnight, as small steps follow them", () => {
	const scenario = roomOf(
		', chambers: 2, people: [{ met: 1.6, from: "22:00", to: "02:00", count: 2 }, { from: "23:30", to: "23:45" }]',
		cycle,
	);
	const model = buildModel(scenario);
	const [two, one] = peopleM3PerS(scenario);
	expect(two! / one!).toBeCloseTo((2 * 1.6) / 1.4, 12);
	const hour = (t: number) => (t / 3600) % 24;
	const people = (t: number) =>
		(hour(t) >= 22 || hour(t) < 2 ? two! : 0) + (hour(t) >= 23.5 && hour(t) < 23.75 ? one! : 0);
	let ppm = 420;
	const minutes: number[] = [];
	for (let second = 0; second < 4 * 86_400; second += 5) {
		if (second % 60 === 0 && second >= 3 * 86_400) minutes.push(ppm);
		// The middle of a step serves, for nobody comes or goes within one.
		const goal = 420 + (1e6 * (2 * model.generationM3PerS + people(second + 2.5))) / (15 / 3600);
		ppm = goal + (ppm - goal) * Math.exp(-5 / 3600);
	}
	for (let minute = 0; minute < 1440; minute += 7)
		expect(model.intakePpm + model.intakeExcess!.ppmAt(sinceMidnight(minute * 60))).toBeCloseTo(
			minutes[minute]!,
			6,
		);
	expect(model.intakePpm + model.intakeExcess!.highestPpm).toBeCloseTo(Math.max(...minutes), 6);
	const outcome = named(scenario, "as it is");
	const mean8 = (from: number) =>
		Array.from({ length: 480 }, (_, i) => minutes[(from + i) % 1440]!).reduce((a, b) => a + b, 0) / 480;
	const highest = Math.max(...minutes.map((_, i) => mean8(i)));
	expect(Math.abs(outcome.highest8HoursPpm / highest - 1)).toBeLessThan(0.003);
	expect(outcome.byHour).toHaveLength(24);
	expect(outcome.byHour![1]!.roomPpm).toBeGreaterThan(outcome.byHour![20]!.roomPpm + 300);
	expect(outcome.highest15MinutesPpm).toBeLessThanOrEqual(outcome.roomPeakPpm);
	expect(outcome.highest15MinutesPpm).toBeGreaterThan(outcome.highest8HoursPpm);
});

it("a fan that takes time to change speed gives the room the same air", () => {
	const slow = roomOf(", chambers: 2", cycle);
	const text = slow.text.replace("flow: 20 m3/h", "flow: 20 m3/h, spin-up: 2 s, coast-down: 3 s");
	const scenario = parseScenario(text, "slow.yaml");
	const { schedules } = compareSchedules(scenario);
	const room = compareRooms(scenario);
	expect(Math.abs(room![0]!.outcomes[0]!.chamberMeanPpm - schedules[0]!.summary.meanPpm)).toBeLessThan(
		room![0]!.outcomes[0]!.roomRipplePpm + 5,
	);
});

it("a room beside co2, a time that does not pass, and other keys are refused; without a room nothing changes", () => {
	expect(() => scenarioOf("co2: 500 ppm, room: { volume: 15 m3, ventilation: 15 m3/h }")).toThrow(
		/intake.room: conflicts with co2/,
	);
	expect(() => roomOf(', people: [{ from: "09:00", to: "09:00" }]')).toThrow(/another time/);
	expect(() => roomOf(", exhaust: up")).toThrow(/room.exhaust/);
	expect(() => roomOf(", people: two")).toThrow(/needs a list/);
	expect(() => roomOf(", chambers: 0")).toThrow(/whole number from 1/);
	const scenario = scenarioOf("co2: 420 ppm");
	expect(compareRooms(scenario)).toBeNull();
	expect(buildModel(scenario).intakePpm).toBe(420);
});

it("lines and sentences say what the room comes to, and warn where it is over a limit at work", () => {
	const scenario = roomOf(", chambers: 2", cycle);
	const calm = compareRooms(scenario)!;
	expect(roomRows(calm[0]!).map(([name]) => name)).toEqual([
		"as in the file",
		"fans staggered",
		"exhaust ducted outdoors",
		"twice the ventilation",
	]);
	expect(roomHours(calm[0]!)).toEqual([]);
	expect(exposureWords(calm)).not.toContain("over them");
	expect(roomSections(scenario)).toHaveLength(1);
	expect(roomSections(scenarioOf("co2: 420 ppm"))).toEqual([]);
	const crowded = compareRooms(
		roomOf(', people: [{ met: 3, from: "08:00", to: "18:00", count: 4 }]', cycle),
	)!;
	expect(exposureWords(crowded)).toContain("over them");
	expect(roomHours(crowded[0]!)).toHaveLength(24);
});
