/**
 * What a grower, a researcher and a teacher need. The rest: `lullgust/solver`, `/physics`, `/logs`, `/least-squares`, `/rig`,
 * `/lesson`, `/reports/*`.
 * @module lullgust
 */

export { checkSetting } from "./choose/checksetting.ts";
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
	SettingCheck,
	SettingFault,
	TimerSetting,
} from "./choose/choosetypes.ts";
export { compareSchedules } from "./compare/compare.ts";
export type { ComparedSchedule, Comparison } from "./compare/comparison.ts";
export { waterBalance } from "./compare/humidity.ts";
export type { HumidityFigures, WaterBalance } from "./compare/water.ts";
export { type Fault, InputError, SolverError } from "./errors.ts";
export type { Confounded, ConfoundedReason, FitWarning, Resolution } from "./fit/findings.ts";
export { fitLog } from "./fit/fit.ts";
export type { FitName, FitOptions } from "./fit/fitoptions.ts";
export type {
	DailyGeneration,
	FanSource,
	Fit,
	FitCurve,
	FitDay,
	FitResiduals,
	FittedBurst,
	FittedParameter,
	OutlierReason,
	Profile,
} from "./fit/fittypes.ts";
export type { Verification } from "./fit/verification.ts";
export { type VerifyOptions, verifyLog } from "./fit/verify.ts";
export { type Lesson, type LessonOptions, lesson } from "./lesson/lesson.ts";
export type { LessonSchedule } from "./lesson/lessonschedule.ts";
export {
	type Answer,
	type Question,
	type Worksheet,
	type WorksheetOptions,
	worksheet,
} from "./lesson/worksheet.ts";
export type {
	Channel,
	ChannelKind,
	CleanSeries,
	Exclusion,
	ExclusionReason,
	Log,
	LogLayout,
	LogNote,
	ReadOptions,
} from "./logs/log.ts";
export { readLog } from "./logs/read.ts";
export { buildModel } from "./model/build.ts";
export type { Model, Source } from "./model/chamber.ts";
export { listInputs } from "./model/inputs.ts";
export { inWords } from "./model/schedule/inwords.ts";
export type {
	ContinuousSchedule,
	CycleSchedule,
	DailySchedule,
	OffSchedule,
	Schedule,
	SwitchesSchedule,
} from "./model/schedule/schedule.ts";
export type { Timeline } from "./model/schedule/timeline.ts";
export type { DisplayValue, Timer, TimerRange } from "./model/schedule/timer.ts";
export type { BurstDelivery } from "./rig/air/delivery.ts";
export type { FanReport } from "./rig/air/fanreport.ts";
export { checkRig, type RigFinding, type RigReport } from "./rig/check.ts";
export {
	type CommissioningOptions,
	type CommissioningPlan,
	commissioning,
} from "./rig/commissioning/commissioning.ts";
export type { RigVerdict } from "./rig/finding.ts";
export type { NotAssessedPath } from "./rig/notassessed.ts";
export type { ContactLife } from "./rig/power/contact.ts";
export type { PowerReport } from "./rig/power/powerreport.ts";
export type { WiringState } from "./rig/wiring/circuit/state.ts";
export type { Severity, WiringCode, WiringFault } from "./rig/wiring/faults/faults.ts";
export type { WiringRemark } from "./rig/wiring/faults/remarks.ts";
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
} from "./rig/wiring/netlist/netlist.ts";
export { checkWiring, type WiringVerdict } from "./rig/wiring/wiring.ts";
export { type ScenarioChange, updateScenario } from "./scenario/edit/update.ts";
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
export type { CompiledModel } from "./solve/compile.ts";
export { continuousState } from "./solve/continuous.ts";
export {
	type NoPeriodicState,
	type PeriodicState,
	type PeriodicSteadyState,
	periodicState,
} from "./solve/periodic.ts";
export type { ModelState, SolverStats } from "./solve/propagate/odex.ts";
export type { Method, SolverOptions } from "./solve/propagate/propagate.ts";
export type { ConcentrationStats } from "./solve/propagate/solutionsegment.ts";
export { type SimulateOptions, simulate, type Trajectory } from "./solve/simulate.ts";
export { type Summary, type SummaryOptions, summarize } from "./solve/summary.ts";
