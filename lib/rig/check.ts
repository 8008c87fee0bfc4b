import { buildModel } from "../model/build.ts";
import { withPressureDropRatioOfFilter } from "../model/fan/deliveredflow.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { airFindings, fanReport } from "./air/airflow.ts";
import { burstFindings, ductAirM3, minUsefulBurstSeconds, shortestBurstDelivery } from "./air/delivery.ts";
import { ceilingFindings } from "./ceiling.ts";
import type { RigFinding, RigVerdict } from "./findings.ts";
import { listNotAssessed } from "./notassessed.ts";
import { contactFindings, estimateContactLife, timingFindings } from "./power/contact.ts";
import { fuseFinding } from "./power/fuse.ts";
import { powerReport, supplyFindings } from "./power/supply.ts";
import { wireFindings } from "./power/wire.ts";
import type { RigReport } from "./rigtypes.ts";
import { agreementFindings } from "./wiring/agreement.ts";
import { rigWiring, wiringFindings } from "./wiring/rigwiring.ts";

const SEVERITY: readonly RigVerdict[] = ["stop", "attention", "ok"];

/**
 * Checks whether fan, filter, duct, supply, wire, fuse, timer and wiring of a scenario deliver its schedules, and says what it
 * could not assess. An estimate by common practice, no safety device: bench practice and local codes stand above it.
 *
 * @param given the scenario; it needs `fan.voltage`
 * @param options units of the texts
 * @returns findings with verdict `ok`, `attention` or `stop`, flow [m3/s], pressure [Pa], current [A], voltage [V]
 * @throws InputError for a wiring whose parts lack a rating; SolverError when a schedule's values cannot be vouched for
 *
 * Source: this project; published figures in `lib/sources`, the rest common practice, no source.
 * @example checkRig(parseScenario(starterScenario())).verdict // => "attention"
 */
export function checkRig(given: Scenario): RigReport {
	// A rig is judged from its clean filter to its loaded one, whatever load the schedules are compared with.
	const scenario = withPressureDropRatioOfFilter(given, 1);
	const model = buildModel(scenario);
	const fan = fanReport(scenario);
	const ductVolumeM3 = ductAirM3(scenario);
	const delivery = scenario.schedules.flatMap(
		({ name, schedule }) => shortestBurstDelivery(model, name, schedule, ductVolumeM3 ?? 0) ?? [],
	);
	const power = powerReport(scenario, fan);
	const contactLife = scenario.timer?.type === "negative-switching" ? null : estimateContactLife(scenario);
	const wiring = rigWiring(scenario, power);
	const findings: RigFinding[] = [
		...wiringFindings(scenario, wiring),
		...agreementFindings(scenario, wiring),
		...airFindings(scenario, fan),
		...burstFindings(scenario, delivery, ductVolumeM3),
		...ceilingFindings(scenario, model, fan),
		...supplyFindings(scenario, power),
		...(power === null ? [] : [...wireFindings(scenario, power), fuseFinding(power, wiring)]),
		...contactFindings(scenario, power, contactLife),
		...timingFindings(scenario, model),
	];
	const worstFirst = findings.toSorted((a, b) => SEVERITY.indexOf(a.verdict) - SEVERITY.indexOf(b.verdict));
	return {
		scenario: given,
		verdict: worstFirst[0]?.verdict ?? "ok",
		findings: worstFirst,
		fan,
		delivery,
		minUsefulBurstSeconds: minUsefulBurstSeconds(scenario.fan.spinUp.value),
		ductVolumeM3,
		power,
		contactLife,
		wiring,
		notAssessed: listNotAssessed(scenario),
	};
}
