import type { Comparison } from "../../lib/compare/comparison.ts";
import { html } from "../page/html.ts";
import { type section as makeSection, scrollBox, section } from "../page/page.ts";
import { htmlTable } from "../page/table.ts";
import {
	HEAT_HEADS,
	HUMIDITY_CAUTION,
	HUMIDITY_HEADS,
	heatRows,
	humidityNote,
	humidityRows,
} from "../words/humidity.ts";

/** Humidity, water and heat of all schedules. */
export const humiditySections = (comparison: Comparison): ReturnType<typeof makeSection>[] => [
	section(
		"humidity",
		"Humidity",
		scrollBox(
			"Humidity of each schedule",
			htmlTable("small", HUMIDITY_HEADS, humidityRows(comparison), [1, 2, 3, 4, 5, 6, 7, 8]),
		),
		scrollBox("Heat of each schedule", htmlTable("small", HEAT_HEADS, heatRows(comparison), [1, 2, 3, 4, 5])),
		html`<p>${humidityNote(comparison)}</p>`,
		html`<p>${HUMIDITY_CAUTION}</p>`,
	),
];
