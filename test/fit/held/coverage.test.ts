import { beforeAll, describe, expect, test } from "vitest";
import type { FitOptions } from "../../../lib/fit/fittypes.ts";
import { drawnTest, intervalOf, type Kind } from "./drawntests.ts";

/** Hits of so many intervals of 95 % that chance alone misses, too few or too many, once in two thousand times each. */
function chanceBounds(count: number): readonly [number, number] {
	let chance = 0.05 ** count;
	let sum = 0;
	let [low, high] = [0, count];
	for (let hits = 0; hits <= count; hits++) {
		sum += chance;
		if (sum < 0.0005) low = hits + 1;
		if (sum < 0.9995) high = hits + 1;
		chance *= (((count - hits) / (hits + 1)) * 0.95) / 0.05;
	}
	return [low, Math.min(high, count)];
}

function countHits(
	kind: Kind,
	count: number,
	more: FitOptions = {},
	drawn: { readonly roundedTo?: number } = {},
): ReadonlyMap<string, { readonly told: number; readonly hit: number }> {
	const hits = new Map<string, { told: number; hit: number }>();
	for (let seed = 1; seed <= count; seed++) {
		const { fit: run, truth } = drawnTest(kind, seed, drawn);
		const found = run(more);
		for (const [name, value] of Object.entries(truth)) {
			const interval = intervalOf(found, name);
			if (interval === null) continue;
			const { told, hit } = hits.get(name) ?? { told: 0, hit: 0 };
			hits.set(name, {
				told: told + 1,
				hit: hit + (interval.low <= value && value <= interval.high ? 1 : 0),
			});
		}
	}
	return hits;
}

describe.each([
	["log", 40, ["generation", "respiration rate", "flow", "leak", "leak per volume", "response", "offset"]],
	["rise", 80, ["generation", "respiration rate", "leak", "leak per volume", "background"]],
	["decay", 120, ["leak", "leak per volume", "background"]],
	["bursts", 24, ["flow", "leak", "leak per volume", "offset"]],
] as const)(
	"volume, mass, intake, sensor and instants drawn from what the file says of them, as a %s",
	(kind, count, names) => {
		let hits: ReturnType<typeof countHits>;
		beforeAll(() => {
			hits = countHits(kind, count);
		}, 120_000);

		test.each(names)(
			"the 95 per cent interval of %s holds the truth as often as it says, as far as chance lets tell",
			(name) => {
				const { told, hit } = hits.get(name)!;
				expect(told).toBeGreaterThan(0.9 * count);
				const [low, high] = chanceBounds(told);
				expect(hit).toBeGreaterThanOrEqual(low);
				expect(hit).toBeLessThanOrEqual(high);
			},
		);
	},
);

test("with what is held left out, fewer than 60 of 100 intervals of a decay would hold the truth", () => {
	const hits = countHits("decay", 60, { exact: true });
	const { told, hit } = hits.get("leak")!;
	expect(told).toBe(60);
	expect(hit / told).toBeLessThan(0.6);
});

test.each([10, 50])(
	"readings in steps of %d ppm cost the intervals of a decay nothing of their truth",
	(roundedTo) => {
		const hits = countHits("decay", 40, {}, { roundedTo });
		for (const name of ["leak", "leak per volume", "background"]) {
			const { told, hit } = hits.get(name)!;
			expect(hit).toBeGreaterThanOrEqual(chanceBounds(told)[0]);
		}
	},
);
