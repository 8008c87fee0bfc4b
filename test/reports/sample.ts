import type { Cycle, Schedule } from "../../lib/model/schedule.ts";
import type { Quantity, Scenario } from "../../lib/scenario/scenario.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import type { Comparison } from "../../lib/study/compare.ts";
import type { ComparisonCurves, Curve } from "../../lib/study/curves.ts";

/** Hand-made figures for the tests of the reports: plausible in form, no prediction of anything. */

const quantity = (text: string, value: number, dimension: Quantity["dimension"], given = true): Quantity => ({
	value,
	low: null,
	high: null,
	dimension,
	text,
	origin: given
		? { kind: "given", line: 3, column: 12 }
		: { kind: "default", source: "common practice, no source", worth: "soft" },
});

const text = `name: Two-shelf oyster cabinet
chamber: { volume: 420 L, leak: 0.3 /h }
substrate:
  - { species: oyster, stage: fruiting, mass: 9 kg }
`;

const scenario = (name: string, schedules: Scenario["schedules"]): Scenario => ({
	name,
	notes: "Invented for the tests.",
	fileName: "cabinet.yaml",
	text,
	chamber: {
		volume: quantity("420 L", 0.42, "volume"),
		leak: quantity("0.3 /h", 0.3 / 3600, "air changes"),
		temperature: {
			mean: quantity("17 C", 17, "temperature"),
			swing: quantity("0 K", 0, "temperature difference", false),
			warmestSeconds: 54_000,
		},
		humidity: quantity("90 %", 0.9, "fraction"),
		pressure: quantity("300 m", 97_770, "pressure"),
		mixing: quantity("1", 1, "number", false),
		stagnant: null,
	},
	intake: {
		co2: quantity("480 ppm", 480, "concentration"),
		temperature: quantity("19 C", 19, "temperature"),
		humidity: quantity("45 %", 0.45, "fraction"),
	},
	substrate: [
		{
			species: "oyster",
			stage: "fruiting",
			stageFactor: quantity("1", 1, "number", false),
			mass: quantity("9 kg", 9, "mass"),
			rate: quantity("60..400 mg/(kg h)", 4.3e-8, "respiration", false),
			reference: quantity("20 C", 20, "temperature", false),
			q10: quantity("2.5", 2.5, "number", false),
			inhibition: null,
			volume: null,
			flush: null,
			rates: null,
		},
	],
	fan: {
		flow: quantity("70 m3/h", 70 / 3600, "flow"),
		spinUp: quantity("0.8 s", 0.8, "duration"),
		coastDown: quantity("1.5 s", 1.5, "duration"),
	},
	sensor: null,
	timer: null,
	target: { ceiling: quantity("1000 ppm", 1000, "concentration"), floor: null, on: "peak" },
	start: quantity("480 ppm", 480, "concentration", false),
	schedules,
});

/** Rises at `ppmPerSecond` while off and falls by the time constant while on; the shape of a sawtooth, nothing more. */
const curve = (
	name: string,
	{ onSeconds, offSeconds, startsWith }: Cycle,
	from: number,
	to: number,
	points: number,
): Curve => {
	const supply = 480;
	const rise = 0.37;
	const tau = 22;
	const period = onSeconds + offSeconds;
	const decay = Math.exp(-onSeconds / tau);
	const trough = supply + (rise * offSeconds * decay) / (1 - decay) + rise * tau * 0.5;
	const peak = trough + rise * offSeconds;
	const steps = Math.max(2, Math.floor(points / (((to - from) / period) * 2)) + 1);
	const times: number[] = [];
	const ppm: number[] = [];
	const bursts: { startSeconds: number; endSeconds: number }[] = [];
	const push = (t: number, c: number) => {
		if (t >= from && t <= to && (times.length === 0 || t > times[times.length - 1]!)) {
			times.push(t);
			ppm.push(supply + (c - supply) * (from === 0 ? 1 - Math.exp(-t / 1500) : 1));
		}
	};
	const first = startsWith === "off" ? offSeconds : 0;
	for (let k = -1; first + k * period < to; k++) {
		const start = first + k * period;
		for (let i = 0; i < steps; i++)
			push(
				start + (onSeconds * i) / steps,
				trough + (peak - trough) * Math.exp((-onSeconds * i) / steps / tau),
			);
		for (let i = 0; i < steps; i++)
			push(start + onSeconds + (offSeconds * i) / steps, trough + (rise * offSeconds * i) / steps);
		const burst = { startSeconds: Math.max(from, start), endSeconds: Math.min(to, start + onSeconds) };
		if (burst.endSeconds > burst.startSeconds) bursts.push(burst);
	}
	if (times[times.length - 1]! < to) push(to, trough);
	return {
		name,
		timesSeconds: Float64Array.from(times),
		co2Ppm: Float64Array.from(ppm),
		sensorPpm: null,
		bursts,
	};
};

