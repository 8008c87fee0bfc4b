import type { CycleSchedule } from "../../model/schedule/schedule.ts";
import type { FitModel } from "./fitmodel.ts";
import { BLOCK, createReadingBlock } from "./readings.ts";

/** Starts of the cycle over which a reading is averaged. */
const PHASES = 8;

/** The model of readings that fall on no known phase of a cycle: their mean over all phases. */
export function averageOverPhases(model: FitModel, cycle: CycleSchedule | null): FitModel {
	if (cycle === null) return model;
	const phase = model.names.indexOf("phase");
	const period = cycle.onSeconds + cycle.offSeconds;
	return {
		...model,
		predict(values, timesSeconds, wanted, take) {
			const width = wanted.length + 1;
			const sums = Array.from({ length: Math.ceil(timesSeconds.length / BLOCK) }, () => ({
				columns: new Float64Array(width * BLOCK),
				chamberPpm: new Float64Array(BLOCK),
			}));
			for (let k = 0; k < PHASES; k++) {
				const shifted = Float64Array.from(values, (v, j) => (j === phase ? v - (k * period) / PHASES : v));
				model.predict(shifted, timesSeconds, wanted, ({ first, columns, chamberPpm }) => {
					const sum = sums[first / BLOCK]!;
					for (let i = 0; i < columns.length; i++) sum.columns[i]! += columns[i]! / PHASES;
					for (let i = 0; i < BLOCK; i++) sum.chamberPpm[i]! += chamberPpm[i]! / PHASES;
				});
			}
			const block = createReadingBlock(wanted.length);
			for (const [k, { columns, chamberPpm }] of sums.entries()) {
				block.columns.set(columns);
				block.chamberPpm.set(chamberPpm);
				block.first = k * BLOCK;
				block.count = Math.min(BLOCK, timesSeconds.length - k * BLOCK);
				take(block);
			}
		},
	};
}
