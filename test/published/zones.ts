import type { Relay, SwitchedZones } from "../../lib/model/relays.ts";
import { personM3PerS } from "../../lib/model/roomair.ts";
import { type Flow, OUTDOORS, type ZoneModel } from "../../lib/model/zones.ts";
import { compileZones, startOfZones } from "../../lib/solve/zones/compilezones.ts";
import { solveSwitched } from "../../lib/solve/zones/limitcycle.ts";
import { FOG } from "../../lib/solve/zones/liquid.ts";
import { solveZonePeriod, solveZones } from "../../lib/solve/zones/periodiczones.ts";
import { propagateZones } from "../../lib/solve/zones/propagatezones.ts";
import { compileSwitched, startSwitched, walkSwitched } from "../../lib/solve/zones/switchedwalk.ts";
import { HOUR } from "./box.ts";
import type { Answer, Inputs } from "./check.ts";

/** Air both ways, by a fan or always [m3/h]. */
const between = (a: string, b: string, m3PerH: number, by?: string, mixing?: number): Flow[] =>
	[
		{ from: a, to: b, m3PerS: m3PerH / HOUR, mixing },
		{ from: b, to: a, m3PerS: m3PerH / HOUR },
	].map(({ mixing: share, ...flow }) => ({
		...flow,
		...(by !== undefined && { by }),
		...(share !== undefined && { mixing: share }),
	}));

const litresPerHour = (litres: number) => (1000 * litres) / HOUR;

/** Chambers in a room, each through `flows`. */
function roomOf(inputs: Inputs, flows: readonly Flow[], chambers: number, volumeM3: number): ZoneModel {
	const { one, list } = inputs;
	return {
		zones: [
			{ name: "room", volumeM3: 30 },
			...Array.from({ length: chambers }, (_, i) => ({ name: `c${i}`, volumeM3 })),
		],
		flows: [...between(OUTDOORS, "room", one("Q_room_m3_h")), ...flows],
		sources: list("G_L_h").map((litres, i) => ({ zone: `c${i}`, perS: litresPerHour(litres) })),
		outdoor: one("C_out_ppm"),
	};
}

/** One zone with a wet surface, whose level is the density of vapour. */
const damp = ({ one }: Inputs, airM3PerH: number, conductance: number, start?: number): ZoneModel => ({
	zones: [{ name: "chamber", volumeM3: one("V_m3"), ...(start !== undefined && { start }) }],
	flows: between(OUTDOORS, "chamber", airM3PerH),
	surfaces: [{ zone: "chamber", m3PerS: conductance / HOUR, level: one("rho_surface_g_m3") }],
	outdoor: one("rho_intake_g_m3"),
});

