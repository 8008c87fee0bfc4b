/** `stop`: do not power it. `attention`: it works, yet something needs a look. */
export type Severity = "stop" | "attention";

interface FanVoltageRange {
	readonly name: string;
	readonly minVolts: number;
	readonly maxVolts: number;
}

/** Nothing beside the parts and nets. */
type Plain = unknown;

/** What the sentence of each fault needs beside parts and nets. */
export interface FaultData {
	/** A terminal that no part has, and the nearest one that exists. */
	"unknown-pin": { readonly pin: string; readonly nearestPin: string | null };
	"pin-on-two-nets": { readonly pin: string };
	floating: { readonly pins: readonly string[] };
	"no-supply": Plain;
	"two-supplies": { readonly areNegativesJoined: boolean };
	/** Terminals from supply + to supply -, and the one on the contact to look at first. */
	"short-at-rest": { readonly path: readonly string[]; readonly contactPin: string | null };
	"short-when-on": FaultData["short-at-rest"];
	"timer-reversed": Plain;
	/** `openPins`: leads of its own supply that go nowhere; `inSeries`: fans that lie in the path of its supply. */
	"timer-dead": { readonly openPins: readonly string[]; readonly inSeries: readonly string[] };
	"timer-self-cut": Plain;
	"timer-undervoltage": { readonly inSeries: readonly string[] };
	"fan-reversed": Plain;
	/** `inSeries`: timers whose supply runs through the fan. */
	"fan-undervoltage": { readonly inSeries: readonly string[] };
	inverted: Plain;
	/** `deadTimers`: those without power, which must be mended first. */
	"never-on": { readonly inSeries: readonly string[]; readonly deadTimers: readonly string[] };
	/** `isLowSide`: a timer that switches the negative is on board. */
	"always-on": { readonly isLowSide: boolean };
	/** `isInSeries`: the diode lies in the path of a current instead of across a load. */
	"diode-reversed": { readonly isInSeries: boolean };
	"no-fuse": Plain;
	/** `energised`: what still has voltage although the fuses are out. */
	"fuse-bypassed": { readonly fuses: readonly string[]; readonly energised: readonly string[] };
	"fuse-in-return": FaultData["fuse-bypassed"];
	"fuse-small": { readonly fuseAmps: number; readonly loadAmps: number };
	"fuse-above-wire": { readonly fuseAmps: number; readonly wireAmps: number };
	"supply-margin": { readonly loadAmps: number; readonly supplyAmps: number };
	"supply-overload": FaultData["supply-margin"];
	"contact-overload": { readonly loadAmps: number; readonly contactAmps: number };
	"timer-voltage": { readonly timerVolts: number; readonly supplyVolts: number };
	"fan-voltage": { readonly supplyVolts: number; readonly fans: readonly FanVoltageRange[] };
}

export type WiringCode = keyof FaultData;
export type FaultOf<Code extends WiringCode> = Code extends unknown
	? {
			readonly code: Code;
			readonly severity: Severity;
			readonly parts: readonly string[];
			readonly nets: readonly string[];
		} & FaultData[Code]
	: never;
/** What is wrong with a wiring: a code, the parts and nets concerned, and the numbers behind it. */
export type WiringFault = FaultOf<WiringCode>;

/** A fault. */
export const faultOf = <Code extends WiringCode>(
	code: Code,
	severity: Severity,
	parts: readonly string[],
	data: FaultData[Code],
	nets: readonly string[] = [],
): WiringFault => ({ code, severity, parts, nets, ...(data as object) }) as unknown as WiringFault;
