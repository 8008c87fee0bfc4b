import { expect, test } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { drawnTest } from "./held/drawntests.ts";

test("a sensor offset of nothing needs no unit, is held, and is written back as it was given", () => {
	const { fit: run } = drawnTest("rise", 3);
	const { changes, parameters } = run({ fix: { offset: "0" } });
	expect(parameters.find(({ name }) => name === "background")!.status).toBe("fixed");
	expect(parameters).toEqual(run({ fix: { offset: "0 ppm" } }).parameters);
	expect(drawnTest("log", 3).fit({ fix: { offset: "0" } }).changes).toContainEqual({
		path: "sensor.offset",
		text: "0 ppm",
		isGiven: true,
	});
	expect(changes.map(({ path }) => path)).not.toContain("sensor.offset");
});

test("a Q10 that is given takes the place of the scenario's, with its range, and is written back", () => {
	const { fit: run } = drawnTest("rise", 4);
	const { changes, scenario } = run({ fix: { q10: "1.8..2.2" } });
	expect(scenario.substrate[0]!.q10).toMatchObject({ low: 1.8, high: 2.2 });
	expect(changes).toContainEqual({ path: "substrate[0].q10", text: "1.99 ±10 %", isGiven: true });
});

test.each([
	[{ q10: "-1" }, 'fix q10: needs a number above 0 such as 2.1, got "-1"'],
	[{ trend: "5 %" }, "fix trend: is found (--free trend) or not looked for"],
	[{ "flush high": "2" }, "fix flush high: is found (--free flush) or not looked for"],
])("%j cannot be held, and the way out is said", (fix, message) => {
	const { fit: run } = drawnTest("rise", 4);
	expect(() => run({ fix })).toThrow(InputError);
	expect(() => run({ fix })).toThrow(message);
});
