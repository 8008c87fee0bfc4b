import { evaluateSchedule } from "../compare/compare.ts";
import { withValues } from "../compare/uncertaininputs.ts";
import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { FanReport, FormatValue, RigFinding } from "./rigtypes.ts";

/** Whether each schedule holds the ceiling with what this rig delivers, filter clean and loaded. */
export function ceilingItems(
	scenario: Scenario,
	model: Model,
	air: FanReport | null,
	say: FormatValue,
): RigFinding[] {
	const { ceiling, on } = scenario.target;
	const loaded = air?.loadedOperatingPoint ?? null;
	// A measured flow beside the curve falls by the same share.
	const worked = air?.operatingPoint.exists === true ? air.operatingPoint.flowM3PerS : 0;
	const loadedFlow =
		loaded === null
			? null
			: loaded.exists && worked > 0
				? (scenario.fan.flow.value * loaded.flowM3PerS) / worked
				: 0;
	const dirty = loadedFlow === null ? null : withValues(scenario, new Map([[scenario.fan.flow, loadedFlow]]));
	const dirtyModel = dirty === null ? null : buildModel(dirty);
	const ppm = (value: number): string => say(Math.round(value), "concentration");
	return scenario.schedules.map(({ name, schedule }): RigFinding => {
		const clean = evaluateSchedule(scenario, model, schedule).criterion;
		const clogged =
			dirty === null || dirtyModel === null ? null : evaluateSchedule(dirty, dirtyModel, schedule).criterion;
		const holds = clean.valuePpm <= clean.ceilingPpm;
		const holdsLoaded = clogged === null || clogged.valuePpm <= clogged.ceilingPpm;
		const figures =
			clogged === null
				? `${on} ${ppm(clean.valuePpm)}`
				: `${on} ${ppm(clean.valuePpm)} clean, ${ppm(clogged.valuePpm)} with the filter loaded`;
		const found = !holds
			? "It does not hold the ceiling with this rig"
			: holdsLoaded
				? "It holds the ceiling with this rig"
				: "It holds the ceiling only while the filter is clean";
		return {
			id: "ceiling",
			about: name,
			verdict: holds && holdsLoaded ? "ok" : "attention",
			finding: `${found}: ${figures}; ceiling ${ppm(ceiling.value)}.`,
			reason:
				"A schedule holds or fails with the flow that is delivered, and a filter that loads up takes some of it.",
			remedy: !holds
				? "Another schedule, or more flow: lullgust choose finds a schedule that holds, where there is one."
				: holdsLoaded
					? null
					: "Choose the schedule for the loaded filter (fan.filter.load: 2), replace the filter earlier, or take more filter area.",
			values: [
				{ label: on, value: clean.valuePpm, dimension: "concentration" },
				...(clogged === null
					? []
					: [
							{
								label: `${on} with a loaded filter`,
								value: clogged.valuePpm,
								dimension: "concentration" as const,
							},
						]),
				{ label: "ceiling", value: ceiling.value, dimension: "concentration" },
			],
		};
	});
}
