import { isMains } from "../../model/fan/deliveredflow.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { finding } from "../finding.ts";

/** Fan and timer on the mains, whose wiring belongs to licensed people: nothing electrical is checked then. */
export const mainsParts = ({ fan, timer }: Scenario) =>
	(["fan", "timer"] as const).filter((part) => isMains((part === "fan" ? fan : timer)?.voltage ?? null));

export const mainsFindings = (scenario: Scenario) => {
	const parts = mainsParts(scenario);
	return parts.length === 0 ? [] : [finding("mains", "attention", { parts })];
};
