import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";

const faultsOf = (text: string, readText?: (path: string) => string | undefined): string[] => {
	try {
		parseScenario(text, "cabinet.yaml", readText === undefined ? {} : { readText });
	} catch (error) {
		if (error instanceof InputError) return error.message.split("\n");
		throw error;
	}
	throw new Error("was accepted");
};

const lines = {
	name: "name: Test",
	chamber: "chamber: { volume: 180 L }",
	intake: "intake: { co2: 430 ppm }",
	substrate: "substrate: { mass: 4 kg }",
	fan: "fan: { flow: 40 m3/h }",
	target: "target: { ceiling: 1000 ppm }",
	schedules: "schedules: { a: { on: 4 s, off: 236 s } }",
};
/** A sound scenario with some of its lines replaced; each section stands on the line of its place above. */
const scenario = (changes: Partial<typeof lines>): string =>
	Object.values({ ...lines, ...changes }).join("\n");
const one = (changes: Partial<typeof lines>): string => {
	const faults = faultsOf(scenario(changes));
	expect(faults).toHaveLength(1);
	return faults[0] ?? "";
};

it("the sound scenario is sound", () => {
	expect(parseScenario(scenario({})).chamber.volume.value).toBe(0.18);
});

describe("a value", () => {
	it("of the wrong dimension is named with what would do", () => {
		expect(faultsOf("\n\nchamber:\n  { volume: 180 kg }\n")).toContain(
			'cabinet.yaml:4:13 chamber.volume: needs a volume such as "180 L" or "6.4 ft3", got "180 kg"',
		);
	});
	it.each([
		["180", 'needs a volume such as "180 L" or "6.4 ft3", got 180'],
		['"180"', 'needs a volume such as "180 L" or "6.4 ft3", got "180"'],
		["-3 L", 'must be above 0 L, got "-3 L"'],
		["0 L", 'must be above 0 L, got "0 L"'],
		["0..5 L", 'must be above 0 L, got "0..5 L"'],
		["1e300 L", 'must be at most 100000 m3, got "1e300 L"'],
		[".nan", 'needs a volume such as "180 L" or "6.4 ft3", got .nan'],
		["1e999", 'needs a volume such as "180 L" or "6.4 ft3", got 1e999'],
		["NaN L", 'needs a volume such as "180 L" or "6.4 ft3", got "NaN L" (it must be a finite number)'],
		["1e999 L", 'needs a volume such as "180 L" or "6.4 ft3", got "1e999 L" (it must be a finite number)'],
		[
			'"1,5 L"',
			'needs a volume such as "180 L" or "6.4 ft3", got "1,5 L" (write a point for decimals and no comma in thousands)',
		],
		["true", 'needs a volume such as "180 L" or "6.4 ft3", got true'],
		["[180 L]", 'needs a volume such as "180 L" or "6.4 ft3", got a list'],
		["", 'needs a volume such as "180 L" or "6.4 ft3", got nothing'],
	])("volume: %s", (value, message) => {
		const column = value === "" ? 12 : 20;
		expect(one({ chamber: `chamber: { volume: ${value} }` })).toBe(
			`cabinet.yaml:2:${column} chamber.volume: ${message}`,
		);
	});
	it("keeps its place inside { value, source }", () => {
		expect(one({ chamber: "chamber: { volume: { value: 180 kg, source: rule } }" })).toBe(
			'cabinet.yaml:2:29 chamber.volume.value: needs a volume such as "180 L" or "6.4 ft3", got "180 kg"',
		);
	});
	it.each([
		["humidity: 140 %", 'chamber.humidity: must be at most 100 %, got "140 %"'],
		["mixing: 0", "chamber.mixing: must be above 0 %, got 0"],
		["temperature: -21 C", 'chamber.temperature: must be at least -20 C, got "-21 C"'],
		["temperature: 150 F", 'chamber.temperature: must be at most 60 C, got "150 F"'],
		[
			"temperature: { mean: 55 C, swing: 9 K }",
			"chamber.temperature.swing: the mean plus or minus this leaves -20..60 °C",
		],
		[
			"stagnant: { share: 100 %, source: 0, exchange: 2 /h }",
			'chamber.stagnant.share: must be at most 95 %, got "100 %"',
		],
		[
			"stagnant: { share: 1e-9 %, source: 0, exchange: 2 /h }",
			'chamber.stagnant.share: must be at least 0.001 %, got "1e-9 %"',
		],
		["altitude: 3 m, pressure: 1000 hPa", "chamber.pressure: conflicts with altitude; give one of the two"],
		["leak: -1 /h", 'chamber.leak: must be at least 0, got "-1 /h"'],
	])("chamber with %s", (extra, message) => {
		expect(one({ chamber: `chamber: { volume: 180 L, ${extra} }` }).replace(/^\S+ /, "")).toBe(message);
	});
});

