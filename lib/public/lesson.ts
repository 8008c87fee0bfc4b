/**
 * The theory of intermittent ventilation.
 * @module lullgust/lesson
 */

export { equalMeanEfficacy, equalPeakEfficacy, meanPenalty, peakPenalty } from "../lesson/intermittency.ts";
