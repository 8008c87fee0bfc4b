import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { InputError } from "../../lib/errors.ts";
import { buildModel } from "../../lib/model/build.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { scenarioJsonSchema } from "../../lib/scenario/schema.ts";
import { starterScenario } from "../../lib/scenario/starter.ts";

const parse = (extra: string, substrate = "{ mass: 4 kg }", schedules = "{ a: { on: 4 s, off: 236 s } }") =>
	parseScenario(
		`chamber: { volume: 180 L }\nfan: { flow: 40 m3/h }\nsubstrate: ${substrate}\nschedules: ${schedules}\n${extra}`,
		"box.yaml",
	);

describe("what is left out gets a default with its source", () => {
	const scenario = parse("");
	it.each(
		Object.entries({
			"chamber.leak": 0.45 / 3600,
			"chamber.temperature": 18,
			"chamber.humidity": 0.9,
			"chamber.pressure": 101_325,
			"chamber.mixing": 1,
			"intake.co2": 426,
			"intake.temperature": 18,
			"intake.humidity": 0.5,
			"substrate[0].rate": 84 / 3.6e9,
			"substrate[0].reference": 18,
			"substrate[0].q10": 2.4,
			"substrate[0].stage": 1,
			"fan.spin-up": 0,
			"fan.coast-down": 0,
			"target.ceiling": 1000,
			start: 426,
		}),
	)("%s", (path, value) => {
		const row = listInputs(scenario).find((one) => one.path === path);
		expect(row?.quantity.value).toBeCloseTo(value, 12);
		expect(row?.quantity.origin).toMatchObject({ kind: "default", source: expect.stringMatching(/.{5}/) });
	});
	it("and what has no default is null", () => {
		expect(scenario).toMatchObject({ name: "box", notes: null, sensor: null, timer: null });
		expect(scenario.chamber.stagnant).toBeNull();
		expect(scenario.target).toMatchObject({ floor: null, on: "peak" });
	});
	it("the prior of the rate and of the leak keep their ends", () => {
		const { low, high } = scenario.substrate[0]?.respirationRate ?? {};
		expect([(low ?? 0) * 3.6e9, (high ?? 0) * 3.6e9].map(Math.round)).toEqual([20, 350]);
		expect((scenario.chamber.leak.high ?? 0) * 3600).toBeCloseTo(2, 12);
	});
});

describe("what is given knows its line", () => {
	it("and its source, or the log it was fitted to", () => {
		const { fan, intake } = parseScenario(
			[
				"chamber: { volume: 180 L }",
				"substrate: { mass: 4 kg }",
				"schedules: { a: off }",
				"fan:",
				"  flow: { value: 70 m3/h ±10 %, source: data sheet }",
				"intake:",
				"  co2: { value: 431 ppm, fitted: day.csv, on: 2026-05-01 }",
			].join("\n"),
		);
		expect(fan.flow).toMatchObject({
			text: "70 m3/h ±10 %",
			origin: { kind: "given", line: 5, column: 9, source: "data sheet" },
		});
		expect((fan.flow?.low ?? 0) * 3600).toBeCloseTo(63, 9);
		expect(intake.co2.origin).toEqual({ kind: "fitted", log: "day.csv", on: "2026-05-01" });
	});
});

describe("substrate", () => {
	it("takes aliases in any case, and one mapping or a list", () => {
		const { substrate } = parse(
			"",
			"[{ species: Lions Mane, mass: 2 kg }, { species: Pleurotus Eryngii, stage: Pins, mass: 1 kg }]",
		);
		expect(substrate.map(({ species, stage }) => [species, stage])).toEqual([
			["lion's mane", "fruiting"],
			["king oyster", "pinning"],
		]);
	});
	it("the stage scales the prior, but a rate that is given holds as it is", () => {
		expect(parse("", "{ mass: 4 kg, stage: pinning }").substrate[0]?.stageFactor.value).toBeCloseTo(
			Math.SQRT1_2,
			12,
		);
		expect(
			parse("", "{ mass: 4 kg, stage: pinning, rate: 90 mg/(kg h) }").substrate[0]?.stageFactor.value,
		).toBe(1);
	});
	it("its volume follows from mass and density, ends and all", () => {
		const { volume } = parse("", "{ mass: 4 kg, density: 320..500 kg/m3 }").substrate[0] ?? {};
		expect(volume?.value).toBeCloseTo(0.01, 12);
		expect(volume?.low).toBeCloseTo(0.008, 12);
		expect(volume?.high).toBeCloseTo(0.0125, 12);
	});
	it("rates by time replace the rate", () => {
		const { rates, respirationRate } =
			parse("", "{ mass: 4 kg, rates: [{ at: 0 d, rate: 36 mg/(kg h) }, { at: 3 d, rate: 72 mg/(kg h) }] }")
				.substrate[0] ?? {};
		expect(rates?.map((entry) => entry.timeSeconds)).toEqual([0, 259_200]);
		expect(respirationRate?.value).toBeCloseTo(1e-8, 18);
	});
	it("the flush has multipliers of the stages by default", () => {
		const { flush } = parse("", "{ mass: 4 kg, flush: { rise: 2 d, fall: 6 d } }").substrate[0] ?? {};
		expect(flush?.low.value).toBeCloseTo(Math.sqrt(0.3 * 0.7), 12);
		expect(flush?.high.value).toBeCloseTo(Math.sqrt(1.3 * 2.5), 12);
		expect(flush?.width.value).toBe(86_400);
	});
});

