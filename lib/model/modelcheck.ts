import { type Fault, gatherFaults, InputError, show } from "../errors.ts";
import { nearest } from "../nearest.ts";
import type { Model, Source } from "./chamber.ts";

interface Rule {
	readonly needs: string;
	readonly isMet: (x: number) => boolean;
}

const CO2: Rule = { needs: "0 ppm or more", isMet: (x) => x >= 0 };
const FLOW: Rule = { needs: "a flow of 0 m3/s or more", isMet: (x) => x >= 0 };
const TIME: Rule = { needs: "a time of 0 s or more", isMet: (x) => x >= 0 };

/** Fastest change that the solvers follow in double precision through the longest off-times [1/s]. */
const MAX_PER_S = 1e3;

/** The numbers of a model and what each must be. */
const NUMBERS = {
	volumeM3: { needs: "a volume above 0 m3", isMet: (x) => x > 0 },
	intakePpm: CO2,
	startPpm: CO2,
	generationM3PerS: FLOW,
	infiltrationM3PerS: FLOW,
	deliveredM3PerS: FLOW,
	interzonalM3PerS: FLOW,
	mixingEfficiency: { needs: "a factor above 0 and at most 1", isMet: (x) => x > 0 && x <= 1 },
	spinUpTauSeconds: TIME,
	coastDownTauSeconds: TIME,
	responseSeconds: {
		needs: `0 s, or a time of ${1 / MAX_PER_S} s or more`,
		isMet: (x) => x === 0 || x >= 1 / MAX_PER_S,
	},
	stagnantFraction: { needs: "a share from 0 to below 1", isMet: (x) => x >= 0 && x < 1 },
	stagnantSourceShare: { needs: "a share from 0 to 1", isMet: (x) => x >= 0 && x <= 1 },
} as const satisfies Readonly<Record<Exclude<keyof Model, "source" | "sensorZone" | "intakeExcess">, Rule>>;
const REQUIRED: ReadonlySet<string> = new Set([
	"volumeM3",
	"intakePpm",
	"generationM3PerS",
	"infiltrationM3PerS",
	"deliveredM3PerS",
]);
const KNOWN = [...Object.keys(NUMBERS), "source", "sensorZone", "intakeExcess"] as (keyof Model)[];

/** Names that fields had before; a hand-written model may still use them. */
const FORMER_NAMES: Readonly<Record<string, keyof Model>> = {
	supplyPpm: "intakePpm",
	leakM3PerS: "infiltrationM3PerS",
	fanM3PerS: "deliveredM3PerS",
	mixing: "mixingEfficiency",
	exchangeM3PerS: "interzonalM3PerS",
	sensorSeconds: "responseSeconds",
	spinUpSeconds: "spinUpTauSeconds",
	coastDownSeconds: "coastDownTauSeconds",
};

/**
 * A frozen copy of a model, under its present names and with nothing else in it.
 * @throws InputError with every field that is missing, unknown, of a wrong type or without physical meaning
 */
