import { deliveredFlow } from "../../lib/model/fan/deliveredflow.ts";
import type { FanReport } from "../../lib/rig/air/fanreport.ts";
import type { RigFinding, RigReport } from "../../lib/rig/check.ts";
import type { RigVerdict } from "../../lib/rig/finding.ts";
import type { PowerReport } from "../../lib/rig/power/powerreport.ts";
import { wireName } from "../../lib/rig/power/wire.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import type { Dimension } from "../../lib/units/dimensions.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { findingName } from "./findingnames.ts";
import { formatRounded } from "./rounding.ts";

/** "1 item needs attention", "3 items need attention" */
const attentionWords = (count: number): string =>
	`${count} ${count === 1 ? "item needs" : "items need"} attention`;

export interface RigHeadline {
	readonly answer: string;
	readonly grounds: string;
	readonly more: readonly string[];
}

/** The whole rig in a line: the worst first. */
export function rigHeadline(
	{ verdict, findings, scenario, fan, notAssessed }: RigReport,
	units: UnitSystem,
): RigHeadline {
	const of = (wanted: RigVerdict): readonly RigFinding[] => findings.filter((one) => one.verdict === wanted);
	const [stop, attention] = [of("stop"), of("attention")];
	const names = (list: readonly RigFinding[]): string =>
		list.map((one) => lowerFirst(findingName(one))).join("; ");
	const air = airLine(scenario, fan, units);
	const unassessed =
		notAssessed.length === 0
			? []
			: [
					`${notAssessed.length} ${notAssessed.length === 1 ? "item was" : "items were"} not assessed, because the file does not give the values; see “Not assessed”.`,
				];
	if (verdict === "stop") {
		return {
			answer: "Stop: do not switch it on like this",
			grounds: `${upperFirst(names(stop))}.`,
			more: [
				air,
				...(attention.length > 0 ? [`${attentionWords(attention.length)}: ${names(attention)}.`] : []),
				...unassessed,
			],
		};
	}
	if (verdict === "attention") {
		return {
			answer: `No stop faults; ${attentionWords(attention.length)}`,
			grounds: `${upperFirst(names(attention))}.`,
			more: [air, ...unassessed],
		};
	}
	return { answer: "No faults found in this rig", grounds: air, more: unassessed };
}

/** What the fans deliver, in a sentence. */
function airLine(scenario: Scenario, fan: FanReport | null, units: UnitSystem): string {
	const { flow, count, filter } = scenario.fan;
	const calculated =
		flow === null && fan?.operatingPoint.exists === true ? fan.operatingPoint.flowM3PerS : null;
	const delivered = formatQuantity(calculated ?? deliveredFlow(scenario).value, "flow", units);
	const delivers = count > 1 ? "the fans deliver" : "the fan delivers";
	if (fan === null) return `The file gives a delivered flow of ${delivered}.`;
	if (!fan.operatingPoint.exists) return `${upperFirst(delivers)} no dependable flow.`;
	return `Through ${filter === null ? "" : "clean "}filter and duct ${delivers} ${delivered}; the catalogue says ${formatQuantity(fan.catalogueM3PerS, "flow", units)}.`;
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);
const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What the whole page rests on. */
export const RIG_PREMISES: readonly string[] = [
	"The fan follows its curve by the affinity laws. A real axial fan dips at 20 to 50 % of its flow at zero pressure, which a straight curve does not show.",
	"The pressure drop of a filter grows with the flow, that of ducts and openings with its square. Joints do not leak.",
	"Wires, fuses, switches and closed contacts of the wiring have no resistance. The voltage drop in the cable is calculated separately, at the fans' rated current.",
	"Rules without a source are common practice and say so. Local codes, the makers' sheets and licensed people stand above all of them.",
	"The wiring is judged as it is written down, not as it hangs on the wall: compare each wire.",
];

/** What stands beside the sheets, before those of every report. */
export const RIG_CAUTIONS: readonly string[] = [
	"Low-voltage side only. Leave the mains side to a listed plug-in adapter and to licensed people under local codes.",
	"Damp: timer and adapter hang outside the chamber, above the spill line, with a drip loop in each cord; joints stay dry.",
	"Blades turn without warning: guard on, and pull the plug before you reach in.",
	"This is an estimate and no safety device. Bench practice stands above it: measure before you power anything.",
];

/** Below 0 the fan runs on longer than it takes to speed up. */
export const formatLoss = (share: number): string =>
	Math.abs(share) < 0.0005
		? "0 %"
		: share > 0
			? `${Number((100 * share).toPrecision(2))} %`
			: `${Number((-100 * share).toPrecision(2))} % gained`;

/** Rows of currents, voltages and what carries them: name, value, remark. */
export function powerRows(
	{ scenario }: RigReport,
	power: PowerReport,
	units: UnitSystem,
): readonly (readonly [name: string, value: string, remark: string])[] {
	const say = (value: number | null, dimension: Dimension): string =>
		value === null ? "not given" : formatRounded(value, dimension, units);
	const { volts, fuseAmps, suggestedFuseAmps } = power;
	const { wire, supply, fan } = scenario;
	const rigs = supply?.rigs ?? 1;
	return [
		[fan.count > 1 ? `${fan.count} fans, running` : "fan, running", say(power.fanAmps, "current"), ""],
		["starting", say(power.fanStartingAmps, "current"), "for some seconds"],
		["timer, on", say(power.timerAmps, "current"), ""],
		["all fans and timers, running", say(power.allRunningAmps, "current"), rigs > 1 ? `${rigs} rigs` : ""],
		["all fans starting", say(power.allStartingAmps, "current"), "after a power cut"],
		["supply", say(power.supplyAmps, "current"), `${say(power.neededAmps, "current")} or more is enough`],
		[
			"fuse",
			say(fuseAmps, "current"),
			suggestedFuseAmps === null ? "" : `standard fuse for this load: ${say(suggestedFuseAmps, "current")}`,
		],
		[
			"current-carrying capacity",
			say(power.ampacityA, "current"),
			wire === null ? "" : `${wireName(wire.size)}, ${say(wire.length.value, "length")} one way`,
		],
		["supply voltage", say(volts?.supplyVolts ?? null, "voltage"), ""],
		[
			"voltage drop in the cable",
			say(volts?.voltageDropV == null ? null : Math.min(volts.voltageDropV, volts.supplyVolts), "voltage"),
			power.voltageDropShare === null
				? ""
				: `${formatRounded(power.voltageDropShare, "fraction", units)} running${power.startingVoltageDropShare === null ? "" : `, ${formatRounded(power.startingVoltageDropShare, "fraction", units)} starting`}`,
		],
		[
			"voltage at the fan",
			say(volts?.volts ?? null, "voltage"),
			power.flowLossShare === null ? "" : `${formatRounded(power.flowLossShare, "fraction", units)} less air`,
		],
		...power.energy.map(
			({ name, joulesPerDay }) =>
				[
					`energy per day, “${name}”`,
					say(joulesPerDay, "energy"),
					"from the supply, timer included",
				] as const,
		),
	];
}

/** Months as one says them. */
export const formatMonths = (value: number): string =>
	value >= 24 ? `${Number((value / 12).toPrecision(2))} years` : `${Number(value.toPrecision(3))} months`;
