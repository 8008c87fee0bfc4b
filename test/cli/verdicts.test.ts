import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { seededUniform } from "../../lib/statistics/random.ts";
import { lullgust } from "./lullgust.ts";

/** What every summary in the JSON of any command carries. */
interface Judged {
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
	readonly maxHourlyMeanPpm: number;
	readonly criterion: {
		readonly statistic: string;
		readonly ceilingPpm: number;
		readonly floorPpm: number | null;
		readonly floorStatistic?: string;
		readonly further?: readonly { readonly side: string; readonly statistic: string; readonly ppm: number }[];
		readonly valuePpm: number;
		readonly isMet: boolean;
	};
}

/** Whether the numbers beside a verdict keep all its limits: by reading them, not by asking the library. */
function keeps(judged: Judged): boolean {
	const { criterion } = judged;
	const values: Record<string, number> = {
		peak: judged.peakPpm,
		mean: judged.meanPpm,
		trough: judged.troughPpm,
		"worst hour": judged.maxHourlyMeanPpm,
	};
	expect(criterion.valuePpm).toBe(values[criterion.statistic]);
	const limits = [
		{ side: "ceiling", statistic: criterion.statistic, ppm: criterion.ceilingPpm },
		...(criterion.floorPpm === null
			? []
			: [{ side: "floor", statistic: criterion.floorStatistic ?? "mean", ppm: criterion.floorPpm }]),
		...(criterion.further ?? []),
	];
	return limits.every(({ side, statistic, ppm }) =>
		side === "ceiling" ? values[statistic]! <= ppm : values[statistic]! >= ppm,
	);
}

const random = seededUniform(41);
const within = (low: number, high: number) => low * (high / low) ** random();
const pick = <T>(list: readonly T[]) => list[Math.floor(random() * list.length)]!;

const files = Array.from(
	{ length: 14 },
	() => `
chamber: { volume: ${within(200, 800).toFixed(0)} L, leak: 0.3 /h, temperature: ${pick(["18 C", "{ mean: 18 C, swing: 4 K }"])} }
intake: { co2: ${pick(["450 ppm", "{ mean: 500 ppm, swing: 60 ppm }", "{ day: 600 ppm, night: 450 ppm }", "1300 ppm"])} }
substrate: { species: oyster, mass: ${within(2, 9).toFixed(1)} kg, rate: 150 mg/(kg h)${pick(["", ", inhibition: 4000 ppm", ", flush: { rise: 12 h, fall: 36 h, width: 8 h }"])} }
fan: { flow: ${within(40, 120).toFixed(0)} m3/h }
timer: { ranges: [10..120 s by 10 s, 120..960 s by 120 s] }
start: ${pick(["450 ppm", "1500 ppm"])}
target: ${pick(["{ ceiling: 1200 ppm }", "{ ceiling: 1200 ppm, on: worst hour }", "{ ceiling: 1200 ppm, floor: 800 ppm }", "{ ceiling: { peak: 1400 ppm, worst hour: 1200 ppm }, floor: { trough: 600 ppm } }"])}
schedules: { one: { on: ${within(3, 30).toFixed(0)} s, off: ${within(60, 900).toFixed(0)} s }, other: { on: 5 min, off: ${within(3, 40).toFixed(0)} h } }
`,
);

test.each(files.map((input, n) => [n + 1, input] as const))(
	"in no command does a verdict contradict the numbers beside it: invented file %i",
	(_, input) => {
		const json = (...words: string[]) => {
			const { code, stdout, stderr } = lullgust([...words, "--json"], { input });
			expect([0, 1], stderr).toContain(code);
			return { code, answer: JSON.parse(stdout) };
		};
		const compared = json("compare", "-");
		const schedules = compared.answer.schedules as (Judged & { readonly name: string })[];
		for (const one of schedules) expect(one.criterion.isMet).toBe(keeps(one));
		const met = schedules.filter(keeps).map(({ name }) => name);
		expect(compared.code).toBe(met.length > 0 ? 0 : 1);
		if (met.length > 0) expect(met).toContain(compared.answer.best);
		else expect(compared.answer.best).toBeNull();

		const { stdout } = lullgust(["compare", "-", "--quiet"], { input });
		expect(stdout.startsWith(met.length > 0 ? "Yes." : "No.")).toBe(true);

		const ran = json("simulate", "-", "--schedule", "one");
		const { run, schedule } = ran.answer as { readonly run: Judged; readonly schedule: Judged };
		expect(ran.code).toBe(ran.answer.isMet ? 0 : 1);
		if (ran.answer.isMet)
			expect(keeps({ ...run, criterion: { ...schedule.criterion, ...judgedOf(run, schedule) } })).toBe(true);

		for (const finding of json("rig", "-").answer.findings)
			if (finding.code === "ceiling") {
				const own = schedules.find(({ name }) => name === finding.about)!;
				expect(finding.isMet).toBe(finding.cleanPpm <= finding.ceilingPpm);
				expect(finding.cleanPpm).toBeCloseTo(own.criterion.valuePpm, 6);
			}

		const chosen = json("choose", "-", "--draws", "40");
		const { status, recommended } = chosen.answer;
		expect(chosen.code).toBe(status === "holds" ? 0 : 1);
		if (recommended != null) expect(keeps(recommended.summary)).toBe(true);
	},
);

/** The judged value of a run, by the statistic of its schedule's target. */
const judgedOf = (run: Judged, { criterion }: Judged) => ({
	valuePpm: { peak: run.peakPpm, mean: run.meanPpm, "worst hour": run.maxHourlyMeanPpm }[
		criterion.statistic
	]!,
});

const logged = "fixtures/logs/logged-cabinet";

test.each([
	["as it is", /$^/, ""],
	["with the crop that the log shows", /density: 0.4 kg\/L/, "density: 0.4 kg/L, rate: 214 mg/(kg h)"],
	["with a ceiling just under its peak", /ceiling: 1200 ppm/, "ceiling: 1100 ppm"],
	["with a sensor of 5 ppm", /accuracy: 50 ppm/, "accuracy: 5 ppm"],
])("nor does that of verify, of the logged cabinet %s", (_, key, text) => {
	const before = readFileSync(`${logged}.yaml`, "utf8");
	const input = before.replace(key, text);
	if (text !== "") expect(input).not.toBe(before);
	const words = ["verify", `${logged}.csv`, "--scenario", "-"];
	const { code, stdout } = lullgust([...words, "--json"], { input });
	const { isWithin, checks } = JSON.parse(stdout);
	for (const one of checks)
		expect([one.name, one.isWithin]).toEqual([one.name, Math.abs(one.value) <= one.allowed]);
	expect(isWithin).toBe(checks.every((one: { isWithin: boolean }) => one.isWithin));
	expect(code).toBe(isWithin ? 0 : 1);
	expect(lullgust([...words, "--quiet"], { input }).stdout).toMatch(isWithin ? /^Within\b/ : /^Outside\b/);
});
