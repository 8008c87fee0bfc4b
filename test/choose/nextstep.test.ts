import { expect, test } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import { findFirstTest } from "../../lib/choose/firsttest.ts";
import { findNextStep } from "../../lib/choose/nextstep.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { nextCommand, nextStepWords } from "../../reports/words/next.ts";

const read = (rate: string, more = "", intake = "480 ppm") =>
	parseScenario(
		`
chamber: { volume: 420 L, leak: 0.3 /h, temperature: 17 C }
intake: { co2: ${intake} }
substrate: { species: oyster, mass: 8 kg, rate: ${rate}, reference: 17 C, volume: 12 L, q10: 2.4 }
fan: { flow: 70 m3/h }
timer: { ranges: [1..999 s by 1 s] }
disturbances: { warm-day: off, intake: off, flush: off, fan: off, timer: off }
target: { ceiling: 1000 ppm }
${more}`,
		"x.yaml",
		{ schedules: "optional" },
	);
const options = { draws: 400 };

test("while nothing is measured the step is the test that choose names, with what it is expected to save", () => {
	const scenario = read("60..400 mg/(kg h)");
	const advice = findNextStep(scenario, options);
	const choice = chooseSetting(scenario, options);
	if (!choice.isFeasible) throw new Error();
	const first = findFirstTest(choice)!;
	expect(advice.step).toMatchObject({
		code: "field test",
		fieldTest: "rise test",
		savedM3PerDay: first.savedM3PerDay,
	});
	expect(first.savedM3PerDay).toBeGreaterThan(1);
	expect(advice.open[0]!.path).toBe("substrate[0].rate");
	expect(nextCommand(advice, "my.yaml")).toBe(
		"lullgust fit LOG.csv --scenario my.yaml --test rise --update my.yaml",
	);
	expect(nextStepWords(advice, "si")).toContain("Rise test");
});

test("once the rate is known the setting is taken into the file, and once it stands there it is verified", () => {
	const known = read("{ value: 150 mg/(kg h) ±4 %, source: fitted to rise.csv, on: 2026-11-30 }");
	const advice = findNextStep(known, options);
	expect(advice.step.code).toBe("take the setting");
	expect(advice.status).toBe("holds");
	expect(nextCommand(advice, "my.yaml")).toBe("lullgust choose my.yaml --update");
	if (advice.step.code !== "take the setting") throw new Error();
	const { on, off } = advice.step.setting;
	const standing = findNextStep(
		read(
			"{ value: 150 mg/(kg h) ±4 %, source: fitted to rise.csv, on: 2026-11-30 }",
			`schedules: { chosen: { on: ${on.seconds} s, off: ${off.seconds} s } }`,
		),
		options,
	);
	expect(standing.step).toEqual({ code: "verify", scheduleName: "chosen" });
	expect(nextCommand(standing, "my.yaml")).toBe(
		'lullgust verify LOG.csv --scenario my.yaml --schedule "chosen"',
	);
});

test("where no setting can do, the rig is to change", () => {
	const advice = findNextStep(read("150 mg/(kg h)", "", "1100 ppm"), options);
	expect(advice).toMatchObject({ status: "fails", step: { code: "change the rig" } });
});
