import { compareSensorSwitches } from "../../lib/compare/sensorswitch.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { html } from "../page/html.ts";
import { type section as makeSection, scrollBox, section } from "../page/page.ts";
import { htmlTable } from "../page/table.ts";
import { SWITCH_HEADS, switchRows, switchWords } from "../words/sensorswitch.ts";

/** Fans that a sensor switches, in all cases; none where the file has none. */
export const switchSections = (scenario: Scenario, units: UnitSystem): ReturnType<typeof makeSection>[] =>
	compareSensorSwitches(scenario).map((one, i) =>
		section(
			`switch-${i + 1}`,
			one.name,
			scrollBox(
				`“${one.name}”, switched by its sensor`,
				htmlTable("small", SWITCH_HEADS, switchRows(one, units), [1, 2, 3, 4, 5, 6, 7]),
			),
			html`<p>${switchWords(one, units)}</p>`,
		),
	);
