import { buildModel } from "../model/build.ts";
import { ductAirM3, findUsefulBurst, idleFlowM3PerS } from "../model/fan/usefulburst.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { airFindings } from "./air/airfindings.ts";
import { type BurstDelivery, burstFindings, shortestBurstDelivery } from "./air/delivery.ts";
import { type FanReport, fanReport } from "./air/fanreport.ts";
import { ceilingFindings } from "./ceiling.ts";
import type { RigVerdict } from "./finding.ts";
import { listNotAssessed, type NotAssessedPath } from "./notassessed.ts";
import { cableFindings } from "./power/cable.ts";
import { type ContactLife, contactFindings, estimateContactLife, timingFindings } from "./power/contact.ts";
import { fuseFinding } from "./power/fuse.ts";
import { mainsFindings } from "./power/mains.ts";
import { type PowerReport, powerReport } from "./power/powerreport.ts";
import { supplyFindings } from "./power/supply.ts";
import { agreementFindings } from "./wiring/agreement.ts";
import { type RigWiring, rigWiring, wiringFindings } from "./wiring/rigwiring.ts";

/** Everything about the rig that the file lets one judge. */
export interface RigReport extends Rig {
	readonly scenario: Scenario;
	/** The worst of the findings, and the findings, worst first. */
	readonly verdict: RigVerdict;
	readonly findings: readonly RigFinding[];
	/** Shortest burst that is worth its start [s]. */
	readonly minUsefulBurstSeconds: number;
	/** Keys that are not given and what hangs on them. */
	readonly notAssessed: readonly NotAssessedPath[];
}

/** What is calculated before it is judged. */
interface Rig {
	/** null when the file gives the delivered flow. */
	readonly fan: FanReport | null;
	/** What the bursts of each schedule deliver; of different bursts the shortest. */
	readonly delivery: readonly BurstDelivery[];
	/** Air in the duct, which comes first [m3]; null without a duct. */
	readonly ductVolumeM3: number | null;
	/** null when the fan's current is not given. */
	readonly power: PowerReport | null;
	/** null for a timer without a contact. */
	readonly contactLife: readonly ContactLife[] | null;
	/** The wiring of the file, or the usual one for its parts; null when neither can be had. */
	readonly wiring: RigWiring | null;
}

/** One thing that was checked. */
export type RigFinding = ReturnType<typeof judge>[number];
export type FindingOf<Code extends RigFinding["code"]> = Extract<RigFinding, { readonly code: Code }>;

const judge = (
	scenario: Scenario,
	model: ReturnType<typeof buildModel>,
	{ fan, delivery, ductVolumeM3, power, contactLife, wiring }: Rig,
) => [
	...wiringFindings(scenario, wiring),
	...agreementFindings(scenario, wiring),
	...airFindings(scenario, fan),
	...burstFindings(scenario, delivery, ductVolumeM3),
	...ceilingFindings(scenario, model, fan),
	...mainsFindings(scenario),
	...supplyFindings(scenario, power),
	...(power === null ? [] : [...cableFindings(scenario, power), fuseFinding(power, wiring)]),
	...contactFindings(scenario, power, contactLife),
	...timingFindings(scenario, model),
];

const SEVERITY: readonly RigVerdict[] = ["stop", "attention", "ok"];

/**
 * Checks whether fan, filter, duct, supply, wire, fuse, timer and wiring of a scenario deliver its schedules, and says what it
 * could not assess. An estimate by common practice, no safety device: bench practice and local codes stand above it.
 *
 * @param scenario with the filter loaded as its file says; what hangs on a value that it does not give is listed as not assessed
 * @returns findings with verdict `ok`, `attention` or `stop`, flow [m3/s], pressure [Pa], current [A], voltage [V]
 * @throws InputError for a wiring whose parts lack a rating; SolverError when a schedule's values cannot be vouched for
 *
 * Source: this project; published figures in `lib/sources`, the rest common practice, no source.
 * @example checkRig(parseScenario(starterScenario())).verdict // => "attention"
 */
export function checkRig(scenario: Scenario): RigReport {
	const model = buildModel(scenario);
	const fan = fanReport(scenario);
	const ductVolumeM3 = ductAirM3(scenario);
	const duct = { ductM3: ductVolumeM3 ?? 0, idleM3PerS: idleFlowM3PerS(scenario) ?? 0 };
	const power = powerReport(scenario, fan);
	const rig: Rig = {
		fan,
		delivery: scenario.schedules.flatMap(
			({ name, schedule }) => shortestBurstDelivery(model, name, schedule, duct) ?? [],
		),
		ductVolumeM3,
		power,
		contactLife: scenario.timer?.type === "negative-switching" ? null : estimateContactLife(scenario),
		wiring: rigWiring(scenario, power),
	};
	const findings = judge(scenario, model, rig).toSorted(
		(a, b) => SEVERITY.indexOf(a.verdict) - SEVERITY.indexOf(b.verdict),
	);
	return {
		scenario,
		verdict: findings[0]?.verdict ?? "ok",
		findings,
		...rig,
		minUsefulBurstSeconds: findUsefulBurst(scenario).seconds,
		notAssessed: listNotAssessed(scenario),
	};
}
