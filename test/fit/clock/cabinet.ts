import { expect } from "vitest";
import type { FitName } from "../../../lib/fit/fitoptions.ts";
import type { Fit, FittedParameter } from "../../../lib/fit/fittypes.ts";
import type { Log } from "../../../lib/logs/log.ts";
import { readLog } from "../../../lib/logs/read.ts";
import { parseScenario } from "../../../lib/scenario/parse.ts";
import type { Scenario } from "../../../lib/scenario/scenario.ts";
import { swinging, type TrueChamber, type TrueCrop, type TrueLog } from "./truechamber.ts";
import { type Written, writtenLog } from "./writtenlog.ts";

/** Rate that the scenario believes in, and the true one [mg/(kg h)]. */
export const BELIEVED_RATE = 150;
export const TRUE_RATE = 180;

const crop: TrueCrop = {
	massKg: 5,
	rateMgPerKgH: TRUE_RATE,
	referenceC: 18,
	q10: 2.4,
	celsius: swinging(19, 4, 15),
};

/** A cabinet that swings by 4 K over the day, warmest at 15:00; its crop, fan and leak are not quite what its grower believes. */
export const cabinet: TrueChamber = {
	airM3: 0.2,
	intakePpm: 420,
	flowM3PerH: 54,
	leakM3PerH: 0.08,
	lagSeconds: 70,
	crop,
};
export const withCrop = (more: Partial<TrueCrop>): TrueChamber => ({
	...cabinet,
	crop: { ...crop, ...more },
});
export const emptyCabinet = withCrop({ massKg: 0 });

export const TEN_MINUTES = { on: 10, off: 590 } as const;

/** The cabinet as its grower writes it down. */
export function scenarioOf({
	temperature = '{ mean: 19 C, swing: 4 K, warmest: "15:00" }',
	rate = BELIEVED_RATE,
	flow = 60,
	leak = "0.3 /h",
	schedule = "{ on: 10 s, off: 590 s }",
	crop: more = "",
	chamber = "",
	ceiling = 1500,
}: {
	readonly temperature?: string;
	/** [mg/(kg h)], or what stands there instead. */
	readonly rate?: number | string;
	readonly flow?: number;
	readonly leak?: string;
	readonly schedule?: string;
	readonly crop?: string;
	readonly chamber?: string;
	readonly ceiling?: number;
} = {}): Scenario {
	return parseScenario(
		`
chamber: { volume: 200 L, leak: ${leak}, temperature: ${temperature}${chamber} }
intake: { co2: 420 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg, ${typeof rate === "number" ? `rate: ${rate} mg/(kg h)` : rate}, reference: 18 C, q10: 2.4${more} }
fan: { flow: ${flow} m3/h }
sensor: { response: 60 s, accuracy: 40 ppm + 3 % }
timer: { ranges: [1..999 s by 1 s] }
target: { ceiling: ${ceiling} ppm, on: peak }
schedules: { usual: ${schedule} }
`,
		"cabinet.yaml",
	);
}

/** The file of a log, read as a user of the library reads it. */
export const read = (log: TrueLog, written: Written, startsAtSeconds?: number): Log =>
	readLog(writtenLog(log, written), {
		fileName: "day.csv",
		...(written.date === undefined ? {} : { zone: "Europe/Berlin" }),
		...(startsAtSeconds === undefined ? {} : { startsAtSeconds }),
	});

export const of = (fit: Fit, name: FitName): FittedParameter =>
	fit.parameters.find((one) => one.name === name)!;

/** Rates of a fit in the unit of the scenario file [mg/(kg h)]. */
export const rateOf = (fit: Fit): { readonly value: number; readonly standardError: number } => ({
	value: fit.respirationRate!.value * 3.6e9,
	standardError: fit.respirationRate!.standardError! * 3.6e9,
});

/** Errors off the truth that a value may be: beyond so many lies one of ten thousand. */
const FAR = 4;

/** A value agrees with the truth within its stated error, and that error is small enough to say something. */
export function expectWithin(
	{ value, standardError }: { readonly value: number; readonly standardError: number | null },
	truth: number,
	share: number,
): void {
	expect(standardError).not.toBeNull();
	expect(standardError! / truth).toBeLessThan(share);
	expect(Math.abs(value - truth)).toBeLessThan(FAR * standardError!);
}

/** Rate, flow, leak and verdict of a fit agree with the truth. */
export function expectTruth(
	fit: Fit,
	chamber: TrueChamber,
	log: TrueLog,
	shares: { readonly rate?: number; readonly flow?: number; readonly leak?: number } = {},
): void {
	const { rate = 0.02, flow = 0.03, leak = 0.5 } = shares;
	expect(fit.residuals.isAdequate).toBe(true);
	expectWithin(rateOf(fit), chamber.crop.rateMgPerKgH, rate);
	expectWithin(of(fit, "generation"), log.meanSourceM3PerS(), rate);
	if (of(fit, "flow").status !== "fixed") expectWithin(of(fit, "flow"), chamber.flowM3PerH / 3600, flow);
	if (of(fit, "leak").status !== "fixed") expectWithin(of(fit, "leak"), chamber.leakM3PerH / 3600, leak);
}

/** Starts of a log: by hour of the day, the last on the evening before clocks change. */
export const STARTS = [
	{ when: "at midnight", date: "2026-05-11", startHour: 0 },
	{ when: "at 06:00", date: "2026-05-11", startHour: 6 },
	{ when: "at 12:00", date: "2026-05-11", startHour: 12 },
	{ when: "at 18:00", date: "2026-05-11", startHour: 18 },
	{ when: "at 23:30, to run over midnight", date: "2026-05-11", startHour: 23.5 },
	{ when: "at 12:00 of the day before clocks go back", date: "2026-10-24", startHour: 12 },
	{ when: "at 18:00 of the day before clocks go forward", date: "2026-03-28", startHour: 18 },
] as const;
