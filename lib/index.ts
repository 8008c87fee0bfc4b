export { type Fault, InputError, SolverError } from "./errors.ts";
export { buildModel, freeVolumeM3 } from "./model/build.ts";
export type { Model, Source } from "./model/chamber.ts";
export {
	burstsPerDay,
	type Continuous,
	type Cycle,
	type Daily,
	dutyCycle,
	type Off,
	periodSeconds,
	type Schedule,
	type Segment,
	type Switches,
	segments,
} from "./model/schedule.ts";
export { type Dial, type DialGrid, dialGrids, type Timer, type TimerRange } from "./model/timer.ts";
export { inWords } from "./model/words.ts";
export { listInputs } from "./scenario/inputs.ts";
export { parseScenario } from "./scenario/parse.ts";
export type { InputRow, Origin, Quantity, Scenario, Substrate, Worth } from "./scenario/scenario.ts";
export { scenarioJsonSchema } from "./scenario/schema.ts";
export { starterScenario } from "./scenario/starter.ts";
export {
	type CycleColumns,
	type PeriodicColumns,
	periodicColumns,
	periodicCycle,
} from "./solve/closedform.ts";
export { continuousState } from "./solve/continuous.ts";
export type { Instant, SolverStats } from "./solve/integrate.ts";
export {
	type NoRegime,
	type PeriodicRegime,
	type PeriodicState,
	periodicState,
} from "./solve/periodic.ts";
export type { Figures } from "./solve/piece.ts";
export { type SettingGrid, type SettingMap, settingMap } from "./solve/settingmap.ts";
export {
	type RunFigures,
	runFigures,
	type SimulateOptions,
	simulate,
	type Trajectory,
} from "./solve/simulate.ts";
export { type Summary, type SummaryOptions, summarize } from "./solve/summary.ts";
export type { Method, SolverOptions } from "./solve/walk.ts";
export type {
	Boundary,
	Bounds,
	Choice,
	ChooseOptions,
	FeasibleChoice,
	FrontPoint,
	InfeasibleChoice,
	JudgedSetting,
	MoistureCost,
	Odds,
	Robust,
	Sensitivity,
	Setting,
	Slip,
} from "./study/choice.ts";
export { chooseSetting } from "./study/choose.ts";
export { type ComparedSchedule, type Comparison, compareSchedules, judgeSchedule } from "./study/compare.ts";
export {
	type ComparisonCurves,
	type Curve,
	type CurveWindow,
	comparisonCurves,
	curve,
} from "./study/curves.ts";
export { moistureCost } from "./study/moisture.ts";
