/**
 * Many settings at once, curves, schedules.
 * @module lullgust/solver
 */

export { evaluateSchedule } from "../compare/compare.ts";
export {
	type ComparisonCurves,
	type Curve,
	type CurveWindow,
	comparisonCurves,
	sampleCurve,
} from "../compare/curves.ts";
export { freeVolumeM3 } from "../model/build.ts";
export { periodSeconds, type Segment } from "../model/schedule/schedule.ts";
export {
	burstsPerDay,
	dutyCycle,
	makeTimeline,
	segments,
	type Timeline,
} from "../model/schedule/timeline.ts";
export { type DisplayGrid, displayGrids } from "../model/schedule/timer.ts";
export { startRunAt } from "../model/startrun.ts";
export type { Actuator, Flow, Surface, Zone, ZoneModel, ZoneSensor, ZoneSource } from "../model/zones.ts";
export { type CompiledModel, compile } from "../solve/compile.ts";
export {
	type CycleColumns,
	type PeriodicColumns,
	periodicColumns,
	periodicCycle,
} from "../solve/cycles/closedform.ts";
export { type SettingGrid, type SettingMap, settingMap } from "../solve/cycles/settingmap.ts";
export { type RunStats, runStats } from "../solve/simulate.ts";
export { solveZones, type ZoneSolution } from "../solve/zones/periodiczones.ts";
