import type { Scenario } from "../scenario/scenario.ts";
import { LATENT_HEAT, RADIATION_SHARE, RESPIRATION_HEAT, WALL_TRANSFER } from "../sources/water.ts";
import { co2VolumeM3 } from "./air/gaslaws.ts";
import { latentShare, saturationPa, vapourGPerM3, wallC } from "./air/moistair.ts";
import { type Model, meanSourceM3PerS } from "./chamber.ts";

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
	readonly control: HumidifierControl | null;
	/** Where walls sweat [% RH], and how fast they do [m3/s]. */
	readonly wallPercent: number;
	readonly wallM3PerS: number;
	/** (23) without the humidifier, as a model of one species in % RH. */
	readonly model: Model;
}

export type HumidifierControl = NonNullable<NonNullable<Scenario["water"]>["humidifier"]>["control"];
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
		control: water.humidifier?.control ?? null,
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
