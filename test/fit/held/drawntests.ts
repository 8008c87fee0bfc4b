import { fitSeries } from "../../../lib/fit/fit.ts";
import type { FitOptions } from "../../../lib/fit/fitoptions.ts";
import type { Fit } from "../../../lib/fit/fittypes.ts";
import { parseScenario } from "../../../lib/scenario/parse.ts";
import { seriesOf } from "../syntheticlog.ts";
import { bell, dice, drawnLog, OF_RANGE, OF_SHEET } from "./drawnlog.ts";

/** One test of a drawn chamber: the fit, and what is true, in the units of the fit. */
export interface DrawnTest {
	readonly fit: (more?: FitOptions) => Fit;
	readonly truth: Readonly<Record<string, number>>;
}

export type Kind = "log" | "rise" | "decay" | "bursts";

const LITRE_PER_H = 1 / 3.6e6;

/** What the file says, with spreads as a grower would write them; what is true is drawn from that. */
export function drawnTest(kind: Kind, seed: number, { roundedTo = 1, noiseShare = 1 } = {}): DrawnTest {
	const even = dice(1000 * "lrdb".indexOf(kind[0]!) + seed);
	const normal = bell(even);
	const between = (low: number, high: number): number => low + (high - low) * even();
	const said = {
		litres: between(80, 600),
		intake: between(420, 520),
		kg: between(2, 8),
		leak: between(0.15, 0.6),
		flow: between(30, 80),
		on: Math.round(between(8, 20)),
	};
	const isEmpty = kind === "decay" || kind === "bursts";
	const litres = said.litres * (1 + 0.06 * OF_RANGE * normal());
	const kg = said.kg * (1 + 0.04 * OF_RANGE * normal());
	const intakePpm = said.intake + 40 * OF_RANGE * normal();
	const offsetPpm = 30 * OF_SHEET * normal();
	const gain = 1 + 0.03 * OF_SHEET * normal();
	// A leak that is known in air changes; a decay and a log find it whatever was said.
	const perHour =
		said.leak * (kind === "rise" ? Math.max(1 + 0.4 * OF_RANGE * normal(), 0.02) : between(0.6, 1.6));
	const rate = between(100, 260);
	// At 18 °C and 101,325 Pa a gram of CO2 takes R T / (M p).
	const litresPerGram = ((8.31446261815324 * 291.15) / (44.0095 * 101325)) * 1000;
	const outputLPerH = isEmpty ? 0 : (rate * kg * litresPerGram) / 1000;
	const lagSeconds = kind === "rise" || kind === "decay" ? between(10, 60) : between(20, 90);
	// As a test sheet has it: a short burst changes a tenth to a sixth of the air, so that CO2 is left for the last one.
	const short = Math.round(between(4, 8));
	const flowM3PerH =
		kind === "bursts" ? (3.6 * between(0.1, 0.16) * said.litres) / short : said.flow * between(0.7, 1.3);
	const off = 600 - said.on;
	const phase = between(30, 500);
	const stepSeconds = kind === "bursts" ? 10 : kind === "rise" ? 30 : 60;
	const hours = { log: 24, rise: between(0.7, 2), decay: between(4, 9), bursts: 0 }[kind];
	const lengths = [short, 3 * short];
	const actual = new Map([said.on, ...lengths].map((length) => [length, length + between(-0.5, 0.5)]));
	const blows: { at: number; on: number }[] = [];
	if (kind === "log")
		for (let at = phase - 600; at < 3600 * hours; at += 600) blows.push({ at, on: actual.get(said.on)! });
	let end = 60;
	if (kind === "bursts")
		for (const length of lengths)
			for (let k = 0; k < 5; k++) {
				const at = end + 5 * lagSeconds + 90 + 10 * even();
				blows.push({ at, on: actual.get(length)! });
				end = at + length;
			}
	const run = {
		hours: kind === "bursts" ? (end + 5 * lagSeconds + 200) / 3600 : hours,
		stepSeconds,
		blows: blows.filter(({ at }) => at >= 0),
		noisePpm: noiseShare * between(3, 10),
		likeness: between(0, 0.6),
		roundedTo,
	};
	const chamber = {
		litres,
		leakLPerH: perHour * litres,
		flowM3PerH,
		outputLPerH,
		intakePpm,
		startPpm: {
			log: between(500, 900),
			rise: between(420, 700),
			decay: between(2500, 4500),
			bursts: between(2800, 3500),
		}[kind],
		lagSeconds,
		offsetPpm,
		gain,
	};
	const scenario = parseScenario(
		`
chamber: { volume: ${said.litres} L ±6 %, leak: ${said.leak} /h ±40 %, temperature: 18 C ±0.01 K, pressure: 101325 Pa ±0.01 % }
intake: { co2: ${said.intake} ppm ±40 ppm }
substrate: { species: oyster, stage: fruiting, mass: ${said.kg} kg ±4 %, rate: 160 mg/(kg h), reference: 18 C }
fan: { flow: ${said.flow} m3/h }
sensor: { response: ${lagSeconds * (kind === "rise" || kind === "decay" ? 1 + 0.2 * OF_RANGE * Math.max(-2.5, Math.min(2.5, normal())) : 1)} s, accuracy: 30 ppm + 3 % }
timer: { ranges: [1..999 s by 1 s] }
schedules: { usual: { on: ${said.on} s, off: ${off} s } }
`,
		"drawn.yaml",
	);
	const { timesSeconds, co2Ppm } = drawnLog(chamber, run, normal);
	const series = seriesOf(timesSeconds, co2Ppm, stepSeconds);
	const options: FitOptions = {
		test: kind,
		...(kind === "bursts" ? { burstSeconds: lengths } : {}),
	};
	return {
		fit: (more = {}) => fitSeries(scenario, series, { ...options, ...more }),
		truth: {
			generation: outputLPerH * LITRE_PER_H,
			"respiration rate": rate / 3.6e9,
			flow: flowM3PerH / 3600,
			leak: chamber.leakLPerH * LITRE_PER_H,
			"leak per volume": perHour / 3600,
			response: lagSeconds,
			offset: offsetPpm,
			background: gain * intakePpm + offsetPpm,
		},
	};
}

/** Value and interval of a name in a fit; `X per volume` and rates are among what goes with a parameter. */
export function intervalOf(
	{ parameters }: Pick<Fit, "parameters">,
	name: string,
): { readonly value: number; readonly low: number; readonly high: number } | null {
	const one =
		name === "respiration rate"
			? parameters
					.find((each) => each.name === "generation")
					?.alsoAs.find(({ quantity }) => quantity === name)
			: name === "leak per volume"
				? parameters
						.find((each) => each.name === "leak")
						?.alsoAs.find(({ quantity }) => quantity === "air changes")
				: parameters.find((each) => each.name === name);
	if (one === undefined || one.ci95Low === null || one.ci95High === null) return null;
	return { value: one.value, low: one.ci95Low, high: one.ci95High };
}
