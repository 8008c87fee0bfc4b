import type { FitName } from "../fitoptions.ts";
import type { FitModel } from "./fitmodel.ts";
import { BLOCK, createReadingBlock } from "./readings.ts";

export const stepName = (index: number): FitName => `baseline step ${index + 1}`;

/** The model with a sensor that shifts all readings from these moments on, each by a parameter of its own [ppm]. */
export function withBaselineSteps(model: FitModel, atSeconds: readonly number[]): FitModel {
	if (atSeconds.length === 0) return model;
	const own = model.names.length;
	return {
		...model,
		names: [...model.names, ...atSeconds.map((_, k) => stepName(k))],
		predict(values, timesSeconds, wanted, take) {
			const inner = wanted.filter((k) => k < own);
			const block = createReadingBlock(wanted.length);
			model.predict(values, timesSeconds, inner, ({ first, count, columns, readingPpm, chamberPpm }) => {
				block.columns.set(columns.subarray(0, inner.length * BLOCK));
				block.readingPpm.set(readingPpm);
				block.chamberPpm.set(chamberPpm);
				for (const [k, at] of atSeconds.entries()) {
					const column = wanted.indexOf(own + k);
					for (let i = 0; i < count; i++) {
						const isAfter = timesSeconds[first + i]! >= at ? 1 : 0;
						if (column >= 0) block.columns[column * BLOCK + i] = isAfter;
						block.readingPpm[i]! += isAfter * values[own + k]!;
					}
				}
				block.first = first;
				block.count = count;
				take(block);
			});
		},
	};
}
