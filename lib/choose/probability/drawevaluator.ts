import type { Cycle } from "../../model/schedule/schedule.ts";
import { type CompiledModel, compile } from "../../solve/compile.ts";
import { listLimits, type Statistic, type TargetLimit } from "../../solve/criterion.ts";
import { makeCycleMaxHourlyMeans, makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { makeEquivalentCycle, withInstantFan } from "../../solve/cycles/equivalentcycle.ts";
import { drawnHumidity } from "../damp.ts";
import type { ChoiceContext } from "../evaluate.ts";
import { type DrawColumns, makeDrawColumns, type Side } from "./drawcolumns.ts";
import type { Draws } from "./draws.ts";

/** Which limits are counted: those whose misses grow with the pause, those of the floors, or all. */
export type Part = "ceilings" | "floors" | "target";

/** Counts the draws that miss a part of the target. */
export interface MissCounter {
	/** How many miss in a cycle. */
	count(cycle: Cycle): number;
	/**
	 * A counter for cycles between two, in burst and pause, that looks only at draws that these two leave open: more air never means
	 * more CO2. Where one of them is null, nothing is known on that side.
	 */
	within(leastAired: Cycle | null, mostAired: Cycle | null): MissCounter;
}

/** A cycle in all draws. */
export interface DrawEvaluator {
	/** Values of a statistic [ppm], in the order of the draws. */
	values(statistic: Statistic, cycle: Cycle): Float64Array;
	countMisses(cycle: Cycle, part: Part): number;
	counter(part: Part): MissCounter;
	/** The same of some of the draws. */
	among(places: readonly number[]): DrawEvaluator;
}

/** So few draws are looked at rather than parted further: two more cycles of the central model take as long. */
const FEW = 200;
/** A draw that is nearer to its limit than this share of it is open: the factor of the central model may disturb the order so much. */
const MARGIN = 1e-3;

/** The worst hour has no column. */
const COLUMN_OF = { peak: "peakPpm", mean: "meanPpm", trough: "troughPpm", "worst hour": "" } as const;

function sum(flags: Uint8Array): number {
	let count = 0;
	for (let k = 0; k < flags.length; k++) count += flags[k]!;
	return count;
}

/** Draws with their highest and their lowest source, either made when first asked for: most questions are about one. */
type Sides = (side: Side) => DrawColumns;

function makeSides(make: (side: Side) => DrawColumns): Sides {
	const made: Partial<Record<Side, DrawColumns>> = {};
	return (side) => {
		made[side] ??= make(side);
		return made[side];
	};
}

/**
 * Judges a cycle in all draws at once, by columns (see `makeDrawColumns`). What the instant fan misses of the excess is taken from the
 * central model, judged both ways.
 */
export function makeDrawEvaluator(
	{ all }: Draws,
	{ steady, lowest, target, damp }: Pick<ChoiceContext, "steady" | "lowest" | "target" | "damp">,
): DrawEvaluator {
	const limits = limitsByPart(listLimits(target, drawnHumidity(damp)));
	const asked = new Set(limits.target.map(({ statistic }) => statistic));
	const wanted = {
		// Of a worst hour mean and peak are known first.
		peak: asked.has("peak") || asked.has("worst hour"),
		mean: asked.has("mean") || asked.has("worst hour"),
		trough: asked.has("trough") || asked.has("worst hour"),
	};
	const stays = all.every((draw) => draw.lowest === draw.highest);
	const factors = {
		highest: makeFactors(steady),
		lowest: makeFactors(lowest),
		damp: makeFactors(damp?.central ?? steady),
	};
	/** Shows the value of a statistic in each draw [ppm]. */
	const forEachValue = (
		sides: Sides,
		side: Side,
		statistic: Statistic,
		cycle: Cycle,
		visit: (k: number, ppm: number) => void,
	) => {
		const columns = sides(stays && side === "lowest" ? "highest" : side).evaluate(cycle);
		const factor = factors[side](statistic, cycle);
		const { intakePpm } = columns;
		const name = COLUMN_OF[statistic];
		const fast = name === "" ? undefined : columns[name];
		for (let k = 0; k < intakePpm.length; k++) {
			const ppm = fast === undefined ? columns.hourPpm(k) : fast[k]!;
			visit(k, intakePpm[k]! + factor * (ppm - intakePpm[k]!));
		}
	};
	/** Draws that miss at least one limit in a cycle, each limit moved outwards by a share of it. */
	const findMisses = (
		sides: Sides,
		count: number,
		part: readonly TargetLimit[],
		cycle: Cycle,
		margin = 0,
	): Uint8Array => {
		const missed = new Uint8Array(count);
		for (const { side, statistic, ppm, isHumidity } of part) {
			const [above, below] = [ppm * (1 + margin), ppm * (1 - margin)];
			forEachValue(
				sides,
				isHumidity === true ? "damp" : side === "ceiling" ? "highest" : "lowest",
				statistic,
				cycle,
				side === "ceiling"
					? (k, value) => {
							missed[k]! |= value > above ? 1 : 0;
						}
					: (k, value) => {
							missed[k]! |= value < below ? 1 : 0;
						},
			);
		}
		return missed;
	};
	const makeCounter = (sides: Sides, open: number, part: Part, surely: number): MissCounter => ({
		count: (cycle) => (open === 0 ? surely : surely + sum(findMisses(sides, open, limits[part], cycle))),
		within(leastAired, mostAired) {
			// A worst hour goes neither way.
			if (open <= FEW || limits[part].some(({ statistic }) => statistic === "worst hour")) return this;
			const most = new Uint8Array(open).fill(0);
			const may = new Uint8Array(open).fill(0);
			for (const wanted of ["ceiling", "floor"] as const) {
				const own = limits[part].filter(({ side }) => side === wanted);
				if (own.length === 0) continue;
				const [strict, lax] = wanted === "ceiling" ? [leastAired, mostAired] : [mostAired, leastAired];
				const mayMiss = strict && findMisses(sides, open, own, strict, -MARGIN);
				const mustMiss = lax && findMisses(sides, open, own, lax, MARGIN);
				for (let k = 0; k < open; k++) {
					may[k]! |= mayMiss?.[k] ?? 1;
					most[k]! |= mustMiss?.[k] ?? 0;
				}
			}
			const places: number[] = [];
			let missing = surely;
			for (let k = 0; k < open; k++)
				if (most[k] === 1) missing++;
				else if (may[k] === 1) places.push(k);
			// To look at them twice takes no longer than to set them apart.
			if (places.length > open / 2) return this;
			return makeCounter(
				makeSides((side) => sides(side).pick(places)),
				places.length,
				part,
				missing,
			);
		},
	});
	const of = (sides: Sides, count: number): DrawEvaluator => {
		const counters = {
			ceilings: makeCounter(sides, count, "ceilings", 0),
			floors: makeCounter(sides, count, "floors", 0),
			target: makeCounter(sides, count, "target", 0),
		};
		return {
			values(statistic, cycle) {
				const out = new Float64Array(count);
				forEachValue(sides, statistic === "trough" ? "lowest" : "highest", statistic, cycle, (k, ppm) => {
					out[k] = ppm;
				});
				return out;
			},
			countMisses: (cycle, part) => counters[part].count(cycle),
			counter: (part) => counters[part],
			among: (places) =>
				of(
					makeSides((side) => sides(side).pick(places)),
					places.length,
				),
		};
	};
	return of(
		makeSides((side) => makeDrawColumns(all, side, wanted)),
		all.length,
	);
}

/** A worst hour is not below the mean, which alone goes one way as a burst or a pause grows. */
function limitsByPart(limits: readonly TargetLimit[]): Readonly<Record<Part, readonly TargetLimit[]>> {
	const ceilings = limits.filter(({ side }) => side === "ceiling");
	return {
		ceilings: ceilings.map((limit) =>
			limit.statistic === "worst hour" ? { ...limit, statistic: "mean" } : limit,
		),
		floors: limits.filter(({ side }) => side === "floor"),
		target: limits,
	};
}

/** Exact excess of the central model over that of the instant fan that moves the same air [-]. */
function makeFactors(central: CompiledModel): (statistic: Statistic, cycle: Cycle) => number {
	const { spinUpTauSeconds = 0, coastDownTauSeconds = 0, intakePpm } = central.model;
	const isInstant = spinUpTauSeconds === 0 && coastDownTauSeconds === 0;
	const isOneZone = central.balance.states === 1;
	const instant = compile(withInstantFan(central.model));
	const equivalent = makeEquivalentCycle(central.model);
	const [exact, fast] = [makeCycleStats(central), makeCycleStats(instant)];
	const [exactHour, fastHour] = [makeCycleMaxHourlyMeans(central), makeCycleMaxHourlyMeans(instant)];
	let at: Cycle | null = null;
	const known = new Map<Statistic, number>();
	return (statistic, cycle) => {
		if (isInstant && (isOneZone || statistic !== "worst hour")) return 1;
		if (at === null || at.onSeconds !== cycle.onSeconds || at.offSeconds !== cycle.offSeconds) {
			known.clear();
			at = cycle;
		}
		let factor = known.get(statistic);
		if (factor === undefined) {
			const same = equivalent(cycle);
			const ratio = (a: number, b: number) => (b > intakePpm ? (a - intakePpm) / (b - intakePpm) : 1);
			// See `makeDrawColumns`: two zones have the mean in its place.
			if (statistic === "worst hour")
				known.set(statistic, ratio(exactHour(cycle), isOneZone ? fastHour(same) : fast(same).meanPpm));
			else {
				const [a, b] = [exact(cycle), fast(same)];
				known.set("peak", ratio(a.peakPpm, b.peakPpm));
				known.set("mean", ratio(a.meanPpm, b.meanPpm));
				known.set("trough", ratio(a.troughPpm, b.troughPpm));
			}
			factor = known.get(statistic)!;
		}
		return factor;
	};
}
