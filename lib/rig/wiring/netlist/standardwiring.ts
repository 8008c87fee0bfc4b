import type { FanPart, FusePart, SupplyPart, TimerPart, Wiring, WiringPart } from "./netlist.ts";

/** What a wiring is made of. */
export interface WiringParts {
	readonly supply: Omit<SupplyPart, "kind">;
	readonly timer: TimerPart;
	readonly fans: readonly Omit<FanPart, "kind">[];
	readonly fuse: Omit<FusePart, "kind">;
	/** A hand switch in the plus lead behind the fuse. Default: false. */
	readonly handSwitch?: boolean;
	/** A diode across the fans. Default: false. */
	readonly flybackDiode?: boolean;
}

/**
 * The usual way to wire a timer and fans in parallel: fuse first; a relay switches the positive and all negative leads are
 * joined; a board that switches the negative has the fans between its two outputs and nothing else there.
 *
 * @param parts supply, timer, fans, fuse, and whether there is a hand switch or a flyback diode
 * @returns parts and nets
 * @throws never
 *
 * Source: common practice, no source.
 * @example Object.keys(standardWiring({ supply: { v: 12 }, timer: { kind: "relay_timer" }, fans: [{ v: 12 }], fuse: {} }).nets).length // => 4
 */
export function standardWiring({
	supply,
	timer,
	fans,
	fuse,
	handSwitch = false,
	flybackDiode = false,
}: WiringParts): Wiring {
	const fanNames = fans.map((_, place) => (fans.length === 1 ? "FAN" : `FAN${place + 1}`));
	const parts: Record<string, WiringPart> = {
		SUPPLY: { kind: "supply", ...supply },
		FUSE: { kind: "fuse", ...fuse },
		...(handSwitch ? { SWITCH: { kind: "switch" } } : {}),
		TIMER: timer,
		...Object.fromEntries(fans.map((fan, place) => [fanNames[place], { kind: "fan", ...fan }])),
		...(flybackDiode ? { DIODE: { kind: "diode" } } : {}),
	};
	const ends = (fan: "+" | "-", diode: "K" | "A"): string[] => [
		...fanNames.map((name) => `${name}.${fan}`),
		...(flybackDiode ? [`DIODE.${diode}`] : []),
	];
	const [positive, negative] = [ends("+", "K"), ends("-", "A")];
	const feed = {
		"supply plus": ["SUPPLY.+", "FUSE.1"],
		...(handSwitch ? { "fused plus": ["FUSE.2", "SWITCH.1"] } : {}),
	};
	const [plus, fused] = handSwitch ? ["plus", "SWITCH.2"] : ["fused plus", "FUSE.2"];
	const nets: Wiring["nets"] =
		timer.kind === "relay_timer"
			? {
					...feed,
					[plus]: [fused, "TIMER.V+", "TIMER.COM"],
					"switched plus": ["TIMER.NO", ...positive],
					minus: ["SUPPLY.-", "TIMER.V-", ...negative],
				}
			: {
					...feed,
					[plus]: [fused, "TIMER.V+"],
					"output plus": ["TIMER.OUT+", ...positive],
					"switched minus": ["TIMER.OUT-", ...negative],
					minus: ["SUPPLY.-", "TIMER.V-"],
				};
	return { parts, nets };
}
