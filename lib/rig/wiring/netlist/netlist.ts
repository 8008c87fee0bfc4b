import { type Fault, InputError } from "../../../errors.ts";
import { nearest } from "../../../nearest.ts";
import { EXTRA_LOW_VOLTAGE } from "../../../sources/supplies.ts";

/** Kinds of parts: their terminals in the order in which they are drawn, and their ratings. */
const KINDS = {
	/** Plug-in adapter: voltage [V] and the current it is rated for [A]. */
	supply: { terminals: ["+", "-"], ratings: ["v", "maxA"] },
	/** Timer board whose change-over contact is free of its supply: own voltage [V], own current [A], what the contact may switch [A]. */
	relay_timer: { terminals: ["V+", "V-", "COM", "NO", "NC"], ratings: ["v", "a", "contactA"] },
	/** Timer board that switches the minus: OUT+ is V+, OUT- is joined to V- while the timer is on. */
	lowside_timer: { terminals: ["V+", "V-", "OUT+", "OUT-"], ratings: ["v", "a", "contactA"] },
	/** Fan: current [A] at its nominal voltage [V], and the range of voltages it runs at [V]. */
	fan: { terminals: ["+", "-"], ratings: ["a", "v", "vmin", "vmax"] },
	/** Fuse: rating [A] and the current that the wire behind it stands [A]. */
	fuse: { terminals: ["1", "2"], ratings: ["a", "wireA"] },
	diode: { terminals: ["K", "A"], ratings: [] },
	/** Hand switch; the check takes it as closed. */
	switch: { terminals: ["1", "2"], ratings: [] },
} as const;

export type PartKind = keyof typeof KINDS;
export type PartOf<Kind extends PartKind> = Kind extends unknown
	? { readonly kind: Kind } & { readonly [Rating in (typeof KINDS)[Kind]["ratings"][number]]: number }
	: never;
export type SupplyPart = PartOf<"supply">;
export type RelayTimerPart = PartOf<"relay_timer">;
export type LowsideTimerPart = PartOf<"lowside_timer">;
export type TimerPart = RelayTimerPart | LowsideTimerPart;
export type FanPart = PartOf<"fan">;
export type FusePart = PartOf<"fuse">;
export type DiodePart = PartOf<"diode">;
export type SwitchPart = PartOf<"switch">;
export type WiringPart = PartOf<PartKind>;

/** Parts by name, and nets: which terminals (`FAN.+`) are joined. A net's name carries no meaning. */
export interface Wiring {
	readonly parts: Readonly<Record<string, WiringPart>>;
	readonly nets: Readonly<Record<string, readonly string[]>>;
}

export const terminalsOf = (kind: PartKind): readonly string[] => KINDS[kind].terminals;

const MEANING: Readonly<Record<string, string>> = {
	v: "a voltage in volts, such as 12",
	vmin: "the lowest voltage it runs at in volts, such as 7",
	vmax: "the highest voltage it stands in volts, such as 13.8",
	a: "a current in amperes, such as 0.3",
	maxA: "the rated current in amperes, such as 2",
	contactA: "what the contact may switch in amperes (the inductive rating), such as 3",
	wireA: "what the wire stands in amperes, such as 3",
};

const isMapping = (value: unknown): value is Readonly<Record<string, unknown>> =>
	typeof value === "object" && value !== null && !Array.isArray(value);

const shown = (value: unknown): string => {
	if (value === undefined) return "nothing";
	if (typeof value === "number") return String(value);
	const text = JSON.stringify(value) ?? typeof value;
	return text.length > 60 ? `${text.slice(0, 57)}...` : text;
};

const didYouMean = (name: string, known: readonly string[]): string => {
	const near = nearest(name, known);
	return near === null ? `; known here: ${known.join(", ")}` : `; did you mean "${near}"?`;
};

const unknownKeys = (prefix: string, value: object, known: readonly string[]): Fault[] =>
	Object.keys(value)
		.filter((key) => !known.includes(key))
		.map((key) => ({ path: prefix + key, message: `is no known key${didYouMean(key, known)}` }));

const partFaults = (path: string, part: unknown): Fault[] => {
	if (!isMapping(part)) return [{ path, message: `needs a kind and ratings, got ${shown(part)}` }];
	const kinds = Object.keys(KINDS);
	const { kind } = part;
	if (typeof kind !== "string" || !Object.hasOwn(KINDS, kind)) {
		const hint = typeof kind === "string" ? didYouMean(kind, kinds) : "";
		return [{ path: `${path}.kind`, message: `needs one of ${kinds.join(", ")}, got ${shown(kind)}${hint}` }];
	}
	const wanted: readonly string[] = KINDS[kind as PartKind].ratings;
	const faults = unknownKeys(`${path}.`, part, ["kind", ...wanted]);
	for (const key of wanted) {
		const value = Object.hasOwn(part, key) ? part[key] : undefined;
		if (typeof value !== "number" || !Number.isFinite(value) || value <= 0)
			faults.push({ path: `${path}.${key}`, message: `needs ${MEANING[key]}, got ${shown(value)}` });
	}
	if (faults.length > 0) return faults;
	if (kind === "fan" && Number(part.vmin) > Number(part.vmax))
		faults.push({ path: `${path}.vmin`, message: `must not be above vmax (${part.vmax}), got ${part.vmin}` });
	if (kind === "supply" && Number(part.v) > EXTRA_LOW_VOLTAGE.value)
		faults.push({
			path: `${path}.v`,
			message: `must not be above ${EXTRA_LOW_VOLTAGE.value} V: this is for extra-low direct voltage behind a plug-in adapter, never for mains; got ${part.v}`,
		});
	return faults;
};

/**
 * Makes sure that a value is a wiring whose parts have all their ratings.
 * @throws InputError with every fault; a net that joins the wrong terminals is none: `checkWiring` judges that
 */
export function readWiring(value: unknown): Wiring {
	if (!isMapping(value)) throw new InputError(`a wiring needs "parts" and "nets", got ${shown(value)}`);
	const keys = ["parts", "nets"];
	const faults: Fault[] = keys
		.filter((key) => !isMapping(value[key]))
		.map((path) => ({ path, message: `needs a mapping, got ${shown(value[path])}` }));
	faults.push(...unknownKeys("", value, keys));
	if (isMapping(value.parts))
		for (const [name, part] of Object.entries(value.parts)) faults.push(...partFaults(`parts.${name}`, part));
	if (isMapping(value.nets))
		for (const [name, pins] of Object.entries(value.nets))
			if (!Array.isArray(pins) || pins.some((pin) => typeof pin !== "string"))
				faults.push({
					path: `nets.${name}`,
					message: `needs a list of terminals such as ["SUPPLY.+", "FUSE.1"], got ${shown(pins)}`,
				});
	if (faults.length > 0) throw new InputError(faults);
	return value as unknown as Wiring;
}
