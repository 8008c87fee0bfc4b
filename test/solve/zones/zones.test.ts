import { expect, it } from "vitest";
import { InputError } from "../../../lib/errors.ts";
import type { Flow, ZoneModel } from "../../../lib/model/zones.ts";
import { compileZones, startOfZones } from "../../../lib/solve/zones/compilezones.ts";
import { findCommonPeriod } from "../../../lib/solve/zones/intervals.ts";
import { solveZonePeriod, solveZones } from "../../../lib/solve/zones/periodiczones.ts";
import { propagateZones } from "../../../lib/solve/zones/propagatezones.ts";
import { seededUniform } from "../../../lib/statistics/random.ts";
import { referenceRun } from "./reference.ts";

const random = seededUniform(11);
const within = (low: number, high: number) => low * (high / low) ** random();

/** A network of our own in which every zone is aired: a ring one way, exchange both ways, fans from outdoors through one zone or two. */
function drawZones(count: number, isFanSlow: boolean): ZoneModel {
	const zones = Array.from({ length: count }, (_, i) => ({
		name: `zone ${i}`,
		volumeM3: within(0.05, 30),
		start: within(300, 3000),
	}));
	const flows: Flow[] = [];
	const any = () => Math.floor(random() * count);
	const through = (m3PerS: number, by: string | undefined, ...path: number[]) => {
		const names = ["outdoors", ...path.map((i) => `zone ${i}`), "outdoors"];
		const mixing = random() < 0.3 ? within(0.3, 1) : 1;
		for (let i = 1; i < names.length; i++)
			flows.push({ from: names[i - 1]!, to: names[i]!, m3PerS, ...(by !== undefined && { by }), mixing });
	};
	for (let i = 0; i < count; i++) {
		const m3PerS = within(1e-5, 1e-3);
		through(within(1e-6, 1e-4), undefined, i);
		if (count > 1) {
			// A ring that air goes round one way, so that no scaling makes the matrix symmetric.
			flows.push({ from: `zone ${i}`, to: `zone ${(i + 1) % count}`, m3PerS: 2e-4 });
			const other = (i + 1 + Math.floor(random() * (count - 1))) % count;
			flows.push(
				{ from: `zone ${i}`, to: `zone ${other}`, m3PerS },
				{ from: `zone ${other}`, to: `zone ${i}`, m3PerS },
			);
		}
	}
	const actuators = ["a", "b", "c"].map((name, i) => ({
		name,
		schedule: {
			kind: "cycle",
			onSeconds: [6, 20, 45][i]!,
			offSeconds: [114, 100, 75][i]!,
			startsWith: random() < 0.5 ? "on" : "off",
		} as const,
		phaseSeconds: within(1, 100),
		...(isFanSlow && { spinUpTauSeconds: within(0.5, 5), coastDownTauSeconds: within(0.5, 8) }),
	}));
	for (const { name } of actuators) through(within(1e-4, 2e-2), name, any(), ...(count > 1 ? [any()] : []));
	const kept = flows.filter(({ from, to }) => from !== to);
	return {
		zones,
		flows: kept,
		actuators,
		sources: [
			...zones.map(({ name }) => ({ zone: name, perS: within(1e-3, 1) })),
			{ zone: "zone 0", perS: 0.3, by: "b" },
		],
		surfaces: [{ zone: `zone ${any()}`, m3PerS: within(1e-5, 1e-3), level: within(200, 2000) }],
		sensors: [{ name: "sensor", zone: `zone ${any()}`, responseSeconds: within(5, 100) }],
		outdoor: 420,
	};
}

