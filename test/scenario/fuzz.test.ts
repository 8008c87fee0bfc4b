import { readdirSync, readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { listInputs } from "../../lib/scenario/inputs.ts";
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
