import { wireName } from "../../lib/rig/power/wire.ts";
import type { PowerReport, RigFinding, RigReport, RigVerdict } from "../../lib/rig/rigtypes.ts";
import type { Dimension } from "../../lib/units/dimensions.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";

/** What a verdict is called, with a sign that does not need colour. */
export const VERDICT_WORDS: Readonly<Record<RigVerdict, string>> = {
	ok: "✓ ok",
	attention: "◐ look",
	stop: "✗ stop",
};

const ITEM_NAMES: Readonly<Record<RigFinding["id"], string>> = {
	fan: "Delivered flow",
	"measured flow": "Measured flow",
	filter: "Loaded filter",
	"open duct": "Open duct",
	burst: "Burst",
	voltage: "Voltage",
	supply: "Supply",
	start: "Common start",
	"class 2": "Size of the circuit",
	wire: "Wire",
	drop: "Drop in the wire",
	fuse: "Fuse",
	contact: "Contact",
	"contact life": "Life of the contact",
	pulse: "Short pulse",
	"power-up": "Power cut",
	wiring: "Wiring",
	"wiring and file": "Wiring and file disagree",
	ceiling: "Ceiling",
};

/** What was checked, as a heading: "Burst, “rare and long”". */
export const findingName = ({ id, about }: Pick<RigFinding, "id" | "about">): string =>
	about === null
		? ITEM_NAMES[id]
		: `${ITEM_NAMES[id]}, ${id === "wiring" ? about.replaceAll("-", " ") : `“${about}”`}`;

/** "1 thing to look at", "3 things to look at" */
const things = (count: number, what: string): string =>
	`${count} ${count === 1 ? "thing" : "things"} ${what}`;

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
	const { flow: stated } = scenario.fan;
	const worked =
		stated.origin.kind === "calculated" && fan?.operatingPoint.exists === true
			? fan.operatingPoint.flowM3PerS
			: null;
	const flow = formatQuantity(worked ?? stated.value, "flow", units);
	const delivers = scenario.fan.count > 1 ? "the fans deliver" : "the fan delivers";
	const air =
		fan === null
			? `The file gives a delivered flow of ${flow}.`
			: fan.operatingPoint.exists
				? `Through ${scenario.fan.filter === null ? "" : "clean "}filter and duct ${delivers} ${flow} of ${scenario.fan.count > 1 ? "their" : "its"} catalogue's ${formatQuantity(fan.catalogueM3PerS, "flow", units)}.`
				: `${upperFirst(delivers)} nothing that can be counted on.`;
	const unasked =
		notAssessed.length === 0
			? []
			: [
					`${things(notAssessed.length, "could not be judged")}, for the file does not say; see “Not judged”.`,
				];
	if (verdict === "stop") {
		return {
			answer: "Stop: do not switch it on like this",
			grounds: `${upperFirst(names(stop))}.`,
			more: [
				air,
				...(attention.length > 0
					? [`And ${things(attention.length, "to look at")}: ${names(attention)}.`]
					: []),
				...unasked,
			],
		};
	}
	if (verdict === "attention") {
		return {
			answer: `Nothing must stop, and there ${attention.length === 1 ? "is" : "are"} ${things(attention.length, "to look at")}`,
			grounds: `${upperFirst(names(attention))}.`,
			more: [air, ...unasked],
		};
	}
	return { answer: "Nothing stands against this rig", grounds: air, more: unasked };
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);
const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What the whole page rests on. */
export const RIG_PREMISES: readonly string[] = [
	"The fan follows its curve by the affinity laws; a real axial fan dips at 20 to 50 % of its free flow, which a straight curve does not show.",
	"Filters take a pressure in proportion to the flow, ducts and openings in proportion to its square; joints do not leak.",
	"Wires, fuses, switches and closed contacts of the wiring have no resistance; the drop in the cable is reckoned apart, at the fans' rated current.",
	"Rules without a source are common practice and say so. Local codes, the makers' sheets and licensed people stand above all of them.",
	"The wiring is judged as it is written down, not as it hangs on the wall: compare each wire.",
];

/** Cautions of the rig, before those of every report. */
export const RIG_CAUTIONS: readonly string[] = [
	"Low-voltage side only. The mains side is left to a listed plug-in adapter and to licensed people under local codes.",
	"Damp: timer and adapter hang outside the chamber, above the spill line, with a drip loop in each cord; joints stay dry.",
	"Blades turn without warning: guard on, and the plug pulled before you reach in.",
	"This is an estimate and no safety device. Bench practice stands above it: measure before you power anything.",
];

/** A figure as a table has it: three digits; times from ten minutes on to 10 s, from an hour on to the minute. */
export function formatRounded(value: number, dimension: Dimension, units: UnitSystem): string {
	if (dimension === "duration") {
		const step = value < 10 ? 0.01 : value < 60 ? 0.1 : value < 600 ? 1 : value < 3600 ? 10 : 60;
		return formatQuantity(Number((step * Math.round(value / step)).toPrecision(12)), dimension, units);
	}
	return formatQuantity(value, dimension, units).replace(/^-?\d+(?:\.\d+)?/, (number) =>
		String(Number(Number(number).toPrecision(3))),
	);
}

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
		value === null ? "not known" : formatRounded(value, dimension, units);
	const { volts, fuseAmps, suggestedFuseAmps } = power;
	const { wire, supply, fan } = scenario;
	const rigs = supply?.rigs ?? 1;
	return [
		[fan.count > 1 ? `${fan.count} fans, running` : "fan, running", say(power.fanAmps, "current"), ""],
		["at the start", say(power.fanStartingAmps, "current"), "for some seconds"],
		["timer, switched on", say(power.timerAmps, "current"), ""],
		["all together, running", say(power.allRunningAmps, "current"), rigs > 1 ? `${rigs} rigs` : ""],
		["all together, at the start", say(power.allStartingAmps, "current"), "after a power cut"],
		["supply", say(power.supplyAmps, "current"), `${say(power.neededAmps, "current")} or more would do`],
		[
			"fuse",
			say(fuseAmps, "current"),
			suggestedFuseAmps === null ? "" : `standard fuse for this load: ${say(suggestedFuseAmps, "current")}`,
		],
		[
			"wire may carry",
			say(power.ampacityA, "current"),
			wire === null ? "" : `${wireName(wire.size)}, ${say(wire.length.value, "length")} one way`,
		],
		["voltage of the supply", say(volts?.supplyVolts ?? null, "voltage"), ""],
		[
			"lost in the wire",
			say(volts?.voltageDropV == null ? null : Math.min(volts.voltageDropV, volts.supplyVolts), "voltage"),
			power.voltageDropShare === null
				? ""
				: `${formatRounded(power.voltageDropShare, "fraction", units)} running${power.startingVoltageDropShare === null ? "" : `, ${formatRounded(power.startingVoltageDropShare, "fraction", units)} at the start`}`,
		],
		[
			"voltage at the fan",
			say(volts?.volts ?? null, "voltage"),
			power.flowLossShare === null
				? ""
				: `costs ${formatRounded(power.flowLossShare, "fraction", units)} of the flow`,
		],
		...power.energy.map(
			({ name, joulesPerDay }) =>
				[`energy a day, “${name}”`, say(joulesPerDay, "energy"), "from the supply, timer included"] as const,
		),
	];
}

/** Months as one says them. */
export const formatMonths = (value: number): string =>
	value >= 24 ? `${Number((value / 12).toPrecision(2))} years` : `${Number(value.toPrecision(3))} months`;
