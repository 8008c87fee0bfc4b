import { deliveredFlow } from "../../model/fan/deliveredflow.ts";
import type { TimerRange } from "../../model/schedule/timer.ts";
import { HOUR } from "../../time.ts";
import { closedRisePpm } from "../power/contact.ts";
import { mainsParts } from "../power/mains.ts";
import type { SheetFacts } from "./sheetfacts.ts";

/** Sizes of bags and sacks that are to be had [m3]: common practice, no source. */
const BAGS = [0.01, 0.02, 0.035, 0.06, 0.075, 0.12, 0.24] as const;
/** Time in which a bag is best timed by hand, shortest and longest [s]: judgement. */
export const FILL_SECONDS = { best: 6, min: 3, max: 15 } as const;
/** Deviation of the mean flow that still counts as the flow expected [-]: judgement. */
const FLOW_SHARE = 0.2;
/** A timer by its clock: one count and so much of the time: judgement. */
const CLOCK_SHARE = 0.02;
/** Cycles that are timed in one go last no longer than this together [s]. */
const MAX_WATCH_SECONDS = HOUR;

/** P1: direction of the air and a dry run on the bench. */
export function planBenchSheet({ report: { power }, scenario, cycle }: SheetFacts) {
	const { timer, supply, fan } = scenario;
	const onMains = mainsParts(scenario).length > 0;
	const supplyVolts = onMains ? null : (supply?.voltage.value ?? fan.voltage?.value ?? null);
	const onSeconds = cycle?.onSeconds ?? 0;
	const offSeconds = cycle?.offSeconds ?? 0;
	const period = onSeconds + offSeconds;
	const tolerance = (seconds: number): number =>
		countSeconds(timer?.ranges ?? [], seconds) + CLOCK_SHARE * seconds;
	return {
		id: "P1" as const,
		/** Fan or timer is on the mains: nothing is to be opened, touched or measured. */
		isOnMains: onMains,
		/** The board switches the negative. */
		isNegativeSwitching: timer?.type === "negative-switching",
		/** null where it is not known. */
		supplyVolts,
		/** Resistance under which a short circuit is suspected [ohm]. */
		shortCircuitOhms: shortCircuitOhms(supplyVolts, power?.runningAmps ?? null),
		fanAmps: power?.fanAmps ?? null,
		fanVolts: power?.volts?.volts ?? null,
		/** Allowed error of burst and pause [s]: one count of the display, and a share of the time. */
		onToleranceSeconds: tolerance(onSeconds),
		offToleranceSeconds: tolerance(offSeconds),
		/** Cycles to time in one go [-]; 0 without a cycle. */
		timedCycles: period === 0 ? 0 : Math.min(10, Math.floor(MAX_WATCH_SECONDS / period)),
	};
}

/** Half of the resistance that fans and timer have while running, at most 10 ohm. */
const shortCircuitOhms = (volts: number | null, runAmps: number | null): number =>
	volts === null || runAmps === null ? 10 : Number(Math.min(10, volts / runAmps / 2).toPrecision(2));

/** Step of the range in which a time is set [s]: the finest that has it. */
const countSeconds = (ranges: readonly TimerRange[], seconds: number): number => {
	const steps = ranges.flatMap(({ lowSeconds, highSeconds, stepSeconds }) =>
		seconds >= lowSeconds && seconds <= highSeconds ? [stepSeconds] : [],
	);
	return steps.length === 0 ? 0 : Math.min(...steps);
};

/** P2: delivered flow, by the time in which it fills a bag. */
export function planBagSheet({ scenario }: SheetFacts) {
	const flow = deliveredFlow(scenario).value;
	const distance = (size: number): number => Math.abs(Math.log(size / flow / FILL_SECONDS.best));
	const bag = BAGS.reduce((best, size) => (distance(size) < distance(best) ? size : best));
	const fill = bag / flow;
	const fits = flow > 0 && fill >= FILL_SECONDS.min && fill <= 2 * FILL_SECONDS.max;
	return {
		id: "P2" as const,
		flowM3PerS: flow,
		/** The bag that fills in a time that one can stop [m3]; null where none does. */
		bagM3: fits ? bag : null,
		fillSeconds: fits ? fill : null,
		/** Times that a flow within `flowShare` of the expected one takes [s]. */
		minFillSeconds: fits ? fill / (1 + FLOW_SHARE) : null,
		maxFillSeconds: fits ? fill / (1 - FLOW_SHARE) : null,
		flowShare: FLOW_SHARE,
	};
}

/** P8: what happens when the power fails. */
export function planPowerCutSheet({ scenario, cycle, model }: SheetFacts) {
	const offSeconds = cycle?.offSeconds ?? null;
	return {
		id: "P8" as const,
		isOnMains: mainsParts(scenario).length > 0,
		powerUp: scenario.timer?.powerUp ?? null,
		/** The longest off-time [s]; null where nothing switches. */
		offSeconds,
		/** Rise of CO2 in that off-time, at most [ppm]. */
		risePpm: offSeconds === null ? null : closedRisePpm(model, offSeconds),
		rigs: scenario.supply?.rigs ?? 1,
	};
}
