export { chooseSetting } from "./choose/choose.ts";
export type {
	ChanceConstrained,
	Choice,
	ChooseOptions,
	ComplianceProbability,
	EntryError,
	EvaluatedSetting,
	FeasibilityBoundary,
	FeasibilityLimits,
	FeasibleChoice,
	FrontPoint,
	InfeasibleChoice,
	Sensitivity,
	TimerSetting,
} from "./choose/choosetypes.ts";
export {
	type ComparedSchedule,
	type Comparison,
	compareSchedules,
	evaluateSchedule,
} from "./compare/compare.ts";
export {
	type ComparisonCurves,
	type Curve,
	type CurveWindow,
	comparisonCurves,
	sampleCurve,
} from "./compare/curves.ts";
export { type MoistureLoss, moistureLoss } from "./compare/moistureloss.ts";
export { type Fault, InputError, SolverError } from "./errors.ts";
export { fitLog } from "./fit/fit.ts";
export type {
	Confounded,
	DailyGeneration,
	Fit,
	FitCurve,
	FitDay,
	FitName,
	FitOptions,
	FitResiduals,
	FittedBurst,
	FittedParameter,
	Profile,
	Verification,
} from "./fit/fittypes.ts";
export { type VerifyOptions, verifyLog } from "./fit/verify.ts";
export {
	equalMeanEfficacy,
	equalPeakEfficacy,
	meanPenalty,
	peakPenalty,
} from "./lesson/intermittency.ts";
export { type Lesson, type LessonOptions, type LessonSchedule, lesson } from "./lesson/lesson.ts";
export {
	type Answer,
	type Question,
	type Worksheet,
	type WorksheetOptions,
	worksheet,
} from "./lesson/worksheet.ts";
export { type CleanOptions, cleanSeries } from "./logs/clean/clean.ts";
export {
	type Channel,
	type ChannelKind,
	type CleanSeries,
	type Exclusion,
	type ExclusionReason,
	exclusionReasons,
	type Log,
	type LogLayout,
	type LogNote,
	type ReadOptions,
} from "./logs/log.ts";
export { type ChannelSummary, type LogSummary, summarizeLog } from "./logs/logsummary.ts";
export { logReader, readLog, type StreamingReader, summaryReader } from "./logs/read.ts";
export { buildModel, freeVolumeM3 } from "./model/build.ts";
export type { Model, Source } from "./model/chamber.ts";
export { ohmPerM, voltageDrop, type WireSize } from "./model/fan/conductor.ts";
export {
	atSpeed,
	combineFans,
	type FanCurve,
	type FanPoint,
	fanPressurePa,
	findOperatingPoint,
	type OperatingPoint,
	powerAtSpeed,
} from "./model/fan/fancurve.ts";
export {
	type Duct,
	ductResistance,
	openingResistance,
	type SystemCurve,
	systemPressurePa,
} from "./model/fan/systemcurve.ts";
export { inWords } from "./model/schedule/inwords.ts";
export {
	burstsPerDay,
	type ContinuousSchedule,
	type CycleSchedule,
	type DailySchedule,
	dutyCycle,
	type OffSchedule,
	periodSeconds,
	type Schedule,
	type Segment,
	type SwitchesSchedule,
	segments,
} from "./model/schedule/schedule.ts";
export {
	type DisplayGrid,
	type DisplayValue,
	displayGrids,
	type Timer,
	type TimerRange,
} from "./model/schedule/timer.ts";
export { checkRig } from "./rig/check.ts";
export {
	type CommissioningOptions,
	type CommissioningSheet,
	commissioning,
} from "./rig/commissioning/commissioning.ts";
export { suggestedFuseA } from "./rig/power/fuse.ts";
export { ampacityA, wireName } from "./rig/power/wire.ts";
export type {
	BurstDelivery,
	ContactLife,
	FanReport,
	NotAssessed,
	PowerReport,
	RigFinding,
	RigOptions,
	RigReport,
	RigValue,
	RigVerdict,
} from "./rig/rigtypes.ts";
export { type Connection, connectionList, WIRING_CAUTIONS, type WireRole } from "./rig/wiring/connections.ts";
export { drawWiring, type WiringDrawing } from "./rig/wiring/drawing/drawing.ts";
export type { Severity, WiringCode, WiringFault } from "./rig/wiring/faults.ts";
export type {
	DiodePart,
	FanPart,
	FusePart,
	LowsideTimerPart,
	RelayTimerPart,
	SupplyPart,
	SwitchPart,
	TimerPart,
	Wiring,
	WiringPart,
} from "./rig/wiring/netlist.ts";
export type { WiringRemark } from "./rig/wiring/operation.ts";
export { standardWiring, type WiringParts } from "./rig/wiring/standardwiring.ts";
export type { WiringState } from "./rig/wiring/state.ts";
export { checkWiring, type WiringVerdict } from "./rig/wiring/wiring.ts";
export { type ScenarioChange, updateScenario } from "./scenario/edit/update.ts";
export { listInputs } from "./scenario/inputs.ts";
export { parseScenario } from "./scenario/parse.ts";
export type {
	Accuracy,
	EvidenceGrade,
	InputRow,
	Origin,
	Quantity,
	Scenario,
	Substrate,
} from "./scenario/scenario.ts";
export { scenarioJsonSchema } from "./scenario/schema.ts";
export { starterScenario } from "./scenario/starter.ts";
export { continuousState } from "./solve/continuous.ts";
export {
	type CycleColumns,
	type PeriodicColumns,
	periodicColumns,
	periodicCycle,
} from "./solve/cycles/closedform.ts";
export { type SettingGrid, type SettingMap, settingMap } from "./solve/cycles/settingmap.ts";
export {
	type NoPeriodicState,
	type PeriodicState,
	type PeriodicSteadyState,
	periodicState,
} from "./solve/periodic.ts";
export type { ModelState, SolverStats } from "./solve/propagate/odex.ts";
export type { Method, SolverOptions } from "./solve/propagate/propagate.ts";
export type { ConcentrationStats } from "./solve/propagate/solutionsegment.ts";
export {
	type RunStats,
	runStats,
	type SimulateOptions,
	simulate,
	type Trajectory,
} from "./solve/simulate.ts";
export { type Summary, type SummaryOptions, summarize } from "./solve/summary.ts";
export {
	type LeastSquares,
	type LeastSquaresOptions,
	type LeastSquaresProblem,
	leastSquares,
	type Parameter,
} from "./statistics/leastsquares.ts";
