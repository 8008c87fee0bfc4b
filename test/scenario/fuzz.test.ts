import { readdirSync, readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { starterScenario } from "../../lib/scenario/starter.ts";

const folder = new URL("../../fixtures/scenarios/", import.meta.url);
const seeds = [
	starterScenario(),
	...readdirSync(folder)
		.filter((name) => name.endsWith(".yaml"))
		.map((name) => readFileSync(new URL(name, folder), "utf8")),
];

/** Mulberry32, a small seeded generator. */
const generator = (seed: number) => () => {
	seed = (seed + 0x6d2b79f5) | 0;
	let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
	t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
	return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
};

// biome-ignore format: a word list
const nasty = [
	"NaN", ".nan", ".inf", "1e999", "-1e308 L", "0", "-0", "null", "~", "true", "[]", "{}", "[[", "}}", "&a *a", "*a",
	"!!js/function x", "<<: *a", "__proto__", "constructor", "toString", "hasOwnProperty", "\u0000", "\uFEFF", "\uD800",
	"\t", "\r", "\n---\n", "%YAML 1.1\n---\n", "? ", ": ", "- ", "|", ">", "\"", "'", "#", "..", "±", "±±", "…", " to ",
	"99999999999999999999 s", "1e-400 s", "0 s", "25:00", "180 kg", "5 m", "1,5 L", "%", "°", "²", "½ L", "٣ L",
	"daily", "switches", "continuous", "substrate: []", "schedules: {}", "schedules:", "flush: {}", "rates: [{}]",
];

const mutate = (text: string, random: () => number): string => {
	const at = () => Math.floor(random() * (text.length + 1));
	const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
	for (let edits = 1 + Math.floor(random() * 4); edits > 0; edits--) {
		const [a, b] = [at(), at()].sort((x, y) => x - y) as [number, number];
		const lines = text.split("\n");
		const line = Math.floor(random() * lines.length);
		switch (Math.floor(random() * 9)) {
			case 0:
				text = text.slice(0, a) + pick(nasty) + text.slice(a);
				break;
			case 1:
				text = text.slice(0, a) + text.slice(Math.min(b, a + 1 + Math.floor(random() * 12)));
				break;
			case 2:
				text = text.slice(0, a) + String.fromCharCode(Math.floor(random() * 0x180)) + text.slice(a + 1);
				break;
			case 3:
				text = text.slice(0, b);
				break;
			case 4:
				lines.splice(line, 1);
				text = lines.join("\n");
				break;
			case 5:
				lines.splice(line, 0, pick(lines));
				text = lines.join("\n");
				break;
			case 6:
				lines[line] = (lines[line] ?? "").replace(/:\s*[^,{}[\]#]*/, () => `: ${pick(nasty)}`);
				text = lines.join("\n");
				break;
			case 7:
				lines[line] = (lines[line] ?? "").replace(/\d+(?:\.\d+)?/, () =>
					String(pick([0, -1, 1e-9, 1e9, 0.5, 1e300])),
				);
				text = lines.join("\n");
				break;
			default:
				lines[line] = " ".repeat(Math.floor(random() * 6)) + (lines[line] ?? "").trimStart();
				text = lines.join("\n");
		}
	}
	return text;
};

it("of 2,400 mutated files each is either read into finite numbers or refused with an InputError", () => {
	const random = generator(20_260_501);
	const seen = { read: 0, refused: 0 };
	for (let run = 0; run < 2400; run++) {
		const text = mutate(seeds[run % seeds.length] ?? "", random);
		try {
			const scenario = parseScenario(text, "fuzz.yaml");
			for (const { path, quantity } of listInputs(scenario)) {
				for (const x of [quantity.value, quantity.low ?? 0, quantity.high ?? 0]) {
					if (!Number.isFinite(x)) throw new Error(`${path} is ${x} in\n${text}`);
				}
			}
			expect(scenario.schedules.length).toBeGreaterThan(0);
			seen.read++;
		} catch (error) {
			if (!(error instanceof InputError))
				throw new Error(`run ${run}: ${String(error)}\n${text}`, { cause: error });
			expect(error.faults.length).toBeGreaterThan(0);
			for (const { message } of error.faults) expect(message).toMatch(/^[^\n]+$/);
			seen.refused++;
		}
	}
	// Both ways must be well trodden, or the mutations test nothing.
	expect(seen.read).toBeGreaterThan(300);
	expect(seen.refused).toBeGreaterThan(1000);
}, 60_000);

// Every key of the file, where each of its values is right; figures invented.
const complete = {
	name: "All keys",
	chamber: {
		volume: "600 L",
		leak: "0.3 /h",
		temperature: { mean: "18 C", swing: "2 K", warmest: "15:00" },
		humidity: "90 %",
		altitude: "300 m",
		mixing: "80 %",
		stagnant: { share: "30 %", source: "60 %", exchange: "2 m3/h" },
	},
	intake: { co2: "430 ppm", temperature: "19 C", humidity: "45 %" },
	substrate: [
		{
			species: "oyster",
			mass: "4 kg",
			rate: { value: "140 mg/(kg h) ±20 %", source: "rise test" },
			density: "400 kg/m3",
			flush: { rise: "2 d", fall: "6 d", width: "1 d", low: "0.5", high: "1.8" },
		},
		{
			species: "shiitake",
			mass: "2 kg",
			rates: [
				{ at: "0 d", rate: "80 mg/(kg h)" },
				{ at: "3 d", rate: "90 mg/(kg h)" },
			],
		},
	],
	fan: {
		curve: {
			points: [
				{ flow: "0 m3/h", pressure: "85 Pa" },
				{ flow: "90 m3/h", pressure: "0 Pa" },
			],
		},
		"spin-up": "0.5 s",
		count: 2,
		arrangement: "series",
		voltage: "12 V",
		window: "7.5..13.8 V",
		current: "0.3 A",
		filter: { drop: "67 Pa", at: "2.54 m/s", area: "225 cm2", load: "1..2" },
		duct: { length: "2 m", diameter: "100 mm", bends: 1 },
		flap: "8 Pa",
	},
	sensor: { response: "60 s", zone: "mixed", accuracy: { value: "50 ppm + 3 %", source: "data sheet" } },
	timer: { ranges: ["1..999 s by 1 s"], digits: 3, shared: false, "power-up": "off", contact: "3 A" },
	supply: { voltage: "12 V", current: "2 A", rigs: 1 },
	wire: { gauge: "AWG 20", length: "3 m" },
	fuse: "0.63 A",
	wiring: { parts: { FAN: { kind: "fan", v: 12, a: 0.3 } }, nets: { SW: ["FAN.+", "FAN.-"] } },
	limits: {
		burst: "3 s",
		pause: "30 s",
		cycle: "30 min",
		quiet: { from: "22:00", to: "07:00", cycle: "20 min" },
	},
	target: { ceiling: "1000 ppm", floor: "600 ppm", on: "peak" },
	start: "500 ppm",
	correlations: [{ between: ["fan.flap", "chamber.leak"], matrix: [[1], [0.2, 1]] }],
	schedules: {
		short: { on: "4 s", off: "236 s", starts: "on" },
		daily: {
			daily: [
				{ from: "07:00", on: "6 s", off: "2 min" },
				{ from: "21:00", fan: "off" },
			],
		},
		list: { switches: ["0 s", "4 s", "90 s"], starts: "off", repeat: "3 min" },
		never: "off",
	},
};

type Node = unknown[] | Record<string, unknown>;
const nodesIn = (value: unknown): Node[] =>
	typeof value !== "object" || value === null
		? []
		: [value as Node, ...Object.values(value).flatMap(nodesIn)];

/** The complete file with one or two values of another shape: a mapping where a list belongs, a list where a value does. */
const reshape = (random: () => number): unknown => {
	const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
	const root: Record<string, unknown> = structuredClone(complete);
	for (let edits = pick([1, 1, 2]); edits > 0; edits--) {
		const node = pick(nodesIn(root)) as Record<string, unknown>;
		const key = pick(Object.keys(node));
		const old = key === undefined ? undefined : node[key];
		const inner = typeof old === "object" && old !== null ? Object.values(old)[0] : old;
		const other = pick([
			{},
			[],
			[{}],
			[old],
			inner,
			[[old]],
			{ from: old },
			{ 0: inner },
			{ value: old },
			null,
			true,
			7,
			"x",
			"",
		]);
		if (key === undefined) continue;
		if (random() < 0.1) delete node[key];
		else node[key] = other;
	}
	return root;
};

it("reads the complete file, and refuses each of 1,500 reshaped ones, if at all, with an InputError", () => {
	parseScenario(JSON.stringify(complete), "complete.json");
	const random = generator(20_261_130);
	let refused = 0;
	for (let run = 0; run < 1500; run++) {
		const text = JSON.stringify(reshape(random));
		try {
			parseScenario(text, "reshaped.json");
		} catch (error) {
			if (!(error instanceof InputError))
				throw new Error(`run ${run}: ${String(error)}\n${text}`, { cause: error });
			refused++;
		}
	}
	expect(refused).toBeGreaterThan(1000);
}, 60_000);
