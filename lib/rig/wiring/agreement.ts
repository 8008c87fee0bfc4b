import type { Quantity, Scenario } from "../../scenario/scenario.ts";
import type { FormatValue, RigFinding, RigWiring } from "../rigtypes.ts";
import type { WiringPart } from "./netlist.ts";

type Of<Kind extends WiringPart["kind"]> = Extract<WiringPart, { readonly kind: Kind }>;

const TIMER_TYPES = { relay_timer: "relay", lowside_timer: "negative-switching" } as const;

/** Where a given wiring and the keys beside it speak of different parts. */
export function agreementItem(scenario: Scenario, judged: RigWiring | null, say: FormatValue): RigFinding[] {
	if (judged === null || judged.origin === "standard") return [];
	const differences = differencesOf(scenario, Object.values(judged.wiring.parts), say);
	if (differences.length === 0) return [];
	return [
		{
			id: "wiring and file",
			about: null,
			verdict: "attention",
			finding: `Wiring and file disagree: ${differences.join("; ")}.`,
			reason:
				"The wiring is judged by its own ratings, everything else by the keys of the file: one of them is not your rig.",
			remedy: "Write down in both what stands on the labels.",
			values: [],
		},
	];
}

function differencesOf(scenario: Scenario, parts: readonly WiringPart[], say: FormatValue): string[] {
	const { fan, supply, timer, fuse } = scenario;
	const pick = <Kind extends WiringPart["kind"]>(kind: Kind): Of<Kind>[] =>
		parts.filter((part): part is Of<Kind> => part.kind === kind);
	const [fans, fuses, adapter] = [pick("fan"), pick("fuse"), pick("supply")[0]];
	const differences: string[] = [];
	const compare = (
		what: string,
		key: string,
		wired: readonly number[],
		given: Quantity | null,
		dimension: "current" | "voltage",
	) => {
		if (given === null) return;
		const other = [...new Set(wired)].filter(
			(value) => Math.abs(value - given.value) > 1e-6 * Math.abs(given.value),
		);
		if (other.length > 0)
			differences.push(
				`${what} ${other.map((value) => say(value, dimension)).join(" and ")} in the wiring, ${say(given.value, dimension)} in ${key}`,
			);
	};
	// A wiring may show one rig of a supply, or all of them.
	const counts = [fan.count, fan.count * (supply?.rigs ?? 1)];
	if (!counts.includes(fans.length))
		differences.push(
			`${fans.length} ${fans.length === 1 ? "fan" : "fans"} in the wiring, ${fan.count} in fan.count`,
		);
	compare(
		"fan current",
		"fan.current",
		fans.map(({ a }) => a),
		fan.current,
		"current",
	);
	if (supply !== null && adapter !== undefined) {
		compare("supply voltage", "supply.voltage", [adapter.v], supply.voltage, "voltage");
		compare("supply current", "supply.current", [adapter.maxA], supply.current, "current");
	}
	const types = [...pick("relay_timer"), ...pick("lowside_timer")].map(({ kind }) => kind);
	const strange = [...new Set(types)].filter(
		(kind) => timer?.type != null && TIMER_TYPES[kind] !== timer.type,
	);
	if (strange.length > 0)
		differences.push(`${strange.join(" and ")} in the wiring, ${timer!.type} in timer.type`);
	compare(
		"fuse",
		"fuse",
		fuses.map(({ a }) => a),
		fuse,
		"current",
	);
	return differences;
}
