// Measures each job beside its rival in the same run, on the built library. Machines are noisy: the medians of several rounds.

import { execFileSync, spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { cpus, tmpdir, totalmem } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import odex from "odex";

const root = new URL("../../", import.meta.url);
if (!existsSync(new URL("dist/lib/index.js", root))) {
	console.error("dist is missing: npm run build");
	process.exit(2);
}
const { simulate, periodicState } = await import(new URL("dist/lib/index.js", root).href);
const { periodicColumns, periodicCycle, settingMap } = await import(
	new URL("dist/lib/public/solver.js", root).href
);

const median = (list) => list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)];
/** Rounds of all rivals by turns, so that a noisy moment hits all of them. [ms] */
function race(rivals, rounds, warmups = 2) {
	const times = Object.fromEntries(Object.keys(rivals).map((name) => [name, []]));
	for (let round = 0; round < rounds + warmups; round++)
		for (const [name, job] of Object.entries(rivals)) {
			const from = performance.now();
			job();
			if (round >= warmups) times[name].push(performance.now() - from);
		}
	return Object.fromEntries(Object.entries(times).map(([name, list]) => [name, median(list)]));
}
const report = (what, ours, rival, target) =>
	console.log(`${what.padEnd(64)} ${ours.padStart(12)} ${rival.padStart(14)}  ${target}`);
const ms = (t) => `${t < 10 ? t.toFixed(2) : t.toFixed(0)} ms`;

console.log(
	`${cpus()[0].model}, ${cpus().length} cores, ${Math.round(totalmem() / 2 ** 30)} GiB, Node ${process.version}, odex ${odex.Solver ? "2.0.4" : "?"}\n`,
);
report("job", "ours", "rival", "");

const cabinet = {
	volumeM3: 0.18,
	intakePpm: 430,
	generationM3PerS: 0.216e-3 / 3600,
	infiltrationM3PerS: 0.0072 / 3600,
	deliveredM3PerS: 43.2 / 3600,
};
const cycle = { kind: "cycle", onSeconds: 12, offSeconds: 540 };
const { Solver } = odex;

// 1. A day at one-second output.
{
	const raw = () => {
		const out = new Float64Array(86_401);
		const solver = new Solver(1);
		solver.relativeTolerance = 1e-8;
		solver.absoluteTolerance = 1e-8;
		solver.denseOutput = true;
		let c = 430;
		let next = 0;
		for (let start = 0, on = true; start < 86_400; on = !on) {
			const end = Math.min(86_400, start + (on ? 12 : 540));
			const rate = (cabinet.infiltrationM3PerS + (on ? cabinet.deliveredM3PerS : 0)) / cabinet.volumeM3;
			const rise = (1e6 * cabinet.generationM3PerS) / cabinet.volumeM3;
			const slope = [0];
			solver.initialStepSize = 1;
			c = solver.solve(
				(_t, y) => {
					slope[0] = rise - rate * (y[0] - 430);
					return slope;
				},
				start,
				[c],
				end,
				(_n, _from, to, _y, dense) => {
					if (dense) for (; next <= to && next <= 86_400; next++) out[next] = dense(0, next);
					else if (next <= to) out[next++] = c;
				},
			).y[0];
			start = end;
		}
		return out;
	};
	const ours = simulate(cabinet, cycle, { durationSeconds: 86_400, sampleIntervalSeconds: 1 });
	const out = raw();
	let worst = 0;
	for (let i = 0; i < out.length; i++) worst = Math.max(worst, Math.abs(out[i] - ours.co2Ppm[i]));
	const t = race(
		{ ours: () => simulate(cabinet, cycle, { durationSeconds: 86_400, sampleIntervalSeconds: 1 }), raw },
		41,
		80,
	);
	report(
		"24 h, 86,401 outputs, exact path / odex restarted at 1e-8",
		ms(t.ours),
		ms(t.raw),
		`${(t.raw / t.ours).toFixed(1)} x (wanted 15 x); the two differ by ${worst.toExponential(1)} ppm`,
	);
}

