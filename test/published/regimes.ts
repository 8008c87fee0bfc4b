import { periodicCycle } from "../../lib/public/solver.ts";
import { excess, HOUR, steadyPpm } from "./box.ts";
import type { Answer, Inputs } from "./check.ts";

/** Worked cases of the periodic regime, through the solver and through the closed form for columns. */
export function regimes(id: string, { one }: Inputs): Record<string, Answer> | undefined {
	if (!id.startsWith("REG-")) return undefined;
	const [onSeconds, offSeconds] = [one("on_s"), one("off_s")];
	const model = {
		volumeM3: one("V_m3"),
		intakePpm: one("Ci_ppm"),
		generationM3PerS: one("G_L_per_h") / 1000 / HOUR,
		deliveredM3PerS: one("Q_m3_per_h") / HOUR,
		infiltrationM3PerS: one("L_m3_per_h") / HOUR,
	};
	const { volumeM3, intakePpm, generationM3PerS, deliveredM3PerS, infiltrationM3PerS } = model;
	const solved = excess(model, onSeconds / HOUR, offSeconds / HOUR);
	const closed = periodicCycle(
		intakePpm,
		(1e6 * generationM3PerS) / volumeM3,
		(deliveredM3PerS + infiltrationM3PerS) / volumeM3,
		infiltrationM3PerS / volumeM3,
		onSeconds,
		offSeconds,
	);
	const both = (figure: "peak" | "trough" | "mean") => [
		{ what: `${figure} of the regime, periodicState`, ours: intakePpm + solved[figure] },
		{ what: `${figure} of the regime, periodicCycle`, ours: closed[`${figure}Ppm`] },
	];
	const air = (deliveredM3PerS * onSeconds) / (onSeconds + offSeconds);
	return {
		peak_ppm: both("peak"),
		trough_ppm: both("trough"),
		mean_ppm: both("mean"),
		continuous_ppm: { what: "continuous equivalent", ours: steadyPpm({ ...model, deliveredM3PerS: air }) },
	};
}
