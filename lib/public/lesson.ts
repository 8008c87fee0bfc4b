// `lullgust/lesson`: the theory of intermittent ventilation.
export { equalMeanEfficacy, equalPeakEfficacy, meanPenalty, peakPenalty } from "../lesson/intermittency.ts";