describe("a name", () => {
	it("of a key is answered with the nearest known key", () => {
		expect(one({ chamber: "chamber: { volume: 180 L, leek: 0.3 /h }" })).toBe(
			'cabinet.yaml:2:27 chamber.leek: is no known key; did you mean "leak"?',
		);
		expect(one({ fan: "fann: { flow: 40 m3/h }" })).toBe(
			'cabinet.yaml:5:1 fann: is no known key; did you mean "fan"?',
		);
		expect(one({ fan: "fan: { flow: 40 m3/h, zzzzzz: 1 }" })).toBe(
			"cabinet.yaml:5:23 fan.zzzzzz: is no known key; known here: flow, curve, spin-up, coast-down, count, arrangement, voltage, window, current, start-current, filter, duct, vent, flap",
		);
	});
	it("of a mistyped key that was needed is one fault, not two", () => {
		expect(one({ schedules: "schedules: { a: { on: 4 s, of: 236 s } }" })).toBe(
			'cabinet.yaml:7:28 schedules.a.of: is no known key; did you mean "off"?',
		);
	});
	it("of a species or stage is answered with the nearest and the list", () => {
		expect(one({ substrate: "substrate: { species: oister, mass: 4 kg }" })).toBe(
			'cabinet.yaml:4:23 substrate.species: is no known species, got "oister" (did you mean "oyster"? known: oyster, king oyster, shiitake, button, lion\'s mane, enoki, reishi, unknown)',
		);
		expect(one({ substrate: "substrate: { stage: pining, mass: 4 kg }" })).toContain(
			'did you mean "pinning"?',
		);
	});
	it("that appears twice is refused, keys and schedules alike", () => {
		expect(one({ fan: "fan: { flow: 4 m3/h, flow: 5 m3/h }" })).toBe(
			'cabinet.yaml:5:22: the key "flow" appears twice; each may stand once',
		);
		expect(one({ schedules: "schedules:\n  a: off\n  a: continuous" })).toBe(
			'cabinet.yaml:9:3: the schedule name "a" appears twice; each may stand once',
		);
	});
	it("__proto__ is refused anywhere and constructor is only a word", () => {
		expect(one({ schedules: "schedules: { __proto__: off }" })).toBe(
			'cabinet.yaml:7:14: "__proto__" cannot be used as a name',
		);
		expect(one({ chamber: "chamber: { volume: 180 L, __proto__: { leak: 9 /h } }" })).toContain(
			"cannot be used",
		);
		expect(one({ chamber: "chamber: { volume: 180 L, constructor: 1 }" })).toContain(
			"constructor: is no known key",
		);
		expect(parseScenario(scenario({ schedules: "schedules: { constructor: off }" })).schedules[0]?.name).toBe(
			"constructor",
		);
	});
});