/** Rooms with chambers, zones that exchange air, and vapour as another species of the same balance. */
export function zones(id: string, inputs: Inputs): Record<string, Answer> | undefined {
	const { one, list } = inputs;
	switch (id) {
		case "ROO-01":
		case "ROO-02": {
			const stays = list("phi");
			const flows = list("q_m3_h").flatMap((q, i): Flow[] => [
				{ from: "room", to: `c${i}`, m3PerS: q / HOUR },
				{ from: `c${i}`, to: stays[i] === 1 ? "room" : OUTDOORS, m3PerS: q / HOUR },
				...(stays[i] === 1 ? [] : [{ from: OUTDOORS, to: "room", m3PerS: q / HOUR }]),
			]);
			const { levels } = solveZones(roomOf(inputs, flows, list("q_m3_h").length, 0.2));
			return {
				room_ppm: { what: "room with six chambers aired all the time", ours: levels.room!.meanPpm },
				chamber_ppm: { what: "one of the chambers", ours: levels.c0!.meanPpm },
			};
		}
		case "ROO-04":
			return {
				C_ppm: {
					what: "chamber that draws in 0 to 50 % of its own exhaust",
					ours: list("r").map(
						(r) =>
							solveZones({
								zones: [{ name: "chamber", volumeM3: 0.2 }],
								flows: between(OUTDOORS, "chamber", one("Q_m3_h"), undefined, 1 - r),
								sources: [{ zone: "chamber", perS: litresPerHour(one("G_L_h")) }],
								outdoor: one("C_room_ppm"),
							}).levels.chamber!.meanPpm,
					),
				},
			};
		case "ROO-05": {
			const flows = [0, 1].flatMap((i) => [
				...between("room", `c${i}`, one("leak_m3_h")),
				...between("room", `c${i}`, one("fan_m3_h"), `fan ${i}`),
			]);
			const [burst, pause] = [10, 290];
			const period = 2 * (burst + pause);
			const { levels, start } = solveZones({
				...roomOf(inputs, flows, 2, 0.2),
				actuators: [0, 1].map((i) => ({
					name: `fan ${i}`,
					schedule: { kind: "cycle", onSeconds: burst, offSeconds: period - burst },
					phaseSeconds: i * (burst + pause),
				})),
			});
			return {
				peak1_ppm: {
					what: "peak of the first of two chambers that take turns in a room",
					ours: levels.c0!.peakPpm,
				},
				trough1_ppm: { what: "its trough", ours: levels.c0!.troughPpm },
				peak2_ppm: { what: "peak of the second", ours: levels.c1!.peakPpm },
				trough2_ppm: { what: "its trough", ours: levels.c1!.troughPpm },
				room_at_cycle_start_ppm: { what: "the room when the first begins", ours: start.room! },
			};
		}
		case "ROO-07": {
			const chambers = one("N");
			const cycle = one("cycle_s");
			const names = Array.from({ length: chambers }, (_, i) => `c${i}`);
			const room = (isStaggered: boolean): ZoneModel => ({
				zones: [
					{ name: "room", volumeM3: one("V_room_m3") },
					...names.map((name) => ({ name, volumeM3: one("V_m3") })),
				],
				flows: [
					...between(OUTDOORS, "room", one("Q_room_m3_h")),
					...names.flatMap((name) => between("room", name, one("fan_m3_h"), name)),
				],
				actuators: names.map((name, i) => ({
					name,
					schedule: { kind: "cycle", onSeconds: one("on_s"), offSeconds: cycle - one("on_s") },
					phaseSeconds: isStaggered ? (i * cycle) / chambers : 0,
				})),
				sources: names.map((zone) => ({ zone, perS: litresPerHour(one("G_L_h")) })),
				outdoor: one("C_out_ppm"),
			});
			const ripple = (isStaggered: boolean) => {
				const compiled = compileZones(room(isStaggered));
				const seen: number[] = [];
				propagateZones(compiled, cycle, solveZonePeriod(compiled, cycle)!, {
					onInterval: (_, state) => seen.push(state[0]!),
				});
				return Math.max(...seen) - Math.min(...seen);
			};
			return {
				ripple_together_ppm: {
					what: "ripple of a room at the switches, four fans at once",
					ours: ripple(false),
				},
				ripple_staggered_ppm: { what: "ripple when they are staggered", ours: ripple(true) },
				mean_ppm: {
					what: "mean of the room, at once and staggered",
					ours: solveZones(room(true)).levels.room!.meanPpm,
				},
			};
		}
		case "ROO-10":
			return {
				L_per_s: {
					what: "CO2 of a man at 1 to 4 met",
					ours: list("met").map((met) => 1000 * personM3PerS(met, one("T_K") - 273.15, 1000 * one("P_kPa"))),
				},
			};
		case "ROO-12": {
			const litres = one("L_per_s_at_0C") * HOUR * ((one("t_C") + 273.15) / 273.15);
			const compiled = compileZones({
				zones: [{ name: "room", volumeM3: one("V_m3") }],
				flows: between(OUTDOORS, "room", one("Q_m3_h")),
				sources: [{ zone: "room", perS: litresPerHour(litres) }],
				outdoor: one("C0_ppm"),
			});
			return {
				G_L_h: { notOurs: "arithmetic on the table; ours is the equation, in ROO-10" },
				C_ppm: {
					what: "room with one picker after 15 min to 4 h",
					ours: list("t_h").map(
						(hours) =>
							one("C0_ppm") + propagateZones(compiled, hours * HOUR, startOfZones(compiled)).state[0]!,
					),
				},
			};
		}
		case "ROO-13": {
			const matrix = list("A_m3_h");
			const outdoor = list("outdoor_m3_h");
			const names = ["a", "b", "c"];
			const flows = names.flatMap((to, i): Flow[] => [
				...names.flatMap((from, j) => (i === j ? [] : [{ from, to, m3PerS: matrix[3 * i + j]! / HOUR }])),
				{ from: OUTDOORS, to, m3PerS: outdoor[i]! / HOUR },
			]);
			// What flows in and not on to another zone leaves for outdoors.
			const leaves = names.map((name): Flow => {
				const sum = (end: "from" | "to") =>
					flows.reduce((all, flow) => all + (flow[end] === name ? flow.m3PerS : 0), 0);
				return { from: name, to: OUTDOORS, m3PerS: sum("to") - sum("from") };
			});
			const { levels } = solveZones({
				zones: names.map((name) => ({ name, volumeM3: 10 })),
				flows: [...flows, ...leaves],
				sources: list("G_L_h").map((litres, i) => ({ zone: names[i]!, perS: litresPerHour(litres) })),
				outdoor: one("C_out_ppm"),
			});
			return {
				C_ppm: { what: "steady state of three zones", ours: names.map((name) => levels[name]!.meanPpm) },
			};
		}
		case "HUM-01":
		case "HUM-02": {
			const still = damp(inputs, one("leak_m3_h"), one("K_m3_h"));
			const { highest, lowest, mean } = figuresOf({
				...still,
				flows: [...still.flows, ...between(OUTDOORS, "chamber", one("Q_m3_h"), "fan")],
				actuators: [
					{ name: "fan", schedule: { kind: "cycle", onSeconds: one("on_s"), offSeconds: one("off_s") } },
				],
			});
			return {
				highest_g_m3: { what: "highest vapour density of a chamber with wet surfaces", ours: highest },
				lowest_g_m3: { what: "lowest", ours: lowest },
				mean_g_m3: { what: "mean", ours: mean },
				water_g_day: {
					what: "water that evaporates a day",
					ours: 24 * one("K_m3_h") * (one("rho_surface_g_m3") - mean),
				},
			};
		}
		case "HUM-04":
			return {
				rho_g_m3: {
					what: "vapour density under constant flow",
					ours: figuresOf(damp(inputs, one("Q_m3_h") + one("leak_m3_h"), one("K_m3_h"))).mean,
				},
				humidifier_g_h: {
					what: "humidifier that holds a set density, by what it gives over a period",
					ours: holdingMist(inputs),
				},
			};
		case "HUM-12": {
			const air = list("air_m3_h");
			const conductances = list("K_m3_h");
			return {
				rho_g_m3: {
					what: "vapour density after two hours without air, without evaporation, without both",
					ours: air.map((m3PerH, i) => {
						const compiled = compileZones(damp(inputs, m3PerH, conductances[i]!, one("rho0_g_m3")));
						const { state } = propagateZones(compiled, one("t_h") * HOUR, startOfZones(compiled));
						return compiled.balance.origin + state[0]!;
					}),
				},
			};
		}
		case "HUM-05": {
			const seconds = list("humidifier_g_h").map((mist) => {
				const low = damp(inputs, one("leak_m3_h"), one("K_m3_h"), one("rho_low_g_m3"));
				// A relay that goes on at the density that is waited for.
				const compiled = compileSwitched({
					...low,
					sources: [{ zone: "chamber", perS: mist / HOUR }],
					actuators: [{ name: "reached", schedule: { kind: "off" } }],
					relays: [{ actuator: "reached", of: "chamber", on: one("rho_target_g_m3"), off: 0 }],
				});
				let reached = Number.NaN;
				walkSwitched(compiled, HOUR, startSwitched(compiled), {
					onSwitch(_, at) {
						reached = at;
						return "stop";
					},
				});
				return reached;
			});
			return { seconds: { what: "time to be back at a humidity, without and with mist", ours: seconds } };
		}
		case "HUM-07": {
			const { actuators, windowSeconds } = solveSwitched({
				...damp(inputs, one("leak_m3_h"), one("K_m3_h")),
				sources: [{ zone: "chamber", perS: one("humidifier_g_h") / HOUR, by: "mist" }],
				actuators: [{ name: "mist", schedule: { kind: "off" } }],
				relays: [{ actuator: "mist", of: "chamber", on: one("low_g_m3"), off: one("high_g_m3") }],
			});
			const { onSeconds } = actuators.mist!;
			const duty = onSeconds / windowSeconds;
			return {
				on_s: { what: "humidifier by a hygrostat, on", ours: onSeconds },
				off_s: { what: "off", ours: windowSeconds - onSeconds },
				duty: { what: "its duty", ours: duty },
				water_kg_day: { what: "water that it gives", ours: (24 * duty * one("humidifier_g_h")) / 1000 },
			};
		}
		case "HUM-08": {
			const compiled = compileSwitched({
				zones: [{ name: "chamber", volumeM3: one("V_m3"), start: one("rho_g_m3") }],
				flows: [],
				sources: [{ zone: "chamber", perS: one("humidifier_g_h") / HOUR }],
				stores: [{ zone: "chamber", saturation: one("rho_s_g_m3"), surface: one("rho_s_g_m3"), m3PerS: 0 }],
				outdoor: 0,
			});
			let clear = 0;
			const { state } = walkSwitched(compiled, one("mist_s"), startSwitched(compiled), {
				onSolution: ({ durationSeconds }, _, modes) => {
					if (modes[0] !== FOG) clear += durationSeconds;
				},
			});
			return {
				t_saturated_s: { what: "time until the air is saturated", ours: clear },
				surplus_g: { what: "mist that falls out after it", ours: state[1]! * one("V_m3") },
			};
		}
		case "HUM-11": {
			const { levels, stores, windowSeconds } = solveSwitched({
				...damp(
					{ ...inputs, one: (name) => (name === "V_m3" ? 0.2 : one(name)) },
					one("air_m3_h"),
					one("K_m3_h"),
				),
				sources: [{ zone: "chamber", perS: one("humidifier_g_h") / HOUR }],
				stores: [
					{
						zone: "chamber",
						saturation: one("rho_surface_g_m3"),
						surface: one("rho_wall_g_m3"),
						m3PerS: one("K_wall_m3_h") / HOUR,
					},
				],
			});
			return {
				rho_g_m3: { what: "vapour density beside a wall that sweats", ours: levels.chamber!.meanPpm },
				condensate_g_h: {
					what: "water that runs off it",
					ours: (stores[0]!.gain * 0.2 * HOUR) / windowSeconds,
				},
			};
		}
		case "CTL-01":
		case "CTL-02":
		case "CTL-03":
		case "CTL-05":
		case "CTL-06": {
			const lag = id === "CTL-05" || id === "CTL-06" ? one("sensor_tau_s") : 0;
			const { actuators, windowSeconds, levels } = solveSwitched(
				switchedFan(inputs, lag, {
					on: one("on_above_ppm"),
					off: one("off_below_ppm"),
					delaySeconds: one("delay_s"),
				}),
			);
			const { onSeconds } = actuators.fan!;
			return {
				peak_ppm: { what: "peak of a fan switched by its sensor", ours: levels.chamber!.peakPpm },
				trough_ppm: { what: "trough", ours: levels.chamber!.troughPpm },
				on_s: { what: "on", ours: onSeconds },
				off_s: { what: "off", ours: windowSeconds - onSeconds },
				air_m3_day: { what: "air", ours: (24 * one("Q_m3_h") * onSeconds) / windowSeconds },
			};
		}
		case "CTL-14": {
			const runs = list("min_run_s").map((shortestOnSeconds) =>
				solveSwitched(
					switchedFan(inputs, 0, { on: one("on_above_ppm"), off: null, shortestOnSeconds }, false),
				),
			);
			return {
				trough_ppm: {
					what: "trough of a fan that its sensor switches on and the clock off",
					ours: runs.map(({ levels }) => levels.chamber!.troughPpm),
				},
				off_s: { what: "off", ours: runs.map((run) => run.windowSeconds - run.actuators.fan!.onSeconds) },
			};
		}
		default:
			return undefined;
	}
}

