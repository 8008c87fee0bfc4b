import type { FindingOf } from "../../lib/rig/check.ts";
import type { VoltageMismatch } from "../../lib/rig/power/supply.ts";
import { wireName } from "../../lib/rig/power/wire.ts";
import { AMPACITY_SOURCE } from "../../lib/sources/copper.ts";
import { FUSE_OVER_LOAD } from "../../lib/sources/fuses.ts";
import {
	CLASS_2_POWER,
	CLASS_2_VOLTAGE,
	EXTRA_LOW_VOLTAGE,
	GOOD_VOLTAGE_DROP,
	MAX_SUPPLY_SHARE,
	MAX_VOLTAGE_DROP,
	MIN_START_VOLTAGE,
	VOLTAGE_MATCH,
} from "../../lib/sources/supplies.ts";
import { PULL_IN } from "../../lib/sources/timers.ts";
import { inRow } from "../words/format.ts";
import type { WordsOf } from "./findingnames.ts";
import type { SayValue } from "./rounding.ts";

function mismatchWords(one: VoltageMismatch, supplyVolts: number, say: SayValue): string {
	const volts = (value: number): string => say(value, "voltage");
	switch (one.mismatch) {
		case "above the fan's range":
			return `The supply gives up to ${volts(one.maxSupplyVolts)}, above the ${volts(one.maxFanVolts)} that the fan withstands.`;
		case "below the fan's range":
			return `The fan receives ${volts(one.reachingVolts)} and needs ${volts(one.minFanVolts)} to start.`;
		case "other nominal voltage":
			return `The supply gives ${volts(supplyVolts)}; the ${one.part} is made for ${volts(one.nominalVolts)}.`;
	}
}

const largerAdapter = (neededAmps: number, say: SayValue): string =>
	`Take an adapter of ${say(neededAmps, "current")} or more at the same voltage.`;

function startingWords(
	{ voltageDropShare, startingVolts, undervoltedParts }: FindingOf<"drop">,
	say: SayValue,
): string {
	if (undervoltedParts.length === 0 || voltageDropShare >= 1) return "";
	if (startingVolts <= 0) return " When all fans start, it takes all of the voltage.";
	return ` When all fans start, ${say(startingVolts, "voltage")} are left. That is less than ${say(MIN_START_VOLTAGE.value / 100, "fraction")} of the rated voltage of ${undervoltedParts.join(" and ")}: relays drop out and the timer resets.`;
}

export const POWER_WORDS: WordsOf<
	"mains" | "voltage" | "supply" | "start" | "class 2" | "wire" | "drop" | "fuse"
