import type { SettingCheck, SettingFault } from "../../lib/choose/choosetypes.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { formatPpm, percentCell, short } from "../words/format.ts";
import { airPhrase, keepsTarget, type Verdict } from "../words/verdict.ts";
import { chanceShare, limitNames, STATUS_ANSWERS, settingWords, shortContactWords } from "./choosewords.ts";

/** What is wrong with a pair of times, a sentence each. */
export function settingFaultWords(fault: SettingFault): string {
	switch (fault.code) {
		case "target":
			return `The ${fault.statistic} is ${formatPpm(fault.valuePpm)}; the ${fault.side} is ${formatPpm(fault.limitPpm)}.`;
		case "humidity":
			return `The ${{ trough: "lowest", mean: "mean", peak: "highest" }[fault.on]} humidity is ${percentCell(fault.valuePercent)}; the ${fault.side} is ${short(fault.limitPercent)} %.`;
		case "chance":
			return `Its chance of meeting the target is ${chanceShare(fault.probability)}; ${fault.reliabilityPercent} % is asked for.`;
		case "not on the dial":
			return "The timer cannot show this pair.";
		case "limit":
			return `It passes the limit on the ${limitNames([fault.limit])}: ${formatDuration(fault.seconds)} against ${formatDuration(fault.limitSeconds)}.`;
	}
}

/** How a pair of times stands, what is wrong with it, and the nearest better one. */
export function checkVerdict(check: SettingCheck, units: UnitSystem): Verdict {
	const { status, inWords, summary, probability, faults, better } = check;
	const chance =
		probability === null ? "" : ` Its chance of meeting the target is ${chanceShare(probability)}.`;
	return {
		answer: STATUS_ANSWERS[status],
		grounds: `${inWords}: it ${keepsTarget(summary.criterion)}, with ${airPhrase(summary, units)}.${faults.some(({ code }) => code === "chance") ? "" : chance}`,
		more: [
			// The first sentence has told the main ceiling.
			...faults
				.filter(
					(fault) =>
						!(
							fault.code === "target" &&
							fault.side === "ceiling" &&
							fault.statistic === summary.criterion.statistic
						),
				)
				.map(settingFaultWords),
			...shortContactWords(check.scenario, check),
			...(better === null
				? []
				: [
						`The nearest better pair on the dial is ${settingWords(better.setting)}${better.probability === null ? "" : `, with a chance of ${chanceShare(better.probability)}`}.`,
					]),
		],
	};
}
