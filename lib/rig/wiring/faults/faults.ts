/** `stop`: do not power it. `attention`: it works, yet something needs a look. */
export type Severity = "stop" | "attention";

/** A fault for each of some codes, with what its sentence needs beside parts and nets. */
type Fault<Code extends string, Data = unknown> = Code extends unknown
	? {
			readonly code: Code;
			readonly severity: Severity;
			readonly parts: readonly string[];
			readonly nets: readonly string[];
		} & Data
	: never;

/** Faults that their parts and nets describe completely. */
export type PlainWiringCode =
	| "no-supply"
	| "two-supplies"
	| "no-fuse"
	| "timer-reversed"
	| "timer-dead"
	| "timer-self-cut"
	| "timer-undervoltage"
	| "fan-reversed"
	| "fan-undervoltage"
	| "inverted"
	| "never-on";

/** What is wrong with a wiring: a code, the parts and nets concerned, and the numbers behind it. */
export type WiringFault =
	| Fault<PlainWiringCode>
	/** A terminal that no part has, and the nearest one that exists. */
	| Fault<"unknown-pin", { readonly pin: string; readonly nearestPin: string | null }>
	| Fault<"pin-on-two-nets", { readonly pin: string }>
	| Fault<"floating", { readonly pins: readonly string[] }>
	/** Terminals from supply + to supply -, and the one on the contact to look at first. */
	| Fault<
			"short-at-rest" | "short-when-on",
			{ readonly path: readonly string[]; readonly contactPin: string | null }
	  >
	/** `isLowSide`: a timer that switches the negative is on board. */
	| Fault<"always-on", { readonly isLowSide: boolean }>
	/** `isInSeries`: the diode lies in the path of a current instead of across a load. */
	| Fault<"diode-reversed", { readonly isInSeries: boolean }>
	/** `energised`: what still has voltage although the fuses are out. */
	| Fault<
			"fuse-bypassed" | "fuse-in-return",
			{ readonly fuses: readonly string[]; readonly energised: readonly string[] }
	  >
	| Fault<"fuse-small", { readonly fuseAmps: number; readonly loadAmps: number }>
	| Fault<"fuse-above-wire", { readonly fuseAmps: number; readonly wireAmps: number }>
	| Fault<"supply-margin" | "supply-overload", { readonly loadAmps: number; readonly supplyAmps: number }>
	| Fault<"contact-overload", { readonly loadAmps: number; readonly contactAmps: number }>
	| Fault<"timer-voltage", { readonly timerVolts: number; readonly supplyVolts: number }>
	| Fault<"fan-voltage", { readonly supplyVolts: number; readonly fans: readonly FanVoltageRange[] }>;

interface FanVoltageRange {
	readonly name: string;
	readonly minVolts: number;
	readonly maxVolts: number;
}

export type WiringCode = WiringFault["code"];
