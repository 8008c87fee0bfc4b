import { expect, test } from "vitest";
import { findTurningPoints } from "../../lib/solve/propagate/linear.ts";

test.each([
	["one, early", [0.003]],
	["one, late", [0.9]],
	["two, close to the switch", [1e-5, 3e-4]],
	["two, far apart", [0.02, 0.7]],
	["none", []],
])("turning points of a segment are where its slope changes sign: %s", (_, roots) => {
	const duration = 240;
	const slope = (t: number) => roots.reduce((product, root) => product * (t / duration - root), 1);
	const found = findTurningPoints(slope, duration);
	expect(found).toHaveLength(roots.length);
	found.forEach((t, i) => {
		expect(t / duration).toBeCloseTo(roots[i]!, 9);
	});
});
