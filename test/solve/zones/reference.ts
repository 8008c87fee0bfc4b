import type { ZoneModel } from "../../../lib/model/zones.ts";

/**
 * Levels of zones and sensors after a run from their starts, by the classical Runge-Kutta method in short steps between the switches, with
 * a balance written out flow by flow: what does not mix in goes on with the same fan's outflow. It shares no line with the library.
 */
export function referenceRun(model: ZoneModel, seconds: number): number[] {
	const { zones, actuators = [], sensors = [], outdoor } = model;
	const place = new Map(zones.map(({ name }, i) => [name, i]));
	const isOn = (k: number, t: number) => {
		const { schedule, phaseSeconds = 0 } = actuators[k]!;
		if (schedule.kind !== "cycle") throw new Error("only cycles");
		const period = schedule.onSeconds + schedule.offSeconds;
		const at = (((t - phaseSeconds) % period) + period) % period;
		return schedule.startsWith === "off" ? at >= schedule.offSeconds : at < schedule.onSeconds;
	};
	const switches = new Set([0, seconds]);
	for (const { schedule, phaseSeconds = 0 } of actuators)
		if (schedule.kind === "cycle") {
			const period = schedule.onSeconds + schedule.offSeconds;
			const first = schedule.startsWith === "off" ? schedule.offSeconds : schedule.onSeconds;
			for (let n = -2; n * period < seconds; n++)
				for (const t of [phaseSeconds + n * period, phaseSeconds + n * period + first])
					if (t > 0 && t < seconds) switches.add(t);
		}
	const instants = [...switches].sort((a, b) => a - b);
	const y = Float64Array.from([
		...zones.map(({ start }) => start ?? outdoor),
		...sensors.map(({ zone }) => zones[place.get(zone)!]!.start ?? outdoor),
	]);
	const n = y.length;
	const groups = [-1, ...actuators.keys()].map((k) => ({
		k,
		...groupOf(model, k < 0 ? undefined : actuators[k]!.name),
	}));
	const speeds = actuators.map(() => 0);
	for (let s = 0; s + 1 < instants.length; s++) {
		const from = instants[s]!;
		const length = instants[s + 1]! - from;
		const on = actuators.map((_, k) => isOn(k, from + length / 2));
		const started = [...speeds];
		const speedAt = (k: number, t: number) => {
			const { spinUpTauSeconds = 0, coastDownTauSeconds = 0 } = actuators[k]!;
			const tau = on[k] ? spinUpTauSeconds : coastDownTauSeconds;
			const goal = on[k] ? 1 : 0;
			return tau === 0 ? goal : goal + (started[k]! - goal) * Math.exp(-t / tau);
		};
		const slope = (t: number, x: Float64Array, d: Float64Array) => {
			d.fill(0);
			for (const { k, rates, added } of groups) {
				const speed = k < 0 ? 1 : speedAt(k, t);
				if (speed === 0) continue;
				for (let i = 0; i < n; i++) {
					let sum = added[i]!;
					const row = rates[i]!;
					for (let j = 0; j < n; j++) sum += row[j]! * x[j]!;
					d[i]! += speed * sum;
				}
			}
		};
		const steps = Math.ceil(length / STEP_SECONDS);
		const h = length / steps;
		const [k1, k2, k3, k4, mid] = [y.slice(), y.slice(), y.slice(), y.slice(), y.slice()];
		for (let step = 0; step < steps; step++) {
			const t = step * h;
			slope(t, y, k1);
			for (let i = 0; i < n; i++) mid[i] = y[i]! + (h / 2) * k1[i]!;
			slope(t + h / 2, mid, k2);
			for (let i = 0; i < n; i++) mid[i] = y[i]! + (h / 2) * k2[i]!;
			slope(t + h / 2, mid, k3);
			for (let i = 0; i < n; i++) mid[i] = y[i]! + h * k3[i]!;
			slope(t + h, mid, k4);
			for (let i = 0; i < n; i++) y[i]! += (h / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!);
		}
		for (let k = 0; k < actuators.length; k++) speeds[k] = speedAt(k, length);
	}
	return [...y];
}

const STEP_SECONDS = 0.01;

/** What one fan, or none, does at full speed: rates between states, and what is added. */
function groupOf(model: ZoneModel, by: string | undefined) {
	const { zones, flows, sources = [], surfaces = [], sensors = [], outdoor } = model;
	const n = zones.length + sensors.length;
	const place = new Map(zones.map(({ name }, i) => [name, i]));
	const rates = Array.from({ length: n }, () => new Float64Array(n));
	const added = new Float64Array(n);
	const own = flows.filter((flow) => flow.by === by);
	// Level of what leaves each zone by this fan, as shares of the zones and of outdoors: found by going round, for zones may follow one another.
	const unit = (i: number) => Float64Array.from({ length: zones.length + 1 }, (_, j) => (i === j ? 1 : 0));
	const leaves = zones.map((_, i) => unit(i));
	const sharesOf = (name: string) => (name === "outdoors" ? unit(zones.length) : leaves[place.get(name)!]!);
	for (let round = 0; round < 60; round++)
		for (const [i, { name }] of zones.entries()) {
			const enters = own.filter((flow) => flow.to === name);
			const total = enters.reduce((sum, flow) => sum + flow.m3PerS, 0);
			if (total === 0) continue;
			const shares = new Float64Array(zones.length + 1);
			for (const { from, m3PerS, mixing = 1 } of enters)
				for (let j = 0; j <= zones.length; j++)
					shares[j]! += (m3PerS * (mixing * unit(i)[j]! + (1 - mixing) * sharesOf(from)[j]!)) / total;
			leaves[i] = shares;
		}
	for (const { from, to, m3PerS, mixing = 1 } of own) {
		const i = place.get(to);
		if (i === undefined) continue;
		const perS = (mixing * m3PerS) / zones[i]!.volumeM3;
		for (const [j, share] of sharesOf(from).entries())
			if (j < zones.length) rates[i]![j]! += perS * share;
			else added[i]! += perS * share * outdoor;
		rates[i]![i]! -= perS;
	}
	for (const { zone, perS, by: driver } of sources)
		if (driver === by) added[place.get(zone)!]! += (perS as number) / zones[place.get(zone)!]!.volumeM3;
	if (by !== undefined) return { rates, added };
	for (const { zone, m3PerS, level } of surfaces) {
		const i = place.get(zone)!;
		rates[i]![i]! -= m3PerS / zones[i]!.volumeM3;
		added[i]! += (m3PerS * level) / zones[i]!.volumeM3;
	}
	for (const [k, { zone, responseSeconds }] of sensors.entries()) {
		rates[zones.length + k]![place.get(zone)!]! += 1 / responseSeconds;
		rates[zones.length + k]![zones.length + k]! -= 1 / responseSeconds;
	}
	return { rates, added };
}
