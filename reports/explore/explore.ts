import type { Scenario } from "../../lib/scenario/scenario.ts";
import { page } from "../page/page.ts";
import { assumptionsSection, cautionsSection, footerLine, type ReportOptions } from "../page/sections.ts";
import { createExplorer, cyclesOf, firstState } from "./explored.ts";
import { exploreScript } from "./script.ts";
import { EXPLORE_STYLE } from "./style.ts";
import { exploreBody } from "./view/markup.ts";

/** The live page of a scenario as one HTML file: the model inside, controls to move it by. */
export async function exploreReport(scenario: Scenario, { units, version }: ReportOptions): Promise<string> {
	const { text, fileName, name, notes } = scenario;
	const base = firstState(scenario, units);
	const cycles = cyclesOf(scenario);
	const explored = createExplorer(text, fileName).explore(base);
	return page({
		title: name,
		kind: "Live page",
		lead: notes,
		body: [...exploreBody(explored, cycles), assumptionsSection([]), cautionsSection()],
		footer: footerLine({ units, version }),
		data: { scenario: { text, fileName, base, cycles } },
		script: await exploreScript(),
		style: EXPLORE_STYLE,
	});
}
