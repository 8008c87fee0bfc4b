import type { Choice, EvaluatedSetting } from "../../lib/choose/choosetypes.ts";
import { ALTERNATIVES } from "./choosewords.ts";

/** A setting that a chart marks by name and shape. */
interface SettingMark {
	readonly name: string;
	readonly shape: string;
	readonly evaluated: EvaluatedSetting;
}

/** The alternatives and the setting for a certainty; those that are one setting share a name. */
export function listMarks(choice: Choice): readonly SettingMark[] {
	if (!choice.isFeasible)
		return choice.closest === null ? [] : [{ name: "closest", shape: "diamond", evaluated: choice.closest }];
	const all: SettingMark[] = ALTERNATIVES.map(({ key, name, shape }) => ({
		name,
		shape,
		evaluated: choice.alternatives[key],
	}));
	if (choice.chanceConstrained?.evaluated != null)
		all.push({
			name: `${choice.chanceConstrained.reliabilityPercent} % chance`,
			shape: "triangle-up",
			evaluated: choice.chanceConstrained.evaluated,
		});
	const merged: SettingMark[] = [];
	for (const one of all) {
		const same = merged.findIndex(
			({ evaluated: { schedule } }) =>
				schedule.onSeconds === one.evaluated.schedule.onSeconds &&
				schedule.offSeconds === one.evaluated.schedule.offSeconds,
		);
		if (same < 0) merged.push(one);
		else merged[same] = { ...merged[same]!, name: `${merged[same]!.name}, ${one.name}` };
	}
	return merged;
}
