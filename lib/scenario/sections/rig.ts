import { FILTERS } from "../../sources/airpath.ts";
import { STARTING_CURRENT_FACTOR } from "../../sources/fans.ts";
import { TIMER_ON_CURRENT, TIMER_STANDBY_CURRENT } from "../../sources/timers.ts";
import { formatQuantity } from "../../units/format.ts";
import { assumedQuantity, chosenQuantity, type Located, publishedDefault, zeroQuantity } from "../origins.ts";
import type { FanTrain, Quantity, Scenario } from "../scenario.ts";
import type { Sections } from "../schema.ts";
import type { SourceDocument } from "../text/document.ts";
import { DEFAULT_DIGITS } from "./timer.ts";

type Given<Key extends keyof Sections> = Located<Sections[Key]>;

function defaultStartingCurrent(current: Quantity | undefined): Quantity | null {
	if (current === undefined) return null;
	const factor = STARTING_CURRENT_FACTOR;
	const value = current.value * factor.value;
	const source = `${factor.value} times the running current; ${factor.source} [${factor.provenance}]`;
	return assumedQuantity(value, "current", formatQuantity(value, "current"), source, factor.evidence);
}

const CLEAN_PRESSURE_DROP_RATIO = assumedQuantity(1, "number", "1", "clean", "moderate");

function buildFilter(filter: Exclude<Given<"fan">["filter"], undefined>): FanTrain["filter"] {
	const { kind, drop, at, area } = filter;
	const pressureDropRatio = filter.load ?? CLEAN_PRESSURE_DROP_RATIO;
	if (kind !== undefined) {
		const rating = FILTERS[kind];
		return {
			drop: publishedDefault(rating.drop, "pressure"),
			at: publishedDefault(rating.faceVelocity, "velocity"),
			area: area ?? null,
			pressureDropRatio,
		};
	}
	if (drop === undefined || at === undefined) throw new Error("a filter without a drop got past its schema");
	return { drop, at, area: area ?? null, pressureDropRatio };
}

function buildCurve(curve: Given<"fan">["curve"]): FanTrain["curve"] {
	if (curve === undefined) return null;
	const { points, shape, "free-flow": freeDelivery, "shut-off": shutOff } = curve;
	if (points !== undefined) return { shape: "points", points };
	if (freeDelivery === undefined || shutOff === undefined)
		throw new Error("a curve without ends got past its schema");
	return { shape: shape ?? "linear", freeDelivery, shutOff };
}

function buildFanTrain(fan: Given<"fan">): FanTrain {
	const { duct } = fan;
	return {
		curve: buildCurve(fan.curve),
		count: fan.count ?? 1,
		arrangement: fan.arrangement ?? "parallel",
		voltage: fan.voltage ?? null,
		voltageRange: fan.window ?? null,
		current: fan.current ?? null,
		startingCurrent: fan["start-current"] ?? defaultStartingCurrent(fan.current),
		filter: fan.filter === undefined ? null : buildFilter(fan.filter),
		duct:
			duct === undefined
				? null
				: {
						length: duct.length,
						diameter: duct.diameter,
						bends: duct.bends ?? 0,
						kind: duct.kind ?? "flexible",
						volume: duct.volume ?? null,
					},
		vent: fan.vent ?? null,
		flap: fan.flap ?? null,
	};
}

/** The netlist as it stands, with the place of each part, rating and net. */
export function buildWiring(source: SourceDocument, wiring: Sections["wiring"]): Scenario["wiring"] {
	if (wiring === undefined) return null;
	const { parts, nets } = wiring;
	const ratings = Object.entries(parts).flatMap(([name, part]) =>
		Object.keys(part).map((key) => [name, key]),
	);
	const paths = [
		...[...Object.keys(parts).map((name) => [name]), ...ratings].map((path) => ["parts", ...path]),
		...Object.keys(nets).map((name) => ["nets", name]),
	];
	const places = paths.map((path) => [path.join("."), source.valueAt(["wiring", ...path])] as const);
	return { parts, nets, places: Object.fromEntries(places) };
}

/** Fan, supply, wire, fuse and wiring. */
export function buildRig(
	sections: { readonly [Key in "fan" | "supply" | "wire" | "fuse"]: Given<Key> },
	wiring: Scenario["wiring"],
): Pick<Scenario, "fan" | "supply" | "wire" | "fuse" | "wiring"> {
	const { fan, supply, wire, fuse } = sections;
	const train = buildFanTrain(fan);
	const adapter =
		supply === undefined
			? null
			: { voltage: supply.voltage, current: supply.current ?? null, rigs: supply.rigs ?? 1 };
	const cable =
		wire === undefined
			? null
			: {
					size: wire.gauge,
					length: wire.length,
					isBundled: wire.bundled ?? false,
					ampacity: wire.ampacity ?? null,
				};
	return {
		fan: {
			flow: fan.flow ?? null,
			spinUp: fan["spin-up"] ?? zeroQuantity("duration", "speeds up at once"),
			coastDown: fan["coast-down"] ?? zeroQuantity("duration", "stops at once"),
			...train,
		},
		supply: adapter,
		wire: cable,
		fuse: fuse ?? null,
		wiring,
	};
}

/** The timer with what is left out. */
export function buildTimer(timer: Exclude<Given<"timer">, undefined>): Exclude<Scenario["timer"], null> {
	return {
		ranges: timer.ranges,
		isShared: timer.shared ?? false,
		digits: timer.digits ?? DEFAULT_DIGITS,
		powerUp: timer["power-up"] ?? null,
		type: timer.type ?? null,
		voltage: timer.voltage ?? null,
		current: timer.current ?? chosenQuantity(TIMER_ON_CURRENT, "current"),
		standbyCurrent: timer.waiting ?? chosenQuantity(TIMER_STANDBY_CURRENT, "current"),
		contactRating: timer.contact ?? null,
		resistiveRating: timer.resistive ?? null,
		ratedOperations: timer.operations ?? null,
	};
}
