import { beforeAll, describe, expect, test } from "vitest";
import { InputError } from "../../../lib/errors.ts";
import type { FitOptions } from "../../../lib/fit/fitoptions.ts";
import type { Fit } from "../../../lib/fit/fittypes.ts";
import { drawnTest, intervalOf, type Kind } from "./drawntests.ts";

/** So many logs of each kind instead of those that are enough for every day: `COVERAGE_LOGS=1000` takes minutes. */
const LOGS = Number(process.env.COVERAGE_LOGS ?? 0);

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
	drawn: { readonly roundedTo?: number; readonly noiseShare?: number } = {},
): ReadonlyMap<string, { readonly told: number; readonly hit: number }> {
	const hits = new Map<string, { told: number; hit: number }>();
	for (let seed = 1; seed <= count; seed++) {
		const { fit: run, truth } = drawnTest(kind, seed, drawn);
		let found: Fit;
		try {
			found = run(more);
		} catch (error) {
			// Coarse steps may hide a burst, which is refused and no wrong answer.
			if (!(error instanceof InputError) || (drawn.roundedTo ?? 1) < 50) throw error;
			continue;
		}
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
			hits = countHits(kind, LOGS || count);
		}, 600_000);

		test.each(names)(
			"the 95 per cent interval of %s holds the truth as often as it says, as far as chance lets tell",
			(name) => {
				const { told, hit } = hits.get(name)!;
				// Of a burst test whose sensor answers faster than it is read the response is not told.
				expect(told).toBeGreaterThan(0.9 * (LOGS || count));
				const [low, high] = LOGS < 500 ? chanceBounds(told) : [0.92 * told, 0.98 * told];
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

// Where a sensor is quiet against its steps, every cycle errs alike, and a hundred of them tell no more than one.
test.each([
	["decay", 10, 1, 40],
	["decay", 50, 1, 40],
	["rise", 10, 0.2, 40],
	["rise", 50, 0.2, 0],
	["log", 10, 1, 0],
	["log", 10, 0.2, 24],
	["log", 50, 1, 0],
	["bursts", 10, 1, 0],
	["bursts", 50, 1, 0],
] as const)(
	"a %s in steps of %d ppm, with %d times the usual noise, costs the intervals nothing of their truth",
	{ timeout: 600_000 },
	(kind, roundedTo, noiseShare, count) => {
		const hits = countHits(kind, LOGS || count, {}, { roundedTo, noiseShare });
		for (const [name, { told, hit }] of hits)
			expect(hit, name).toBeGreaterThanOrEqual(LOGS < 500 ? chanceBounds(told)[0] : 0.92 * told);
	},
);
