import type { FaultOf, WiringCode, WiringFault } from "../../lib/rig/wiring/faults/faults.ts";
import { inRow } from "../words/format.ts";
import { typeset } from "./drawing/partwords.ts";

/** A fault said so that whoever holds the screwdriver can mend it. */
export interface FaultWords {
	readonly reason: string;
	readonly remedy: string;
}

/** Names with the verb that goes with their number. */
const all = (names: readonly string[], one: string, many: string): string =>
	`${inRow(names)} ${names.length === 1 ? one : many}`;
const amps = (x: number): string => `${Number(x.toFixed(3))} A`;
const volts = (x: number): string => `${Number(x.toFixed(2))} V`;
const quoted = (names: readonly string[]): string => inRow(names.map((name) => `“${name}”`));

const SAME_VOLTAGE = "Fan, timer and supply must be for the same voltage.";
const OWN_SUPPLY = "Connect V+ directly to the fused positive and V− directly to the negative";
const APART = `${OWN_SUPPLY}. The fan hangs behind the contact, never in the timer's own supply.`;
const pathWords = ({ path }: FaultOf<"short-at-rest" | "short-when-on">): string =>
	`${path.map(typeset).join(" → ")}, with nothing in between that takes current`;
const lookFirst = ({ contactPin }: FaultOf<"short-at-rest" | "short-when-on">): string =>
	contactPin === null ? "" : ` Check the wire on ${typeset(contactPin)} first.`;
const loadOn = ({ loadAmps, supplyAmps }: FaultOf<"supply-margin" | "supply-overload">): string =>
	`The load is ${amps(loadAmps)} on a supply rated ${amps(supplyAmps)}.`;
/** A fan and the supply of a timer in one path. */
const inSeriesWords = (fans: readonly string[], timers: readonly string[]): string =>
	`${all(fans, "lies", "lie")} in series with the supply of ${inRow(timers)}: one current runs through both, and they share the voltage.`;

