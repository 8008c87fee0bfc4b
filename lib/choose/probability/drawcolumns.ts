import type { Cycle } from "../../model/schedule/schedule.ts";
import type { PeriodicColumns } from "../../solve/cycles/closedform.ts";
import { periodicColumns } from "../../solve/cycles/closedform.ts";
import { maxHourlyMeanOfCycle } from "../../solve/cycles/cyclehour.ts";
import { cycleRates } from "../../solve/cycles/cyclestats.ts";
import { makeEquivalentCycle } from "../../solve/cycles/equivalentcycle.ts";
import {
	fillTwoZoneColumns,
	TWO_ZONE_WIDTH,
	tabulateTwoZones,
	type Wanted,
} from "../../solve/cycles/twozonecycle.ts";
import type { Draw } from "./draws.ts";

export type Side = "highest" | "lowest" | "damp";

/** Statistics of one cycle in some draws [ppm], side by side. */
export interface CycleColumns extends PeriodicColumns {
	readonly intakePpm: Float64Array;
	/** The worst hour of one of them, from the three. */
	hourPpm(k: number): number;
}

/** Some draws, side by side. */
export interface DrawColumns {
	/** What a cycle comes to; the columns are those of the last cycle that was asked for. */
	evaluate(cycle: Cycle): CycleColumns;
	/** Those at some places. */
	pick(places: readonly number[]): DrawColumns;
}

/** A loop, for `Float64Array.from` takes ten times as long. */
function pickFrom(column: Float64Array, places: readonly number[]): Float64Array {
	const picked = new Float64Array(places.length);
	for (let k = 0; k < picked.length; k++) picked[k] = column[places[k]!]!;
	return picked;
}

/** One zone: in closed form; two zones: in spectral form. A fan that spins up enters by the instant fan that moves the same air. */
export function makeDrawColumns(draws: readonly Draw[], side: Side, wanted: Wanted): DrawColumns {
	const chambers = draws.map((draw) => draw[side]!);
	const intakePpm = Float64Array.from(chambers, ({ model }) => model.intakePpm);
	const lengths = makeCycleLengths(draws, side);
	if ((chambers[0]?.balance.stagnant ?? -1) > 0) {
		const table = tabulateTwoZones(chambers);
		return makeColumns(intakePpm, lengths, (places) => {
			const own = places === null ? table : pickRows(table, places);
			// The hour of two zones has no closed form: the factor of the central model makes it from the mean.
			return (on, off, out) => {
				fillTwoZoneColumns(own, on, off, out, wanted);
				return (k) => out.meanPpm[k]!;
			};
		});
	}
	const rates = chambers.map(cycleRates);
	const columns = {
		intakePpm,
		risePpmPerS: Float64Array.from(rates, ({ risePpmPerS }) => risePpmPerS),
		onPerS: Float64Array.from(rates, ({ onPerS }) => onPerS),
		offPerS: Float64Array.from(rates, ({ offPerS }) => offPerS),
	};
	return makeColumns(intakePpm, lengths, (places) => {
		const pick = (column: Float64Array) => (places === null ? column : pickFrom(column, places));
		const own = {
			intakePpm: pick(columns.intakePpm),
			risePpmPerS: pick(columns.risePpmPerS),
			onPerS: pick(columns.onPerS),
			offPerS: pick(columns.offPerS),
		};
		return (onSeconds, offSeconds, out) => {
			periodicColumns({ ...own, onSeconds, offSeconds }, out);
			return (k) =>
				maxHourlyMeanOfCycle(
					own.intakePpm[k]!,
					{ risePpmPerS: own.risePpmPerS[k]!, onPerS: own.onPerS[k]!, offPerS: own.offPerS[k]! },
					{ onSeconds: onSeconds[k]!, offSeconds: offSeconds[k]! },
					{ peakPpm: out.peakPpm[k]!, meanPpm: out.meanPpm[k]!, troughPpm: out.troughPpm[k]! },
				);
		};
	});
}

function pickRows(table: Float64Array, places: readonly number[]): Float64Array {
	const rows = new Float64Array(places.length * TWO_ZONE_WIDTH);
	for (let k = 0; k < places.length; k++)
		for (let i = 0; i < TWO_ZONE_WIDTH; i++)
			rows[k * TWO_ZONE_WIDTH + i] = table[places[k]! * TWO_ZONE_WIDTH + i]!;
	return rows;
}

/** Fills the columns of a cycle whose lengths differ from draw to draw, and gives the worst hour of each. */
type Fill = (
	onSeconds: Float64Array,
	offSeconds: Float64Array,
	out: PeriodicColumns,
) => (k: number) => number;
/** Writes on- and off-times of some draws: of all where no places are given. */
type CycleLengths = (
	cycle: Cycle,
	places: readonly number[] | null,
	onSeconds: Float64Array,
	offSeconds: Float64Array,
) => void;

function makeColumns(
	allIntakePpm: Float64Array,
	lengths: CycleLengths,
	makeFill: (places: readonly number[] | null) => Fill,
): DrawColumns {
	const of = (places: readonly number[] | null): DrawColumns => {
		const intakePpm = places === null ? allIntakePpm : pickFrom(allIntakePpm, places);
		const one = () => new Float64Array(intakePpm.length);
		const [onSeconds, offSeconds] = [one(), one()];
		const out = { peakPpm: one(), meanPpm: one(), troughPpm: one() };
		const fill = makeFill(places);
		let at: Cycle | null = null;
		let columns: CycleColumns = { ...out, intakePpm, hourPpm: () => Number.NaN };
		return {
			evaluate(cycle) {
				if (at?.onSeconds !== cycle.onSeconds || at.offSeconds !== cycle.offSeconds) {
					lengths(cycle, places, onSeconds, offSeconds);
					columns = { ...out, intakePpm, hourPpm: fill(onSeconds, offSeconds, out) };
					at = cycle;
				}
				return columns;
			},
			pick: (some) => of(places === null ? some : some.map((k) => places[k]!)),
		};
	};
	return of(null);
}

/** On- and off-times of each draw: as its timer makes them, and of the instant fan that moves the same air. */
function makeCycleLengths(draws: readonly Draw[], side: Side): CycleLengths {
	const models = draws.map((draw) => draw[side]!.model);
	const [first] = models;
	// Unless the fan's time constants are drawn too, one equivalent cycle serves all.
	const isOneFan = models.every(
		(m) =>
			m.spinUpTauSeconds === first?.spinUpTauSeconds && m.coastDownTauSeconds === first?.coastDownTauSeconds,
	);
	const equivalents = isOneFan ? null : models.map(makeEquivalentCycle);
	const shared = makeEquivalentCycle(first ?? {});
	const factors = Float64Array.from(draws, ({ timerFactor }) => timerFactor);
	return (cycle, places, on, off) => {
		const same = shared(cycle);
		for (let k = 0; k < on.length; k++) {
			const place = places === null ? k : places[k]!;
			const { onSeconds, offSeconds } = equivalents === null ? same : equivalents[place]!(cycle);
			on[k] = onSeconds * factors[place]!;
			off[k] = offSeconds * factors[place]!;
		}
	};
}
