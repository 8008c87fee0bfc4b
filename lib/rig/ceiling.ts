import { evaluateSchedule } from "../compare/compare.ts";
import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import { deliveredFlow, withDeliveredFlow } from "../model/fan/deliveredflow.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { FanReport } from "./air/fanreport.ts";
import { finding, verdictOf } from "./finding.ts";

/** Whether each schedule stays under the ceiling with what this rig delivers, filter clean and loaded. */
export function ceilingFindings(scenario: Scenario, model: Model, air: FanReport | null) {
	const loadedFlow = loadedFlowM3PerS(scenario, air);
	const dirty = loadedFlow === null ? null : withDeliveredFlow(scenario, loadedFlow);
	const dirtyModel = dirty === null ? null : buildModel(dirty);
	return scenario.schedules.map(({ name, schedule }) => {
		const clean = evaluateSchedule(scenario, model, schedule).criterion;
		const loaded =
			dirty === null || dirtyModel === null ? null : evaluateSchedule(dirty, dirtyModel, schedule).criterion;
		const isMet = clean.valuePpm <= clean.ceilingPpm;
		const isMetLoaded = loaded === null || loaded.valuePpm <= loaded.ceilingPpm;
		const data = {
			statistic: scenario.target.on,
			cleanPpm: clean.valuePpm,
			/** null without a filter. */
			loadedPpm: loaded?.valuePpm ?? null,
			ceilingPpm: scenario.target.ceiling.value,
			isMet,
			/** With the loaded filter; true without a filter. */
			isMetLoaded,
		};
		return finding("ceiling", verdictOf(false, !isMet || !isMetLoaded), data, name);
	});
}

/** Delivered flow with the filter loaded; a measured flow beside the curve falls by the same share; null without a filter. */
function loadedFlowM3PerS(scenario: Scenario, air: FanReport | null): number | null {
	const loaded = air?.loadedOperatingPoint ?? null;
	if (loaded === null) return null;
	const clean = air?.operatingPoint.exists === true ? air.operatingPoint.flowM3PerS : 0;
	return loaded.exists && clean > 0 ? (deliveredFlow(scenario).value * loaded.flowM3PerS) / clean : 0;
}