/** What is wrong, and what to do. */
const WORDS: {
	readonly [Code in WiringCode]: (fault: FaultOf<Code>) => readonly [reason: string, remedy: string];
} = {
	"unknown-pin": ({ pin, nearestPin, nets }) => [
		`Net ${quoted(nets)} names “${pin}”, which no part has.`,
		`${nearestPin === null ? "" : `Did you mean “${nearestPin}”? `}Write part, dot, terminal, as in “FAN.+”.`,
	],
	"pin-on-two-nets": ({ pin, nets }) => [
		`“${pin}” is listed in nets ${quoted(nets)}. One terminal joins them into one net.`,
		"Keep it in the net where the wire really goes. If wires of both end there, make the two one net.",
	],
	"no-supply": () => [
		"There is no supply among the parts.",
		"Add the plug-in adapter with its voltage and rated current.",
	],
	"two-supplies": ({ parts, areNegativesJoined }) =>
		areNegativesJoined
			? [
					`There is more than one supply: ${inRow(parts)}. One can drive current into the other.`,
					"Use a single adapter that carries everything, or describe each circuit as a wiring of its own.",
				]
			: [
					`There is more than one supply: ${inRow(parts)}. Their negatives are not joined, so a current cannot return from one to the other: what lies between the positive of one and the negative of the other gets nothing.`,
					"Use a single adapter that carries everything. If a dry contact keeps the circuits apart on purpose, describe each as a wiring of its own.",
				],
	floating: ({ pins }) => [
		`Nothing is connected to ${pins.map(typeset).join(", ")}.`,
		"Connect it, or take the part out of the list; only NO and NC of a timer may stay open.",
	],
	"short-at-rest": (fault) => [
		`Short circuit as soon as power comes on: ${pathWords(fault)}.`,
		`Leave the power off. Only fans and the timer's own supply may lie between positive and negative.${lookFirst(fault)}`,
	],
	"short-when-on": (fault) => [
		`Short circuit each time the timer turns on: ${pathWords(fault)}.`,
		`Leave the power off. The switched side of the contact goes to the fan, never to the other pole of the supply.${lookFirst(fault)}`,
	],
	"timer-reversed": ({ parts }) => [
		`${all(parts, "gets", "get")} the supply the wrong way round. Many boards do not survive that, and what the fans do is unknown.`,
		"Swap its two supply leads: V+ to the fused positive, V− to the negative.",
	],
	"timer-dead": ({ parts, openPins, inSeries }) => [
		openPins.length > 0
			? `${all(parts, "gets", "get")} no power and can never switch, because nothing is connected to ${inRow(openPins.map(typeset))}.`
			: inSeries.length > 0
				? inSeriesWords(inSeries, parts)
				: `${all(parts, "gets", "get")} no power while off and can never switch.`,
		"Connect V+ to the fused positive and V− to the negative, directly and not through a contact.",
	],
	"timer-self-cut": ({ parts }) => [
		`${all(parts, "cuts its", "cut their")} own power when turning on, falls back and starts again: the relay chatters.`,
		"Take V+ from the fused positive in front of the contact, not from behind it.",
	],
	"timer-undervoltage": ({ parts, inSeries }) =>
		inSeries.length > 0
			? [inSeriesWords(inSeries, parts), APART]
			: [
					`${all(parts, "gets", "get")} less than 85 % of the supply voltage: something lies in series with it.`,
					`${OWN_SUPPLY}.`,
				],
	"fan-reversed": ({ parts }) => [
		`${all(parts, "gets", "get")} positive and negative the wrong way round. Most such fans then stand still, some are damaged.`,
		"Swap the two leads of the fan.",
	],
	"fan-undervoltage": ({ parts, inSeries }) =>
		inSeries.length > 0
			? [inSeriesWords(parts, inSeries), APART]
			: [
					`${all(parts, "gets", "get")} only part of the supply voltage, as fans in series do, and may not start.`,
					"Connect fans in parallel: each + to the switched positive, each − to the negative.",
				],
	inverted: ({ parts }) => [
		`${all(parts, "runs", "run")} during the off-time and stops during the on-time.`,
		"Move the wire from NC to NO.",
	],
	"always-on": ({ parts, isLowSide }) =>
		isLowSide
			? [
					`${all(parts, "runs", "run")} in both states. This board switches the negative: once OUT− or the fan's − is joined to the supply's −, its contact has no effect.`,
					"Connect fan + to OUT+, fan − to OUT−, and nothing else to OUT−: here the negative leads are not joined.",
				]
			: [
					`${all(parts, "runs", "run")} in both states: no contact lies in the path.`,
					"Feed the fan's + from NO, and COM from the fused positive.",
				],
	"never-on": ({ parts, inSeries, deadTimers }) =>
		inSeries.length > 0
			? [inSeriesWords(parts, inSeries), APART]
			: deadTimers.length > 0
				? [
						`${all(parts, "gets", "get")} no voltage in either state; ${all(deadTimers, "has no power and never switches", "have no power and never switch")}.`,
						`Mend the supply of ${inRow(deadTimers)} first, then check again.`,
					]
				: [
						`${all(parts, "gets", "get")} no voltage in either state.`,
						"Follow its leads. One must reach the negative and the other, through NO and COM (or OUT+ and OUT−), the fused positive.",
					],
	"diode-reversed": ({ parts, isInSeries }) =>
		isInSeries
			? [
					`${all(parts, "lies", "lie")} in the path of a current. A flyback diode lies across a fan; this check knows no other use and takes it as open.`,
					"Put it across the fan, ring (cathode, K) to fan +. If it guards against wrong polarity, leave it out of this list.",
				]
			: [
					`${all(parts, "conducts", "conduct")} and shorts the supply, because the ring is on the negative side.`,
					"Turn it round: ring (cathode, K) to fan +.",
				],
	"no-fuse": () => [
		"There is no fuse: in a short circuit the wire becomes the fuse.",
		"Fit a fuse in the positive lead, as the first part after the supply.",
	],
	"fuse-bypassed": ({ fuses, energised }) => [
		`With ${inRow(fuses)} out, ${all(energised, "still gets", "still get")} voltage: a current bypasses the fuse.`,
		"Put the fuse first: only the fuse on the supply's +, and everything else behind it.",
	],
	"fuse-in-return": ({ fuses, energised }) => [
		`${all(fuses, "lies", "lie")} in the negative lead. When it blows, ${inRow(energised)} stops but keeps the supply's positive, and a lead that touches metal is not protected.`,
		"Move the fuse into the positive lead, as the first part after the supply.",
	],
	"fuse-small": ({ parts, fuseAmps, loadAmps }) => [
		`${inRow(parts)}: ${amps(fuseAmps)} for a load of ${amps(loadAmps)}. A fuse below 1.25 times the load blows sooner or later, and then no fan runs.`,
		"Take the next larger standard fuse, as long as the wire carries it.",
	],
	"fuse-above-wire": ({ parts, fuseAmps, wireAmps }) => [
		`${inRow(parts)}: ${amps(fuseAmps)} on wire for ${amps(wireAmps)}. The wire gets too hot before the fuse blows.`,
		"Take a smaller fuse that still carries the load, or thicker wire.",
	],
	"supply-margin": (fault) => [
		`${loadOn(fault)} That is above the 80 % that leave a margin for the start and for a warm place.`,
		"Take the next larger adapter when you buy one anyway.",
	],
	"supply-overload": (fault) => [
		`${loadOn(fault)} Its voltage sags, and the timer may restart at each burst.`,
		"Take a larger adapter.",
	],
	"contact-overload": ({ parts, loadAmps, contactAmps }) => [
		`${inRow(parts)}: ${amps(loadAmps)} on a contact rated ${amps(contactAmps)}. A contact that welds leaves the fan on for good.`,
		"Share the fans among several timers, or take one whose inductive rating carries them.",
	],
	"timer-voltage": ({ parts, timerVolts, supplyVolts }) => [
		`${inRow(parts)}: a ${volts(timerVolts)} timer on ${volts(supplyVolts)}.`,
		SAME_VOLTAGE,
	],
	"fan-voltage": ({ fans, supplyVolts }) => [
		`${fans.map(({ name, minVolts, maxVolts }) => `${name} is for ${volts(minVolts)} to ${volts(maxVolts)}`).join(", ")}, the supply gives ${volts(supplyVolts)}.`,
		SAME_VOLTAGE,
	],
};

/** A fault of a wiring with its remedy. */
export function faultWords(fault: WiringFault): FaultWords {
	const [reason, remedy] = (WORDS[fault.code] as (found: WiringFault) => readonly [string, string])(fault);
	return { reason, remedy };
}
