export { type Fault, InputError, SolverError } from "./errors.ts";
export { type CleanOptions, cleanSeries } from "./logs/clean.ts";
export { type ChannelFigures, type LogFigures, logFigures } from "./logs/figures.ts";
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
export { figuresReader, logReader, type PushReader, readLog } from "./logs/read.ts";
export { type AirPath, type Duct, ductResistance, openingResistance, pathPa } from "./model/airpath.ts";
export { buildModel, freeVolumeM3 } from "./model/build.ts";
export type { Model, Source } from "./model/chamber.ts";
export { ohmPerM, voltageDrop, type WireSize } from "./model/conductor.ts";
export {
	atSpeed,
	type FanCurve,
	type FanPoint,
	fanPa,
	type OperatingPoint,
	operatingPoint,
	powerAtSpeed,
	together,
} from "./model/fancurve.ts";
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
export { checkRig } from "./rig/check.ts";
export {
	type CommissioningOptions,
	type CommissioningSheet,
	commissioning,
} from "./rig/commissioning.ts";
export { type Connection, connectionList, WIRING_CAUTIONS, type WireRole } from "./rig/connections.ts";
export { drawWiring, type WiringDrawing } from "./rig/drawing.ts";
export { suggestedFuseA } from "./rig/fuse.ts";
export type {
	DiodePart,
	FanPart,
	FusePart,
	LowsideTimerPart,
	Part,
	RelayTimerPart,
	SupplyPart,
	SwitchPart,
	TimerPart,
	Wiring,
} from "./rig/netlist.ts";
export type {
	BurstDelivery,
	ContactLife,
	FanReport,
	NotAsked,
	PowerReport,
	RigFigure,
	RigItem,
	RigOptions,
	RigReport,
	RigVerdict,
} from "./rig/rigtypes.ts";
export { standardWiring, type WiringParts } from "./rig/standardwiring.ts";
export { ampacityA, wireName } from "./rig/wire.ts";
export { checkWiring, type WiringVerdict } from "./rig/wiring.ts";
export type { Severity, WiringCode, WiringFault } from "./rig/wiringfaults.ts";
export type { WiringRemark } from "./rig/wiringoperation.ts";
export type { WiringState } from "./rig/wiringstate.ts";
export { listInputs } from "./scenario/inputs.ts";
export { parseScenario } from "./scenario/parse.ts";
export type {
	Accuracy,
	InputRow,
	Origin,
	Quantity,
	Scenario,
	Substrate,
	Worth,
} from "./scenario/scenario.ts";
export { scenarioJsonSchema } from "./scenario/schema.ts";
export { starterScenario } from "./scenario/starter.ts";
export { type ScenarioChange, updateScenario } from "./scenario/update.ts";
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
export {
	type LeastSquares,
	type LeastSquaresOptions,
	type LeastSquaresProblem,
	leastSquares,
	type Parameter,
} from "./statistics/leastsquares.ts";
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
export { fitLog } from "./study/fit.ts";
export type {
	Confounded,
	DailyRespiration,
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
} from "./study/fitting.ts";
export {
	equalMeanEfficacy,
	equalPeakEfficacy,
	meanPenalty,
	peakPenalty,
} from "./study/intermittency.ts";
export { type Lesson, type LessonOptions, type LessonSchedule, lesson } from "./study/lesson.ts";
export { moistureCost } from "./study/moisture.ts";
export { type VerifyOptions, verifyLog } from "./study/verify.ts";
export {
	type Answer,
	type Question,
	type Worksheet,
	type WorksheetOptions,
	worksheet,
} from "./study/worksheet.ts";
