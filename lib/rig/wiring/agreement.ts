import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import type { WiringDifference, WiringDifferenceFinding } from "../findings.ts";
import type { RigWiring } from "../rigtypes.ts";
import type { WiringPart } from "./netlist/netlist.ts";

type Of<Kind extends WiringPart["kind"]> = Extract<WiringPart, { readonly kind: Kind }>;

const TIMER_TYPES = { relay_timer: "relay", lowside_timer: "negative-switching" } as const;

/** Where a given wiring and the keys beside it speak of different parts. */
export function agreementFindings(scenario: Scenario, judged: RigWiring | null): WiringDifferenceFinding[] {
	if (judged === null || judged.origin === "standard") return [];
	const differences = differencesOf(scenario, Object.values(judged.wiring.parts));
	if (differences.length === 0) return [];
	return [{ code: "wiring and file", about: null, verdict: "attention", differences }];
}

function differencesOf(scenario: Scenario, parts: readonly WiringPart[]): WiringDifference[] {
	const { fan, supply, timer, fuse } = scenario;
	const pick = <Kind extends WiringPart["kind"]>(kind: Kind): Of<Kind>[] =>
		parts.filter((part): part is Of<Kind> => part.kind === kind);
	const [fans, fuses, adapter] = [pick("fan"), pick("fuse"), pick("supply")[0]];
	const compare = (
		what: "fan current" | "supply voltage" | "supply current" | "fuse",
		values: readonly number[],
		given: Quantity | null,
	): WiringDifference[] => {
		if (given === null) return [];
		const wired = [...new Set(values)].filter(
			(value) => Math.abs(value - given.value) > 1e-6 * Math.abs(given.value),
		);
		return wired.length === 0 ? [] : [{ what, wired, given: given.value }];
	};
	// A wiring may show one rig of a supply, or all of them.
	const counts = [fan.count, fan.count * (supply?.rigs ?? 1)];
	const kinds = [...pick("relay_timer"), ...pick("lowside_timer")].map(({ kind }) => kind);
	const otherKinds = [...new Set(kinds)].filter(
		(kind) => timer?.type != null && TIMER_TYPES[kind] !== timer.type,
	);
	return [
		...(counts.includes(fans.length)
			? []
			: [{ what: "fan count", wired: fans.length, given: fan.count } as const]),
		...compare(
			"fan current",
			fans.map(({ a }) => a),
			fan.current,
		),
		...(supply === null || adapter === undefined
			? []
			: [
					...compare("supply voltage", [adapter.v], supply.voltage),
					...compare("supply current", [adapter.maxA], supply.current),
				]),
		...(otherKinds.length === 0
			? []
			: [{ what: "timer type", wired: otherKinds, given: timer!.type! } as const]),
		...compare(
			"fuse",
			fuses.map(({ a }) => a),
			fuse,
		),
	];
}