describe("physics that cannot be", () => {
	it("a ceiling at or below the intake air is no fault of the file: that no schedule meets it is an answer", () => {
		for (const parts of [
			{ target: "target: { ceiling: 400 ppm }" },
			{ intake: "intake: { co2: 1200 ppm }", target: "target: { on: peak }" },
		]) {
			const read = parseScenario(scenario(parts));
			expect(read.target.ceiling.value).toBeLessThanOrEqual(read.intake.co2.value);
		}
	});
	it("a substrate bigger than the chamber is refused", () => {
		expect(one({ substrate: "substrate: { mass: 100 kg, density: 400 kg/m3 }" })).toBe(
			"cabinet.yaml:4:12 substrate: takes 250 L, which is not less than the chamber (180 L); no air would be left",
		);
		expect(one({ substrate: "substrate: { mass: 200 kg }" })).toBe(
			"cabinet.yaml:4:12 substrate: 200 kg do not fit into a chamber of 180 L (heavier than water)",
		);
	});
	it.each([
		["50", "needs an accuracy"],
		["50 ppm + 20 ppm", "needs an accuracy"],
		["50 ppm + 3 % + 1 ppm", "needs an accuracy"],
		["50 ppm +", "needs an accuracy"],
		["3 K", "needs an accuracy"],
		["[50 ppm, 3 %]", 'needs an accuracy such as "50 ppm + 3 %", "30 ppm" or "2 %", got a list'],
		["1e999 ppm", "it must be a finite number"],
		["0 ppm + 0 %", 'must be above 0, got "0 ppm + 0 %"'],
		["-5 ppm", 'must be at least 0, got "-5 ppm"'],
		["3 % + 120 %", "needs an accuracy"],
		["120 %", "must be at most"],
		["{ value: 3 kg }", "cabinet.yaml:6:30 sensor.accuracy.value: needs an accuracy"],
		["{ value: 30 ppm, from: me }", "sensor.accuracy.from: is no known key"],
	])("an accuracy of a sensor cannot be %s", (text, message) => {
		expect(one({ fan: `fan: { flow: 40 m3/h }\nsensor: { accuracy: ${text} }` })).toContain(message);
	});
	it("an offset of a sensor is a difference in ppm", () => {
		expect(one({ fan: "fan: { flow: 40 m3/h }\nsensor: { offset: 3 K }" })).toBe(
			'cabinet.yaml:6:19 sensor.offset: needs a CO2 difference such as "25 ppm" or "-40 ppm", got "3 K"',
		);
	});
	it("a sensor in a zone that is not there is refused", () => {
		expect(one({ fan: "fan: { flow: 40 m3/h }\nsensor: { response: 1 ms }" })).toBe(
			'cabinet.yaml:6:21 sensor.response: must be 0, or at least 0.01 s, got "1 ms"',
		);
		expect(one({ fan: "fan: { flow: 40 m3/h }\nsensor: { response: 60 s, zone: stagnant }" })).toBe(
			"cabinet.yaml:6:33 sensor.zone: hangs in a stagnant zone, but chamber.stagnant is not given",
		);
	});
	it.each([
		[
			"rate: 1 g/(kg h), rates: [{ at: 0 d, rate: 1 g/(kg h) }]",
			"substrate.rates: conflicts with rate; give one of the two",
		],
		["density: 400 kg/m3, volume: 10 L", "substrate.volume: conflicts with density; give one of the two"],
		["flush: { rise: 4 d, fall: 2 d }", "substrate.flush.fall: the fall must come after the rise"],
		[
			"stage: pinning, flush: { rise: 2 d, fall: 4 d }",
			"substrate.flush: conflicts with a stage; the flush has its own factors, so omit the stage",
		],
		[
			"rates: [{ at: 2 d, rate: 1 g/(kg h) }, { at: 1 d, rate: 1 g/(kg h) }]",
			"substrate.rates[1].at: the times must rise from entry to entry",
		],
	])("substrate with %s", (extra, message) => {
		expect(one({ substrate: `substrate: { mass: 4 kg, ${extra} }` }).replace(/^\S+ /, "")).toBe(message);
	});
});