export function checkModel(given: Model): Readonly<Model> {
	if (typeof given !== "object" || given === null)
		throw new InputError([{ path: "model", message: `needs an object, got ${show(given)}` }]);
	const faults: Fault[] = [];
	const fault = (key: string, message: string) => faults.push({ path: `model.${key}`, message });
	const fields: { -readonly [Key in keyof Model]?: unknown } = {};
	for (const key of KNOWN) if (given[key] !== undefined) fields[key] = given[key];
	for (const key of Object.keys(given)) {
		if (KNOWN.includes(key as keyof Model)) continue;
		const value = (given as unknown as Record<string, unknown>)[key];
		const name = Object.hasOwn(FORMER_NAMES, key) ? FORMER_NAMES[key] : undefined;
		if (name === undefined) {
			const near = nearest(key, KNOWN);
			fault(
				key,
				`is no field of a model${near === null ? `; it has ${KNOWN.join(", ")}` : `; did you mean ${near}?`}`,
			);
		} else if (given[name] !== undefined)
			fault(key, `is the former name of ${name}, which is given too; leave one of them out`);
		else if (value !== undefined) fields[name] = value;
	}
	let source: Source | undefined;
	if (fields.source !== undefined)
		gatherFaults(faults, () => {
			source = checkSource(fields.source);
		});
	for (const key of Object.keys(NUMBERS) as (keyof typeof NUMBERS)[]) {
		const value = fields[key];
		const { needs, isMet }: Rule = NUMBERS[key];
		if (value === undefined) {
			if (!REQUIRED.has(key)) continue;
			// A source serves instead of the constant.
			if (key === "generationM3PerS" && fields.source !== undefined) fields.generationM3PerS = 0;
			else fault(key, `is missing; it needs ${needs}`);
		} else if (!(typeof value === "number" && Number.isFinite(value) && isMet(value)))
			fault(key, `needs ${needs}, got ${show(value)}`);
	}
	const { sensorZone, stagnantFraction, interzonalM3PerS } = fields;
	const excess = fields.intakeExcess as Model["intakeExcess"];
	if (
		excess !== undefined &&
		!(
			typeof excess?.ppmAt === "function" &&
			Array.isArray(excess.breakpointsSeconds) &&
			excess.lowestPpm <= excess.highestPpm &&
			Number(fields.intakePpm) + excess.lowestPpm >= 0
		)
	)
		fault("intakeExcess", `needs { ppmAt, breakpointsSeconds, lowestPpm, highestPpm }, got ${show(excess)}`);
	if (sensorZone !== undefined && sensorZone !== "mixed" && sensorZone !== "stagnant")
		fault("sensorZone", `needs "mixed" or "stagnant", got ${show(sensorZone)}`);
	if (Number(stagnantFraction ?? 0) > 0 && (interzonalM3PerS === undefined || interzonalM3PerS === 0))
		fault(
			"interzonalM3PerS",
			"a stagnant zone needs an exchange above 0 m3/s with the mixed zone, or it never airs out",
		);
	if (faults.length > 0) throw new InputError(faults);
	const share = Number(stagnantFraction ?? 0);
	const perS = Number(interzonalM3PerS ?? 0) / (Number(fields.volumeM3) * Math.min(share, 1 - share));
	if (share > 0 && perS > MAX_PER_S)
		fault(
			"interzonalM3PerS",
			`changes the air of a zone ${perS.toPrecision(3)} times a second, but can at most ${MAX_PER_S} times; leave out a zone so small, or take a smaller flow`,
		);
	if (faults.length > 0) throw new InputError(faults);
	return Object.freeze(source === undefined ? fields : { ...fields, source }) as Readonly<Model>;
}

function checkSource(given: unknown): Source {
	if (typeof given !== "object" || given === null)
		throw new InputError([{ path: "model.source", message: `needs an object, got ${show(given)}` }]);
	const source = given as Source;
	const faults: Fault[] = [];
	const fault = (key: keyof Source, needs: string) =>
		faults.push({ path: `model.source.${key}`, message: `needs ${needs}, got ${show(source[key])}` });
	const { breakpointsSeconds: breakpoints, periodSeconds, horizonSeconds } = source;
	if (typeof source.m3PerS !== "function") fault("m3PerS", "a function of time and CO2 that gives m3/s");
	for (const key of ["isTimeVarying", "isPpmDependent"] as const)
		if (typeof source[key] !== "boolean") fault(key, "true or false");
	if (
		!Array.isArray(breakpoints) ||
		!breakpoints.every((t, i) => Number.isFinite(t) && !(t < breakpoints[i - 1]))
	)
		fault("breakpointsSeconds", "a list of ascending times in s");
	if (periodSeconds !== null && !(Number.isFinite(periodSeconds) && periodSeconds > 0))
		fault("periodSeconds", "a time above 0 s, or null");
	if (!(Number.isFinite(horizonSeconds) && horizonSeconds >= 0))
		fault("horizonSeconds", "a time of 0 s or more");
	if (faults.length > 0) throw new InputError(faults);
	return source;
}
