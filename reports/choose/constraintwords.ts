import type { BindingConstraint, LimitName, TimerSetting } from "../../lib/choose/choosetypes.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { formatPpm, inRow, percentCell, short } from "../words/format.ts";
import { intakeAboveCeiling } from "../words/verdict.ts";

/** Why no setting meets the target, with what would help. */
export function constraintReason(constraint: BindingConstraint, units: UnitSystem): string {
	const flow = (m3PerS: number): string => formatQuantity(m3PerS, "flow", units);
	const time = formatDuration;
	switch (constraint.code) {
		case "intake air":
			return intakeAboveCeiling(constraint.intakePpm, constraint.ceilingPpm);
		case "stagnant zone":
			return `The stagnant zone stays at ${formatPpm(constraint.lowestPpm)} with any fan. Stir the air, or bring the inlet to the crop.`;
		case "delivered flow":
			return `Even continuous flow must be over ${flow(constraint.requiredM3PerS)}; this fan delivers ${flow(constraint.deliveredM3PerS)}. A larger filter, a shorter duct, a stronger fan or less substrate would help.`;
		case "humidity":
			return humidityReason(constraint);
		case "floor":
			return `Settings that stay under the ${formatPpm(constraint.ceilingPpm)} ceiling have a mean below the floor of ${formatPpm(constraint.floorPpm)}. A smaller flow, or a timer with finer steps, would help.`;
		case "minimum on-time":
			return `A burst must last at least ${time(constraint.minOnSeconds)} here (your limit, the spin-up of the fan, or the air in its duct). The longest on-time of the timer is ${time(constraint.timerMaxOnSeconds)}.`;
		case "cycle limits":
			return `The timer could meet the target, but not within your limits: ${limitsWords(constraint)}. ${
				constraint.relaxable.length === 0
					? "Relax several of them"
					: `Relax ${inRow(
							constraint.relaxable.map((name) => RELAXABLE[name]),
							"or",
						)}`
			}.`;
		case "off-time range":
			return `With any fan, the longest possible off-time in this chamber is ${time(constraint.maxOffSeconds)}. The shortest that the timer can show is ${time(constraint.timerMinOffSeconds)}.`;
		case "on-time range":
			return `After the shortest off-time of ${time(constraint.timerMinOffSeconds)}, the fan would need an on-time of ${time(constraint.requiredOnSeconds)}. The longest of the timer is ${time(constraint.timerMaxOnSeconds)}.`;
	}
}

const dial = ({ display, unit }: TimerSetting["on"]): string => `${display} ${unit}`;
const STATISTIC = { trough: "lowest", mean: "mean", peak: "highest" } as const;

function humidityReason({
	side,
	on,
	limitPercent,
	valuePercent,
	setting,
	humidifier,
}: Extract<BindingConstraint, { code: "humidity" }>): string {
	const missed = `CO₂ can be kept, but not with the ${STATISTIC[on]} humidity ${side === "floor" ? "above" : "under"} ${short(limitPercent)} %: with the least air, ${dial(setting.on)} on and ${dial(setting.off)} off, it is ${percentCell(valuePercent)}.`;
	if (side === "ceiling") return `${missed} More air, less mist or warmer walls would help.`;
	return humidifier === null
		? `${missed} No mist after the bursts alone makes up for it: moister or less intake air, more wet surface, or a humidifier by hygrostat would help.`
		: `${missed} A humidifier of ${formatQuantity(humidifier.outputKgPerS, "mass flow")} for ${formatDuration(humidifier.seconds)} after each burst would do: ${percentCell(humidifier.lowestPercent)} to ${percentCell(humidifier.highestPercent)}. Keep its plug out of the mist.`;
}

const RELAXABLE: Readonly<Record<LimitName, string>> = {
	burst: "the on-time",
	pause: "the off-time",
	cycle: "the longest cycle",
	life: "the contact life",
	quiet: "the quiet hours",
	dial: "the steps",
};

