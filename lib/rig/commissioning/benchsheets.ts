import { deliveredFlow } from "../../model/fan/deliveredflow.ts";
import type { TimerRange } from "../../model/schedule/timer.ts";
import { withMaximumSource } from "../../solve/cycles/maximumsource.ts";
import type { SheetFacts } from "./sheetfacts.ts";
import type { BagSheet, BenchSheet, PowerCutSheet } from "./sheets.ts";

/** Sizes of bags and sacks that are to be had [m3]: common practice, no source. */
const BAGS = [0.01, 0.02, 0.035, 0.06, 0.075, 0.12, 0.24] as const;
/** Time in which a bag is best timed by hand, shortest and longest [s]: judgement. */
export const FILL_SECONDS = { best: 6, min: 3, max: 15 } as const;
/** Deviation of the mean flow that still counts as the flow expected [-]: judgement. */
const FLOW_SHARE = 0.2;
/** A timer by its clock: one count and so much of the time: judgement. */
const CLOCK_SHARE = 0.02;
/** Cycles that are timed in one go last no longer than this together [s]. */
const MAX_WATCH_SECONDS = 3600;

export function planBenchSheet({ report: { power }, scenario, cycle }: SheetFacts): BenchSheet {
	const { timer, supply, fan } = scenario;
	const supplyVolts = supply?.voltage.value ?? fan.voltage?.value ?? null;
	const onSeconds = cycle?.onSeconds ?? 0;
	const offSeconds = cycle?.offSeconds ?? 0;
	const period = onSeconds + offSeconds;
	const tolerance = (seconds: number): number =>
		countSeconds(timer?.ranges ?? [], seconds) + CLOCK_SHARE * seconds;
	return {
		id: "P1",
		isNegativeSwitching: timer?.type === "negative-switching",
		supplyVolts,
		shortCircuitOhms: shortCircuitOhms(supplyVolts, power?.runningAmps ?? null),
		fanAmps: power?.fanAmps ?? null,
		fanVolts: power?.volts?.volts ?? null,
		onToleranceSeconds: tolerance(onSeconds),
		offToleranceSeconds: tolerance(offSeconds),
		timedCycles: period === 0 ? 0 : Math.min(10, Math.floor(MAX_WATCH_SECONDS / period)),
	};
}

/** Half of the resistance that fans and timer have while running, at most 10 ohm. */
const shortCircuitOhms = (volts: number | null, runAmps: number | null): number =>
	volts === null || runAmps === null ? 10 : Number(Math.min(10, volts / runAmps / 2).toPrecision(2));

/** Step of the range in which a time is set [s]: the finest that has it. */
const countSeconds = (
	ranges: readonly Pick<TimerRange, "lowSeconds" | "highSeconds" | "stepSeconds">[],
	seconds: number,
): number => {
	const steps = ranges
		.filter(({ lowSeconds, highSeconds }) => seconds >= lowSeconds && seconds <= highSeconds)
		.map(({ stepSeconds }) => stepSeconds);
	return steps.length === 0 ? 0 : Math.min(...steps);
};

export function planBagSheet({ scenario }: SheetFacts): BagSheet {
	const flow = deliveredFlow(scenario).value;
	const distance = (size: number): number => Math.abs(Math.log(size / flow / FILL_SECONDS.best));
	const bag = BAGS.reduce((best, size) => (distance(size) < distance(best) ? size : best));
	const fill = bag / flow;
	const fits = flow > 0 && fill >= FILL_SECONDS.min && fill <= 2 * FILL_SECONDS.max;
	return {
		id: "P2",
		flowM3PerS: flow,
		bagM3: fits ? bag : null,
		fillSeconds: fits ? fill : null,
		minFillSeconds: fits ? fill / (1 + FLOW_SHARE) : null,
		maxFillSeconds: fits ? fill / (1 - FLOW_SHARE) : null,
		flowShare: FLOW_SHARE,
	};
}

export function planPowerCutSheet({ scenario, cycle, model }: SheetFacts): PowerCutSheet {
	const offSeconds = cycle?.offSeconds ?? null;
	return {
		id: "P8",
		powerUp: scenario.timer?.powerUp ?? null,
		offSeconds,
		risePpm:
			offSeconds === null
				? null
				: (1e6 * withMaximumSource(model).generationM3PerS * offSeconds) / model.volumeM3,
		rigs: scenario.supply?.rigs ?? 1,
	};
}