describe("target", () => {
	it("is the lowest ceiling of the crop, with enoki's floor only for enoki alone", () => {
		expect(parse("", "{ species: enoki, mass: 1 kg }").target).toMatchObject({
			ceiling: { value: 4000 },
			floor: { value: 1300 },
		});
		expect(
			parse("", "[{ species: enoki, mass: 1 kg }, { species: oyster, mass: 1 kg }]").target,
		).toMatchObject({
			ceiling: { value: 1000 },
			floor: null,
		});
		expect(parse("target: { ceiling: 1200 ppm }", "{ species: enoki, mass: 1 kg }").target.floor).toBeNull();
	});
});

describe("sensor", () => {
	const sensor = (keys: string) => parse(`sensor: { ${keys} }`).sensor;
	it("without figures shows the CO2 at once, reads true and keeps to what data sheets promise", () => {
		expect(sensor("zone: mixed")).toMatchObject({
			response: { value: 0, origin: { kind: "default" } },
			zone: "mixed",
			offset: { value: 0, text: "0 ppm", origin: { kind: "default" } },
			accuracy: {
				ppm: { value: 50, low: null, text: "50 ppm", origin: { kind: "default", evidence: "moderate" } },
				share: { value: 0.03, low: null, text: "3 %", origin: { source: expect.stringContaining("[read]") } },
			},
		});
	});
	it("may read too low, and its offset has a spread and a midpoint as differences have", () => {
		expect(sensor("offset: -40 ppm ± 15 ppm")?.offset).toMatchObject({ value: -40, low: -55, high: -25 });
		expect(sensor("offset: 10..40 ppm")?.offset.value).toBe(25);
		expect(
			sensor('offset: { value: "22 ppm ±6 ppm", fitted: day.csv, on: 2026-03-10 }')?.offset,
		).toMatchObject({
			value: 22,
			low: 16,
			origin: { kind: "fitted", log: "day.csv", on: "2026-03-10" },
		});
	});
	it.each([
		["50 ppm + 3 %", 50, 0.03],
		["3 % + 50ppm", 50, 0.03],
		["30 ppm", 30, 0],
		["2 %", 0, 0.02],
		["±(50 ppm + 3 % of reading)", 50, 0.03],
		["± 100 ppm ± 5 %", 100, 0.05],
		["+/-30 ppm+/-3%", 30, 0.03],
	])("its accuracy is read from %s", (text, ppm, share) => {
		const read = sensor(`accuracy: "${text}"`)?.accuracy;
		expect(read).toMatchObject({ ppm: { value: ppm, origin: { kind: "given", line: 5, column: 21 } } });
		expect(read?.share.value).toBeCloseTo(share, 15);
	});
	it("its accuracy may say where it comes from", () => {
		expect(sensor("accuracy: { value: 30 ppm, source: data sheet }")?.accuracy.ppm.origin).toMatchObject({
			source: "data sheet",
		});
	});
	it("its offset and accuracy leave predictions alone", () => {
		const plain = "response: 60 s";
		expect(buildModel(parse(`sensor: { ${plain}, offset: 90 ppm, accuracy: 9 % }`))).toEqual(
			buildModel(parse(`sensor: { ${plain} }`)),
		);
		expect(listInputs(parse(`sensor: { ${plain} }`)).map(({ path }) => path)).toEqual(
			expect.arrayContaining(["sensor.offset", "sensor.accuracy.ppm", "sensor.accuracy.share"]),
		);
	});
});

