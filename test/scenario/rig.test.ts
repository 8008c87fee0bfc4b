import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { deliveredFlow } from "../../lib/model/fan/deliveredflow.ts";
import { type ParseOptions, parseScenario } from "../../lib/scenario/parse.ts";

const text = (fan: string, rest: string) =>
	`chamber: { volume: 180 L }\nsubstrate: { mass: 4 kg }\nschedules: { a: off }\nfan: { ${fan} }\n${rest}`;
const parse = (fan: string, rest = "", options: ParseOptions = {}) =>
	parseScenario(text(fan, rest), "rig.yaml", options);
const faults = (fan: string, rest = "", options: ParseOptions = {}): string[] => {
	try {
		parse(fan, rest, options);
	} catch (error) {
		if (error instanceof InputError) return error.message.split("\n");
		throw error;
	}
	throw new Error("was accepted");
};
const curve = "curve: { free-flow: 60 m3/h, shut-off: 40 Pa }";

describe("fan, supply and wire are read", () => {
	it("with what is left out", () => {
		const { fan, supply, wire, fuse, wiring } = parse("flow: 40 m3/h");
		expect(fan).toMatchObject({
			curve: null,
			count: 1,
			arrangement: "parallel",
			voltage: null,
			startingCurrent: null,
		});
		expect({ supply, wire, fuse, wiring }).toEqual({ supply: null, wire: null, fuse: null, wiring: null });
		expect(parse(`${curve}, current: 0.3 A`).fan).toMatchObject({
			curve: { shape: "linear" },
			startingCurrent: { value: expect.closeTo(0.45, 12), origin: { kind: "default" } },
		});
		expect(parse(`${curve}, filter: { kind: merv 13, area: 225 cm2 }`).fan.filter).toMatchObject({
			drop: { value: 67, low: 42, high: 77, origin: { kind: "default" } },
			at: { value: 2.54, dimension: "velocity" },
		});
	});
	it("with sizes of wire as people write them", () => {
		const size = (gauge: string) =>
			parse("flow: 40 m3/h, voltage: 12 V", `wire: { gauge: ${gauge}, length: 3 m }`).wire?.size;
		for (const gauge of ["AWG 20", "awg20", "20 AWG", '"AWG #20"', "20 ga"])
			expect(size(gauge)).toEqual({ awg: 20 });
		for (const gauge of ["0.5 mm2", "0.5 mm²", "0.5 sq mm"]) expect(size(gauge)).toEqual({ mm2: 0.5 });
	});
	it("with a wiring as it stands, and the place of each of its parts", () => {
		const { wiring } = parse(
			"flow: 40 m3/h",
			"wiring:\n  parts:\n    FAN: { kind: fan, a: 0.3 }\n  nets:\n    G: [FAN.-]",
		);
		expect(wiring).toMatchObject({ parts: { FAN: { kind: "fan", a: 0.3 } }, nets: { G: ["FAN.-"] } });
		expect(wiring?.places["parts.FAN.a"]).toEqual({ line: 7, column: 26 });
		expect(wiring?.places["nets.G"]).toEqual({ line: 9, column: 8 });
	});
});

