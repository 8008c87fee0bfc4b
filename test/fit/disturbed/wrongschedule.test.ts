import { describe, expect, test } from "vitest";
import type { LackOfFit } from "../../../lib/fit/findings.ts";
import { fitSeries } from "../../../lib/fit/fit.ts";
import type { Fit } from "../../../lib/fit/fittypes.ts";
import { lackOfFitWords } from "../../../reports/fit/lackoffitwords.ts";
import { disturbedLog, type Premises, seriesOfLog, uniforms } from "./disturbedlog.ts";
import { type Drawn, drawLog } from "./premises.ts";

const fitOf = ({ truth, scenario, options }: Drawn): Fit =>
	fitSeries(scenario, seriesOfLog(scenario, disturbedLog(truth), options), options);

/** The same cabinet, on a timer that was set otherwise than its grower believes. */
const onTimer = (drawn: Drawn, set: Partial<Premises>): Drawn => ({
	...drawn,
	truth: { ...drawn.truth, ...set },
});
const periodOf = ({ truth: { onSeconds, offSeconds } }: Drawn) => onSeconds + offSeconds;
/** Of another period, with the on-time as believed; a fan that is hardly ever off is another case. */
const atPeriod = (drawn: Drawn, seconds: number): Drawn =>
	onTimer(drawn, { offSeconds: Math.max(seconds - drawn.truth.onSeconds, 1.5 * drawn.truth.onSeconds) });
const withOnTime = (drawn: Drawn, factor: number): Drawn => {
	const onSeconds = Math.min(factor * drawn.truth.onSeconds, periodOf(drawn) - 5);
	return onTimer(drawn, { onSeconds, offSeconds: periodOf(drawn) - onSeconds });
};

const WRONG: Readonly<Record<string, (drawn: Drawn, random: () => number) => Drawn>> = {
	"a period a few per cent off": (drawn, random) =>
		atPeriod(drawn, periodOf(drawn) * (random() < 0.5 ? 0.9 : 1.1)),
	"any other period": (drawn, random) => atPeriod(drawn, periodOf(drawn) * 6 ** (2 * random() - 1)),
	"a period that is a multiple or a part": (drawn, random) =>
		atPeriod(drawn, periodOf(drawn) * [0.25, 0.5, 1.5, 2, 3][Math.floor(5 * random())]!),
	"bursts ten times as long": (drawn) => withOnTime(drawn, 10),
	"on and off exchanged": (drawn) =>
		onTimer(drawn, { onSeconds: drawn.truth.offSeconds, offSeconds: drawn.truth.onSeconds }),
	"a fan that never ran": (drawn) => onTimer(drawn, { onSeconds: 0 }),
	"another start of the cycle": (drawn, random) => ({
		...drawn,
		options: { phaseSeconds: drawn.truth.phaseSeconds + periodOf(drawn) * (0.1 + 0.8 * random()) },
	}),
};

const SUSPECTS: readonly LackOfFit["code"][] = [
	"no cycles",
	"other on-time",
	"other schedule",
	"other cycle",
];

describe("a log that was taken under another schedule", () => {
	test.each(Object.entries(WRONG))("with %s determines nothing", (_, wrong) => {
		for (const seed of [20]) {
			const fit = fitOf(wrong(drawLog(seed), uniforms(seed)));
			expect(fit.residuals.isAdequate, `seed ${seed}`).toBe(false);
			expect(fit.parameters.filter(({ isIdentifiable }) => isIdentifiable)).toEqual([]);
			expect(fit.changes).toEqual([]);
		}
	});

	test("is said to be one, by what speaks for it", () => {
		for (const wrong of ["a period a few per cent off", "bursts ten times as long", "a fan that never ran"]) {
			const fit = fitOf(WRONG[wrong]!(drawLog(12), uniforms(12)));
			expect(fit.residuals.lackOfFit.some(({ code }) => SUSPECTS.includes(code))).toBe(true);
			expect(lackOfFitWords(fit, "si").join(" ")).toContain("Check which schedule ran (--schedule)");
		}
	});

	test("names the period by which it repeats", () => {
		const drawn = drawLog(12);
		const period = 1.7 * periodOf(drawn);
		const [first] = fitOf(atPeriod(drawn, period)).residuals.lackOfFit;
		if (first?.code !== "other cycle") throw new Error("nothing is named");
		expect(first.change).toBe("period");
		expect((first.onSeconds + first.offSeconds) / period).toBeCloseTo(1, 1);
	});

	test("names the schedule of the file that explains it", () => {
		const { truth, scenario, options } = drawLog(12);
		const [usual] = scenario.schedules;
		const rare = {
			...usual!,
			name: "rare",
			schedule: {
				kind: "cycle",
				onSeconds: 2 * truth.onSeconds,
				offSeconds: 2.5 * truth.offSeconds,
			} as const,
		};
		const both = { ...scenario, schedules: [usual!, rare] };
		const fit = fitOf({
			truth: { ...truth, onSeconds: rare.schedule.onSeconds, offSeconds: rare.schedule.offSeconds },
			scenario: both,
			options: { ...options, schedule: "usual" },
		});
		expect(fit.residuals.lackOfFit[0]).toMatchObject({ code: "other schedule", name: "rare" });
		expect(lackOfFitWords(fit, "si")[0]).toMatch(
			/^The schedule "rare" explains the log better than the schedule "usual": /,
		);
	});

	test("with another start asks to leave --phase out", () => {
		const fit = fitOf(WRONG["another start of the cycle"]!(drawLog(12), uniforms(12)));
		expect(lackOfFitWords(fit, "si").at(-1)).toMatch(/^Leave --phase out/);
	});
});