describe("a schedule", () => {
	const example = 'needs a schedule such as { on: 4 s, off: 236 s }, or "continuous" or "off"';
	it.each([
		["{ on: 0 s, off: 0 s }", "a.on: on and off are both 0 s; one of them must be longer"],
		["{ on: 0.1 s, off: 0.2 s }", "a.on: on and off together must be at least 1 s"],
		["{ on: -4 s, off: 9 s }", 'a.on: must be at least 0 s, got "-4 s"'],
		[
			"{ on: 4..6 s, off: 9 s }",
			'a.on: needs a time such as "4 s" or "3 min 56 s", got "4..6 s" (one value, not a range)',
		],
		["{ on: 4 s }", 'a.off: is missing; it needs a time such as "4 s" or "3 min 56 s"'],
		[
			"{ on: 4 s, off: 5 m }",
			'a.off: needs a time such as "4 s" or "3 min 56 s", got "5 m" (m is metre; write min for minutes)',
		],
		["always", `a: ${example}, got "always"`],
		["[1]", `a: ${example}, got a list`],
		["{}", `a: ${example}, got indented "key: value" lines`],
		["", `a: ${example}, got nothing`],
		[
			'{ daily: [{ from: "07:00", fan: off }, { from: "06:00", fan: continuous }] }',
			"a.daily[1].from: the parts must follow each other through the day",
		],
		[
			'{ daily: [{ from: "25:00", fan: off }] }',
			'a.daily[0].from: needs a time of day such as "07:00", got "25:00"',
		],
		[
			'{ daily: [{ from: "07:00", on: 4 s }] }',
			'a.daily[0]: needs on and off such as { on: 4 s, off: 236 s }, or fan: "continuous" or "off"',
		],
		["{ daily: [] }", "a.daily: needs at least one part, got a list"],
		["{ switches: [4 s, 4 s] }", "a.switches[1]: the times must rise from entry to entry"],
		["{ switches: [0 s, 4 s], repeat: 4 s }", "a.repeat: must be longer than the last time"],
		["{ switches: gone.csv }", 'a.switches: the file "gone.csv" cannot be read'],
	])("%s", (definition, message) => {
		expect(one({ schedules: `schedules: { a: ${definition} }` }).replace(/^\S+ schedules\./, "")).toBe(
			message,
		);
	});
	it("must be there, and not more than 200 times", () => {
		expect(one({ schedules: "" })).toBe(
			"cabinet.yaml:1:1 schedules: is missing; it needs at least one schedule such as short and often: { on: 4 s, off: 236 s }",
		);
		expect(one({ schedules: "schedules: {}" })).toContain("needs at least one schedule");
		expect(one({ schedules: "schedules: off" })).toContain('got "off"');
		const many = Array.from({ length: 201 }, (_, index) => `  s${index}: off`).join("\n");
		expect(one({ schedules: `schedules:\n${many}` })).toContain(
			"has 201 schedules; at most 200 are compared",
		);
	});
	it("in the correlations does not count what is no list", () => {
		for (const matrix of ["{ a: 1 }", "{ length: 3 }", "5"])
			expect(
				faultsOf(
					`${scenario({})}\ncorrelations: [{ between: [fan.flow, chamber.leak], matrix: ${matrix} }]\n`,
				),
			).toEqual([expect.stringContaining("needs rows such as")]);
	});
	it("from a CSV names the line of that file", () => {
		const text = scenario({ schedules: "schedules: { a: { switches: s.csv } }" });
		expect(faultsOf(text, () => "time_s,fan\n0,on\n4,maybe\n3,off\n2,on\n")).toEqual([
			's.csv:3:1: needs a time in s and on or off such as "4,off"',
			"s.csv:5:1: the times must rise from row to row",
		]);
		expect(faultsOf(text, () => "t,f\n")).toEqual(['s.csv:1:1: needs the header "time_s,fan"']);
		expect(faultsOf(text, () => "time_s,fan\n")).toEqual(["s.csv:1:1: has no rows under its header"]);
	});
});

describe("a file", () => {
	it.each([
		["that is empty", "", "cabinet.yaml: is empty; `lullgust new` writes a starter file"],
		["of comments only", "# a\n# b\n", "cabinet.yaml: is empty; `lullgust new` writes a starter file"],
		["that is binary", "a\u0000b", "cabinet.yaml: is a binary file; a scenario is plain text (YAML, UTF-8)"],
		["of 50 MB", "a".repeat(50e6), "cabinet.yaml: is too big: 50.0 MB; a scenario has at most 1 MB"],
		[
			"that is a list",
			"- a\n",
			'cabinet.yaml: needs keys such as "chamber:" and "fan:" at the top, got a list',
		],
		[
			"that is a word",
			"hello",
			'cabinet.yaml: needs keys such as "chamber:" and "fan:" at the top, got "hello"',
		],
		[
			"of 10 000 brackets",
			`a: ${"[".repeat(10_000)}`,
			"cabinet.yaml: is nested deeper than 20 levels; a scenario needs about four",
		],
		[
			"of 10 000 braces",
			"{a: ".repeat(10_000),
			"cabinet.yaml: is nested deeper than 20 levels; a scenario needs about four",
		],
		[
			"of 10 000 dashes",
			"- ".repeat(10_000),
			"cabinet.yaml: is nested deeper than 20 levels; a scenario needs about four",
		],
		[
			"of 10 000 question marks",
			"? ".repeat(10_000),
			"cabinet.yaml: is nested deeper than 20 levels; a scenario needs about four",
		],
		[
			"with an alias",
			"a: &x 1\nb: *x",
			"cabinet.yaml:2:4: aliases (*x) are not read here; write the value out",
		],
		[
			"with a merge key",
			"<<: { a: 1 }",
			"cabinet.yaml:1:1: merge keys (<<) are not read here; write the values out",
		],
		["with a tag", "a: !thing 1", "cabinet.yaml:1:11: tags (!thing) are not read here; leave it out"],
		["with a key that is a list", "? [a]\n: 1", "cabinet.yaml:1:3: a key must be a plain word"],
		[
			"of two documents",
			"a: 1\n---\nb: 2\n",
			"cabinet.yaml:2:1: a second document begins here; a scenario file holds one",
		],
		[
			"with a YAML directive",
			"%YAML 1.1\n---\na: 1\n",
			"cabinet.yaml:1:1: YAML directives (%YAML) are not read here; leave the line out",
		],
		["with an open bracket", "a: [1\nb: 2\n", ""],
		["indented by a tab", "a:\n\tb: 1\n", ""],
	])("%s", (_, text, expected) => {
		const faults = faultsOf(text);
		if (expected === "") {
			for (const fault of faults) expect(fault).toMatch(/^cabinet\.yaml:\d+:\d+: is not valid YAML: /);
		} else expect(faults).toEqual([expected]);
	});

	it("of anchors that would grow to a billion values is refused at once", () => {
		const levels = Array.from(
			{ length: 10 },
			(_, index) => `l${index + 1}: &l${index + 1} [${Array(10).fill(`*l${index}`).join(", ")}]`,
		);
		const started = performance.now();
		expect(faultsOf(`l0: &l0 x\n${levels.join("\n")}`)[0]).toBe(
			"cabinet.yaml:2:10: aliases (*l0) are not read here; write the value out",
		);
		expect(performance.now() - started).toBeLessThan(2000);
	});
});