it("schedules may be left out when the caller says so, but one that is there must be sound", () => {
	const bare = "chamber: { volume: 180 L }\nfan: { flow: 40 m3/h }\nsubstrate: { mass: 4 kg }\n";
	const optional = { schedules: "optional" } as const;
	expect(parseScenario(bare, "box.yaml", optional).schedules).toEqual([]);
	expect(() => parseScenario(bare)).toThrow("schedules: is missing");
	expect(parseScenario(`${bare}schedules: { a: off }`, "box.yaml", optional).schedules).toHaveLength(1);
	expect(() => parseScenario(`${bare}schedules: { a: maybe }`, "box.yaml", optional)).toThrow("schedules.a");
	expect(() => parseScenario(`${bare}schedules: {}`, "box.yaml", optional)).toThrow("at least one schedule");
});

it("altitude becomes pressure, and its ends change places", () => {
	const { pressure } = parseScenario(
		"chamber: { volume: 1 m3, altitude: 1000..2000 m }\nfan: { flow: 9 m3/h }\nsubstrate: { mass: 1 kg }\nschedules: { a: off }",
	).chamber;
	expect([pressure.low, pressure.high].map((x) => Math.round(x ?? 0))).toEqual([79_495, 89_875]);
});

describe("schedules", () => {
	const schedule = (definition: string, readText?: (path: string) => string | undefined) =>
		parseScenario(
			`chamber: { volume: 180 L }\nfan: { flow: 40 m3/h }\nsubstrate: { mass: 4 kg }\nschedules: { a: ${definition} }`,
			"box.yaml",
			readText === undefined ? {} : { readText },
		).schedules[0]?.schedule;
	it("come in all kinds", () => {
		expect(schedule("{ on: 4 s, off: 3 min 56 s }")).toEqual({
			kind: "cycle",
			onSeconds: 4,
			offSeconds: 236,
		});
		expect(schedule("{ on: 4 s, off: 6 s, starts: off }")).toMatchObject({ startsWith: "off" });
		expect(schedule("continuous")).toEqual({ kind: "continuous" });
		expect(schedule("off")).toEqual({ kind: "off" });
		expect(schedule('{ daily: [{ from: 07:00, on: 4 s, off: 6 s }, { from: "22:30", fan: off }] }')).toEqual({
			kind: "daily",
			parts: [
				{ fromSeconds: 25_200, schedule: { kind: "cycle", onSeconds: 4, offSeconds: 6 } },
				{ fromSeconds: 81_000, schedule: { kind: "off" } },
			],
		});
	});
	it("an off-time of 0 is never off, an on-time of 0 is never on", () => {
		expect(schedule("{ on: 4 s, off: 0 s }")).toEqual({ kind: "continuous" });
		expect(schedule("{ on: 0 s, off: 4 s }")).toEqual({ kind: "off" });
	});
	it("a list of switches begins with the fan off, so that the first switches it on", () => {
		expect(schedule("{ switches: [4 s, 9 s], repeat: 1 min }")).toEqual({
			kind: "switches",
			switchSeconds: [4, 9],
			startsWith: "off",
			repeatSeconds: 60,
		});
		expect(schedule("{ switches: [0 s, 4 s] }")).toEqual({
			kind: "switches",
			switchSeconds: [4],
			startsWith: "on",
		});
		expect(schedule("{ switches: [5 s], starts: on }")).toEqual({
			kind: "switches",
			switchSeconds: [5],
			startsWith: "on",
		});
	});
	it("a CSV of switches gives states, and a row that repeats the state changes nothing", () => {
		const asked: string[] = [];
		const readText = (path: string) => {
			asked.push(path);
			return "\uFEFFtime_s, fan\r\n0,on\r\n4,off\r\n9,off\r\n20.5,1\r\n\r\n";
		};
		expect(schedule("{ switches: day/one.csv, repeat: 30 s }", readText)).toEqual({
			kind: "switches",
			switchSeconds: [4, 20.5],
			startsWith: "on",
			repeatSeconds: 30,
		});
		expect(asked).toEqual(["day/one.csv"]);
	});
	it("keep the order of the file, even when their names are numbers", () => {
		expect(
			parse("", "{ mass: 4 kg }", "{ b: off, 2: off, 1: continuous }").schedules.map(({ name }) => name),
		).toEqual(["b", "2", "1"]);
	});
});

