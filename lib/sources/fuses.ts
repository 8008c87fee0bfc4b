import { published } from "./published.ts";

/** Standard ratings of miniature fuses [A]: the IEC 60127 series [from memory]. */
export const STANDARD_FUSES: readonly number[] = [
	0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10,
];

/** A fuse over the current it carries: at least so much, so that it does not tire; best not above the high end. */
// biome-ignore format: a record reads best on one line
export const FUSE_OVER_LOAD = published(1.25, "", "common practice, no source: 1.25..1.5 times the load", "read", "moderate", 1.25, 1.5);

/** A fuse blows surely when its rating is below so much of the current that a fault can draw. */
// biome-ignore format: a record reads best on one line
export const FUSE_OVER_FAULT = published(0.5, "", "an adapter that limits at 2 A never blows a 3 A fuse", "judgement", "weak");
