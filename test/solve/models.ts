import type { Model, Source } from "../../lib/model/chamber.ts";

/** Chambers of our own invention that the solver tests share. */
export const cabinet: Model = {
	volumeM3: 0.18,
	intakePpm: 430,
	generationM3PerS: 0.216e-3 / 3600,
	infiltrationM3PerS: 0.0072 / 3600,
	deliveredM3PerS: 43.2 / 3600,
};

/** Two zones and a sensor, still linear. */
export const zoned: Model = {
	...cabinet,
	stagnantFraction: 0.3,
	stagnantSourceShare: 0.6,
	interzonalM3PerS: 5 / 3600,
	responseSeconds: 60,
};

const logistic = (x: number) => 1 / (1 + Math.exp(-x));

/** A flush that rises on day 3 and falls on day 8, felt back by the CO2. */
export const flush: Source = {
	m3PerS: (t, ppm) =>
		(cabinet.generationM3PerS *
			(0.6 + 1.2 * logistic((t - 3 * 86_400) / 43_200) - logistic((t - 8 * 86_400) / 43_200))) /
		(1 + ppm / 20_000),
	isTimeVarying: true,
	isPpmDependent: true,
	breakpointsSeconds: [],
	periodSeconds: null,
	horizonSeconds: 14 * 86_400,
};

/** All parts on: spin-up, coast-down, stagnant zone, sensor, growth, inhibition. */
export const everything: Model = { ...zoned, spinUpTauSeconds: 1, coastDownTauSeconds: 2, source: flush };

export const shortBursts = { kind: "cycle", onSeconds: 12, offSeconds: 540 } as const;
