import { type Fault, InputError, show } from "../errors.ts";
import type { SecondsSinceMidnight } from "../time.ts";
import type { FanDynamics } from "./fan/fanspeed.ts";
import type { Schedule } from "./schedule/schedule.ts";
import type { Timeline } from "./schedule/timeline.ts";

/** Where all air comes from and goes to in the end. */
export const OUTDOORS = "outdoors";

/** A well-mixed volume of air. */
export interface Zone {
	readonly name: string;
	/** [m3] */
	readonly volumeM3: number;
	/** Level at the start of a run; default: outdoors. */
	readonly start?: number;
}

/** What is switched: a fan, a humidifier, somebody who comes and goes. */
export interface Actuator extends FanDynamics {
	readonly name: string;
	readonly schedule: Schedule | Timeline;
	/** By which its schedule runs late [s]. */
	readonly phaseSeconds?: number;
}

/** Air that leaves one zone for another: always, or driven by a fan. */
export interface Flow {
	/** A zone, or "outdoors". */
	readonly from: string;
	readonly to: string;
	/** [m3/s]; of a fan, at full speed. */
	readonly m3PerS: number;
	/** Name of the fan; default: it always flows. */
	readonly by?: string;
	/** Share that mixes into the zone it enters; the rest leaves at once with what the same fan takes out of it [0..1]. Default 1. */
	readonly mixing?: number;
}

/** What is given off into a zone, or taken out of it where negative. */
export interface ZoneSource {
	readonly zone: string;
	/** [level m3/s]: of CO2 in ppm 1e6 × m3/s, of water vapour in g/m3 g/s. */
	readonly perS: number | ((time: SecondsSinceMidnight, level: number) => number);
	/** Name of what switches it; default: it is always there. */
	readonly by?: string;
}

/** A surface that draws the air towards a level of its own: K (level - x), as a wet one does with vapour. */
export interface Surface {
	readonly zone: string;
	/** K [m3/s] */
	readonly m3PerS: number;
	readonly level: number;
}

/** A sensor that follows the air of a zone with a lag. */
export interface ZoneSensor {
	readonly name: string;
	readonly zone: string;
	/** Time constant [s], above 0. */
	readonly responseSeconds: number;
}

/**
 * The balance of one species (CO2, water vapour) in any number of zones. With x the level of a zone, s the speed of what drives a
 * flow or a source, and m the share that mixes in,
 *
 *     V_i dx_i/dt = Σ m s q_ji (x_j - x_i) + Σ s S + Σ K (x_s - x_i)          τ dS/dt = x - S of a sensor      (18)
 */
export interface ZoneModel {
	readonly zones: readonly Zone[];
	readonly flows: readonly Flow[];
	readonly actuators?: readonly Actuator[];
	readonly sources?: readonly ZoneSource[];
	readonly surfaces?: readonly Surface[];
	readonly sensors?: readonly ZoneSensor[];
	/** Level outdoors. */
	readonly outdoor: number;
}

/** Air in and out of a zone may differ by this share of the larger: what rounding leaves. */
const BALANCED = 1e-9;

/**
 * Holds a model of zones to what air does.
 * @throws InputError with every name that is not there, every number without meaning, and every zone whose air does not balance, with
 *   by how much, for each fan by itself: its speed alone changes
 */