// 2. Two weeks of the whole model.
{
	const logistic = (x) => 1 / (1 + Math.exp(-x));
	const growth = (t) => 0.6 + 1.2 * logistic((t - 259_200) / 43_200) - logistic((t - 691_200) / 43_200);
	const g = cabinet.generationM3PerS;
	// Both rivals get the same source, which remembers the last moment, since each asks for it once a zone.
	let at = Number.NaN;
	let now = 0;
	const give = (t, ppm) => {
		if (t !== at) {
			at = t;
			now = g * growth(t);
		}
		return now / (1 + ppm / 20_000);
	};
	const source = {
		m3PerS: give,
		isTimeVarying: true,
		isPpmDependent: true,
		breakpointsSeconds: [],
		periodSeconds: null,
		horizonSeconds: 1_209_600,
	};
	const model = {
		...cabinet,
		stagnantFraction: 0.3,
		stagnantSourceShare: 0.6,
		interzonalM3PerS: 5 / 3600,
		responseSeconds: 60,
		spinUpTauSeconds: 1,
		coastDownTauSeconds: 2,
		source,
	};
	const until = 14 * 86_400;
	const whole = (relativeTolerance, method) =>
		simulate(model, cycle, {
			durationSeconds: until,
			sampleTimes: [until],
			...(relativeTolerance ? { relativeTolerance } : {}),
			...(method ? { method } : {}),
		}).end.state;
	const raw = (tolerance) => {
		const [v1, v2, k] = [0.7 * 0.18, 0.3 * 0.18, 5 / 3600];
		const solver = new Solver(4);
		solver.relativeTolerance = tolerance;
		solver.absoluteTolerance = tolerance;
		solver.maxSteps = 1e7;
		solver.initialStepSize = 0.1;
		let y = [430, 430, 430, 0];
		const slope = [0, 0, 0, 0];
		for (let start = 0, on = true; start < until; on = !on) {
			const end = Math.min(until, start + (on ? 12 : 540));
			y = solver.solve(
				(t, [a, b, s, f]) => {
					const air = f * cabinet.deliveredM3PerS + cabinet.infiltrationM3PerS;
					slope[0] = (0.4e6 * give(t, a) + air * (430 - a) + k * (b - a)) / v1;
					slope[1] = (0.6e6 * give(t, b) + k * (a - b)) / v2;
					slope[2] = (a - s) / 60;
					slope[3] = ((on ? 1 : 0) - f) / (on ? 1 : 2);
					return slope;
				},
				start,
				y,
				end,
			).y;
			start = end;
		}
		return y.slice(0, 3).map((c) => c - 430);
	};
	const truth = whole(1e-12);
	const off = (state) => Math.max(...truth.map((x, i) => Math.abs(x - state[i])));
	// The rival at the loosest tolerance that still keeps 2e-3 ppm at the end.
	const tolerance = [1e-5, 1e-6, 1e-7, 1e-8].find((t) => off(raw(t)) <= 2e-3) ?? 1e-8;
	const t = race({ ours: () => whole(), raw: () => raw(tolerance) }, 5);
	report(
		`14 days of the full model / odex with the fan as a state at ${tolerance}`,
		ms(t.ours),
		ms(t.raw),
		`${(t.raw / t.ours).toFixed(1)} x (wanted 3 x); errors ${off(whole()).toExponential(1)} and ${off(raw(tolerance)).toExponential(1)} ppm`,
	);
	const wall = race({ wall: () => whole(1e-7, "odex") }, 3);
	report("  the same by our own walled odex path, restarted at each switch", ms(wall.wall), "", "");
}

