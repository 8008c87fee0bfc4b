import { InputError } from "../../errors.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { RESISTIVE_SHARE } from "../../sources/timers.ts";
import type { WiringFinding } from "../findings.ts";
import type { PowerReport, RigWiring } from "../rigtypes.ts";
import { readWiring, type TimerPart, type Wiring } from "./netlist/netlist.ts";
import { standardWiring } from "./netlist/standardwiring.ts";
import { checkWiring } from "./wiring.ts";

/**
 * The wiring of a file, or the usual one where the file gives all of its parts; null where it does not.
 * @throws InputError with every fault of a given wiring, each at its place in the file
 */
export function rigWiring(scenario: Scenario, power: PowerReport | null): RigWiring | null {
	if (scenario.wiring !== null) {
		const wiring = readLocatedWiring(scenario, scenario.wiring);
		return { origin: "given", wiring, verdict: checkWiring(wiring) };
	}
	const wiring = power === null ? null : makeStandardWiring(scenario, power);
	return wiring === null ? null : { origin: "standard", wiring, verdict: checkWiring(wiring) };
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

function makeStandardWiring({ fan, supply, timer, fuse }: Scenario, power: PowerReport): Wiring | null {
	const { voltageRange, voltage, current, count } = fan;
	const rating =
		timer?.contactRating?.value ??
		(timer?.resistiveRating == null ? null : (timer.resistiveRating.value * RESISTIVE_SHARE.value) / 100);
	const fuseAmps = fuse?.value ?? power.suggestedFuseAmps;
	const wireA = power.ampacityA;
	if (count > MAX_FANS) return null;
	if (timer === null || timer.type === null || rating === null) return null;
	if (supply === null || supply.current === null || fuseAmps === null || wireA === null) return null;
	if (voltage === null || current === null || voltageRange?.low == null || voltageRange.high === null)
		return null;
	const board: TimerPart = {
		kind: timer.type === "relay" ? "relay_timer" : "lowside_timer",
		v: timer.voltage?.value ?? supply.voltage.value,
		a: timer.current.value,
		contactA: rating,
	};
	const one = { a: current.value, v: voltage.value, vmin: voltageRange.low, vmax: voltageRange.high };
	return standardWiring({
		supply: { v: supply.voltage.value, maxA: supply.current.value },
		timer: board,
		fans: Array.from({ length: count }, () => one),
		fuse: { a: fuseAmps, wireA },
	});
}

/** Verdict on a given wiring; the usual one is right, and its ratings are judged one by one. */
export function wiringFindings({ wiring: given }: Scenario, judged: RigWiring | null): WiringFinding[] {
	if (judged === null || judged.origin === "standard") return [];
	const { faults } = judged.verdict;
	if (faults.length === 0) return [{ code: "wiring", about: null, verdict: "ok", fault: null, line: null }];
	return faults.map((fault): WiringFinding => {
		const { code, severity, nets, parts } = fault;
		const place = [...nets.map((net) => `nets.${net}`), ...parts.map((part) => `parts.${part}`)]
			.map((path) => given?.places[path])
			.find((found) => found !== undefined);
		return { code: "wiring", about: code, verdict: severity, fault, line: place?.line ?? null };
	});
}
