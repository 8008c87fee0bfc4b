import { type Circuit, loadOf, namesOfKind } from "./circuit.ts";
import { type CircuitSolution, solveLeavingAmps } from "./circuitsolution.ts";

/** What happens in a wiring while the contact is at rest or energised. */
export interface WiringState {
	/** Timers whose contact is energised: none at rest; none of those that get no power. */
	readonly energisedTimers: readonly string[];
	/** Terminals that a short circuit runs through, from supply + to supply -; null without one. With one, nothing else is known. */
	readonly shortPath: readonly string[] | null;
	/** Potential of each net against supply - [V]; null where nothing ties it to the supply. */
	readonly volts: Readonly<Record<string, number | null>>;
	/** Voltage across each fan and timer (its own supply), plus to minus, and each diode, A to K [V]. */
	readonly partVolts: Readonly<Record<string, number>>;
	/** Current that each part takes, gives or passes [A]; of a timer its own, without what its contact passes. */
	readonly amps: Readonly<Record<string, number>>;
	/** Current that leaves a part at a terminal, `FAN.-` [A]; negative: it enters there. */
	readonly leavingAmps: Readonly<Record<string, number>>;
	/** Fans that run. */
	readonly running: readonly string[];
}

export type WiringStates = { readonly deenergised: WiringState; readonly energised: WiringState };

/** A fan runs above this share of the supply voltage. */
const MIN_RUNNING_SHARE = 0.85;
/** A fan is off, and a timer without power, below this share. */
const MAX_OFF_SHARE = 0.05;
/** A part is connected the wrong way round below this [V]. */
const MAX_REVERSED_V = -0.5;
/** A diode conducts above this voltage from A to K [V]. */
export const MIN_CONDUCTING_V = 0.7;
/** Slack for rounding in shares of the supply voltage. */
const SLACK = 1e-9;

export type Feed = "reversed" | "off" | "low" | "full";

/** What a voltage means to a part, beside that of the supply [V]. */
export const feedOf = (volts: number, supplyV: number): Feed => {
	if (volts < MAX_REVERSED_V) return "reversed";
	if (volts < (MAX_OFF_SHARE - SLACK) * supplyV) return "off";
	return volts > (MIN_RUNNING_SHARE + SLACK) * supplyV ? "full" : "low";
};

/** Potential of a terminal against supply - [V]; null where nothing ties it to the supply. */
export const voltsAt = (circuit: Circuit, { volts }: CircuitSolution, pin: string): number | null =>
	volts[circuit.numberOf.get(pin)!] ?? null;

/** Voltage from one terminal of a part to another [V]; 0 where nothing ties them to the supply. */
export const voltsAcross = (
	circuit: Circuit,
	solution: CircuitSolution,
	name: string,
	positive: string,
	negative: string,
): number => {
	const high = voltsAt(circuit, solution, `${name}.${positive}`);
	const low = voltsAt(circuit, solution, `${name}.${negative}`);
	return high === null || low === null ? 0 : high - low;
};

const SHORTED = { volts: {}, partVolts: {}, amps: {}, leavingAmps: {}, running: [] };

/** Reads a solution off by the names of parts, nets and terminals. */
export function stateOf(circuit: Circuit, solution: CircuitSolution, supplyV: number): WiringState {
	const { parts, terminals } = circuit;
	const energisedTimers = [...solution.switching.energisedTimers];
	const shortPath = solution.shortPath?.map((terminal) => terminals[terminal]!.pin) ?? null;
	if (shortPath !== null) return { energisedTimers, shortPath, ...SHORTED };
	const leaving = solveLeavingAmps(circuit, solution);
	const partVolts = new Map<string, number>();
	const amps = new Map<string, number>();
	for (const { name, part, first } of parts) {
		const load = part.kind === "diode" ? { positive: "A", negative: "K", siemens: 0 } : loadOf(part);
		if (load !== null) {
			const volts = voltsAcross(circuit, solution, name, load.positive, load.negative);
			partVolts.set(name, volts);
			amps.set(name, volts * load.siemens);
		} else amps.set(name, part.kind === "supply" ? leaving[first]! : Math.abs(leaving[first]!));
	}
	return {
		energisedTimers,
		shortPath,
		volts: Object.fromEntries(
			terminals.flatMap(({ net }, place) => (net === null ? [] : [[net, solution.volts[place] ?? null]])),
		),
		partVolts: Object.fromEntries(partVolts),
		amps: Object.fromEntries(amps),
		leavingAmps: Object.fromEntries(terminals.map(({ pin }, place) => [pin, leaving[place]!])),
		running: namesOfKind(circuit, "fan").filter((fan) => feedOf(partVolts.get(fan)!, supplyV) === "full"),
	};
}
