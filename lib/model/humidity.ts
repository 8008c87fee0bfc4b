import type { Scenario } from "../scenario/scenario.ts";
import { LATENT_HEAT, RADIATION_SHARE, RESPIRATION_HEAT, WALL_TRANSFER } from "../sources/water.ts";
import { co2VolumeM3 } from "./air/gaslaws.ts";
import { latentShare, saturationPa, vapourGPerM3, wallC } from "./air/moistair.ts";
import { type Model, meanSourceM3PerS } from "./chamber.ts";
import { zonesOfChamber } from "./chamberzones.ts";
import type { Relay, SwitchedZones } from "./relays.ts";
import type { Schedule } from "./schedule/schedule.ts";
import { makeTimeline, type Timeline } from "./schedule/timeline.ts";
import type { Actuator } from "./zones.ts";

/**
 * The water of a chamber, in per cent of saturation at its temperature: with leak L + K and source K (100 - RH_i) its balance is that of CO2,
 *
 *     V dRH/dt = (m q + L)(RH_i - RH) + K (100 - RH) + E + H      (23)
 *
 * K: evaporation of crop and wet surfaces, which stand in the mixed zone; E: what the crop's own heat evaporates, at 100 % too; H: the humidifier.
 * The flows are the chamber's air that is displaced; what evaporates displaces air as well, so that 1 - x_i of it counts, x_i the intake's share of vapour.
 */
export interface Humidity {
	/** Vapour density at saturation [g/m3]. */
	readonly saturationGPerM3: number;
	/** 1 - x_i [-] */
	readonly dryShare: number;
	/** Intake air at chamber temperature [% RH]. */
	readonly intakePercent: number;
	/** K [m3/s] */
	readonly evaporationM3PerS: number;
	/** E [g/s] */
	readonly heatDrivenGPerS: number;
	/** H while on [g/s]; 0: no humidifier. */
	readonly outputGPerS: number;
	/** Where walls sweat [% RH], and how fast they do [m3/s]. */
	readonly wallPercent: number;
	readonly wallM3PerS: number;
	/** (23) without the humidifier, as a model of one species in % RH. */
	readonly model: Model;
}

type Walls = NonNullable<NonNullable<Scenario["water"]>["walls"]>;

/** Inner area of walls: as given, or that of a cube and a tenth [m2]. */
export const wallAreaM2 = (walls: Walls | null, volumeM3: number): number =>
	walls?.area?.value ?? 6.6 * Math.cbrt(volumeM3) ** 2;

/** The water of a scenario's chamber; null where the file does not ask for humidity. */
export function buildHumidity(scenario: Scenario, given: Model): Humidity | null {
	const { water, chamber, intake } = scenario;
	if (water === null) return null;
	const celsius = chamber.temperature.mean.value;
	const pascal = chamber.pressure.value;
	const saturationGPerM3 = vapourGPerM3(saturationPa(celsius), celsius);
	const intakePa = Math.min(intake.humidity.value * saturationPa(intake.temperature.value), 0.99 * pascal);
	const intakePercent = (100 * intakePa) / saturationPa(celsius);
	const dryShare = 1 - intakePa / pascal;
	const kgCo2PerS = meanSourceM3PerS(given, given.intakePpm) / co2VolumeM3(1, celsius, pascal);
	const heatDrivenGPerS =
		(1000 * kgCo2PerS * RESPIRATION_HEAT.value * latentShare(celsius, RADIATION_SHARE.value)) /
		LATENT_HEAT.value;
	const evaporation = water.evaporation.value;
	const { walls } = water;
	const wallM2 = wallAreaM2(walls, chamber.volume.value);
	const surfaceC =
		walls === null ? celsius : wallC(celsius, Math.min(walls.room.value, celsius), walls.transmittance.value);
	const k = dryShare * evaporation;
	const e = (100 * dryShare * (evaporation > 0 ? heatDrivenGPerS : 0)) / saturationGPerM3;
	const { source: _, intakeExcess: __, responseSeconds: ___, sensorZone: ____, ...air } = given;
	return {
		saturationGPerM3,
		dryShare,
		intakePercent,
		evaporationM3PerS: evaporation,
		heatDrivenGPerS: evaporation > 0 ? heatDrivenGPerS : 0,
		outputGPerS: 1000 * (water.humidifier?.output.value ?? 0),
		wallPercent: (100 * vapourGPerM3(saturationPa(surfaceC), celsius)) / saturationGPerM3,
		wallM3PerS: (dryShare * wallM2 * WALL_TRANSFER.value) / 1000,
		model: {
			...air,
			intakePpm: intakePercent,
			infiltrationM3PerS: given.infiltrationM3PerS + k,
			generationM3PerS: 1e-6 * (k * (100 - intakePercent) + e),
			stagnantSourceShare: 0,
			startPpm: 100 * chamber.humidity.value,
		},
	};
}

