import type { FanState, FanTiming } from "../log.ts";
import type { SwitchBracket } from "./switchbrackets.ts";

/** A regular timer may leave its brackets by this share of a step: clocks are rounded, and relays have a will of their own. */
const MAX_MISS = 0.15;
/** What is known of all switchings is never better than this share of a step. */
const MIN_WITHIN = 0.01;
const SEARCHES = 50;
/** Periods among those that fit the brackets. */
const PERIODS = 40;

/** Instants of all switch-ons, or of all switch-offs. */
interface Instants {
	readonly atSeconds: readonly number[];
	/** Greatest error that all share [s]. */
	readonly withinSeconds: number;
}

/**
 * Switch instants from their brackets, and how far they may all be off together.
 *
 * A timer that runs regularly leaves two unknowns, its period P and the shift s of all instants s + k P, for which each bracket k says
 * low <= s + k P <= high. All pairs that fit are equally likely, so the instants are those of the mean pair. A period that is no multiple
 * of the step narrows s to a small part of a step; a multiple leaves all of it. Where no period fits, each instant is the middle of its bracket, and what
 * all share is the mean of n independent errors.
 *
 * On-time: as told, where the column allows it; else switch-offs have a shift of their own, a step wider
 * where nobody knows whether the state was that of now or since the last sample.
 */
export function timeSwitchings(
	brackets: readonly SwitchBracket[],
	state: FanState | null,
	stepSeconds: number,
	onSeconds: number | null,
): { readonly switchesSeconds: readonly number[]; readonly timing: FanTiming } {
	const widened = state === null ? stepSeconds : 0;
	const ons = brackets.filter(({ isOn }) => isOn);
	const offs = brackets
		.filter(({ isOn }) => !isOn)
		.map((one) => ({ ...one, fromSeconds: one.fromSeconds - widened }));
	const beginsOn = brackets[0]?.isOn === false;
	const tied = onSeconds === null ? null : { onSeconds, beginsOn };
	const miss = MAX_MISS * stepSeconds;
	const [on, off] = fitTimer(ons, offs, widened, miss, tied) ??
		fitTimer(ons, offs, widened, miss, null) ?? [takeMiddles(ons, 0), takeMiddles(offs, widened)];
	const within = (each: Instants) => Math.max(each.withinSeconds, MIN_WITHIN * stepSeconds);
	return {
		switchesSeconds: [...on.atSeconds, ...off.atSeconds].sort((a, b) => a - b),
		timing: {
			state,
			shiftWithinSeconds: within(on),
			offShiftWithinSeconds: on.withinSeconds === off.withinSeconds && tied !== null ? null : within(off),
		},
	};
}