// 3. Periodic states by the ten thousand.
{
	const n = 10_000;
	const column = (f) =>
		Float64Array.from({ length: n }, (_, i) => f((i * 0.618033988749895) % 1, (i * 0.7548776662466927) % 1));
	const columns = {
		intakePpm: column(() => 430),
		risePpmPerS: column((u) => 0.1 + u),
		onPerS: column((_u, v) => 0.02 + 0.1 * v),
		offPerS: column((u) => (u < 0.2 ? 0 : 1e-4 * u)),
		onSeconds: column((_u, v) => 2 + 60 * v),
		offSeconds: column((u) => 60 + 2000 * u),
	};
	const out = { peakPpm: new Float64Array(n), meanPpm: new Float64Array(n), troughPpm: new Float64Array(n) };
	const t = race(
		{
			ours: () => periodicColumns(columns, out),
			general: () => {
				for (let i = 0; i < 100; i++)
					periodicState(
						{
							volumeM3: 1,
							intakePpm: 430,
							generationM3PerS: columns.risePpmPerS[i] * 1e-6,
							infiltrationM3PerS: columns.offPerS[i],
							deliveredM3PerS: columns.onPerS[i] - columns.offPerS[i],
						},
						{ kind: "cycle", onSeconds: columns.onSeconds[i], offSeconds: columns.offSeconds[i] },
					);
			},
		},
		41,
	);
	report(
		"one periodic state, columns of 10,000 / one by one from a model",
		`${((t.ours / n) * 1e6).toFixed(0)} ns`,
		`${((t.general / 100) * 1e6).toFixed(0)} ns`,
		"(wanted 50 ns)",
	);
}

// 4. All settings of a three-digit timer.
{
	const times = Float64Array.from({ length: 999 }, (_, i) => i + 1);
	const grid = { onSeconds: times, offSeconds: times };
	const map = settingMap(cabinet, grid);
	const rise = (1e6 * cabinet.generationM3PerS) / cabinet.volumeM3;
	const off = cabinet.infiltrationM3PerS / cabinet.volumeM3;
	const on = off + cabinet.deliveredM3PerS / cabinet.volumeM3;
	const some = 20_000;
	let sum = 0;
	const t = race(
		{
			ours: () => settingMap(cabinet, grid, map),
			scalar: () => {
				for (let k = 0; k < some; k++)
					sum += periodicCycle(430, rise, on, off, 1 + (k % 999), 1 + (k % 991)).peakPpm;
			},
		},
		15,
		5,
	);
	report(
		`one of 998,001 settings, map with arrays reused / scalar function (${sum > 0 ? "peak, mean, trough" : ""})`,
		`${((t.ours / 998_001) * 1e6).toFixed(1)} ns`,
		`${((t.scalar / some) * 1e6).toFixed(0)} ns`,
		"(wanted 12 ns)",
	);
}

// A setting in ten thousand draws, and the search with a confidence.
{
	const from = (name) => import(new URL(`dist/lib/${name}.js`, root).href);
	const { readFileSync } = await import("node:fs");
	const [{ parseScenario, chooseSetting }, { drawModels }, { makeDrawEvaluator }, { makeContext }] =
		await Promise.all([
			from("index"),
			from("choose/probability/draws"),
			from("choose/probability/drawevaluator"),
			from("choose/prepare"),
		]);
	const scenario = parseScenario(readFileSync(new URL("fixtures/scenarios/small-tub.yaml", root), "utf8"));
	const judge = makeDrawEvaluator(drawModels(scenario, 10_000, 1), makeContext(scenario));
	const t = race(
		{
			values: () => judge.values("peak", { onSeconds: 6, offSeconds: 114 }),
			plain: () => chooseSetting(scenario),
			sure: () => chooseSetting(scenario, { confidence: 90 }),
		},
		9,
	);
	report("one setting in 10,000 draws", ms(t.values), "", "(wanted well under 10 ms)");
	report(
		"search with 90 % confidence, beyond the plain choice",
		ms(t.sure - t.plain),
		ms(t.plain),
		"(wanted 1000 ms)",
	);
}

