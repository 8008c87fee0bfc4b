import { powerOfTen } from "../../power.ts";
import type { FanState } from "../log.ts";

/** Where the fan switched: no earlier than the first and no later than the second of these instants [s]. */
export interface SwitchBracket {
	readonly isOn: boolean;
	readonly fromSeconds: number;
	readonly toSeconds: number;
}

/**
 * Switchings of a fan column of states. A state of now changed between two samples. One since the last sample, on where the fan
 * ran at all, falls a sample late: the fan stopped before the last sample that shows it.
 */
export function bracketStates(
	times: ArrayLike<number>,
	states: ArrayLike<number>,
	state: Exclude<FanState, "fraction">,
): readonly SwitchBracket[] {
	const brackets: SwitchBracket[] = [];
	for (let k = 1; k < times.length; k++) {
		const isOn = states[k]! > 0;
		if (isOn === states[k - 1]! > 0) continue;
		const late = state === "since" && !isOn;
		const before = times[k - 2] ?? times[k - 1]! - (times[k]! - times[k - 1]!);
		brackets.push({
			isOn,
			fromSeconds: late ? before : times[k - 1]!,
			toSeconds: late ? times[k - 1]! : times[k]!,
		});
	}
	return brackets;
}

/**
 * Switchings of a column with the fraction of each interval that the fan was on. An interval in part tells the instant, unless a burst
 * or a pause lies within it: then it tells the length.
 * @param errorShare half of the last digit of a fraction
 */
export function bracketFractions(
	times: ArrayLike<number>,
	fractions: ArrayLike<number>,
	errorShare: number,
): { readonly onAtStart: boolean; readonly brackets: readonly SwitchBracket[] } {
	const brackets: SwitchBracket[] = [];
	const onAtStart = fractions[0] === 1 || (fractions[0]! > 0 && fractions[1]! > 0);
	let wasOn = onAtStart;
	for (let k = 1; k < times.length; k++) {
		const [from, to] = [times[k - 1]!, times[k]!];
		// Of the interval, the part in the state that it began with.
		const stays = wasOn ? fractions[k]! : 1 - fractions[k]!;
		if (stays === 1) continue;
		const error = errorShare * (to - from);
		const next = fractions[k + 1];
		const returns = stays > 0 && next === (wasOn ? 1 : 0);
		const away = (1 - stays) * (to - from);
		const at = from + stays * (to - from);
		brackets.push({ isOn: !wasOn, fromSeconds: (returns ? from : at) - error, toSeconds: at + error });
		if (returns) brackets.push({ isOn: wasOn, fromSeconds: from + away - error, toSeconds: to + error });
		else wasOn = !wasOn;
	}
	return { onAtStart, brackets };
}

/** Half of the last digit in which fractions differ, up to the fourth [-]. */
export function fractionError(fractions: readonly number[]): number {
	const digits = [1, 2, 3].find((n) =>
		fractions.every((value) => Math.abs(value * powerOfTen(n) - Math.round(value * powerOfTen(n))) < 1e-6),
	);
	return 0.5 / powerOfTen(digits ?? 4);
}

/** Whether the values of a fan column are fractions: in part at the ends of a burst only, and not all of one size. */
export function looksLikeFractions(values: ArrayLike<number>): boolean {
	const seen = new Set<number>();
	for (let k = 0; k < values.length; k++) {
		if (values[k]! > 0) seen.add(values[k]!);
		const isInside = k > 0 && values[k - 1]! > 0 && (values[k + 1] ?? 0) > 0;
		if (values[k]! > 0 && values[k]! < 1 && isInside) return false;
	}
	return seen.size > 1;
}
