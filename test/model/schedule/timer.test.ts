import { describe, expect, it } from "vitest";
import { displayGrids } from "../../../lib/model/schedule/timer.ts";

const seconds = { lowSeconds: 1, highSeconds: 999, stepSeconds: 1 };
const tenths = { lowSeconds: 0.1, highSeconds: 99.9, stepSeconds: 0.1 };
const minutes = { lowSeconds: 60, highSeconds: 999 * 60, stepSeconds: 60 };

describe("what a timer can show", () => {
	it("is every step of a range, computed as count × step", () => {
		const [grid] = displayGrids({ ranges: [tenths], isShared: false, digits: 3 });
		expect(grid!.on).toHaveLength(999);
		expect(grid!.on[2]).toEqual({
			seconds: 0.3,
			display: "00.3",
			unit: "s",
			range: "0.1 to 99.9 s in steps of 0.1 s",
		});
		expect(grid!.off.at(-1)).toMatchObject({ seconds: 99.9, display: "99.9" });
		expect(grid!.on.every(({ seconds: s }) => s === Number(s.toFixed(1)))).toBe(true);
	});

	it("is shown in minutes where the range counts minutes", () => {
		const [grid] = displayGrids({ ranges: [minutes], isShared: false, digits: 3 });
		expect(grid!.on[58]).toMatchObject({ seconds: 3540, display: "059", unit: "min" });
		const [fine] = displayGrids({
			ranges: [{ lowSeconds: 6, highSeconds: 5994, stepSeconds: 6, unit: "min" }],
			isShared: false,
			digits: 3,
		});
		expect(fine!.on[0]).toMatchObject({ seconds: 6, display: "00.1", unit: "min" });
		expect(fine!.on.at(-1)).toMatchObject({ seconds: 5994, display: "99.9" });
	});

	it("joins ranges that each period may choose for itself, 2,880 values of three", () => {
		// 0.1 … 99.9 s, 100 … 999 s, 17 … 999 min: common practice, no source; 999 + 900 + 983 values.
		const ranges = [tenths, { ...seconds, lowSeconds: 100 }, { ...minutes, lowSeconds: 17 * 60 }];
		const [grid] = displayGrids({ ranges, isShared: false, digits: 3 });
		expect(grid!.on).toHaveLength(999 + 900 + 983);
		const listed = grid!.on.map((value) => value.seconds);
		expect(listed).toEqual(listed.toSorted((a, b) => a - b));
		// 999 s is followed by 17 min = 1020 s: nothing lies between.
		expect(listed[listed.indexOf(999) + 1]).toBe(1020);
	});

	it("takes a time that two ranges can show from the one listed first, and keeps shared ranges apart", () => {
		const [grid] = displayGrids({ ranges: [seconds, tenths], isShared: false, digits: 3 });
		expect(grid!.on.find((value) => value.seconds === 4)!.display).toBe("004");
		expect(grid!.on.find((value) => value.seconds === 4.5)!.display).toBe("04.5");
		const shared = displayGrids({ ranges: [seconds, minutes], isShared: true, digits: 3 });
		expect(shared.map(({ on, off }) => [on.length, off.length])).toEqual([
			[999, 999],
			[999, 999],
		]);
	});

	it("passes over a period of no length", () => {
		const [grid] = displayGrids({
			ranges: [{ lowSeconds: 0, highSeconds: 9, stepSeconds: 3 }],
			isShared: false,
			digits: 1,
		});
		expect(grid!.on.map((value) => value.seconds)).toEqual([3, 6, 9]);
	});
});