it("JSON is read as well, and CRLF and a byte order mark do no harm", () => {
	const json = {
		chamber: { volume: "180 L" },
		fan: { flow: "40 m3/h" },
		substrate: { mass: "4 kg" },
		schedules: { a: "off" },
	};
	expect(parseScenario(JSON.stringify(json, null, 2)).chamber.volume.value).toBe(0.18);
	const yaml =
		"\uFEFFchamber:\r\n  volume: 180 L\r\nfan: { flow: 40 m3/h }\r\nsubstrate: { mass: 4 kg }\r\nschedules: { a: off }\r\n";
	expect(parseScenario(yaml).chamber.volume.origin).toMatchObject({ line: 2, column: 11 });
});

describe("files that ship", () => {
	const folder = new URL("../../fixtures/scenarios/", import.meta.url);
	const files: [string, string][] = [
		["the starter", starterScenario()],
		...readdirSync(folder).map((name): [string, string] => [
			name,
			readFileSync(new URL(name, folder), "utf8"),
		]),
	];
	it("are at least four besides the starter", () => expect(files.length).toBeGreaterThanOrEqual(5));
	it.each(files)("%s is read, has schedules to compare, and says that it is invented", (_, text) => {
		const scenario = parseScenario(text);
		expect(scenario.schedules.length).toBeGreaterThanOrEqual(2);
		expect(scenario.notes).toMatch(/invented/i);
		expect(scenario.text).toBe(text);
	});
	it("the starter's commented keys can be taken in as they stand", () => {
		const prose = /^(?:Values|All|An|A|Cautions|CO2) /;
		const text = starterScenario().replace(
			/^( *)# ((?: {2})?[\w -]+: [^#\n]*)/gm,
			(line, indent: string, rest: string) =>
				prose.test(rest.replace(":", " ")) ? line : `${indent}${rest}`,
		);
		const scenario = parseScenario(text);
		expect(scenario.sensor?.response.value).toBe(60);
		expect(scenario.sensor?.accuracy).toMatchObject({ ppm: { value: 50 }, share: { value: 0.03 } });
		expect(scenario.chamber.stagnant?.share.value).toBeCloseTo(0.3, 12);
		expect(scenario.timer?.ranges).toHaveLength(2);
		expect(scenario.timer).toMatchObject({ isShared: false, digits: 3, powerUp: "off" });
		expect(scenario.limits.quiet?.cycle.value).toBe(1200);
		expect(scenario.fan).toMatchObject({ voltage: { value: 12 }, voltageRange: { low: 7.5, high: 13.8 } });
		expect(scenario.fan.filter?.area?.value).toBeCloseTo(0.0225, 12);
		expect(scenario).toMatchObject({ wire: { size: { awg: 20 } }, fuse: { value: 0.63 } });
		expect(scenario.schedules.map(({ schedule }) => schedule.kind)).toContain("switches");
	});
});