describe("what cannot be is refused at its place", () => {
	it.each([
		[
			"voltage: 12 V",
			"",
			'fan.flow: is missing; it needs a flow such as "70 m3/h" or "40 cfm", or "curve" instead',
		],
		[
			"curve: { free-flow: 60 m3/h }",
			"",
			'fan.curve.shut-off: is missing; it needs a pressure such as 85 Pa, or "points" instead of both',
		],
		[
			"curve: { points: [{ flow: 0 m3/h, pressure: 40 Pa }] }",
			"",
			"fan.curve.points: needs at least two points { flow, pressure }, got a list",
		],
		[
			`${curve}, filter: { kind: MERV 13 }`,
			"",
			'fan.filter.area: is missing; it needs an area such as "225 cm2"',
		],
		[
			`${curve}, filter: { drop: 60 Pa, at: 40 m3/h, area: 2 dm2 }`,
			"",
			"fan.filter.area: conflicts with a drop at a flow, which needs no area",
		],
		[
			`${curve}, filter: { kind: MERV 99, area: 2 dm2 }`,
			"",
			'fan.filter.kind: is no known filter, got "MERV 99" (did you mean "MERV 8"? known: MERV 8, MERV 13, HEPA)',
		],
		[
			"flow: 40 m3/h, voltage: 12 V, window: 14..16 V",
			"",
			"fan.window: does not contain the rated voltage (12 V)",
		],
		[
			"flow: 40 m3/h, current: 1 A, start-current: 0.5 A",
			"",
			"fan.start-current: is below the running current (1 A)",
		],
		["flow: 40 m3/h, count: 1.5", "", "fan.count: needs a whole number from 1 to 1000, got 1.5"],
		["flow: 40 m3/h, arrangement: series", "", "fan.arrangement: needs a count of at least 2"],
		[
			"flow: 40 m3/h, voltage: 12 V",
			"supply: { voltage: 230 V }",
			"supply.voltage: is above 60 V; only low direct voltage behind a listed adapter is judged here, mains belongs to licensed people",
		],
		[
			"flow: 40 m3/h",
			"supply: { voltage: 12 V }",
			'fan.voltage: is missing; supply and wire are judged at the voltage of the fan: it needs a voltage such as "12 V", as on the fan\'s label',
		],
		[
			"flow: 40 m3/h, voltage: 12 V",
			"wire: { gauge: AWG 99, length: 1 m }",
			'wire.gauge: must be between AWG 4 and 40, or 0.005 and 25 mm2, got "AWG 99"',
		],
	])("%s %s", (fan, rest, message) => {
		const found = faults(fan, rest);
		expect(found.map((line) => line.replace(/^rig\.yaml:[45]:\d+ /, ""))).toEqual([message]);
	});
	it("a curve that does not fall, a window that is none and a supply of mains are told together", () => {
		const points =
			"{ flow: 0 m3/h, pressure: 30 Pa }, { flow: 20 m3/h, pressure: 35 Pa }, { flow: 10 m3/h, pressure: 3 Pa }";
		const fan = `curve: { points: [${points}] }, window: 12 V`;
		const rest = "supply: { voltage: 230 V }";
		const found = faults(fan, rest);
		const place = (line: number, part: string, end: string) => {
			const row = text(fan, rest).split("\n")[line - 1]!;
			return `rig.yaml:${line}:${row.indexOf(part) + part.indexOf(end) + 1}`;
		};
		expect(found.map((line) => line.replace(/: .*/, ""))).toEqual([
			"rig.yaml:4:1 fan.voltage",
			`${place(4, "pressure: 35 Pa", "35")} fan.curve.points[1].pressure`,
			`${place(4, "flow: 10 m3/h", "10")} fan.curve.points[2].flow`,
			`${place(4, "pressure: 3 Pa", "3 ")} fan.curve.points[2].pressure`,
			`${place(4, "window: 12 V", "12")} fan.window`,
			`${place(5, "voltage: 230 V", "230")} supply.voltage`,
		]);
		expect(found[1]).toContain("the pressures must fall from point to point");
	});
	it("a fan with no voltage is taken, unless a supply or a wire is to be judged by it", () => {
		expect(parse("flow: 40 m3/h").fan.voltage).toBeNull();
		expect(faults("flow: 40 m3/h", "supply: { voltage: 12 V }")).toEqual([
			'rig.yaml:4:1 fan.voltage: is missing; supply and wire are judged at the voltage of the fan: it needs a voltage such as "12 V", as on the fan\'s label',
		]);
		expect(faults("flow: 40 m3/h, volage: 12 V", "supply: { voltage: 12 V }")).toEqual([
			'rig.yaml:4:23 fan.volage: is no known key; did you mean "voltage"?',
		]);
	});
	it("a fan and a timer on the mains are taken, and their voltage changes no flow", () => {
		const curve = "curve: { free-flow: 100 m3/h, shut-off: 60 Pa }";
		const rest =
			"timer: { ranges: [1..999 s by 1 s], voltage: 230 V }\nsupply: { voltage: 12 V, current: 1 A }";
		const mains = parse(`${curve}, voltage: 230 V, window: 200..253 V`, rest);
		expect(deliveredFlow(mains).value).toBe(deliveredFlow(parse(curve)).value);
		expect(faults("flow: 40 m3/h, voltage: 23 kV")).toHaveLength(1);
	});
});