/** A chamber whose fan goes by what a sensor, with a lag or none, shows. */
function switchedFan(
	{ one }: Inputs,
	lagSeconds: number,
	relay: Omit<Relay, "actuator" | "of">,
	hasLeak = true,
): SwitchedZones {
	const leak = hasLeak ? one("leak_m3_h") : 0;
	return {
		zones: [{ name: "chamber", volumeM3: one("V_m3") }],
		flows: [...between(OUTDOORS, "chamber", leak), ...between(OUTDOORS, "chamber", one("Q_m3_h"), "fan")],
		sources: [{ zone: "chamber", perS: litresPerHour(one("G_L_h")) }],
		actuators: [{ name: "fan", schedule: { kind: "off" } }],
		sensors: lagSeconds > 0 ? [{ name: "sensor", zone: "chamber", responseSeconds: lagSeconds }] : [],
		relays: [{ actuator: "fan", of: lagSeconds > 0 ? "sensor" : "chamber", ...relay }],
		outdoor: one("C_in_ppm"),
	};
}

/** What a humidifier gives under a hygrostat with a band around a density, so narrow that it holds it. */
function holdingMist(inputs: Inputs): number {
	const { one } = inputs;
	const [set, output] = [one("rho_set_g_m3"), 50];
	const { actuators, windowSeconds } = solveSwitched({
		...damp(inputs, one("Q_m3_h") + one("leak_m3_h"), one("K_m3_h")),
		sources: [{ zone: "chamber", perS: output / HOUR, by: "mist" }],
		actuators: [{ name: "mist", schedule: { kind: "off" } }],
		relays: [{ actuator: "mist", of: "chamber", on: set - 1e-4, off: set + 1e-4 }],
	});
	return (output * actuators.mist!.onSeconds) / windowSeconds;
}

const figuresOf = (model: ZoneModel) => {
	const { peakPpm, meanPpm, troughPpm } = solveZones(model).levels.chamber!;
	return { highest: peakPpm, mean: meanPpm, lowest: troughPpm };
};