// 5. Start-up of the command line.
{
	const cli = fileURLToPath(new URL("dist/bin/main.js", root));
	const scenario = fileURLToPath(new URL("fixtures/scenarios/two-shelf-cabinet.yaml", root));
	const chamber = fileURLToPath(new URL("fixtures/scenarios/small-tub.yaml", root));
	const run = (...args) => {
		try {
			execFileSync(process.execPath, args, { stdio: "ignore" });
		} catch (error) {
			if (error.status !== 1) throw error;
		}
	};
	const t = race(
		{
			node: () => run("-e", "0"),
			version: () => run(cli, "--version"),
			json: () => run(cli, "compare", scenario, "--json"),
			html: () => run(cli, "compare", scenario, "--html", "/dev/null", "--force"),
			choose: () => run(cli, "choose", chamber, "--json", "--draws", "0"),
			sure: () => run(cli, "choose", chamber, "--json", "--confidence", "90"),
		},
		9,
	);
	const times = (x) => `${(x / t.node).toFixed(1)} x`;
	report("lullgust --version / node -e 0", ms(t.version), ms(t.node), `${times(t.version)} (wanted 3 x)`);
	report("lullgust compare --json / node -e 0", ms(t.json), ms(t.node), `${times(t.json)} (wanted 6 x)`);
	report("lullgust compare --html", ms(t.html), "", "(wanted 2500 ms)");
	report("lullgust choose --json, 998,001 settings, no draws", ms(t.choose), "", "(wanted 1000 ms)");
	report("  with 10,000 draws and a confidence of 90 %", ms(t.sure), "", "(wanted 2500 ms)");
}

// 6. Memory of a month by the second.
{
	const script = `
		import { simulate } from ${JSON.stringify(new URL("dist/lib/index.js", root).href)};
		const run = simulate(${JSON.stringify(cabinet)}, ${JSON.stringify(cycle)}, { durationSeconds: 2592000, sampleIntervalSeconds: 1 });
		console.log(run.co2Ppm.length, Math.round(process.resourceUsage().maxRSS / 1024));`;
	const [count, mib] = execFileSync(process.execPath, ["--input-type=module", "-e", script], {
		encoding: "utf8",
	})
		.trim()
		.split(" ");
	report(
		`30 days at 1 s, ${Number(count).toLocaleString("en")} samples: peak resident memory`,
		`${mib} MiB`,
		"",
		"(wanted under 200 MB)",
	);
}

// 7. A wiring of two hundred parts, joined at random.
{
	const { checkWiring } = await import(new URL("dist/lib/index.js", root).href);
	const kinds = [
		[{ kind: "fan", v: 12, a: 0.3, vmin: 7, vmax: 13.8 }, "+ -"],
		[{ kind: "fuse", a: 2, wireA: 3 }, "1 2"],
		[{ kind: "relay_timer", v: 12, a: 0.05, contactA: 3 }, "V+ V- COM NO NC"],
		[{ kind: "diode" }, "K A"],
	];
	let turn = 0;
	const random = () => {
		turn += 1;
		return (turn * 0.618033988749895 + turn * turn * 0.7548776662466927) % 1;
	};
	const parts = { P0: { kind: "supply", v: 12, maxA: 99 } };
	const nets = Object.fromEntries(Array.from({ length: 200 }, (_, i) => [`N${i}`, []]));
	for (let i = 0; i < 200; i++) {
		const [part, terminals] = i === 0 ? [parts.P0, "+ -"] : kinds[Math.floor(random() * kinds.length)];
		parts[`P${i}`] = part;
		for (const terminal of terminals.split(" "))
			nets[`N${Math.floor(random() * 200)}`].push(`P${i}.${terminal}`);
	}
	const t = race({ check: () => checkWiring({ parts, nets }) }, 21);
	report("wiring of 200 parts joined at random, checked", ms(t.check), "", "(wanted 50 ms)");
}

