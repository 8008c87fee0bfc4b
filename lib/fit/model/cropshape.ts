import { withValues } from "../../compare/uncertaininputs.ts";
import { InputError } from "../../errors.ts";
import { type Model, meanSourceM3PerS } from "../../model/chamber.ts";
import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import { parseQuantity } from "../../scenario/text/quantity.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { DAY, sinceMidnight } from "../../time.ts";
import type { FitName, FitOptions } from "../fitoptions.ts";
import type { FitModel } from "./fitmodel.ts";
import { BLOCK, createReadingBlock } from "./readings.ts";

/** What a log can tell of how a crop changes: Q10 [-], growth a day [-], and the flush: its start and end [s], and its height [-]. */
export const CROP_NAMES = ["q10", "trend", "flush rise", "flush fall", "flush high"] as const;
type CropName = (typeof CROP_NAMES)[number];
/** How a crop changes. */
export type CropShape = ReadonlyMap<CropName, number>;

/** Step of the differences over each value. */
const STEPS: Readonly<Record<CropName, number>> = {
	q10: 0.02,
	trend: 0.002,
	"flush rise": 1800,
	"flush fall": 1800,
	"flush high": 0.02,
};

/** The parameters of a crop's shape that are asked for; `flush` stands for its three. */
export const findCropNames = (free: readonly string[] = []): readonly CropName[] =>
	CROP_NAMES.filter((name) => free.includes(name) || (name.startsWith("flush") && free.includes("flush")));

/** Those of the first substrate, whose values all of them then have. */
const quantitiesOf = ({ substrate }: Scenario, name: CropName): readonly Quantity[] =>
	substrate.flatMap(({ q10, flush }) => {
		if (name === "q10") return [q10];
		if (name === "trend" || flush === null) return [];
		return [{ "flush rise": flush.rise, "flush fall": flush.fall, "flush high": flush.high }[name]];
	});

/** Bounds of the search; a flush may rise and fall within a season of the log. */
const BOUNDS: Readonly<Record<CropName, readonly [lower: number, upper: number]>> = {
	q10: [0.5, 8],
	trend: [-1, 1],
	"flush rise": [-60 * DAY, 60 * DAY],
	"flush fall": [-60 * DAY, 60 * DAY],
	"flush high": [0, 20],
};

/** A value of the shape, from what the scenario has. Throws InputError where it has no flush. */
export function planShape(scenario: Scenario, name: CropName): Parameter {
	const [lower, upper] = BOUNDS[name];
	return { name, initial: assumedShape(scenario, name), lower, upper };
}

function assumedShape(scenario: Scenario, name: CropName): number {
	if (name === "trend") return 0;
	const [first] = quantitiesOf(scenario, name);
	if (first === undefined)
		throw new InputError([
			{
				path: `free ${name}`,
				message: "needs a substrate with a flush in the scenario (flush: { rise: …, fall: … })",
			},
		]);
	return first.value;
}

/**
 * The scenario with what the options fix of how the crop changes, and the options without it.
 * @throws InputError for a Q10 that is no number, and for what a file has no key for
 */
export function fixCrop(scenario: Scenario, { fix = {}, ...options }: FitOptions) {
	const { q10, ...others } = fix;
	const shapes = CROP_NAMES.filter((name) => name !== "q10" && fix[name] !== undefined);
	if (shapes.length > 0)
		throw new InputError(
			shapes.map((name) => ({
				path: `fix ${name}`,
				message: `is found (--free ${name.split(" ")[0]}) or not looked for; a flush that is known stands in the scenario`,
			})),
		);
	if (q10 === undefined) return { scenario, options: { ...options, fix } };
	const read = parseQuantity(String(q10), ["number"]);
	if ("refused" in read || !(read.value > 0))
		throw new InputError([{ path: "fix q10", message: `needs a number above 0 such as 2.1, got "${q10}"` }]);
	const { value, low, high } = read;
	const substrate = scenario.substrate.map((one) => ({ ...one, q10: { ...one.q10, value, low, high } }));
	return { scenario: { ...scenario, substrate }, options: { ...options, fix: others } };
}

/** The scenario with a crop that changes so. */
export const withCrop = (scenario: Scenario, shape: CropShape): Scenario =>
	withValues(
		scenario,
		new Map(
			[...shape].flatMap(([name, value]) => quantitiesOf(scenario, name).map((one) => [one, value] as const)),
		),
	);

/** The chamber in the time of a log, with a crop that grows by a share a day around the middle of the log. */
export function withTrend(model: Model, perDay: number, untilSeconds: number): Model {
	if (perDay === 0) return model;
	const { source, generationM3PerS } = model;
	const growth = (seconds: number) => Math.exp((perDay * (seconds - untilSeconds / 2)) / DAY);
	const grown: Model = {
		...model,
		source: {
			isPpmDependent: false,
			breakpointsSeconds: [],
			...source,
			m3PerS: (time, ppm) => growth(time) * (source?.m3PerS(sinceMidnight(time), ppm) ?? generationM3PerS),
			isTimeVarying: true,
			periodSeconds: null,
			horizonSeconds: Math.max(untilSeconds, DAY),
		},
	};
	const levels = Math.max(Math.ceil(untilSeconds / LEVEL_SECONDS), 1);
	return {
		...grown,
		generationM3PerS: meanSourceM3PerS(grown, grown.intakePpm, 0, untilSeconds, levels),
	};
}

/** The mean of a crop that grows is taken over parts so long. */
const LEVEL_SECONDS = 300;

/**
 * The model with parameters for how the crop changes over the log; its mean stays the CO2 output. Slopes over them are central differences.
 * @param build the model for such a crop
 */
export function withCropShape(
	model: FitModel,
	names: readonly CropName[],
	build: (shape: CropShape) => FitModel,
): FitModel {
	if (names.length === 0) return model;
	const own = model.names.length;
	const known = new Map<string, FitModel>();
	const at = (values: ArrayLike<number>, moved = -1, by = 0): FitModel => {
		const shape = new Map(names.map((name, k) => [name, values[own + k]! + (k === moved ? by : 0)] as const));
		const key = [...shape.values()].join();
		const found = known.get(key) ?? build(shape);
		// A search looks at few points at a time.
		if (known.size > 3 * names.length) known.clear();
		known.set(key, found);
		return found;
	};
	return {
		...model,
		names: [...model.names, ...names] as readonly FitName[],
		predict(values, timesSeconds, wanted, take) {
			const inner = wanted.filter((k) => k < own);
			const readings = (of: FitModel): Float64Array => {
				const ppm = new Float64Array(timesSeconds.length);
				of.predict(values, timesSeconds, [], ({ first, count, readingPpm }) =>
					ppm.set(readingPpm.subarray(0, count), first),
				);
				return ppm;
			};
			const slopes = names.map((name, k) => {
				if (!wanted.includes(own + k)) return null;
				const step = STEPS[name];
				const [up, down] = [readings(at(values, k, step)), readings(at(values, k, -step))];
				return up.map((ppm, i) => (ppm - down[i]!) / (2 * step));
			});
			const block = createReadingBlock(wanted.length);
			at(values).predict(values, timesSeconds, inner, ({ first, count, columns, readingPpm, chamberPpm }) => {
				block.columns.set(columns.subarray(0, inner.length * BLOCK));
				slopes.forEach((slope, k) => {
					if (slope !== null)
						block.columns.set(slope.subarray(first, first + count), wanted.indexOf(own + k) * BLOCK);
				});
				block.readingPpm.set(readingPpm);
				block.chamberPpm.set(chamberPpm);
				block.first = first;
				block.count = count;
				take(block);
			});
		},
	};
}
