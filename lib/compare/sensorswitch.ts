import { buildModel } from "../model/build.ts";
import { averageSource, type Model, meanSourceM3PerS } from "../model/chamber.ts";
import { zonesOfChamber } from "../model/chamberzones.ts";
import { findUsefulBurst } from "../model/fan/usefulburst.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { meanDeliveredM3PerS } from "../solve/continuous.ts";
import { makeCycle, makeCycleStats } from "../solve/cycles/cyclestats.ts";
import { findRoot } from "../solve/root.ts";
import { solveSwitched } from "../solve/zones/limitcycle.ts";
import { DAY } from "../time.ts";
import { withRespirationAt } from "./uncertaininputs.ts";

/** Under what a switch is looked at. */
export type SensorCase =
	| "as it is"
	| "respiration low"
	| "respiration high"
	| "sensor reads high"
	| "sensor reads low"
	| "stuck on"
	| "stuck off";

/** What a switch makes of the true CO2 [ppm], of which its sensor shows something else. */
export interface SensorOutcome {
	readonly case: SensorCase;
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
	readonly freshAirM3PerDay: number;
	readonly startsPerDay: number;
	/** Means over its cycle [s]; null where it never starts, or never stops. */
	readonly onSeconds: number | null;
	readonly offSeconds: number | null;
}

export interface SensorSwitchResult {
	readonly name: string;
	/** As it is, then what each case alone would bring. */
	readonly outcomes: readonly SensorOutcome[];
	/** The pattern repeats; else the figures are those of a day. */
	readonly isPeriodic: boolean;
	/** Its true peak is at or below the ceiling. */
	readonly isMet: boolean;
	/** The clock stops the fan; else the sensor does. */
	readonly isStoppedByClock: boolean;
	/** Lag of the sensor in air changes of the burst, τ Q/V: above 1 each burst purges the chamber, below 0.2 the lag hardly counts. */
	readonly lagAirChanges: number;
	/** Fresh air by which a timer with the shortest useful burst has the same peak [m3/day]; null where none has. */
	readonly timerM3PerDay: number | null;
}

/** The switches of a scenario that look at a sensor, each held against its true CO2. */
export function compareSensorSwitches(scenario: Scenario): readonly SensorSwitchResult[] {
	return scenario.sensorSwitches.map((one) => evaluateSwitch(scenario, one));
}

type SensorSwitch = Scenario["sensorSwitches"][number];

/** The chamber with its mean crop and intake: a switch follows what changes within hours. */
function steadyModel(scenario: Scenario): Model {
	const { source, intakeExcess: _, startPpm: __, ...model } = averageSource(buildModel(scenario));
	const ppm = scenario.target.ceiling.value;
	return source === undefined
		? model
		: { ...model, generationM3PerS: meanSourceM3PerS({ ...model, source }, ppm) };
}

function evaluateSwitch(scenario: Scenario, one: SensorSwitch): SensorSwitchResult {
	const model = steadyModel(scenario);
	const accuracy = scenario.sensor?.accuracy;
	const error =
		accuracy === undefined
			? 0.03 * one.above.value + 50
			: accuracy.ppm.value + accuracy.share.value * one.above.value;
	const own = run(model, one);
	const cases: [SensorCase, Model, SensorSwitch][] = [
		["sensor reads high", model, { ...one, offsetPpm: one.offsetPpm + error }],
		["sensor reads low", model, { ...one, offsetPpm: one.offsetPpm - error }],
	];
	for (const end of ["low", "high"] as const) {
		const other = withRespirationAt(scenario, end);
		if (other !== null) cases.unshift([`respiration ${end}`, steadyModel(other), one]);
	}
	const outcome = (name: SensorCase, found: ReturnType<typeof run>): SensorOutcome => ({
		case: name,
		...found.outcome,
	});
	const stuck = (name: "stuck on" | "stuck off"): SensorOutcome => {
		// A level that is always, or never, passed.
		const above = { ...one.above, value: name === "stuck on" ? -1e9 : 1e9 };
		return outcome(name, run(model, { ...one, above, until: { ...above, value: above.value - 1 } }));
	};
	const lag = one.responseSeconds + one.everySeconds / 2;
	const flow = (model.mixingEfficiency ?? 1) * model.deliveredM3PerS;
	return {
		name: one.name,
		isPeriodic: own.isPeriodic,
		isMet: own.outcome.peakPpm <= scenario.target.ceiling.value,
		outcomes: [
			outcome("as it is", own),
			...cases.map(([name, other, changed]) => outcome(name, run(other, changed))),
			stuck("stuck on"),
			stuck("stuck off"),
		],
		isStoppedByClock: one.until === null,
		lagAirChanges: (lag * flow) / model.volumeM3,
		timerM3PerDay: timerAir(scenario, model, own.outcome.peakPpm),
	};
}

function run(model: Model, one: SensorSwitch) {
	const hasLag = one.responseSeconds > 0;
	const { sensorZone = "mixed" } = model;
	const base = zonesOfChamber({ ...model, responseSeconds: one.responseSeconds }, { kind: "off" });
	const [fan] = base.actuators!;
	const zone = base.zones[sensorZone === "stagnant" ? base.zones.length - 1 : 0]!.name;
	const { levels, actuators, windowSeconds, basis } = solveSwitched({
		...base,
		relays: [
			{
				actuator: fan!.name,
				of: hasLag ? base.sensors![0]!.name : zone,
				on: one.above.value - one.offsetPpm,
				off: one.until === null ? null : one.until.value - one.offsetPpm,
				everySeconds: one.everySeconds,
				shortestOnSeconds: one.shortestOnSeconds,
				shortestOffSeconds: one.shortestOffSeconds,
			},
		],
	});
	const crop =
		(model.stagnantSourceShare ?? 0) > 0.5 && base.zones.length > 1 ? base.zones[1]! : base.zones[0]!;
	const { peakPpm, meanPpm, troughPpm } = levels[crop.name]!;
	const { onSeconds, starts } = actuators[fan!.name]!;
	return {
		isPeriodic: basis === "periodic",
		outcome: {
			peakPpm,
			meanPpm,
			troughPpm,
			freshAirM3PerDay: (DAY * model.deliveredM3PerS * onSeconds) / windowSeconds,
			startsPerDay: (DAY * starts) / windowSeconds,
			onSeconds: starts > 0 ? onSeconds / starts : null,
			offSeconds: starts > 0 ? (windowSeconds - onSeconds) / starts : null,
		},
	};
}

function timerAir(scenario: Scenario, model: Model, peakPpm: number): number | null {
	const { responseSeconds: _, ...air } = model;
	const onSeconds = findUsefulBurst(scenario).seconds;
	const stats = makeCycleStats(air);
	const over = (logarithm: number) => stats({ onSeconds, offSeconds: Math.exp(logarithm) }).peakPpm - peakPpm;
	const [least, most] = [Math.log(1), Math.log(DAY)];
	if (!(over(least) < 0 && over(most) > 0)) return null;
	const offSeconds = Math.exp(findRoot(over, least, most));
	// What a fan delivers while it runs up and down counts as well.
	return DAY * meanDeliveredM3PerS(air, makeCycle(onSeconds, offSeconds));
}