for (const [count, runs] of [
	[1, 6],
	[2, 6],
	[3, 6],
	[40, 1],
] as const)
	it(`${count} zones with fans that take their time or none follow an independent Runge-Kutta to 1e-9 of the excess`, () => {
		for (let run = 0; run < runs; run++) {
			const model = drawZones(count, run % 2 === 1);
			const zones = compileZones(model);
			const { state } = propagateZones(zones, 300, startOfZones(zones));
			const expected = referenceRun(model, 300);
			for (const [i, level] of expected.entries())
				expect(Math.abs(420 + state[i]! - level) / Math.max(Math.abs(level - 420), 1)).toBeLessThan(1e-9);
		}
	}, 60_000);

it("what an observer sees of a run joins without a gap, has the integral of its levels and holds all turning points", () => {
	for (const isFanSlow of [false, true]) {
		const zones = compileZones(drawZones(3, isFanSlow));
		const start = startOfZones(zones);
		let last = 0;
		const integral = new Float64Array(4);
		const sampled = new Float64Array(4);
		const { state } = propagateZones(zones, 400, start, {
			onSolution(solution) {
				const { startSeconds, durationSeconds: h } = solution;
				expect(startSeconds).toBeCloseTo(last, 9);
				last = startSeconds + h;
				for (let i = 0; i < 4; i++) {
					integral[i]! += solution.integralTo(i, h);
					// Simpson's rule in forty parts.
					for (let k = 0; k <= 40; k++)
						sampled[i]! +=
							((k === 0 || k === 40 ? 1 : k % 2 === 1 ? 4 : 2) * solution.ppmAt(i, (k * h) / 40) * h) / 120;
					const known = [0, ...solution.turningPoints(i), h].map((t) => solution.ppmAt(i, t));
					for (let k = 0; k <= 40; k++) {
						expect(solution.ppmAt(i, (k * h) / 40)).toBeLessThan(Math.max(...known) + 1e-8);
						expect(solution.ppmAt(i, (k * h) / 40)).toBeGreaterThan(Math.min(...known) - 1e-8);
					}
				}
			},
		});
		expect(last).toBeCloseTo(400, 9);
		const alone = propagateZones(zones, 400, start).state;
		for (let i = 0; i < 4; i++) {
			expect(integral[i]! / sampled[i]!).toBeCloseTo(1, 8);
			expect(Math.abs(state[i]! / alone[i]! - 1)).toBeLessThan(1e-12);
		}
	}
});

it("the periodic state repeats, and is where a long run ends", () => {
	for (const isFanSlow of [false, true]) {
		const model = drawZones(5, isFanSlow);
		const zones = compileZones(model);
		const period = findCommonPeriod(zones.actuators)!;
		expect(period).toBe(120);
		const found = solveZonePeriod(zones, period)!;
		const after = propagateZones(zones, period, found);
		const late = propagateZones(zones, (isFanSlow ? 0.0125 : 3) * 86_400, {
			...found,
			state: found.state.map((x) => x * 1.001),
		});
		for (let i = 0; i < 6; i++) {
			expect(Math.abs(after.state[i]! / found.state[i]! - 1)).toBeLessThan(1e-12);
			expect(Math.abs(late.state[i]! / found.state[i]! - 1)).toBeLessThan(isFanSlow ? 1e-3 : 1e-9);
		}
	}
});

it("a chain with one-way flow and equal volumes, whose matrix has no eigenvectors enough, is exact", () => {
	// x3 = x0 e^(-t) t²/2 for a first zone that empties into the others.
	const names = ["a", "b", "c"];
	const model: ZoneModel = {
		zones: names.map((name, i) => ({ name, volumeM3: 2, start: i === 0 ? 1420 : 420 })),
		flows: ["outdoors", ...names].map((from, i) => ({ from, to: names[i] ?? "outdoors", m3PerS: 2 })),
		outdoor: 420,
	};
	const zones = compileZones(model);
	for (const t of [1e-3, 0.5, 3, 40]) {
		const { state } = propagateZones(zones, t, startOfZones(zones));
		for (const [i, share] of [1, t, (t * t) / 2].entries())
			expect(Math.abs(state[i]! / (1000 * share * Math.exp(-t)) - 1)).toBeLessThan(1e-13);
	}
});