const limitsWords = ({
	minOnSeconds,
	minOffSeconds,
	maxCycleSeconds,
	minCycleSeconds,
}: Extract<BindingConstraint, { code: "cycle limits" }>): string =>
	[
		`on-time from ${formatDuration(minOnSeconds)}`,
		`off-time from ${formatDuration(minOffSeconds)}`,
		...(maxCycleSeconds === null ? [] : [`cycle up to ${formatDuration(maxCycleSeconds)}`]),
		...(minCycleSeconds > 0 ? [`cycle from ${formatDuration(minCycleSeconds)} for the contact life`] : []),
	].join(", ");

/** "flow: needed 80 m³/h, available 70 m³/h" */
export function constraintSummary(constraint: BindingConstraint, units: UnitSystem): string {
	const flow = (m3PerS: number): string => formatQuantity(m3PerS, "flow", units);
	const time = formatDuration;
	const compared = (quantity: string, needed: string, available: string): string =>
		`${quantity}: needed ${needed}, available ${available}`;
	switch (constraint.code) {
		case "intake air": {
			const { ceilingPpm, intakePpm } = constraint;
			return compared("CO₂ of the intake air", `below ${formatPpm(ceilingPpm)}`, formatPpm(intakePpm));
		}
		case "stagnant zone": {
			const [needed, available] = [formatPpm(constraint.ceilingPpm), formatPpm(constraint.lowestPpm)];
			return compared("CO₂ of the stagnant zone", `below ${needed}`, `${available} at best`);
		}
		case "delivered flow":
			return compared("flow", `over ${flow(constraint.requiredM3PerS)}`, flow(constraint.deliveredM3PerS));
		case "humidity":
			return `${STATISTIC[constraint.on]} humidity: needed ${short(constraint.limitPercent)} %, ${percentCell(constraint.valuePercent)} with the least air`;
		case "floor":
			return `mean CO₂: below the floor of ${formatPpm(constraint.floorPpm)} wherever CO₂ stays under the ceiling`;
		case "cycle limits":
			return `limits: ${limitsWords(constraint)}`;
		case "off-time range": {
			const [needed, available] = [time(constraint.maxOffSeconds), time(constraint.timerMinOffSeconds)];
			return compared("off-time", `below ${needed}`, `${available} or more`);
		}
		case "minimum on-time":
		case "on-time range": {
			const needed =
				constraint.code === "on-time range" ? constraint.requiredOnSeconds : constraint.minOnSeconds;
			return compared("on-time", time(needed), `up to ${time(constraint.timerMaxOnSeconds)}`);
		}
	}
}

const REMEDIES: Readonly<Record<BindingConstraint["code"], readonly string[]>> = {
	"intake air": [
		"Draw the air from outdoors or from a better aired room.",
		"Check the ceiling: see what lullgust species says of the crop.",
	],
	"delivered flow": [
		"Use a fan or a filter area with more flow, measured as delivered.",
		"Put less substrate into this chamber, or cool it: both lower CO₂ output.",
	],
	"off-time range": [
		"Use a timer that can show shorter off-times, or a fan that runs all the time at a lower speed.",
		"Use a larger chamber for the same substrate: CO₂ rises more slowly.",
	],
	"on-time range": ["Use a timer that can show longer on-times, or a stronger fan."],
	"minimum on-time": ["Use a timer that can show longer on-times, or a fan that reaches its speed sooner."],
	"cycle limits": [
		"Relax the limits of the file: a longer cycle, shorter bursts and pauses, or a shorter contact life.",
	],
	"stagnant zone": [
		"Break up the stagnant zone: a small stirring fan, or inlet and outlet in opposite corners.",
	],
	humidity: [
		"Give mist after each burst, moisten the intake air, or lower the floor of humidity.",
		"Measure the evaporation with a humidity logger: it decides most.",
	],
	floor: [
		"Lower the floor, or use shorter cycles: their ripple is smaller, so the mean is nearer to the ceiling.",
	],
};

/** What helps where no setting works. */
export const remedies = ({ code }: BindingConstraint): readonly string[] => REMEDIES[code];
