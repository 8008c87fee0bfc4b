import type { WiringFault } from "../../lib/rig/wiring/faults/faults.ts";
import { typeset } from "./drawing/partwords.ts";

/** A fault said so that whoever holds the screwdriver can mend it. */
export interface FaultWords {
	readonly reason: string;
	readonly remedy: string;
}

/** "A", "A and B", "A, B and C" */
const joinNames = (names: readonly string[]): string =>
	names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;

/** Names with the verb that goes with their number. */
const all = (names: readonly string[], one: string, many: string): string =>
	`${joinNames(names)} ${names.length === 1 ? one : many}`;

const amps = (x: number): string => `${Number(x.toFixed(3))} A`;
const volts = (x: number): string => `${Number(x.toFixed(2))} V`;
const quoted = (names: readonly string[]): string => joinNames(names.map((name) => `“${name}”`));
const text = (reason: string, remedy: string): FaultWords => ({ reason, remedy });

/** A fault of a wiring with its remedy. */
export function faultWords(fault: WiringFault): FaultWords {
	switch (fault.code) {
		case "unknown-pin":
		case "pin-on-two-nets":
		case "no-supply":
		case "two-supplies":
		case "floating":
			return netlistWords(fault);
		case "short-at-rest":
		case "short-when-on":
			return shortWords(fault);
		case "timer-reversed":
		case "timer-dead":
		case "timer-self-cut":
		case "timer-undervoltage":
			return timerWords(fault);
		case "fan-reversed":
		case "fan-undervoltage":
		case "inverted":
		case "always-on":
		case "never-on":
			return fanWords(fault);
		case "diode-reversed":
			return diodeWords(fault);
		case "no-fuse":
		case "fuse-bypassed":
		case "fuse-in-return":
		case "fuse-small":
		case "fuse-above-wire":
			return fuseWords(fault);
		default:
			return ratingWords(fault);
	}
}

type Of<Code extends WiringFault["code"]> = Extract<WiringFault, { readonly code: Code }>;

function netlistWords(
	fault: Of<"unknown-pin" | "pin-on-two-nets" | "no-supply" | "two-supplies" | "floating">,
): FaultWords {
	switch (fault.code) {
		case "unknown-pin": {
			const hint = fault.nearestPin === null ? "" : `Did you mean “${fault.nearestPin}”? `;
			return text(
				`Net ${quoted(fault.nets)} names “${fault.pin}”, which no part has.`,
				`${hint}Write part, dot, terminal, as in “FAN.+”.`,
			);
		}
		case "pin-on-two-nets":
			return text(
				`“${fault.pin}” is listed in nets ${quoted(fault.nets)}. One terminal joins them into one net.`,
				"Keep it in the net where the wire really goes. If wires of both end there, make the two one net.",
			);
		case "no-supply":
			return text(
				"There is no supply among the parts.",
				"Add the plug-in adapter with its voltage and rated current.",
			);
		case "two-supplies":
			return text(
				`There is more than one supply: ${joinNames(fault.parts)}. One can drive current into the other.`,
				"Use a single adapter that carries everything, or describe each circuit as a wiring of its own.",
			);
		case "floating":
			return text(
				`Nothing is connected to ${fault.pins.map(typeset).join(", ")}.`,
				"Connect it, or take the part out of the list; only NO and NC of a timer may stay open.",
			);
	}
}

function shortWords({ code, path, contactPin }: Of<"short-at-rest" | "short-when-on">): FaultWords {
	const way = `${path.map(typeset).join(" → ")}, with nothing in between that takes current`;
	const look = contactPin === null ? "" : ` Check the wire on ${typeset(contactPin)} first.`;
	return code === "short-at-rest"
		? text(
				`Short circuit as soon as power comes on: ${way}.`,
				`Leave the power off. Only fans and the timer's own supply may lie between positive and negative.${look}`,
			)
		: text(
				`Short circuit each time the timer turns on: ${way}.`,
				`Leave the power off. The switched side of the contact goes to the fan, never to the other pole of the supply.${look}`,
			);
}

function timerWords({
	code,
	parts,
}: Of<"timer-reversed" | "timer-dead" | "timer-self-cut" | "timer-undervoltage">): FaultWords {
	switch (code) {
		case "timer-reversed":
			return text(
				`${all(parts, "gets", "get")} the supply the wrong way round. Many boards do not survive that, and what the fans do is unknown.`,
				"Swap its two supply leads: V+ to the fused positive, V− to the negative.",
			);
		case "timer-dead":
			return text(
				`${all(parts, "gets", "get")} no power while off and can never switch.`,
				"Connect V+ to the fused positive and V− to the negative, directly and not through a contact.",
			);
		case "timer-self-cut":
			return text(
				`${all(parts, "cuts its", "cut their")} own power when turning on, falls back and starts again: the relay chatters.`,
				"Take V+ from the fused positive in front of the contact, not from behind it.",
			);
		case "timer-undervoltage":
			return text(
				`${all(parts, "gets", "get")} less than 85 % of the supply voltage: something lies in series with it.`,
				"Connect V+ directly to the fused positive and V− directly to the negative.",
			);
	}
}

