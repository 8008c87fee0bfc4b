import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import { finding } from "../finding.ts";
import type { PartKind, PartOf, WiringPart } from "./netlist/netlist.ts";
import type { RigWiring } from "./rigwiring.ts";

const TIMER_TYPES = { relay_timer: "relay", lowside_timer: "negative-switching" } as const;

/** What wiring and keys of the file say differently. */
export type WiringDifference =
	| {
			readonly what: "fan current" | "supply voltage" | "supply current" | "fuse";
			readonly wired: readonly number[];
			readonly given: number;
	  }
	| { readonly what: "fan count"; readonly wired: number; readonly given: number }
	| { readonly what: "timer type"; readonly wired: readonly string[]; readonly given: string };

/** Where a given wiring and the keys beside it speak of different parts. */
export function agreementFindings(scenario: Scenario, judged: RigWiring | null) {
	if (judged === null || judged.origin === "standard") return [];
	const differences = differencesOf(scenario, Object.values(judged.wiring.parts));
	return differences.length === 0 ? [] : [finding("wiring and file", "attention", { differences })];
}

function differencesOf({ fan, supply, timer, fuse }: Scenario, parts: readonly WiringPart[]) {
	const differences: WiringDifference[] = [];
	const compare = (
		what: "fan current" | "supply voltage" | "supply current" | "fuse",
		values: readonly number[],
		given: Quantity | null,
	): void => {
		if (given === null) return;
		const isOther = (value: number) => Math.abs(value - given.value) > 1e-6 * Math.abs(given.value);
		const wired = [...new Set(values)].filter(isOther);
		if (wired.length > 0) differences.push({ what, wired, given: given.value });
	};
	const pick = <Kind extends PartKind>(...kinds: readonly Kind[]) =>
		parts.filter((part): part is PartOf<Kind> => kinds.some((kind) => kind === part.kind));
	const [fans, adapters, fuses] = [pick("fan"), pick("supply").slice(0, 1), pick("fuse")];
	// A wiring may show one rig of a supply, or all of them.
	if (![fan.count, fan.count * (supply?.rigs ?? 1)].includes(fans.length))
		differences.push({ what: "fan count", wired: fans.length, given: fan.count });
	compare(
		"fan current",
		fans.map(({ a }) => a),
		fan.current,
	);
	compare(
		"supply voltage",
		adapters.map(({ v }) => v),
		supply?.voltage ?? null,
	);
	compare(
		"supply current",
		adapters.map(({ maxA }) => maxA),
		supply?.current ?? null,
	);
	const type = timer?.type ?? null;
	const kinds = pick("relay_timer", "lowside_timer").map(({ kind }) => kind);
	const wired = [...new Set(kinds)].filter((kind) => TIMER_TYPES[kind] !== type);
	if (type !== null && wired.length > 0) differences.push({ what: "timer type", wired, given: type });
	compare(
		"fuse",
		fuses.map(({ a }) => a),
		fuse,
	);
	return differences;
}