it("stiff zones, a duct of a litre beside a room, keep their digits", () => {
	const model: ZoneModel = {
		zones: [
			{ name: "duct", volumeM3: 1e-3 },
			{ name: "room", volumeM3: 30 },
		],
		flows: [
			{ from: "outdoors", to: "duct", m3PerS: 0.02 },
			{ from: "duct", to: "room", m3PerS: 0.02 },
			{ from: "room", to: "outdoors", m3PerS: 0.02 },
		],
		sources: [{ zone: "duct", perS: 1 }],
		outdoor: 0,
	};
	const zones = compileZones(model);
	const { state } = propagateZones(zones, 1000, startOfZones(zones));
	// Duct: 50 (1 - e^(-20 t)); room: 50 (1 - (a e^(-bt) - b e^(-at))/(a - b)), a = 20, b = 1/1500.
	const [a, b] = [20, 1 / 1500];
	expect(Math.abs(state[0]! / 50 - 1)).toBeLessThan(1e-13);
	const room = 50 * (1 - (a * Math.exp(-b * 1000) - b * Math.exp(-a * 1000)) / (a - b));
	expect(Math.abs(state[1]! / room - 1)).toBeLessThan(1e-12);
});

it("zones whose schedules never meet, or that are not aired, are run, and the solution says so", () => {
	const closed: ZoneModel = {
		zones: [{ name: "a", volumeM3: 1 }],
		flows: [],
		sources: [{ zone: "a", perS: 1e-3 }],
		outdoor: 420,
	};
	expect(solveZones(closed, 7200)).toMatchObject({ basis: "run", cause: "no air", windowSeconds: 7200 });
	expect(solveZones(closed, 7200).levels.a!.peakPpm).toBeCloseTo(427.2, 9);
	const airing = (schedule: { onSeconds: number; offSeconds: number }, name: string) => ({
		actuators: [{ name, schedule: { kind: "cycle", ...schedule } as const }],
		flows: [
			{ from: "outdoors", to: "a", m3PerS: 0.01, by: name },
			{ from: "a", to: "outdoors", m3PerS: 0.01, by: name },
		],
	});
	const [x, y] = [
		airing({ onSeconds: 10, offSeconds: 300 }, "x"),
		airing({ onSeconds: 10, offSeconds: Math.PI * 100 }, "y"),
	];
	const both = { ...closed, flows: [...x.flows, ...y.flows], actuators: [...x.actuators, ...y.actuators] };
	expect(solveZones(both, 86_400)).toMatchObject({ basis: "run", cause: "incommensurate periods" });
	expect(solveZones({ ...closed, ...x })).toMatchObject({
		basis: "periodic",
		cause: null,
		windowSeconds: 310,
	});
	// A zone that only a closed zone airs is not aired.
	const pair = {
		...closed,
		zones: [...closed.zones, { name: "b", volumeM3: 1 }, { name: "c", volumeM3: 1 }],
	};
	const swap = ["b", "c"].map((from) => ({ from, to: from === "b" ? "c" : "b", m3PerS: 1 }));
	expect(solveZones({ ...pair, flows: [...x.flows, ...swap], actuators: x.actuators }, 3600).cause).toBe(
		"no air",
	);
});

it("a source that depends on time and level is carried by Runge-Kutta, and agrees with the exact path where it does not vary", () => {
	const model = drawZones(3, true);
	const asFunctions: ZoneModel = {
		...model,
		sources: model.sources!.map((source) => ({ ...source, perS: () => source.perS as number })),
	};
	const [exact, numeric] = [model, asFunctions].map((one) => {
		const zones = compileZones(one);
		return propagateZones(zones, 250, startOfZones(zones)).state;
	});
	for (let i = 0; i < 4; i++) expect(Math.abs(numeric![i]! / exact![i]! - 1)).toBeLessThan(2e-7);
	expect(solveZones(asFunctions, 500)).toMatchObject({ basis: "run", cause: "varying source" });
});

