import { expect, test } from "vitest";
import { studentQuantile } from "../../lib/statistics/student.ts";

// Values of printed tables of Student's t, two-sided 95 % (from memory), and t(0.975, 4) of a reference library.
test.each([
	[1, 12.7062],
	[2, 4.30265],
	[5, 2.57058],
	[10, 2.22814],
	[30, 2.04227],
	[120, 1.97993],
])("Student's t at 97.5 per cent with %d degrees of freedom is %d", (degrees, value) => {
	expect(studentQuantile(0.975, degrees)).toBeCloseTo(value, 4);
});

test("it agrees with a reference library to nine digits, is odd, and ends at the normal", () => {
	expect(studentQuantile(0.975, 4)).toBeCloseTo(2.776445105, 9);
	expect(studentQuantile(0.025, 4)).toBeCloseTo(-2.776445105, 9);
	expect(studentQuantile(0.975, 1.9e6)).toBeCloseTo(1.959964, 5);
	expect(studentQuantile(0.975, 3e6)).toBeCloseTo(1.959964, 6);
});