it("every fault is said in one go, in the order of the file", () => {
	const faults = faultsOf(`
nam: x
chamber: { volume: 180 kg, leek: 0.3 /h, humidity: 140 % }
intake: { co2: 430 ppm }
substrate:
  - { species: oister, mass: -4 kg }
  - 5 kg
fan: { flow: 40 m3/h, spin-up: 1 }
target: { ceiling: 400 ppm, on: peak }
schedules:
  a: { on: 0 s, off: 0 s }
  b: always
  c: { on: 4 s, off: 1 min }
`);
	expect(faults.map((fault) => fault.split(": ")[0])).toEqual([
		"cabinet.yaml:2:1 nam",
		"cabinet.yaml:3:20 chamber.volume",
		"cabinet.yaml:3:28 chamber.leek",
		"cabinet.yaml:3:52 chamber.humidity",
		"cabinet.yaml:6:16 substrate[0].species",
		"cabinet.yaml:6:30 substrate[0].mass",
		"cabinet.yaml:7:5 substrate[1]",
		"cabinet.yaml:8:32 fan.spin-up",
		"cabinet.yaml:11:12 schedules.a.on",
		"cabinet.yaml:12:6 schedules.b",
	]);
});

it("a rule over several keys is held even when other keys of the same mapping are at fault", () => {
	const faults = faultsOf(`
chamber: { volume: 180 kg, altitude: 3 m, pressure: 1000 hPa }
substrate: { mass: 4 L, density: 400 kg/m3, volume: 10 L, rates: [{ at: 2 d, rate: 1 L }, { at: 1 d, rate: 1 L }] }
fan: { flow: 40 m3/h }
schedules:
  a: { on: 0 s, off: 0 s, start: on }
  b: { daily: [{ from: "07:00", on: 1 s, off: 4 m }, { from: 06:00, fan: off }, { from: "25:00", fan: on }] }
`);
	expect(faults.map((fault) => fault.replace(/^\S+ /, ""))).toEqual([
		'chamber.volume: needs a volume such as "180 L" or "6.4 ft3", got "180 kg"',
		"chamber.pressure: conflicts with altitude; give one of the two",
		'substrate.mass: needs a mass such as "5 kg" or "11 lb", got "4 L"',
		"substrate.volume: conflicts with density; give one of the two",
		'substrate.rates[0].rate: needs a respiration rate such as "150 mg/(kg h)" or "60..400 mg/(kg h)", got "1 L"',
		"substrate.rates[1].at: the times must rise from entry to entry",
		'substrate.rates[1].rate: needs a respiration rate such as "150 mg/(kg h)" or "60..400 mg/(kg h)", got "1 L"',
		"schedules.a.on: on and off are both 0 s; one of them must be longer",
		'schedules.a.start: is no known key; did you mean "starts"?',
		'schedules.b.daily[0].off: needs a time such as "4 s" or "3 min 56 s", got "4 m" (m is metre; write min for minutes)',
		"schedules.b.daily[1].from: the parts must follow each other through the day",
		'schedules.b.daily[2].from: needs a time of day such as "07:00", got "25:00"',
		'schedules.b.daily[2].fan: needs "continuous" or "off", got "on"',
	]);
});

