import type { Cycle } from "../../model/schedule/schedule.ts";
import { type CompiledModel, compile } from "../../solve/compile.ts";
import { type CriterionTarget, listLimits, type Statistic, type TargetLimit } from "../../solve/criterion.ts";
import { type CycleColumns, periodicColumns } from "../../solve/cycles/closedform.ts";
import { maxHourlyMeanOfCycle } from "../../solve/cycles/cyclehour.ts";
import { cycleRates, makeCycleMaxHourlyMeans, makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { makeEquivalentCycle, withInstantFan } from "../../solve/cycles/equivalentcycle.ts";
import { makeTwoZoneColumns } from "../../solve/cycles/twozonecycle.ts";
import type { ChoiceContext } from "../evaluate.ts";
import type { Draw, Draws } from "./draws.ts";

/** Which limits are counted: those whose misses grow with the pause, those of the floors, or all. */
export type Part = "ceilings" | "floors" | "target";

/** A cycle in all draws. */
export interface DrawEvaluator {
	/** Values of a statistic [ppm], in the order of the draws. */
	values(statistic: Statistic, cycle: Cycle): Float64Array;
	/** How many draws miss a part of the target; as soon as there are more than `most`, no further ones are looked at. */
	countMisses(cycle: Cycle, part: Part, most?: number): number;
}

/** Draws that are judged in one go before it is asked whether too many miss. */
const CHUNK = 512;

/** Values of some draws in one cycle [ppm]. */
interface Columns {
	readonly intakePpm: Float64Array;
	readonly peakPpm: Float64Array;
	readonly meanPpm: Float64Array;
	readonly troughPpm: Float64Array;
	/** The worst hour of one of them, from the three. */
	hourPpm(k: number): number;
}

type Side = "highest" | "lowest";

interface Chunk {
	readonly places: readonly number[];
	readonly of: Readonly<Record<Side, (cycle: Cycle) => Columns>>;
}

/** The worst hour has no column. */
const COLUMN_OF = { peak: "peakPpm", mean: "meanPpm", trough: "troughPpm", "worst hour": "" } as const;

/**
 * Judges a cycle in all draws at once. One zone: in closed form, on columns; two zones: in spectral form. A fan that spins up enters
 * by the instant fan that moves the same air; what that misses of the excess is taken from the central model, judged both ways.
 * @param order in which draws are looked at, those that miss first in front
 */
export function makeDrawEvaluator(
	{ all }: Draws,
	{ steady, lowest, target }: Pick<ChoiceContext, "steady" | "lowest" | "target">,
	order: readonly number[] = Array.from(all.keys()),
): DrawEvaluator {
	const isMeanNeeded = listLimits(target).some(
		({ statistic }) => statistic === "mean" || statistic === "worst hour",
	);
	const chunks: readonly Chunk[] = Array.from({ length: Math.ceil(all.length / CHUNK) }, (_, i) => {
		const places = order.slice(i * CHUNK, (i + 1) * CHUNK);
		const draws = places.map((place) => all[place]!);
		/** Made when first asked for: most questions are about one side. */
		const columnsOf = (side: Side): Chunk["of"][Side] => {
			let made: Chunk["of"][Side] | null = null;
			return (cycle) => {
				made ??= makeColumns(draws, side, isMeanNeeded);
				return made(cycle);
			};
		};
		const highest = columnsOf("highest");
		const stays = draws.every((draw) => draw.lowest === draw.highest);
		return { places, of: { highest, lowest: stays ? highest : columnsOf("lowest") } };
	});
	const factors = { highest: makeFactors(steady), lowest: makeFactors(lowest) };
	/** Writes the values of a statistic into `out`, whatever stands there. */
	const fill = (chunk: Chunk, side: Side, statistic: Statistic, cycle: Cycle, out: Float64Array) => {
		const columns = chunk.of[side](cycle);
		const factor = factors[side](statistic, cycle);
		const { intakePpm } = columns;
		const name = COLUMN_OF[statistic];
		const fast = name === "" ? undefined : columns[name];
		for (let k = 0; k < intakePpm.length; k++)
			out[k] =
				intakePpm[k]! + factor * ((fast === undefined ? columns.hourPpm(k) : fast[k]!) - intakePpm[k]!);
	};
	const scratch = new Float64Array(CHUNK);
	const missed = new Uint8Array(CHUNK);
	const parts = limitsByPart(target);
	return {
		values(statistic, cycle) {
			const side = statistic === "trough" ? "lowest" : "highest";
			const out = new Float64Array(all.length);
			for (const chunk of chunks) {
				fill(chunk, side, statistic, cycle, scratch);
				for (const [k, place] of chunk.places.entries()) out[place] = scratch[k]!;
			}
			return out;
		},
		countMisses(cycle, part, most = all.length) {
			let misses = 0;
			for (const chunk of chunks) {
				const count = chunk.places.length;
				missed.fill(0);
				for (const { side, statistic, ppm } of parts[part]) {
					fill(chunk, side === "ceiling" ? "highest" : "lowest", statistic, cycle, scratch);
					if (side === "ceiling") for (let k = 0; k < count; k++) missed[k]! |= scratch[k]! > ppm ? 1 : 0;
					else for (let k = 0; k < count; k++) missed[k]! |= scratch[k]! < ppm ? 1 : 0;
				}
				for (let k = 0; k < count; k++) misses += missed[k]!;
				if (misses > most) return misses;
			}
			return misses;
		},
	};
}

/** A worst hour is not below the mean, which alone goes one way as a burst or a pause grows. */
function limitsByPart(target: CriterionTarget): Readonly<Record<Part, readonly TargetLimit[]>> {
	const limits = listLimits(target);
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
			// See `makeColumns`: two zones have the mean in its place.
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

/** Values of all statistics in some draws, of the last cycle that was asked for. */
function makeColumns(draws: readonly Draw[], side: Side, isMeanNeeded: boolean): (cycle: Cycle) => Columns {
	const compiled = draws.map((draw) => draw[side]);
	const count = draws.length;
	const out = {
		intakePpm: Float64Array.from(compiled, ({ model }) => model.intakePpm),
		peakPpm: new Float64Array(count),
		meanPpm: new Float64Array(count),
		troughPpm: new Float64Array(count),
	};
	const cycles = makeCycles(draws, side);
	let at: Cycle | null = null;
	const isNew = (cycle: Cycle) => {
		const isOther = at === null || at.onSeconds !== cycle.onSeconds || at.offSeconds !== cycle.offSeconds;
		at = cycle;
		return isOther;
	};
	const [first] = compiled;
	if (first !== undefined && first.balance.stagnant > 0) {
		const evaluate = makeTwoZoneColumns(compiled);
		return (cycle) => {
			if (isNew(cycle)) {
				const { onSeconds, offSeconds } = cycles(cycle);
				evaluate(onSeconds, offSeconds, out, isMeanNeeded);
			}
			// The hour of two zones has no closed form: the factor of the central model makes it from the mean.
			return { ...out, hourPpm: (k) => out.meanPpm[k]! };
		};
	}
	const rates = compiled.map(cycleRates);
	const column = (f: (k: number) => number) => Float64Array.from({ length: count }, (_, k) => f(k));
	const fixed = {
		intakePpm: out.intakePpm,
		risePpmPerS: column((k) => rates[k]!.risePpmPerS),
		onPerS: column((k) => rates[k]!.onPerS),
		offPerS: column((k) => rates[k]!.offPerS),
	};
	return (cycle) => {
		const lengths = cycles(cycle);
		if (isNew(cycle)) periodicColumns({ ...fixed, ...lengths } satisfies CycleColumns, out);
		const hourPpm = (k: number) =>
			maxHourlyMeanOfCycle(
				fixed.intakePpm[k]!,
				rates[k]!,
				{ onSeconds: lengths.onSeconds[k]!, offSeconds: lengths.offSeconds[k]! },
				{ peakPpm: out.peakPpm[k]!, meanPpm: out.meanPpm[k]!, troughPpm: out.troughPpm[k]! },
			);
		return { ...out, hourPpm };
	};
}

/** On- and off-times of each draw: as its timer makes them, and of the instant fan that moves the same air. */
function makeCycles(draws: readonly Draw[], side: Side) {
	const lengths = {
		onSeconds: new Float64Array(draws.length),
		offSeconds: new Float64Array(draws.length),
	};
	const models = draws.map((draw) => draw[side].model);
	const [first] = models;
	// Unless the fan's time constants are drawn too, one equivalent cycle serves all.
	const isOneFan = models.every(
		(m) =>
			m.spinUpTauSeconds === first?.spinUpTauSeconds && m.coastDownTauSeconds === first?.coastDownTauSeconds,
	);
	const equivalents = isOneFan ? null : models.map(makeEquivalentCycle);
	const shared = makeEquivalentCycle(first ?? {});
	const factors = Float64Array.from(draws, ({ timerFactor }) => timerFactor);
	return (cycle: Cycle) => {
		const same = shared(cycle);
		for (let k = 0; k < factors.length; k++) {
			const { onSeconds, offSeconds } = equivalents === null ? same : equivalents[k]!(cycle);
			lengths.onSeconds[k] = onSeconds * factors[k]!;
			lengths.offSeconds[k] = offSeconds * factors[k]!;
		}
		return lengths;
	};
}
