import type { FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import type { DisplayValue } from "../../lib/model/schedule/timer.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import {
	cardCompliance,
	ENTRY_ERROR_CHECK,
	ENTRY_ERROR_WORDS,
	entryErrorName,
	entryErrorSign,
	powerUpWords,
} from "../../reports/choose/choosewords.ts";
import { judgedPhrase, targetPhrase } from "../../reports/words/verdict.ts";
import { table, wrap } from "./print.ts";

/** Digits five lines tall. */
const DIGIT_ROWS: Readonly<Record<string, readonly string[]>> = {
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
const DIGIT_LINES = [0, 1, 2, 3, 4] as const;

/** One time in tall digits, with its name before them and the text of the display after them. */
function timerSettingLines(name: string, fan: string, { display, unit, range }: DisplayValue): string {
	const before = [name, fan, "", "", ""];
	const after = ["", "", `display ${display} ${unit}`, `range ${range}`, ""];
	return DIGIT_LINES.map((line) => {
		const digits = [...display].map((sign) => DIGIT_ROWS[sign]?.[line] ?? sign.padEnd(4)).join("  ");
		return `  ${before[line]!.padEnd(11)}${digits}   ${line === 4 ? unit : ""}${after[line]}`.trimEnd();
	}).join("\n");
}

/** The setting card as text, with digits that cannot be misread. */
export function settingCard(choice: FeasibleChoice, units: UnitSystem, columns: number): string {
	const { recommended, entryErrors, scenario } = choice;
	const { setting, summary, inWords } = recommended;
	const compliance = cardCompliance(choice);
	const facts = `${inWords}. Meant to keep ${targetPhrase(summary)}. With exactly these digits the model gives ${judgedPhrase(summary)}.`;
	const lines = [
		`${timerSettingLines("ON", "fan on", setting.on)}\n`,
		`\n${timerSettingLines("OFF", "fan off", setting.off)}\n`,
		`\n${wrap(facts, columns)}`,
		...(compliance === null ? [] : [wrap(compliance, columns)]),
		wrap(powerUpWords(scenario.timer?.powerUp ?? null, setting), columns),
	];
	if (entryErrors.length > 0) {
		const rows = entryErrors.map((entryError) => [
			entryErrorName(entryError),
			entryErrorSign(entryError),
			String(Math.round(entryError.peakPpm)),
			formatQuantity(entryError.freshAirM3PerDay, "volume", units),
		]);
		lines.push(
			`\n${wrap(`${ENTRY_ERROR_CHECK} ${ENTRY_ERROR_WORDS}`, columns)}`,
			table(["mistake", "what you see", "peak, ppm", "air per day"], rows, [2, 3]),
		);
	}
	return lines.join("");
}