// 8. Learning from a log: the fit alone against the same fit through odex; a month by the second, read and fitted.
{
	const { parseScenario, buildModel } = await import(new URL("dist/lib/index.js", root).href);
	const { createFitModel } = await import(new URL("dist/lib/fit/model/fitmodel.js", root).href);
	const { estimate } = await import(new URL("dist/lib/fit/estimate/estimate.js", root).href);
	const scenario = parseScenario(`
chamber: { volume: 200 L, leak: 0.25 /h, temperature: 18 C }
intake: { co2: 420 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg, rate: 180 mg/(kg h) }
fan: { flow: 60 m3/h }
sensor: { response: 60 s }
schedules: { usual: { on: 10 s, off: 590 s } }
`);
	const believed = buildModel(scenario);
	const true_ = {
		...believed,
		generationM3PerS: 1.2 * believed.generationM3PerS,
		deliveredM3PerS: 0.8 * believed.deliveredM3PerS,
		infiltrationM3PerS: 1.1 * believed.infiltrationM3PerS,
		responseSeconds: 75,
	};
	const { schedule } = scenario.schedules[0];
	let state = 1;
	const random = () => {
		state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
		return state / 2 ** 32;
	};
	const logged = (durationSeconds, stepSeconds, rho) => {
		const { sensorPpm, timesSeconds } = simulate(true_, schedule, {
			durationSeconds,
			sampleIntervalSeconds: stepSeconds,
		});
		let noise = 0;
		const co2Ppm = sensorPpm.map((ppm) => {
			let sum = -6;
			for (let k = 0; k < 12; k++) sum += random();
			noise = rho * noise + 12 * Math.sqrt(1 - rho * rho) * sum;
			return Math.round(ppm + noise);
		});
		return { timesSeconds, co2Ppm };
	};
	const WEEK = 7 * 86_400;
	const { timesSeconds, co2Ppm } = logged(WEEK, 60, 0.5);
	const samples = { timesSeconds, co2Ppm, excluded: new Uint8Array(timesSeconds.length), stepSeconds: 60 };
	const free = new Set(["generation", "flow", "leak", "response", "offset", "initialCo2", "initialReading"]);
	const initials = {
		generation: believed.generationM3PerS,
		flow: believed.deliveredM3PerS,
		leak: believed.infiltrationM3PerS,
		response: 60,
		initialCo2: 420,
		initialReading: 420,
	};
	const job = (method) => {
		const model = createFitModel(believed, { kind: "scheduled", schedule }, WEEK, [], method);
		return estimate(
			model,
			samples,
			model.names.map((name) => ({
				name,
				initial: initials[name] ?? 0,
				lower: name === "offset" ? -2000 : 0,
				fixed: !free.has(name),
				// What is known of intake and sensor [ppm].
				...(name === "offset" ? { prior: { mean: 0, standardDeviation: 40 } } : {}),
			})),
		);
	};
	const ours = race({ fit: () => job(undefined) }, 15).fit;
	const slow = race({ fit: () => job("odex") }, 1, 0).fit;
	report(
		`fit of 7 days at 60 s, 4 free parameters, the background with its prior / through odex`,
		ms(ours),
		ms(slow),
		`${(slow / ours).toFixed(0)} x (wanted 25 ms, 100 x)`,
	);

	const folder = mkdtempSync(join(tmpdir(), "lullgust-bench-"));
	const file = join(folder, "month.csv");
	const month = logged(30 * 86_400, 1, 0.9);
	const from = Date.UTC(2026, 2, 1);
	const text = ["time,CO2 (ppm)"];
	for (const [i, ppm] of month.co2Ppm.entries())
		text.push(`${new Date(from + 1000 * i).toISOString().slice(0, 19)}Z,${ppm}`);
	writeFileSync(file, `${text.join("\n")}\n`);
	const yaml = join(folder, "cabinet.yaml");
	writeFileSync(yaml, scenario.text);
	const cli = fileURLToPath(new URL("dist/bin/main.js", root));
	// The child's own peak, which its parent cannot see: /proc is asked while it runs.
	const child = spawn(process.execPath, [cli, "fit", file, "--scenario", yaml, "--json"], {
		stdio: ["ignore", "ignore", "inherit"],
	});
	const begin = performance.now();
	let peakMiB = 0;
	const look = setInterval(() => {
		const lines = existsSync(`/proc/${child.pid}/status`)
			? readFileSync(`/proc/${child.pid}/status`, "utf8")
			: "";
		peakMiB = Math.max(peakMiB, Number(/VmHWM:\s*(\d+)/.exec(lines)?.[1] ?? 0) / 1024);
	}, 50);
	const status = await new Promise((resolve) => child.on("close", resolve));
	const took = performance.now() - begin;
	clearInterval(look);
	report(
		`fit of 30 days at 1 s from a file, 2.6 million rows (exit ${status})`,
		ms(took),
		`${peakMiB.toFixed(0)} MiB`,
		"(wanted 20 s, 500 MB)",
	);
	rmSync(folder, { recursive: true });
}

// Beside an earlier version: `npm run bench -- DIR`.
if (process.argv[2] !== undefined) await import("./beside.mjs");