/** On for so long after each burst of a fan. */
export function afterBursts(fan: Timeline, seconds: number): Timeline {
	const { segments, periodSeconds, repeatSeconds } = fan;
	const repeats = repeatSeconds < Number.POSITIVE_INFINITY;
	const ends = segments
		.map(({ startSeconds, isOn }, i) => ({
			startSeconds,
			isOn,
			before: (segments[i - 1] ?? segments.at(-1)!).isOn,
		}))
		.filter(({ isOn, before }, i) => !isOn && before && (repeats || i > 0))
		.map(({ startSeconds }) => startSeconds);
	if (ends.length === 0) return makeTimeline({ kind: "off" });
	// Over the end of a period; where one is on until the next begins, it goes on.
	const spans = ends
		.flatMap((from) => [from, ...(repeats && from + seconds > repeatSeconds ? [from - repeatSeconds] : [])])
		.sort((a, b) => a - b);
	const made: { startSeconds: number; durationSeconds: number; isOn: boolean }[] = [];
	let at = 0;
	const put = (to: number, isOn: boolean) => {
		if (to > at) made.push({ startSeconds: at, durationSeconds: to - at, isOn });
		at = Math.max(at, to);
	};
	for (const from of spans) {
		put(Math.min(from, repeatSeconds), false);
		put(Math.min(from + seconds, repeatSeconds), true);
	}
	put(repeatSeconds, false);
	return { kind: "timeline", segments: made, repeatSeconds, periodSeconds };
}

/** The chamber's water in zones, with what the humidifier does and what condenses; levels in % RH. */
export function humidityZones(
	humidity: Humidity,
	control: NonNullable<NonNullable<Scenario["water"]>["humidifier"]>["control"] | null,
	schedule: Schedule | Timeline,
): SwitchedZones {
	const { model, saturationGPerM3, dryShare, outputGPerS, wallPercent, wallM3PerS } = humidity;
	const fan = makeTimeline(schedule);
	const base = zonesOfChamber(model, fan);
	const volumeM3 = base.zones.reduce((sum, zone) => sum + zone.volumeM3, 0);
	const stores = base.zones.map((zone) => ({
		zone: zone.name,
		saturation: 100,
		surface: Math.min(wallPercent, 100),
		m3PerS: (wallM3PerS * zone.volumeM3) / volumeM3,
	}));
	if (control === null || outputGPerS === 0) return { ...base, stores };
	const name = "humidifier";
	const runs: Schedule | Timeline =
		control.kind === "clock"
			? { kind: "cycle", onSeconds: control.onSeconds, offSeconds: control.offSeconds }
			: control.kind === "after burst"
				? afterBursts(fan, control.seconds)
				: { kind: "off" };
	const mist: Actuator = { name, schedule: runs };
	const relays: Relay[] =
		control.kind === "hygrostat"
			? [
					{
						actuator: name,
						of: base.zones[0]!.name,
						on: 100 * control.below.value,
						off: 100 * control.until.value,
						delaySeconds: control.delaySeconds,
					},
				]
			: [];
	return {
		...base,
		actuators: [...(base.actuators ?? []), mist],
		sources: [
			...(base.sources ?? []),
			{ zone: base.zones[0]!.name, perS: (100 * dryShare * outputGPerS) / saturationGPerM3, by: name },
		],
		stores,
		relays,
	};
}