/** Switch-ons and switch-offs of a timer that runs regularly; null where none fits the brackets and the on-time, if it is told. */
function fitTimer(
	ons: readonly SwitchBracket[],
	offs: readonly SwitchBracket[],
	widened: number,
	miss: number,
	tied: { readonly onSeconds: number; readonly beginsOn: boolean } | null,
): readonly [Instants, Instants] | null {
	if (tied !== null && (ons.length === 0 || offs.length === 0)) return null;
	const longer = ons.length >= offs.length ? ons : offs;
	const count = Math.max(longer.length - 1, 0);
	/** The cycle in the middle of the log, at which a wrong period does the least. */
	const middle = count / 2;
	const usual = count === 0 ? 0 : (longer.at(-1)!.toSeconds - longer[0]!.toSeconds) / count;
	/** How far off a told on-time puts the first switch-off: one before the first burst belongs to an earlier one. */
	const gap = (period: number): number => (tied === null ? 0 : tied.onSeconds - (tied.beginsOn ? period : 0));
	/** What is left open of the middle switch-on and switch-off at a period, and how much of it [s]. */
	const openAt = (period: number) => {
		const on = shiftOf(ons, period, middle);
		const off = shiftOf(offs, period, middle);
		if (tied === null) return { on, off, room: Math.min(on.high - on.low, off.high - off.low - widened) };
		const low = Math.max(on.low, off.low - gap(period));
		const high = Math.min(on.high, off.high - gap(period));
		return { on: { low, high }, off: { low, high }, room: high - low };
	};
	const room = (period: number): number => openAt(period).room;
	const reach = count === 0 ? 0 : (2 * (longer[0]!.toSeconds - longer[0]!.fromSeconds)) / count;
	// Room is a concave function of the period.
	const best = search(usual - reach, usual + reach, (a, b) => room(a) < room(b));
	if (room(best) < -miss) return null;
	const lowest = search(usual - reach, best, (a) => room(a) < 0);
	const highest = search(best, usual + reach, (_, b) => room(b) >= 0);
	const periods =
		room(best) > 0 && highest > lowest
			? Array.from({ length: PERIODS }, (_, k) => lowest + ((k + 0.5) * (highest - lowest)) / PERIODS)
			: [best];
	const open = periods.map((period) => {
		const { on, off } = openAt(period);
		const width = ({ low, high }: { low: number; high: number }) => Math.max(high - low, 0);
		const weight = periods.length === 1 ? 1 : tied === null ? width(on) * width(off) : width(on);
		return { period, on, off, weight };
	});
	const roomiest = openAt(best);
	const total = open.reduce((sum, { weight }) => sum + weight, 0);
	const mean = (of: (one: (typeof open)[number]) => number): number =>
		open.reduce((sum, one) => sum + (one.weight / total) * of(one), 0);
	const period = mean((one) => one.period);
	const instants = (which: "on" | "off", brackets: readonly SwitchBracket[], later: number): Instants => {
		const shift = mean((one) => (one[which].low + one[which].high) / 2);
		const variance = mean(
			({ [which]: { low, high } }) => ((low + high) / 2 - shift) ** 2 + (high - low) ** 2 / 12,
		);
		return {
			atSeconds: brackets.map((_, k) => shift + later + (k - middle) * period),
			// People set timer and logger in whole numbers: the roomiest period is likelier than others.
			withinSeconds: Math.max(Math.sqrt(3 * variance), (roomiest[which].high - roomiest[which].low) / 2),
		};
	};
	return [instants("on", ons, 0), instants("off", offs, gap(period))];
}

/** Where a search by halves of thirds ends that leaves out the lower third while `isUpward`. */
function search(low: number, high: number, isUpward: (a: number, b: number) => boolean): number {
	for (let k = 0; k < SEARCHES; k++) {
		const third = (high - low) / 3;
		if (isUpward(low + third, high - third)) low += third;
		else high -= third;
	}
	return (low + high) / 2;
}

/** Lowest and highest instant of cycle `middle` that all brackets allow [s]. */
function shiftOf(
	brackets: readonly SwitchBracket[],
	period: number,
	middle: number,
): { readonly low: number; readonly high: number } {
	if (brackets.length === 0) return { low: 0, high: 0 };
	let [low, high] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
	for (const [k, { fromSeconds, toSeconds }] of brackets.entries()) {
		low = Math.max(low, fromSeconds - (k - middle) * period);
		high = Math.min(high, toSeconds - (k - middle) * period);
	}
	return { low, high };
}

/** Each in the middle of its bracket; together they are off by the mean of as many errors, and by what widened all of them. */
function takeMiddles(brackets: readonly SwitchBracket[], widened: number): Instants {
	const n = Math.max(brackets.length, 1);
	const width =
		brackets.reduce((sum, { fromSeconds, toSeconds }) => sum + toSeconds - fromSeconds - widened, 0) / n;
	return {
		atSeconds: brackets.map(({ fromSeconds, toSeconds }) => (fromSeconds + toSeconds) / 2),
		// The uniform error with the variance of the mean, and of the two cases that widening joins: w²/12 n + widened²/4.
		withinSeconds: Math.sqrt(width ** 2 / 4 / n + (3 * widened ** 2) / 4),
	};
}
