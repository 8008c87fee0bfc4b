/**
 * Values with their unit as people write them, into SI and back.
 * @module lullgust/units
 */
export type { Dimension } from "../units/dimensions.ts";
export { formatDuration, formatQuantity, type UnitSystem } from "../units/format.ts";
export { readValue } from "../units/read.ts";
