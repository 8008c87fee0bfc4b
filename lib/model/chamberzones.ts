import type { Model } from "./chamber.ts";
import type { Schedule } from "./schedule/schedule.ts";
import type { Timeline } from "./schedule/timeline.ts";
import { type Flow, OUTDOORS, type ZoneModel } from "./zones.ts";

/** Where a chamber stands: what it is called, and where it draws its air from and blows it to. */
export interface ChamberPlace {
	readonly name: string;
	readonly schedule: Schedule | Timeline;
	readonly phaseSeconds?: number;
	readonly from: string;
	readonly to: string;
	/** So many such chambers, which do everything at once, are reckoned as one of their volume. Default 1. */
	readonly count?: number;
}

type Parts = Required<Pick<ZoneModel, "zones" | "flows" | "actuators" | "sources" | "sensors">>;

/** The zones of a chamber, its stagnant one and its sensor with them; leakage is exchanged with where its air is drawn from. */
export function chamberZones(
	model: Model,
	{ name, schedule, phaseSeconds = 0, from, to, count = 1 }: ChamberPlace,
): Parts {
	const { volumeM3, source, generationM3PerS, infiltrationM3PerS, deliveredM3PerS } = model;
	const share = model.stagnantFraction ?? 0;
	const sigma = share > 0 ? (model.stagnantSourceShare ?? 0) : 0;
	const start = model.startPpm === undefined ? {} : { start: model.startPpm };
	const corner = `${name}, stagnant`;
	const fan = `${name}, fan`;
	const exchange = (a: string, b: string, m3PerS: number): Flow[] => [
		{ from: a, to: b, m3PerS: count * m3PerS },
		{ from: b, to: a, m3PerS: count * m3PerS },
	];
	const give = (zone: string, part: number) => ({
		zone,
		perS:
			source === undefined
				? 1e6 * count * part * generationM3PerS
				: (time: Parameters<typeof source.m3PerS>[0], ppm: number) =>
						1e6 * count * part * source.m3PerS(time, ppm),
	});
	const hasCorner = share > 0;
	const response = model.responseSeconds ?? 0;
	return {
		zones: [
			{ name, volumeM3: count * volumeM3 * (1 - share), ...start },
			...(hasCorner ? [{ name: corner, volumeM3: count * volumeM3 * share, ...start }] : []),
		],
		flows: [
			...exchange(from, name, infiltrationM3PerS),
			{ from, to: name, m3PerS: count * deliveredM3PerS, by: fan, mixing: model.mixingEfficiency ?? 1 },
			{ from: name, to, m3PerS: count * deliveredM3PerS, by: fan },
			...(hasCorner ? exchange(name, corner, model.interzonalM3PerS ?? 0) : []),
		],
		actuators: [
			{
				name: fan,
				schedule,
				phaseSeconds,
				spinUpTauSeconds: model.spinUpTauSeconds ?? 0,
				coastDownTauSeconds: model.coastDownTauSeconds ?? 0,
			},
		],
		sources: [give(name, 1 - sigma), ...(hasCorner ? [give(corner, sigma)] : [])],
		sensors:
			response > 0
				? [
						{
							name: `${name}, sensor`,
							zone: hasCorner && model.sensorZone === "stagnant" ? corner : name,
							responseSeconds: response,
						},
					]
				: [],
	};
}

/** The smallest case of zones: one chamber in outdoor air, with its stagnant zone and its sensor, where it has them. */
export const zonesOfChamber = (model: Model, schedule: Schedule | Timeline): ZoneModel => ({
	...chamberZones(model, { name: "chamber", schedule, from: OUTDOORS, to: OUTDOORS }),
	outdoor: model.intakePpm,
});
