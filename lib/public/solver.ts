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
export {
	burstsPerDay,
	dutyCycle,
	periodSeconds,
	type Segment,
	segments,
} from "../model/schedule/schedule.ts";
export { type DisplayGrid, displayGrids } from "../model/schedule/timer.ts";
export {
	type CycleColumns,
	type PeriodicColumns,
	periodicColumns,
	periodicCycle,
} from "../solve/cycles/closedform.ts";
export { type SettingGrid, type SettingMap, settingMap } from "../solve/cycles/settingmap.ts";
export { type RunStats, runStats } from "../solve/simulate.ts";