> = {
	mains: ({ parts }) => ({
		finding: `The ${inRow(parts)} ${parts.length > 1 ? "are" : "is"} for mains voltage. Mains wiring belongs to a licensed person under local codes: supply, wire, fuse, contact and wiring are not checked here.`,
		reason: `Mains voltage kills. What is checked here is direct voltage up to ${EXTRA_LOW_VOLTAGE.value} V behind a listed plug-in adapter.`,
		remedy:
			"Let a licensed person wire it, with a listed switch or timer that is rated for the motor. Air, bursts, ceiling, power cut and the wear of a contact are judged as for any fan.",
	}),
	voltage(found, say) {
		const { supplyVolts, fanVolts, mismatches, isCableTooLong, verdict } = found;
		return {
			finding:
				mismatches.length > 0
					? mismatches.map((one) => mismatchWords(one, supplyVolts, say)).join(" ")
					: `Supply and fan agree on ${say(fanVolts, "voltage")}.`,
			reason: `Adapter, timer and fan need one nominal voltage. A difference of ${VOLTAGE_MATCH.value} % is fine and ${VOLTAGE_MATCH.high} % usually works, within the fan's voltage range. An unregulated adapter gives far more without load.`,
			remedy:
				verdict === "ok"
					? null
					: isCableTooLong
						? "Take a shorter or thicker cable."
						: "Take a regulated adapter of the voltage on the labels. Measure it before you connect anything.",
		};
	},

	supply(found, say) {
		const { rigs, loadAmps, supplyAmps, loadShare, neededAmps, verdict } = found;
		const loads = rigs > 1 ? `All fans and timers of ${rigs} rigs` : "Fans and timer";
		const margin = { stop: ": it is overloaded", attention: ": there is no margin", ok: "" }[verdict];
		return {
			finding: `${loads} draw ${say(loadAmps, "current")}, ${say(loadShare, "fraction")} of the supply's rated ${say(supplyAmps, "current")}${margin}.`,
			reason: `Common practice: load a supply to at most ${say(MAX_SUPPLY_SHARE.value, "fraction")} of its rating. An overloaded adapter runs hot or cuts out.`,
			remedy: verdict === "ok" ? null : largerAdapter(neededAmps, say),
		};
	},

	start(found, say) {
		const { startingAmps, supplyAmps, neededAmps, isOverSupply, isSagging, voltageDropShare } = found;
		const over = isOverSupply ? `, more than the supply's rated ${say(supplyAmps, "current")}` : "";
		const drop = isSagging
			? ` The cable alone then takes ${voltageDropShare! >= 1 ? "all" : say(voltageDropShare!, "fraction")} of the voltage.`
			: "";
		return {
			finding: `When power returns after a cut, all fans start together and draw ${say(startingAmps, "current")} for some seconds${over}.${drop}`,
			reason: `A supply that sags below ${PULL_IN.value} % resets the timer at each start: it clicks and the fan twitches.`,
			remedy: isOverSupply
				? `${largerAdapter(neededAmps, say)} Or give each rig an adapter of its own.`
				: isSagging
					? "Take a thicker or shorter cable."
					: null,
		};
	},

	"class 2"({ volts, watts }, say) {
		return {
			finding: `The supply gives ${say(volts, "voltage")}${watts > 0 ? ` and ${say(watts, "power")}` : ""}, more than a class 2 circuit.`,
			reason: `Up to ${CLASS_2_VOLTAGE.value} V and ${CLASS_2_POWER.value} VA, a listed class 2 adapter limits what a fault can do (${CLASS_2_VOLTAGE.source}).`,
			remedy: "Split it over smaller listed adapters, or have it wired by licensed people under local codes.",
		};
	},

	wire(found, say) {
		const { size, runningAmps, ampacityA, isAmpacityGiven, isBundled, verdict } = found;
		const [current, capacity] = [say(runningAmps, "current"), say(ampacityA, "current")];
		return {
			finding:
				verdict === "stop"
					? `Fans and timer draw ${current}, more than the current-carrying capacity of ${wireName(size)} (${capacity}).`
					: `The current-carrying capacity of ${wireName(size)} is ${capacity}; fans and timer draw ${current}.`,
			reason: isAmpacityGiven
				? "A wire above its rating melts its insulation."
				: `Tables differ by a factor of six. Used here is ${isBundled ? "the value for bundled wires" : "three times the value for bundled wires, never above that for single ones"} (${AMPACITY_SOURCE}; judgement).`,
			remedy: verdict === "stop" ? "Take a thicker wire, or connect fewer fans to it." : null,
		};
	},

	drop(found, say) {
		const { lengthM, size, voltageDropV, voltageDropShare, fanVolts, flowLossShare, verdict } = found;
		const cable = `${say(lengthM, "length")} of ${wireName(size)} cable`;
		const lost = flowLossShare === null ? "" : ` and delivers ${say(flowLossShare, "fraction")} less air`;
		const running =
			voltageDropShare >= 1
				? `The two conductors of ${cable} would take all of the voltage.`
				: `The voltage drop in ${cable}, both conductors, is ${say(voltageDropV, "voltage")} (${say(voltageDropShare, "fraction")}). The fan receives ${say(fanVolts, "voltage")}${lost}.`;
		const isBeyondLimit = voltageDropShare > MAX_VOLTAGE_DROP.value / 100;
		return {
			finding: running + startingWords(found, say),
			reason: `Up to ${GOOD_VOLTAGE_DROP.value} % is good and ${MAX_VOLTAGE_DROP.value} % is the limit (common practice, no source). The flow falls about as much as the voltage.`,
			remedy:
				verdict === "ok"
					? null
					: `${isBeyondLimit ? "Beyond the limit: take" : "Take"} a thicker cable, or at most ${say(found.goodLengthM, "length")} of this one.`,
		};
	},

	fuse(found, say) {
		const { outcome, runningAmps, fuseAmps, suggestedFuseAmps, ampacityA, limitingSupplyAmps } = found;
		const amps = (value: number): string => say(value, "current");
		const [fuse, load] = [`A fuse of ${amps(fuseAmps ?? 0)}`, amps(runningAmps)];
		const finding = {
			ok: `${fuse} carries fans and timer (${load}).`,
			missing: "No fuse is given.",
			"none fits": "No standard fuse carries the load and still protects this wire.",
			"above the wire": `${fuse} does not protect the wire, which burns first.`,
			"below the load": `${fuse} blows: fans and timer draw ${load}.`,
			"little margin": `${fuse} ages fast: fans and timer draw ${load}.`,
		}[outcome];
		const chosen = fuseAmps ?? suggestedFuseAmps;
		const limited =
			limitingSupplyAmps === null || chosen === null
				? ""
				: ` A supply that limits its current at ${amps(limitingSupplyAmps)} may never blow a fuse of ${amps(chosen)}: its own limit is then the protection.`;
		const suggestion =
			suggestedFuseAmps === null
				? null
				: `Fit a fuse of ${amps(suggestedFuseAmps)}, time-lag, as the first part after the supply's +.`;
		return {
			finding: finding + limited,
			reason: `A fuse protects the wire. Its rating is at least ${FUSE_OVER_LOAD.value} times the load (${amps(FUSE_OVER_LOAD.value * runningAmps)}) and at most what the wire carries${ampacityA === null ? "" : ` (${amps(ampacityA)})`}. Take a time-lag fuse, because motors start with more current.`,
			remedy:
				outcome === "ok"
					? null
					: outcome === "none fits"
						? "Take a thicker wire."
						: (suggestion ??
							(outcome === "missing" ? null : "Take a thicker wire, then a fuse that fits it.")),
		};
	},
};