export function checkZones({
	zones,
	flows,
	actuators = [],
	sources = [],
	surfaces = [],
	sensors = [],
	outdoor,
}: ZoneModel): void {
	const faults: Fault[] = [];
	const say = (path: string, message: string) => faults.push({ path, message });
	const zoneNames = new Set(zones.map(({ name }) => name));
	const actuatorNames = new Set(actuators.map(({ name }) => name));
	const number = (path: string, value: unknown, needs: string, isMet: (x: number) => boolean) => {
		if (!(typeof value === "number" && Number.isFinite(value) && isMet(value)))
			say(path, `needs ${needs}, got ${show(value)}`);
	};
	const zone = (path: string, name: string, isOutdoorsToo = false) => {
		if (!zoneNames.has(name) && !(isOutdoorsToo && name === OUTDOORS))
			say(path, `needs the name of a zone${isOutdoorsToo ? ' or "outdoors"' : ""}, got ${show(name)}`);
	};
	const actuator = (path: string, name: string | undefined) => {
		if (name !== undefined && !actuatorNames.has(name))
			say(path, `needs the name of an actuator, got ${show(name)}`);
	};
	if (zones.length === 0) say("zones", "needs at least one zone");
	if (zoneNames.size + sensors.length < zones.length + new Set(sensors.map(({ name }) => name)).size)
		say("zones", "has two zones of one name");
	if (actuatorNames.size < actuators.length) say("actuators", "has two of one name");
	if (zoneNames.has(OUTDOORS)) say("zones", 'has a zone "outdoors", which is the name of the air around');
	number("outdoor", outdoor, "a level", () => true);
	for (const [i, { volumeM3 }] of zones.entries())
		number(`zones[${i}].volumeM3`, volumeM3, "a volume above 0 m3", (x) => x > 0);
	for (const [i, { from, to, m3PerS, by, mixing }] of flows.entries()) {
		zone(`flows[${i}].from`, from, true);
		zone(`flows[${i}].to`, to, true);
		actuator(`flows[${i}].by`, by);
		number(`flows[${i}].m3PerS`, m3PerS, "a flow of 0 m3/s or more", (x) => x >= 0);
		number(`flows[${i}].mixing`, mixing ?? 1, "a share from 0 to 1", (x) => x >= 0 && x <= 1);
	}
	for (const [i, { zone: name, perS, by }] of sources.entries()) {
		zone(`sources[${i}].zone`, name);
		actuator(`sources[${i}].by`, by);
		if (typeof perS !== "function") number(`sources[${i}].perS`, perS, "a rate", () => true);
	}
	for (const [i, { zone: name, m3PerS, level }] of surfaces.entries()) {
		zone(`surfaces[${i}].zone`, name);
		number(`surfaces[${i}].m3PerS`, m3PerS, "a flow of 0 m3/s or more", (x) => x >= 0);
		number(`surfaces[${i}].level`, level, "a level", () => true);
	}
	for (const [i, { zone: name, responseSeconds }] of sensors.entries()) {
		zone(`sensors[${i}].zone`, name);
		number(`sensors[${i}].responseSeconds`, responseSeconds, "a time above 0 s", (x) => x > 0);
	}
	if (faults.length > 0) throw new InputError(faults);
	for (const by of new Set(flows.map((flow) => flow.by)))
		for (const [i, { name }] of zones.entries()) {
			const sum = (end: "from" | "to") =>
				flows.reduce((all, flow) => all + (flow.by === by && flow[end] === name ? flow.m3PerS : 0), 0);
			const [enters, leaves] = [sum("to"), sum("from")];
			const excess = enters - leaves;
			if (Math.abs(excess) > BALANCED * Math.max(enters, leaves))
				say(
					`zones[${i}]`,
					`${show(name)} ${excess > 0 ? "gains" : "loses"} ${Math.abs(excess).toPrecision(4)} m3/s of air${by === undefined ? "" : ` by ${show(by)}`}: ${enters.toPrecision(4)} m3/s flow in and ${leaves.toPrecision(4)} m3/s out; give the flow that is missing, to a zone or to "outdoors"`,
				);
		}
	if (faults.length > 0) throw new InputError(faults);
}

/**
 * Flows of which all mixes in, in place of flows of which a part does not: what passes by goes straight from where the air came to
 * where the zone's air goes by the same fan.
 */
export function resolveMixing(flows: readonly Flow[]): readonly Flow[] {
	let resolved = flows;
	for (const { to: zone, by } of flows.filter(({ mixing, to }) => (mixing ?? 1) < 1 && to !== OUTDOORS)) {
		const enters = resolved.filter((flow) => flow.to === zone && flow.by === by);
		const leaves = resolved.filter((flow) => flow.from === zone && flow.by === by);
		const total = enters.reduce((sum, { m3PerS }) => sum + m3PerS, 0);
		if (total === 0 || enters.every(({ mixing }) => (mixing ?? 1) === 1)) continue;
		const mixed = enters.reduce((sum, { m3PerS, mixing = 1 }) => sum + m3PerS * mixing, 0);
		resolved = mergeFlows([
			...resolved.filter((flow) => !enters.includes(flow) && !leaves.includes(flow)),
			...enters.map((flow) => ({ ...flow, m3PerS: flow.m3PerS * (flow.mixing ?? 1), mixing: 1 })),
			...leaves.map((flow) => ({ ...flow, m3PerS: (flow.m3PerS * mixed) / total })),
			...enters.flatMap(({ from, m3PerS, mixing = 1 }) =>
				leaves.map((flow) => ({ ...flow, from, m3PerS: ((1 - mixing) * m3PerS * flow.m3PerS) / total })),
			),
		]);
	}
	return resolved;
}

/** Flows between the same ends as one, or what passes by in many zones would be pieces without number. */
function mergeFlows(flows: readonly Flow[]): Flow[] {
	const merged = new Map<string, Flow>();
	for (const flow of flows) {
		if (flow.from === flow.to || flow.m3PerS === 0) continue;
		const key = JSON.stringify([flow.from, flow.to, flow.by, flow.mixing ?? 1]);
		merged.set(key, { ...flow, m3PerS: flow.m3PerS + (merged.get(key)?.m3PerS ?? 0) });
	}
	return [...merged.values()];
}
