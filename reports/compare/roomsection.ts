import { compareRooms } from "../../lib/compare/room.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { type Html, html } from "../page/html.ts";
import { type section as makeSection, scrollBox, section } from "../page/page.ts";
import { htmlTable } from "../page/table.ts";
import { exposureWords, ROOM_HEADS, ROOM_HOUR_HEADS, ROOM_NOTE, roomHours, roomRows } from "../words/room.ts";

/** What room and chambers do to each other, and what could be done about it; nothing where the scenario has no room. */
export function roomSections(scenario: Scenario): ReturnType<typeof makeSection>[] {
	const room = compareRooms(scenario);
	if (room === null) return [];
	const tables = room.flatMap((one): Html[] => {
		const hours = roomHours(one);
		return [
			html`<h3>${one.name}</h3>`,
			scrollBox(`The room under ${one.name}`, htmlTable("small", ROOM_HEADS, roomRows(one), [1, 2, 3, 4, 5])),
			...(hours.length === 0
				? []
				: [
						html`<details><summary>By hour</summary>${scrollBox(`The room by hour under ${one.name}`, htmlTable("small", ROOM_HOUR_HEADS, hours, [1, 2]))}</details>`,
					]),
		];
	});
	return [
		section("room", "The room", html`<p>${exposureWords(room)}</p>`, ...tables, html`<p>${ROOM_NOTE}</p>`),
	];
}
