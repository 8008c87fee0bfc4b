import { co2VolumeM3 } from "../model/air/gaslaws.ts";
import { power } from "../power.ts";
import { BREATH_CO2, BREATH_LITRES, MOLAR_MASS_BAKING_SODA } from "../sources/bench.ts";
import { MOLAR_MASS_CO2, STANDARD_PRESSURE } from "../sources/constants.ts";
import { HOUR, MINUTE } from "../time.ts";

/** Room in which the doses are worked out [°C], at sea level. */
const ROOM_CELSIUS = 20;

export type Dose = ReturnType<typeof dose>;

/** What lifts the CO2 of a chamber of `volumeM3` [m3] by `risePpm` [ppm], in three ways to come by it. */
export function dose(volumeM3: number, risePpm: number) {
	/** Pure CO2 that is wanted [m3]. */
	const co2M3 = risePpm * 1e-6 * volumeM3;
	return {
		volumeM3,
		risePpm,
		co2M3,
		/** Breaths at rest, breathed out into it [-]. */
		breaths: co2M3 / breathM3(),
		/** Baking soda, in more vinegar than it needs [kg]. */
		bakingSodaKg: co2M3 / bakingSodaM3PerKg(),
		dryIceKg: co2M3 / dryIceM3PerKg(),
	};
}

/** Pure CO2 in one breath [m3]. */
export const breathM3 = (): number => (BREATH_LITRES.value / 1000) * (BREATH_CO2.value / 100);

/** Pure CO2 from dry ice at 20 °C and sea level [m3/kg]. */
export const dryIceM3PerKg = (): number => co2VolumeM3(1, ROOM_CELSIUS, STANDARD_PRESSURE.value);

/** Pure CO2 from baking soda at 20 °C and sea level [m3/kg], one CO2 for each NaHCO3. */
export const bakingSodaM3PerKg = (): number =>
	dryIceM3PerKg() * (MOLAR_MASS_CO2.value / MOLAR_MASS_BAKING_SODA.value);

/**
 * A beaker under a steady drip, out of which a share [0..1] is scooped at regular times. Water just before and just after a scoop,
 * once it repeats [m3]: what drips in between two scoops is what one scoop takes, so peak = drip · interval / share.
 */
export function scooping(dripM3PerS: number, everySeconds: number, share: number) {
	const peakM3 = (dripM3PerS * everySeconds) / share;
	return { everySeconds, share, peakM3, troughM3: peakM3 * (1 - share) };
}

const LITRE = 1e-3;

/** Nobody is to dose a room by hand: chambers above this stay out of the table [m3]. */
const MAX_DOSED_M3 = 0.5;

export type Bench = ReturnType<typeof bench>;

/** The bench experiments, with what a class should find; the lesson's own chamber [m3] joins the table of doses where it is small. */
export function bench(volumeM3: number) {
	const dripM3PerS = (0.12 * LITRE) / MINUTE;
	const half = scooping(dripM3PerS, MINUTE, 1 / 2);
	const parts = 4;
	// What keeps as much when it is taken four times.
	const quarter = scooping(dripM3PerS, MINUTE / parts, 1 - power(1 - half.share, 1 / parts));
	const jarM3 = 10 * LITRE;
	const deliveredM3PerS = 3.6 / HOUR;
	const burstSeconds = 6;
	const airChangesPerBurst = (deliveredM3PerS * burstSeconds) / jarM3;
	const beforePpm = 2000;
	const room = { volumeM3: 50, kg: 1 };
	return {
		water: {
			dripM3PerS,
			/** The same share a minute, in one scoop and in several. */
			scoopings: [half, quarter] as const,
			/** Level under a hole that lets out the same share a minute [m3]. */
			holeM3: (dripM3PerS * MINUTE) / -Math.log1p(-half.share),
		},
		jar: {
			volumeM3: jarM3,
			/** Assumed of a small fan, to be found out [m3/s]. */
			deliveredM3PerS,
			burstSeconds,
			airChangesPerBurst,
			replacedFraction: -Math.expm1(-airChangesPerBurst),
			/** Above the room's air, before and after one burst [ppm]. */
			beforePpm,
			afterPpm: beforePpm * Math.exp(-airChangesPerBurst),
		},
		doses: [...new Set([jarM3, 30 * LITRE, ...(volumeM3 <= MAX_DOSED_M3 ? [volumeM3] : [])])].map((volume) =>
			dose(volume, beforePpm),
		),
		/** What a piece of dry ice does to a whole closed room [m3], [kg], [ppm]. */
		room: { ...room, risePpm: (1e6 * room.kg * dryIceM3PerKg()) / room.volumeM3 },
	};
}
