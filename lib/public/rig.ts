/**
 * Wiring, drawing, fuse and wire by themselves.
 * @module lullgust/rig
 */

export { suggestedFuseA } from "../rig/power/fuse.ts";
export { ampacityA, wireName } from "../rig/power/wire.ts";
export {
	type Connection,
	connectionList,
	WIRING_CAUTIONS,
	type WireRole,
} from "../rig/wiring/connections.ts";
export { drawWiring, type WiringDrawing } from "../rig/wiring/drawing/drawing.ts";
export { standardWiring, type WiringParts } from "../rig/wiring/standardwiring.ts";