it("a model whose air does not balance is refused with the zone and by how much, for each fan by itself", () => {
	const model: ZoneModel = {
		zones: [
			{ name: "shed", volumeM3: 20 },
			{ name: "tent", volumeM3: 1 },
		],
		flows: [
			{ from: "outdoors", to: "shed", m3PerS: 0.01 },
			{ from: "shed", to: "outdoors", m3PerS: 0.0075 },
			{ from: "shed", to: "tent", m3PerS: 0.02, by: "fan" },
		],
		actuators: [{ name: "fan", schedule: { kind: "continuous" } }],
		outdoor: 420,
	};
	const message = (() => {
		try {
			compileZones(model);
		} catch (error) {
			if (error instanceof InputError) return error.message;
		}
		return "";
	})();
	expect(message).toContain('"shed" gains 0.002500 m3/s of air: 0.01000 m3/s flow in and 0.007500 m3/s out');
	expect(message).toContain('"shed" loses 0.02000 m3/s of air by "fan"');
	expect(message).toContain('"tent" gains 0.02000 m3/s of air by "fan"');
	const wrong = {
		...model,
		flows: [{ from: "loft", to: "tent", m3PerS: -1, by: "pump" }],
		sources: [{ zone: "loft", perS: Number.NaN }],
	};
	expect(() => compileZones(wrong)).toThrow(
		/flows\[0\].from: needs the name of a zone or "outdoors", got "loft"[\s\S]*actuator, got "pump"[\s\S]*flow of 0 m3\/s or more[\s\S]*sources\[0\].zone[\s\S]*sources\[0\].perS/,
	);
});

/** Chambers of our own invention in a room, their fans staggered over a cycle. */
function drawRoom(chambers: number, cycleSeconds: number): ZoneModel {
	const names = Array.from({ length: chambers }, (_, i) => `chamber ${i}`);
	const both = (a: string, b: string, m3PerS: number, by?: string): Flow[] => [
		{ from: a, to: b, m3PerS, ...(by !== undefined && { by }) },
		{ from: b, to: a, m3PerS, ...(by !== undefined && { by }) },
	];
	return {
		zones: [...names.map((name) => ({ name, volumeM3: 0.2 })), { name: "room", volumeM3: 30 }],
		flows: [
			...both("outdoors", "room", 30 / 3600),
			...names.flatMap((name) => [
				...both("room", name, 0.05 / 3600),
				...both("room", name, 60 / 3600, name),
			]),
		],
		actuators: names.map((name, i) => ({
			name,
			schedule: { kind: "cycle", onSeconds: 6, offSeconds: cycleSeconds - 6 },
			phaseSeconds: (i * cycleSeconds) / chambers,
		})),
		sources: names.map((zone) => ({ zone, perS: 500 / 3600 })),
		outdoor: 420,
	};
}

it("twenty staggered chambers in a room are run for 30 days within a second, and their room rises by what they give over what it gets", () => {
	const zones = compileZones(drawRoom(20, 330));
	const begun = process.cpuUsage();
	const { state } = propagateZones(zones, 30 * 86_400, startOfZones(zones));
	const { user, system } = process.cpuUsage(begun);
	expect((user + system) / 1e6).toBeLessThan(2);
	const settled = solveZonePeriod(zones, 330)!;
	const rest = (30 * 86_400) % 330;
	const after = propagateZones(zones, rest, settled).state;
	for (let i = 0; i <= 20; i++) expect(Math.abs(state[i]! / after[i]! - 1)).toBeLessThan(1e-10);
	// 20 × 0.5 L/h into 30 m3/h, and as much again over the delivered and the leaking air of each chamber, in the mean.
	const { levels } = solveZones(drawRoom(20, 330));
	expect(levels.room!.meanPpm).toBeCloseTo(420 + 1e4 / 30, 9);
});