const summary = ({ onSeconds, offSeconds }: Cycle, shape: Curve): Summary => {
	const peakPpm = Math.max(...shape.co2Ppm);
	const troughPpm = Math.min(...shape.co2Ppm);
	const meanPpm = (peakPpm + troughPpm) / 2;
	const period = onSeconds + offSeconds;
	const air = (70 * 24 * onSeconds) / period;
	return {
		peakPpm,
		meanPpm,
		troughPpm,
		ripplePpm: peakPpm - troughPpm,
		basis: "periodic",
		windowSeconds: period,
		zone: "mixed",
		worstHourMeanPpm: meanPpm,
		judged: { on: "peak", valuePpm: peakPpm, ceilingPpm: 1000, floorPpm: null, within: peakPpm <= 1000 },
		aboveCeilingSecondsPerHour: peakPpm > 1000 ? (3600 * (peakPpm - 1000)) / (peakPpm - troughPpm) : 0,
		aboveCeilingPercent: peakPpm > 1000 ? (100 * (peakPpm - 1000)) / (peakPpm - troughPpm) : 0,
		belowFloorSecondsPerHour: null,
		belowFloorPercent: null,
		firstAboveSeconds: peakPpm > 1000 ? 2150 : null,
		settleSeconds: 6900,
		burstsPerDay: 86_400 / period,
		airChangesPerBurst: (onSeconds * 70) / 3600 / 0.42,
		replacedPerBurst: 1 - Math.exp((-onSeconds * 70) / 3600 / 0.42),
		airChangesPerHour: air / 24 / 0.42,
		freshAirM3PerDay: air,
		leakM3PerDay: 3,
		continuousPpm: meanPpm - 90,
		meanPenaltyPpm: 90,
		peakPenaltyPpm: peakPpm - meanPpm + 90,
		sensor: null,
		notes: [],
	};
};

const words = ({ onSeconds, offSeconds }: Cycle) =>
	`${onSeconds} s on, ${Math.floor(offSeconds / 60)} min ${offSeconds % 60} s off, ${Math.round(86_400 / (onSeconds + offSeconds))} bursts a day`;

export const CYCLES: readonly (readonly [string, Cycle])[] = [
	["rare and long", { kind: "cycle", onSeconds: 60, offSeconds: 3540 }],
	["short and often", { kind: "cycle", onSeconds: 4, offSeconds: 236 }],
	["every half hour", { kind: "cycle", onSeconds: 40, offSeconds: 1760 }],
	["quarter-hourly", { kind: "cycle", onSeconds: 25, offSeconds: 875 }],
	["ten minutes", { kind: "cycle", onSeconds: 20, offSeconds: 580 }],
	[
		"hourly, weak, the way the old timer behind the second shelf was set before it was moved",
		{ kind: "cycle", onSeconds: 8, offSeconds: 3592 },
	],
	["rare, starts with a pause", { kind: "cycle", onSeconds: 60, offSeconds: 2640, startsWith: "off" }],
	["five minutes", { kind: "cycle", onSeconds: 9, offSeconds: 291 }],
];

/** A comparison of the first `count` schedules, with its two pictures. */
export function sample(count = 2, name = "Two-shelf oyster cabinet", cycles = CYCLES, points = 1900) {
	const chosen = cycles.slice(0, count);
	const draw = (from: number, to: number) =>
		chosen.map(([label, cycle]) => curve(label, cycle, from, to, points));
	const curves: ComparisonCurves = { pattern: draw(172_800, 180_000), firstDay: draw(0, 86_400) };
	const schedules = chosen.map(([label, schedule], i) => ({
		name: label,
		schedule: schedule as Schedule,
		inWords: words(schedule),
		summary: summary(schedule, curves.pattern[i]!),
	}));
	const within = schedules.filter((s) => s.summary.judged.within);
	const best = [...within].sort((a, b) => a.summary.freshAirM3PerDay - b.summary.freshAirM3PerDay)[0];
	const nearest = [...schedules].sort((a, b) => a.summary.peakPpm - b.summary.peakPpm)[0];
	const comparison: Comparison = {
		scenario: scenario(
			name,
			chosen.map(([label, schedule]) => ({ name: label, schedule, line: 9, column: 3 })),
		),
		model: {
			volumeM3: 0.42,
			supplyPpm: 480,
			generationM3PerS: 1.55e-7,
			leakM3PerS: 0.42 * (0.3 / 3600),
			fanM3PerS: 70 / 3600,
		},
		schedules,
		winner: best?.name ?? null,
		nearest: best ? null : (nearest?.name ?? null),
		warnings: [
			"substrate[0].rate: the range 60..400 mg/(kg h) stands for its geometric mean, 155 mg/(kg h).",
		],
	};
	return { comparison, curves };
}