describe("the JSON Schema", () => {
	type Node = {
		properties?: Record<string, Node>;
		anyOf?: Node[];
		items?: Node;
		additionalProperties?: Node | boolean;
	};
	const schema = scenarioJsonSchema() as Node;
	const keysOf = (node: Node | undefined): Record<string, Node> =>
		Object.assign(
			{},
			node?.properties,
			...(node?.anyOf ?? []).map(keysOf),
			node?.items === undefined ? {} : keysOf(node.items),
		);

	it("knows every key of the starter and describes it", () => {
		const keys = (text: string) =>
			[...text.matchAll(/(?:^|[{,] ?)(?: |# |#)*([a-z][a-z0-9-]*): /gm)].map((match) => match[1] ?? "");
		const known = new Set<string>();
		const walk = (node: Node | undefined): void => {
			for (const [key, child] of Object.entries(keysOf(node))) {
				known.add(key);
				walk(child);
			}
			if (typeof node?.additionalProperties === "object") walk(node.additionalProperties);
		};
		walk(schema);
		const used = keys(starterScenario().replace(/^schedules:[\s\S]*?daily:/m, "daily:"));
		expect(used.length).toBeGreaterThan(25);
		for (const key of used) expect(known).toContain(key);
	});
	it("describes every section, and gives words and examples to complete", () => {
		for (const [key, node] of Object.entries(schema.properties ?? {})) {
			expect([key, (node as { description?: string }).description]).toEqual([
				key,
				expect.stringMatching(/.{5}/),
			]);
		}
		const text = JSON.stringify(schema);
		expect(text).toContain('"worst hour"');
		expect(text).toContain('"180 L"');
		expect(text).toContain('"king oyster"');
		expect(text).not.toContain("undefined");
	});
	it("asks for what the parser asks for", () => {
		expect((schema as { required?: string[] }).required).toEqual([
			"chamber",
			"substrate",
			"fan",
			"schedules",
		]);
		expect(schema.additionalProperties).toBe(false);
	});
});

describe("keys that the field has another word for", () => {
	const fields = (temperature: string, fan: string, timer: string): string => `
chamber: { volume: 180 L, temperature: ${temperature} }
substrate: { species: oyster, mass: 4 kg }
fan: { flow: 40 m3/h, voltage: 12 V, current: 0.3 A, ${fan} }
timer: { ranges: [1..999 s by 1 s], ${timer} }
schedules: { often: { on: 6 s, off: 174 s } }
`;
	const own = fields(
		'{ mean: 18 C, swing: 2 K, warmest: "14:00" }',
		"window: 7.5..13.8 V, start-current: 0.5 A",
		"waiting: 15 mA",
	);
	const others = fields(
		'{ mean: 18 C, amplitude: 2 K, warmest: "14:00" }',
		"voltage-range: 7.5..13.8 V, starting-current: 0.5 A",
		"standby-current: 15 mA",
	);
	/** All but where each value stands. */
	const meaning = (text: string) =>
		JSON.parse(
			JSON.stringify({ ...parseScenario(text), text: "" }, (key, value) =>
				key === "line" || key === "column" ? undefined : value,
			),
		);

	it("mean the same under either word", () => {
		expect(meaning(others)).toEqual(meaning(own));
		const { chamber, fan, timer } = parseScenario(others);
		expect(chamber.temperature.amplitude.value).toBe(2);
		expect(fan.voltageRange).toMatchObject({ low: 7.5, high: 13.8 });
		expect(fan.startingCurrent?.value).toBe(0.5);
		expect(timer?.standbyCurrent.value).toBe(0.015);
	});
	it("have their place in the file, and faults call them as they are written", () => {
		expect(parseScenario(others).timer?.standbyCurrent.origin).toMatchObject({
			kind: "given",
			line: 5,
			column: others.split("\n")[4]!.indexOf("15 mA") + 1,
		});
		expect(() => parseScenario(others.replace("15 mA", "15 kg"))).toThrow(
			/^scenario\.yaml:5:\d+ timer\.standby-current: needs a current such as "3 A" or "300 mA", got "15 kg"/,
		);
	});
	it("cannot stand under both words at once", () => {
		expect(() => parseScenario(others.replace("standby-current", "waiting: 20 mA, standby-current"))).toThrow(
			'"standby-current" is another name of "waiting", which stands here too; give one of the two',
		);
		expect(() => parseScenario(others.replace("standby-current", "standby-current: 20 mA, waiting"))).toThrow(
			'"waiting" is another name of "standby-current", which stands here too; give one of the two',
		);
		expect(() =>
			parseScenario(others.replace("standby-current", "standby-current: 20 mA, standby-current")),
		).toThrow('the key "standby-current" appears twice; each may stand once');
	});
	it("are suggested for a mistyped one, and then nothing is missing", () => {
		expect(() => parseScenario(others.replace("standby-current", "standy-current"))).toThrow(
			'timer.standy-current: is no known key; did you mean "standby-current"?',
		);
		try {
			parseScenario(others.replace("amplitude", "amplitud"));
			expect.unreachable();
		} catch (error) {
			expect((error as InputError).faults).toMatchObject([
				{ message: 'is no known key; did you mean "amplitude"?' },
			]);
		}
	});
	it("belong to their section alone", () => {
		expect(() => parseScenario(others.replace("standby-current", "voltage-range: 12 V, waiting"))).toThrow(
			"timer.voltage-range: is no known key",
		);
	});
	it("are known to an editor, one word in the place of the other", () => {
		interface Node {
			readonly properties?: Record<string, Node>;
			readonly required?: readonly string[];
			readonly anyOf?: readonly Node[];
		}
		const { properties } = scenarioJsonSchema() as Node;
		expect(properties?.timer?.properties).toHaveProperty("standby-current");
		expect(properties?.fan?.properties).toHaveProperty("voltage-range");
		const daily = properties?.chamber?.properties?.temperature?.anyOf?.find(
			({ properties }) => properties?.swing !== undefined,
		);
		expect(daily?.properties).toHaveProperty("amplitude");
		expect(daily?.required).toEqual(["mean"]);
		expect(daily?.anyOf).toEqual([{ required: ["swing"] }, { required: ["amplitude"] }]);
	});
});
