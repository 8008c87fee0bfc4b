import { type Model, meanSourceM3PerS } from "../model/chamber.ts";
import { deliveredM3, periodicFanSpeedFraction } from "../model/fan/deliveredair.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import type { Timeline } from "../model/schedule/timeline.ts";
import { DAY } from "../time.ts";
import type { CompiledModel } from "./compile.ts";
import { findRoot } from "./root.ts";
import { findNumberFault, prepareRun } from "./run.ts";

/** Mean flow through the fan under a schedule [m3/s], spin-up and coast-down counted, mixing and leak not. */
export function meanDeliveredM3PerS(
	given: Model | CompiledModel,
	schedule: Schedule | Timeline,
	untilSeconds = DAY,
): number {
	const { compiled, timeline } = prepareRun(given, schedule);
	const { model } = compiled;
	const period = timeline.periodSeconds;
	if (period === null) return deliveredM3(model, timeline, untilSeconds, 0) / untilSeconds;
	return deliveredM3(model, timeline, period, periodicFanSpeedFraction(model, timeline, period)) / period;
}

/**
 * Continuous equivalent: CO2 of the crop's zone under continuous flow with the same mean air.
 *
 *     C1 = Cs + 1e6 G/(m Q̄ + L)      C2 = C1 + 1e6 σ G/k      (9)
 *
 * A source that varies in time enters with its mean over the window.
 *
 * @param given the mass balance
 * @param schedule when the fan is on
 * @param window over which source and air are averaged [s]
 * @returns CO2 [ppm]; null when no air moves at all, for then no steady state exists (or, without a source, it is the start)
 * @throws InputError for a model or schedule that makes no sense
 *
 * Source: mass balance, derived here.
 * @example continuousState({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }, { kind: "continuous" })?.toFixed(2) // => "435.00"
 */
export function continuousState(
	given: Model | CompiledModel,
	schedule: Schedule | Timeline,
	window?: { readonly fromSeconds: number; readonly toSeconds: number },
): number | null {
	const { compiled, timeline } = prepareRun(given, schedule, window && findWindowFaults(window));
	const { model, balance: b } = compiled;
	const span = window ?? { fromSeconds: 0, toSeconds: model.source?.horizonSeconds ?? DAY };
	const air =
		(model.mixingEfficiency ?? 1) * meanDeliveredM3PerS(compiled, timeline, span.toSeconds) +
		model.infiltrationM3PerS;
	if (air === 0) return null;
	const sigma = b.stagnant > 0 ? (model.stagnantSourceShare ?? 0) : 0;
	const source = (ppm: number) => meanSourceM3PerS(model, ppm, span.fromSeconds, span.toSeconds);
	// Without feedback the balance is explicit; with it, each zone's level is the root of a falling function.
	const stagnantAt = (mixed: number) =>
		b.stagnant > 0 && sigma > 0
			? levelWhere((c) => mixed + (1e6 * sigma * source(c)) / model.interzonalM3PerS!, mixed)
			: mixed;
	const mixed = levelWhere(
		(c) => model.intakePpm + (1e6 * ((1 - sigma) * source(c) + sigma * source(stagnantAt(c)))) / air,
		model.intakePpm,
	);
	return b.crop === 0 ? mixed : stagnantAt(mixed);
}

const findWindowFaults = ({ fromSeconds, toSeconds }: { fromSeconds: unknown; toSeconds: unknown }) => [
	...findNumberFault("window.fromSeconds", fromSeconds, "a time in s", Number.isFinite),
	...findNumberFault(
		"window.toSeconds",
		toSeconds,
		"a time after its start",
		(x) => Number.isFinite(x) && !(x <= Number(fromSeconds)),
	),
];

/** The level c = f(c) of a non-increasing f, at or above a floor. */
function levelWhere(f: (c: number) => number, floor: number): number {
	const high = f(floor);
	if (!(high > floor)) return floor;
	// A constant f is its own level; the root finder would only add rounding.
	if (f(high) === high) return high;
	return findRoot((c) => f(c) - c, floor, high);
}