it("five hundred faults are cut short and counted", () => {
	const keys = Array.from({ length: 500 }, (_, index) => `qqqq${index}: 1`).join("\n");
	const faults = faultsOf(`${scenario({})}\n${keys}`);
	expect(faults).toHaveLength(101);
	expect(faults.at(-1)).toBe("cabinet.yaml: and 400 more faults");
});

it("files made to be slow are refused within seconds", () => {
	const started = performance.now();
	for (const text of [
		"- ".repeat(499_999),
		"a: [".repeat(249_999),
		Array.from({ length: 90_000 }, (_, index) => `k${index}: 1`).join("\n"),
		`chamber: { volume: ${"1 d ".repeat(200_000)} }`,
		`${"x".repeat(900_000)}: 1`,
		`schedules: { a: { on: ${"9".repeat(900_000)} s } }`,
		`timer: { ranges: ["1..2 s by ${"1a".repeat(400_000)}"] }`,
	]) {
		for (const fault of faultsOf(text)) expect(fault.length).toBeLessThan(1000);
	}
	expect(performance.now() - started).toBeLessThan(40_000);
});

const BASE = `substrate: { species: oyster, mass: 8 kg }
fan: { flow: 70 m3/h }
schedules: { a: { on: 1 min, off: 10 min } }
`;
const CHAMBER = "chamber: { volume: 300 L }\n";

it.each([
	[
		"a decimal comma between braces",
		CHAMBER + BASE.replace("on: 1 min", "on: 0,5 min"),
		'x.yaml:4:25: a comma parts entries here, and decimals take a point: write "0.5 min"',
	],
	[
		"no colon",
		`chamber:\n  volume 300 L\n  leak: 0.3 /h\n${BASE}`,
		'x.yaml:2:3: a colon is missing: write "volume: 300 L"',
	],
	[
		"no colon in the one line",
		`chamber:\n  volume 300 L\n${BASE}`,
		'a colon is missing: write "volume: 300 L"',
	],
	[
		"no blank after the colon",
		`chamber:\n  volume:300 L\n  leak: 0.3 /h\n${BASE}`,
		'x.yaml:2:3: a blank is missing after the colon: write "volume: 300 L"',
	],
	[
		"no blank after the colon, in the one line",
		`chamber:\n  volume:300 L\n${BASE}`,
		'a blank is missing after the colon: write "volume: 300 L"',
	],
	[
		"no blank after the colon, between braces",
		`chamber: { volume:300 L, leak: 0.3 /h }\n${BASE}`,
		'x.yaml:1:12: a blank is missing after the colon: write "volume: 300 L"',
	],
	[
		"no colon between braces",
		`chamber: { volume 300 L }\n${BASE}`,
		'a colon is missing: write "volume: 300 L"',
	],
	[
		"a key without its colon",
		`chamber\n  volume: 300 L\n${BASE}`,
		'x.yaml:1:1: a colon is missing after "chamber"',
	],
	[
		"a value where lines are wanted",
		`chamber: 300 L\n${BASE}`,
		'x.yaml:1:10 chamber: needs indented "key: value" lines with volume, leak, temperature, humidity, got "300 L"',
	],
	[
		"a clock for a time",
		CHAMBER + BASE.replace("on: 1 min", "on: 0:10"),
		'got "0:10" (write 10 s, or 10 min if hours and minutes are meant)',
	],
	[
		"a clock for a time, quoted",
		CHAMBER + BASE.replace("off: 10 min", 'off: "05:00"'),
		'got "05:00" (write 5 min, or 5 h if hours and minutes are meant)',
	],
])("slips of the pen are named as such: %s", (_, text, said) => {
	let message = "";
	try {
		parseScenario(text, "x.yaml");
	} catch (error) {
		message = (error as Error).message;
	}
	expect(message).toContain(said);
	expect(message.split("\n")).toHaveLength(1);
});
