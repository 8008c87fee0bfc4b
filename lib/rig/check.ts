import { buildModel } from "../model/build.ts";
import { withPressureDropRatioOfFilter } from "../model/fan/deliveredflow.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Dimension } from "../units/dimensions.ts";
import { formatQuantity } from "../units/format.ts";
import { airItems, fanReport } from "./air/airflow.ts";
import { burstItems, ductAirM3, minUsefulBurstSeconds, shortestBurstDelivery } from "./air/delivery.ts";
import { ceilingItems } from "./ceiling.ts";
import { listNotAssessed } from "./notassessed.ts";
import { contactItems, estimateContactLife, timingItems } from "./power/contact.ts";
import { fuseItem } from "./power/fuse.ts";
import { powerReport, supplyItems } from "./power/supply.ts";
import { wireItems } from "./power/wire.ts";
import type { FormatValue, RigFinding, RigOptions, RigReport, RigVerdict } from "./rigtypes.ts";
import { agreementItem } from "./wiring/agreement.ts";
import { rigWiring, wiringItems } from "./wiring/rigwiring.ts";

/** Sentences need fewer digits than tables: whole per cents, three digits of volts and amperes. */
function roundForSentence(value: number, dimension: Dimension): number {
	if (dimension === "fraction") return Number((100 * value).toFixed(Math.abs(value) < 0.0995 ? 1 : 0)) / 100;
	return dimension === "current" || dimension === "voltage" ? Number(value.toPrecision(3)) : value;
}

const SEVERITY: readonly RigVerdict[] = ["stop", "attention", "ok"];

/**
 * Judges fan, filter, duct, supply, wire, fuse, timer and schedules of a scenario, and says what it could not judge.
 * An estimate by common practice, no safety device: bench practice and local codes stand above it.
 * @throws SolverError when a schedule's figures cannot be vouched for
 */
export function checkRig(given: Scenario, { units = "si" }: RigOptions = {}): RigReport {
	// A rig is judged from its clean filter to its loaded one, whatever load the schedules are compared with.
	const scenario = withPressureDropRatioOfFilter(given, 1);
	const say: FormatValue = (value, dimension) =>
		formatQuantity(roundForSentence(value, dimension), dimension, units);
	const model = buildModel(scenario);
	const fan = fanReport(scenario);
	const ductVolumeM3 = ductAirM3(scenario);
	const delivery = scenario.schedules.flatMap(
		({ name, schedule }) => shortestBurstDelivery(model, name, schedule, ductVolumeM3 ?? 0) ?? [],
	);
	const power = powerReport(scenario, fan);
	const contactLife = scenario.timer?.type === "negative-switching" ? null : estimateContactLife(scenario);
	const wiring = rigWiring(scenario, power);
	const items: RigFinding[] = [
		...wiringItems(scenario, wiring),
		...agreementItem(scenario, wiring, say),
		...airItems(scenario, fan, say),
		...burstItems(scenario, delivery, ductVolumeM3, say),
		...ceilingItems(scenario, model, fan, say),
		...supplyItems(scenario, power, say),
		...(power === null ? [] : [...wireItems(scenario, power, say), fuseItem(power, wiring, say)]),
		...contactItems(scenario, power, contactLife, say),
		...timingItems(scenario, model, say),
	];
	const worstFirst = items.toSorted((a, b) => SEVERITY.indexOf(a.verdict) - SEVERITY.indexOf(b.verdict));
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
