import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";

const parse = (section: string) =>
	parseScenario(
		`chamber: { volume: 180 L }\nfan: { flow: 40 m3/h }\nsubstrate: { mass: 4 kg }\n${section}`,
		"box.yaml",
		{ schedules: "optional" },
	);
/** The only fault of a section, without its place in the file. */
const faultOf = (section: string): string => {
	try {
		parse(section);
	} catch (error) {
		if (error instanceof InputError) return error.message.replace(/^\S+ /, "");
		throw error;
	}
	throw new Error("was accepted");
};

describe("timer and limits", () => {
	it("a timer has three digits, ranges of its own for both periods and an unknown state at power-up by default", () => {
		expect(parse("timer: { ranges: [1..999 s by 1 s] }").timer).toEqual({
			ranges: [{ lowSeconds: 1, highSeconds: 999, stepSeconds: 1, unit: "s" }],
			isShared: false,
			digits: 3,
			powerUp: null,
			type: null,
			voltage: null,
			current: expect.objectContaining({ value: 0.05 }),
			standbyCurrent: expect.objectContaining({ value: 0.02 }),
			contactRating: null,
			resistiveRating: null,
			ratedOperations: null,
		});
	});
	it("a range counts in the unit of its step, tenths of a minute too", () => {
		const { timer } = parse(
			"timer: { ranges: [0.1..99.9 min by 0.1 min, 1..99 h by 1 h, 0.01..9.99 seconds by 0.01 seconds], shared: true, power-up: on }",
		);
		expect(timer?.ranges.map(({ unit, stepSeconds }) => [unit, stepSeconds])).toEqual([
			["min", 6],
			["h", 3600],
			["s", 0.01],
		]);
		expect(timer).toMatchObject({ isShared: true, powerUp: "on" });
	});
	it("a wider display takes longer ranges", () => {
		expect(parse("timer: { ranges: [1..9999 s by 1 s], digits: 4 }").timer?.digits).toBe(4);
	});
	it("there are no limits unless the file has them", () => {
		const none = { burst: null, pause: null, cycle: null, life: null, quiet: null };
		expect(parse("").limits).toEqual(none);
		expect(parse("limits: {}").limits).toEqual(none);
	});
	it("limits know their line and appear among the inputs", () => {
		const scenario = parse(
			'limits: { burst: 3 s, pause: 30 s, cycle: 30 min, life: 18 months, quiet: { from: "22:00", to: "07:00", cycle: 20 min } }',
		);
		const { burst, life, quiet } = scenario.limits;
		expect(burst).toMatchObject({ value: 3, text: "3 s", origin: { kind: "given", line: 4, column: 18 } });
		expect((life?.value ?? 0) / 86_400).toBeCloseTo(18 * 30.44, 9);
		expect(quiet).toMatchObject({ fromSeconds: 79_200, toSeconds: 25_200, cycle: { value: 1200 } });
		const paths = listInputs(scenario).map(({ path }) => path);
		for (const key of ["burst", "pause", "cycle", "life", "quiet.cycle"])
			expect(paths).toContain(`limits.${key}`);
	});
});

describe("a timer", () => {
	const wide = (shown: string, digits: number, display = 3) =>
		`timer.ranges[0]: ${shown} needs ${digits} digits, but the display has ${display}; shorten the range or give "digits"`;
	it.each([
		["ranges: [1..9999 s by 1 s]", wide("9999 s", 4)],
		["ranges: [0.1..100 s by 0.1 s]", wide("100.0 s", 4)],
		["ranges: [0.25..9.75 min by 0.25 min], digits: 2", wide("9.75 min", 3, 2)],
		["ranges: [1..1000 min by 1 min]", wide("1000 min", 4)],
		[
			"ranges: [1..9 s by 2 s]",
			'timer.ranges[0]: must begin at a whole number of steps, got "1..9 s by 2 s"',
		],
		["ranges: [0..0.5 s by 1 s]", 'timer.ranges[0]: must hold at least one step, got "0..0.5 s by 1 s"'],
		["ranges: [1..9 d by 1 d]", 'timer.ranges[0]: must count in s, min or h, got "1..9 d by 1 d"'],
		[
			"ranges: [0..9999 s by 0.001 s], digits: 8",
			'timer.ranges[0]: must have at most 1000000 steps, got "0..9999 s by 0.001 s"',
		],
		["ranges: [1..9999 s by 1 s], digits: 9", "timer.digits: needs a whole number from 1 to 8, got 9"],
		["ranges: [1..9 s by 1 s], digits: 2.5", "timer.digits: needs a whole number from 1 to 8, got 2.5"],
		["ranges: [1..9 s by 1 s], shared: yes", 'timer.shared: needs true or false, got "yes"'],
		["ranges: [1..9 s by 1 s], power-up: maybe", 'timer.power-up: needs "on" or "off", got "maybe"'],
	])("%s", (timer, message) => {
		expect(faultOf(`timer: { ${timer} }`)).toBe(message);
	});
	it("takes a range that just fits, and a display of one digit per decimal", () => {
		const ranges =
			"[1..999 s by 1 s, 0.1..99.9 s by 0.1 s, 17..999 min by 1 min, 0.01..0.99 s by 0.01 s, 0..999 s by 3 s]";
		expect(parse(`timer: { ranges: ${ranges} }`).timer?.ranges).toHaveLength(5);
	});
});

describe("limits that contradict each other", () => {
	it.each([
		[
			"burst: 3 s, pause: 30 s, cycle: 30 s",
			"limits.cycle: is shorter than burst and pause (33 s); no setting can meet it",
		],
		["pause: 1 h, cycle: 30 min", "limits.cycle: is shorter than pause (1 h); no setting can meet it"],
		[
			'cycle: 10 min, quiet: { from: "22:00", to: "07:00", cycle: 20 min }',
			"limits.quiet.cycle: is longer than limits.cycle (10 min); no setting can meet both",
		],
		[
			'quiet: { from: "22:00", to: "22:00", cycle: 20 min }',
			"limits.quiet.to: is the same time as from; quiet hours need an end",
		],
		["burst: 0 s", 'limits.burst: must be above 0 s, got "0 s"'],
		[
			"life: 1..2 years",
			'limits.life: needs a time such as "4 s" or "3 min 56 s", got "1..2 years" (one value, not a range)',
		],
		[
			'quiet: { from: "22:00", cycle: 20 min }',
			'limits.quiet.to: is missing; it needs a time of day such as "07:00"',
		],
	])("%s", (limits, message) => {
		expect(faultOf(`limits: { ${limits} }`)).toBe(message);
	});
	it("burst and pause that fill the longest cycle are sound", () => {
		const { limits } = parse("limits: { burst: 3 s, pause: 27 s, cycle: 30 s }");
		expect(limits.cycle?.value).toBe(30);
	});
});