function fanWords(
	fault: Of<"fan-reversed" | "fan-undervoltage" | "inverted" | "never-on" | "always-on">,
): FaultWords {
	const { parts } = fault;
	switch (fault.code) {
		case "fan-reversed":
			return text(
				`${all(parts, "gets", "get")} positive and negative the wrong way round. Most such fans then stand still, some are damaged.`,
				"Swap the two leads of the fan.",
			);
		case "fan-undervoltage":
			return text(
				`${all(parts, "gets", "get")} only part of the supply voltage, as fans in series do, and may not start.`,
				"Connect fans in parallel: each + to the switched positive, each − to the negative.",
			);
		case "inverted":
			return text(
				`${all(parts, "runs", "run")} during the off-time and stops during the on-time.`,
				"Move the wire from NC to NO.",
			);
		case "never-on":
			return text(
				`${all(parts, "gets", "get")} no voltage in either state.`,
				"Follow its leads. One must reach the negative and the other, through NO and COM (or OUT+ and OUT−), the fused positive.",
			);
		case "always-on":
			return fault.isLowSide
				? text(
						`${all(parts, "runs", "run")} in both states. This board switches the negative: once OUT− or the fan's − is joined to the supply's −, its contact has no effect.`,
						"Connect fan + to OUT+, fan − to OUT−, and nothing else to OUT−: here the negative leads are not joined.",
					)
				: text(
						`${all(parts, "runs", "run")} in both states: no contact lies in the path.`,
						"Feed the fan's + from NO, and COM from the fused positive.",
					);
	}
}

const diodeWords = ({ parts, isInSeries }: Of<"diode-reversed">): FaultWords =>
	isInSeries
		? text(
				`${all(parts, "lies", "lie")} in the path of a current. A flyback diode lies across a fan; this check knows no other use and takes it as open.`,
				"Put it across the fan, ring (cathode, K) to fan +. If it guards against wrong polarity, leave it out of this list.",
			)
		: text(
				`${all(parts, "conducts", "conduct")} and shorts the supply, because the ring is on the negative side.`,
				"Turn it round: ring (cathode, K) to fan +.",
			);

function fuseWords(
	fault: Of<"no-fuse" | "fuse-bypassed" | "fuse-in-return" | "fuse-small" | "fuse-above-wire">,
): FaultWords {
	switch (fault.code) {
		case "no-fuse":
			return text(
				"There is no fuse: in a short circuit the wire becomes the fuse.",
				"Fit a fuse in the positive lead, as the first part after the supply.",
			);
		case "fuse-bypassed":
			return text(
				`With ${joinNames(fault.fuses)} out, ${all(fault.energised, "still gets", "still get")} voltage: a current bypasses the fuse.`,
				"Put the fuse first: only the fuse on the supply's +, and everything else behind it.",
			);
		case "fuse-in-return":
			return text(
				`${all(fault.fuses, "lies", "lie")} in the negative lead. When it blows, ${joinNames(fault.energised)} stops but keeps the supply's positive, and a lead that touches metal is not protected.`,
				"Move the fuse into the positive lead, as the first part after the supply.",
			);
		case "fuse-small":
			return text(
				`${joinNames(fault.parts)}: ${amps(fault.fuseAmps)} for a load of ${amps(fault.loadAmps)}. A fuse below 1.25 times the load blows sooner or later, and then no fan runs.`,
				"Take the next larger standard fuse, as long as the wire carries it.",
			);
		case "fuse-above-wire":
			return text(
				`${joinNames(fault.parts)}: ${amps(fault.fuseAmps)} on wire for ${amps(fault.wireAmps)}. The wire gets too hot before the fuse blows.`,
				"Take a smaller fuse that still carries the load, or thicker wire.",
			);
	}
}

const SAME_VOLTAGE = "Fan, timer and supply must be for the same voltage.";

function ratingWords(
	fault: Of<"supply-margin" | "supply-overload" | "contact-overload" | "timer-voltage" | "fan-voltage">,
): FaultWords {
	switch (fault.code) {
		case "supply-margin":
			return text(
				`The load is ${amps(fault.loadAmps)} on a supply rated ${amps(fault.supplyAmps)}. That is above the 80 % that leave a margin for the start and for a warm place.`,
				"Take the next larger adapter when you buy one anyway.",
			);
		case "supply-overload":
			return text(
				`The load is ${amps(fault.loadAmps)} on a supply rated ${amps(fault.supplyAmps)}. Its voltage sags, and the timer may restart at each burst.`,
				"Take a larger adapter.",
			);
		case "contact-overload":
			return text(
				`${joinNames(fault.parts)}: ${amps(fault.loadAmps)} on a contact rated ${amps(fault.contactAmps)}. A contact that welds leaves the fan on for good.`,
				"Share the fans among several timers, or take one whose inductive rating carries them.",
			);
		case "timer-voltage":
			return text(
				`${joinNames(fault.parts)}: a ${volts(fault.timerVolts)} timer on ${volts(fault.supplyVolts)}.`,
				SAME_VOLTAGE,
			);
		case "fan-voltage":
			return text(
				`${fault.fans.map(({ name, minVolts, maxVolts }) => `${name} is for ${volts(minVolts)} to ${volts(maxVolts)}`).join(", ")}, the supply gives ${volts(fault.supplyVolts)}.`,
				SAME_VOLTAGE,
			);
	}
}
