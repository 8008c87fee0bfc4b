import { buildModel } from "../model/build.ts";
import { withFilterLoad } from "../model/fan/deliveredflow.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type Dimension, formatQuantity } from "../units/units.ts";
import { airItems, fanReport } from "./air/airflow.ts";
import { burstDelivery, burstItems, deadVolumeM3, shortestBurstSeconds } from "./air/delivery.ts";
import { ceilingItems } from "./ceiling.ts";
import { notAsked } from "./notassessed.ts";
import { contactItems, contactLives, timingItems } from "./power/contact.ts";
import { fuseItem } from "./power/fuse.ts";
import { powerReport, supplyItems } from "./power/supply.ts";
import { wireItems } from "./power/wire.ts";
import type { RigItem, RigOptions, RigReport, RigVerdict, Say } from "./rigtypes.ts";
import { agreementItem } from "./wiring/agreement.ts";
import { rigWiring, wiringItems } from "./wiring/rigwiring.ts";

/** Sentences need fewer digits than tables: whole per cents, three digits of volts and amperes. */
function rounded(value: number, dimension: Dimension): number {
	if (dimension === "fraction") return Number((100 * value).toFixed(Math.abs(value) < 0.0995 ? 1 : 0)) / 100;
	return dimension === "current" || dimension === "voltage" ? Number(value.toPrecision(3)) : value;
}

const SEVERITY: readonly RigVerdict[] = ["stop", "look", "ok"];

/**
 * Judges fan, filter, duct, supply, wire, fuse, timer and schedules of a scenario, and says what it could not judge.
 * An estimate by common practice, no safety device: bench practice and local codes stand above it.
 * @throws SolverError when a schedule's figures cannot be vouched for
 */
export function checkRig(given: Scenario, { units = "si" }: RigOptions = {}): RigReport {
	// A rig is judged from its clean filter to its loaded one, whatever load the schedules are compared with.
	const scenario = withFilterLoad(given, 1);
	const say: Say = (value, dimension) => formatQuantity(rounded(value, dimension), dimension, units);
	const model = buildModel(scenario);
	const fan = fanReport(scenario);
	const ductVolumeM3 = deadVolumeM3(scenario);
	const delivery = scenario.schedules.flatMap(
		({ name, schedule }) => burstDelivery(model, name, schedule, ductVolumeM3 ?? 0) ?? [],
	);
	const power = powerReport(scenario, fan);
	const contact = scenario.timer?.type === "negative-switching" ? null : contactLives(scenario);
	const wiring = rigWiring(scenario, power);
	const items: RigItem[] = [
		...wiringItems(scenario, wiring),
		...agreementItem(scenario, wiring, say),
		...airItems(scenario, fan, say),
		...burstItems(scenario, delivery, ductVolumeM3, say),
		...ceilingItems(scenario, model, fan, say),
		...supplyItems(scenario, power, say),
		...(power === null ? [] : [...wireItems(scenario, power, say), fuseItem(power, wiring, say)]),
		...contactItems(scenario, power, contact, say),
		...timingItems(scenario, model, say),
	];
	const worstFirst = items.toSorted((a, b) => SEVERITY.indexOf(a.verdict) - SEVERITY.indexOf(b.verdict));
	return {
		scenario: given,
		verdict: worstFirst[0]?.verdict ?? "ok",
		items: worstFirst,
		fan,
		delivery,
		shortestBurstSeconds: shortestBurstSeconds(scenario.fan.spinUp.value),
		ductVolumeM3,
		power,
		contact,
		wiring,
		notAsked: notAsked(scenario),
	};
}
