import { InputError } from "../../errors.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { RESISTIVE_SHARE } from "../../sources/timers.ts";
import { finding } from "../finding.ts";
import { mainsParts } from "../power/mains.ts";
import type { PowerReport } from "../power/powerreport.ts";
import { readWiring, type Wiring } from "./netlist/netlist.ts";
import { standardWiring } from "./netlist/standardwiring.ts";
import { checkWiring, type WiringVerdict } from "./wiring.ts";

/** A wiring and what is to be said of it. */
export interface RigWiring {
	readonly origin: "given" | "standard";
	readonly wiring: Wiring;
	readonly verdict: WiringVerdict;
}

/**
 * The wiring of a file, or the usual one where the file gives all of its parts; null where it does not, and on the mains.
 * @throws InputError with every fault of a given wiring, each at its place in the file
 */
export function rigWiring(scenario: Scenario, power: PowerReport | null): RigWiring | null {
	if (mainsParts(scenario).length > 0) return null;
	const given = scenario.wiring !== null;
	const wiring = given ? readLocatedWiring(scenario, scenario.wiring) : makeStandardWiring(scenario, power);
	return wiring && { origin: given ? "given" : "standard", wiring, verdict: checkWiring(wiring) };
}

/** Faults of a netlist know their path, those of a file also their line. */
function readLocatedWiring({ fileName }: Scenario, given: NonNullable<Scenario["wiring"]>): Wiring {
	const { parts, nets, places } = given;
	try {
		return readWiring({ parts, nets });
	} catch (error) {
		if (!(error instanceof InputError)) throw error;
		throw new InputError(
			error.faults.map((fault) => {
				const path = fault.path ?? "";
				// A rating that is missing is to be written where its part stands.
				const place = places[path] ?? places[path.split(".").slice(0, 2).join(".")];
				return { ...fault, file: fileName, ...place, path: `wiring.${path}` };
			}),
		);
	}
}

/** More fans than this make no drawing that one could follow. */
const MAX_FANS = 12;

function makeStandardWiring(scenario: Scenario, power: PowerReport | null): Wiring | null {
	const { fan, supply, timer, fuse } = scenario;
	const [v, a, vmin, vmax] = [fan.voltage, fan.current, fan.voltageRange?.low, fan.voltageRange?.high];
	const resistive = timer?.resistiveRating?.value;
	const contactA =
		timer?.contactRating?.value ?? (resistive && (resistive * RESISTIVE_SHARE.value) / 100) ?? null;
	const fuseAmps = fuse?.value ?? power?.suggestedFuseAmps;
	if (power === null || fan.count > MAX_FANS || !timer?.type || contactA === null) return null;
	if (!supply?.current || fuseAmps == null || power.ampacityA === null) return null;
	if (v === null || a === null || vmin == null || vmax == null) return null;
	return standardWiring({
		supply: { v: supply.voltage.value, maxA: supply.current.value },
		timer: {
			kind: timer.type === "relay" ? "relay_timer" : "lowside_timer",
			v: timer.voltage?.value ?? supply.voltage.value,
			a: timer.current.value,
			contactA,
		},
		fans: Array.from({ length: fan.count }, () => ({ a: a.value, v: v.value, vmin, vmax })),
		fuse: { a: fuseAmps, wireA: power.ampacityA },
	});
}

/** Verdict on a given wiring, each fault with its line of the file where it is known; the usual one is right. */
export function wiringFindings({ wiring: given }: Scenario, judged: RigWiring | null) {
	if (judged === null || judged.origin === "standard") return [];
	const { faults } = judged.verdict;
	if (faults.length === 0) return [finding("wiring", "ok", { fault: null, line: null })];
	return faults.map((fault) => {
		const { code, severity, nets, parts } = fault;
		const place = [...nets.map((net) => `nets.${net}`), ...parts.map((part) => `parts.${part}`)]
			.map((path) => given?.places[path])
			.find((found) => found !== undefined);
		return finding("wiring", severity, { fault, line: place?.line ?? null }, code);
	});
}
