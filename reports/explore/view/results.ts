import { compareHead } from "../../compare/comparewords.ts";
import { head } from "../../page/head.ts";
import { formatPpm } from "../../words/format.ts";
import { basisWords, type Verdict, verdictOf } from "../../words/verdict.ts";
import { warningMessage } from "../../words/warnings.ts";
import type { Explored } from "../explored.ts";
import { SCHEDULE_NAMES } from "../state.ts";
import { byId, hide, say } from "./dom.ts";
import { resultRows } from "./figures.ts";
import { SIGNS } from "./livehero.ts";

/** Shows what follows from a state in words and numbers; returns the verdict. */
export function showResults(explored: Explored): Verdict {
	const { comparison, state, isPreview } = explored;
	const { schedules } = comparison;
	const verdict = verdictOf(comparison, state.units);
	byId("head").innerHTML = head(compareHead(comparison, state.units)).html;
	say(byId("grounds"), verdict.grounds);
	say(byId("more"), (verdict.more ?? []).join(" "));
	SCHEDULE_NAMES.forEach((name, place) => {
		const strip = byId(`strip-${name}`);
		const criterion = schedules[place]?.summary.criterion;
		hide(strip, criterion === undefined);
		if (criterion === undefined) return;
		const { isMet, statistic, valuePpm, ceilingPpm } = criterion;
		say(
			strip,
			`${SIGNS[place]} ${name} ${isMet ? "✓" : "✗"} ${statistic} ${Math.round(valuePpm)} of ${formatPpm(ceilingPpm)}`,
		);
	});
	for (const { id, cells } of resultRows(explored)) {
		const row = byId(`figure-${id}`);
		hide(row, id.startsWith("sensor-") && !state.isSensorShown);
		SCHEDULE_NAMES.forEach((_, place) => {
			say(row.children[place + 1]!, cells[place] ?? "");
		});
	}
	for (const cell of document.querySelectorAll(".of-b")) hide(cell, schedules.length < 2);
	hide(byId("steady-key"), comparison.model.source === undefined);
	// A preview does not ask whether anything repeats.
	if (!isPreview) {
		say(byId("basis"), `Drawn: ${basisWords(schedules[state.activeSchedule]!.summary)}.`);
		list(byId("warnings"), comparison.warnings.map(warningMessage));
	}
	return verdict;
}

/** Words as the items of a list. */
function list(root: HTMLElement, words: readonly string[]): void {
	while (root.children.length < words.length) root.append(document.createElement("li"));
	[...root.children].forEach((item, i) => {
		hide(item, i >= words.length);
		say(item, words[i] ?? "");
	});
}
