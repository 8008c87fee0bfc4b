import type { FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import type { Dial } from "../../lib/model/schedule/timer.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/units.ts";
import { cardOdds, powerUpWords, SLIPS_WORDS, slipName, slipSign } from "../../reports/choose/choosewords.ts";
import { judgedPhrase, targetPhrase } from "../../reports/words/verdict.ts";
import { table, wrap } from "./print.ts";

/** Figures five lines tall. */
const FIGURES: Readonly<Record<string, readonly string[]>> = {
	"0": ["████", "█  █", "█  █", "█  █", "████"],
	"1": ["  █ ", " ██ ", "  █ ", "  █ ", " ███"],
	"2": ["████", "   █", "████", "█   ", "████"],
	"3": ["████", "   █", " ███", "   █", "████"],
	"4": ["█  █", "█  █", "████", "   █", "   █"],
	"5": ["████", "█   ", "████", "   █", "████"],
	"6": ["████", "█   ", "████", "█  █", "████"],
	"7": ["████", "   █", "  █ ", " █  ", " █  "],
	"8": ["████", "█  █", "████", "█  █", "████"],
	"9": ["████", "█  █", "████", "   █", "████"],
	".": ["  ", "  ", "  ", "  ", "██"],
};
const LINES = [0, 1, 2, 3, 4] as const;

/** One period in tall figures, with its name before and what the digits are after them. */
function period(name: string, fan: string, { display, unit, range }: Dial): string {
	const before = [name, fan, "", "", ""];
	const after = ["", "", `keyed in as ${display} ${unit}`, `range ${range}`, ""];
	return LINES.map((line) => {
		const figures = [...display].map((sign) => FIGURES[sign]?.[line] ?? sign.padEnd(4)).join("  ");
		return `  ${before[line]!.padEnd(11)}${figures}   ${line === 4 ? unit : ""}${after[line]}`.trimEnd();
	}).join("\n");
}

/** The setting card as text, with figures that cannot be misread. */
export function settingCard(choice: FeasibleChoice, units: UnitSystem, columns: number): string {
	const { recommended, slips, scenario } = choice;
	const { setting, summary, inWords } = recommended;
	const odds = cardOdds(choice);
	const facts = `${inWords}: ${judgedPhrase(summary)} with exactly these digits, against ${targetPhrase(summary)}.`;
	const lines = [
		`${period("ON", "fan runs", setting.on)}\n`,
		`\n${period("OFF", "fan rests", setting.off)}\n`,
		`\n${wrap(facts, columns)}`,
		...(odds === null ? [] : [wrap(odds, columns)]),
		wrap(powerUpWords(scenario.timer?.powerUp ?? null, setting), columns),
	];
	if (slips.length > 0) {
		const rows = slips.map((slip) => [
			slipName(slip),
			slipSign(slip),
			String(Math.round(slip.peakPpm)),
			formatQuantity(slip.freshAirM3PerDay, "volume", units),
		]);
		lines.push(
			`\n${wrap(`Check one cycle by the clock. ${SLIPS_WORDS}`, columns)}`,
			table(["slip", "what you see", "peak, ppm", "air a day"], rows, [2, 3]),
		);
	}
	return lines.join("");
}
