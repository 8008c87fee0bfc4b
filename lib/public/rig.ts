/**
 * Connections, standard wiring, fuse and wire by themselves; drawing and sentences are in `lullgust/reports/rig`.
 * @module lullgust/rig
 */

export { suggestedFuseA } from "../rig/power/standardfuse.ts";
export { ampacityA, wireName } from "../rig/power/wire.ts";
export { type Connection, connectionList, type WireRole } from "../rig/wiring/connections.ts";
export { standardWiring, type WiringParts } from "../rig/wiring/netlist/standardwiring.ts";
