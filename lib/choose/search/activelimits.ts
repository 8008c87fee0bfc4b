import type { LimitName } from "../choosetypes.ts";
import type { CycleLimits, GridPlace, SearchGrid } from "./search.ts";

/** What keeps a setting from needing less air: the limits at which it stands, else the steps of the dial. */
export function findActiveLimits(
	{ onSeconds, offSeconds }: SearchGrid,
	{ minOnSeconds, minOffSeconds, maxCycleSeconds, minCycleSeconds }: CycleLimits,
	{ onIndex, offIndex }: GridPlace,
): readonly LimitName[] {
	const [on, off] = [onSeconds[onIndex]!, offSeconds[offIndex]!];
	const [shorterOn, shorterOff, longerOff] = [
		onSeconds[onIndex - 1],
		offSeconds[offIndex - 1],
		offSeconds[offIndex + 1],
	];
	const active: LimitName[] = [];
	if (shorterOn !== undefined && shorterOn < minOnSeconds) active.push("burst");
	if (shorterOff !== undefined && shorterOff < minOffSeconds) active.push("pause");
	if (longerOff !== undefined && on + longerOff > maxCycleSeconds) active.push("cycle");
	const isShorterBarred = [shorterOn, shorterOff].every(
		(one, place) => one === undefined || one + (place === 0 ? off : on) < minCycleSeconds,
	);
	if (minCycleSeconds > 0 && isShorterBarred) active.push("life");
	return active.length > 0 ? active : ["dial"];
}
