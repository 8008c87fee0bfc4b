import type { Scenario } from "../scenario/scenario.ts";
import { ampacityOfWireA } from "./power/wire.ts";
import type { NotAssessed } from "./rigtypes.ts";

/** What the file does not give, what could not be checked without it, and how to come by it. */
export function listNotAssessed({ fan, supply, wire, fuse, timer, wiring }: Scenario): NotAssessed[] {
	const rows: (readonly [missing: boolean, path: string, subject: string, measure: string])[] = [
		[
			fan.curve === null,
			"fan.curve",
			"where the fan works on its curve, and what a clogged filter leaves",
			"free flow and static pressure are in its data sheet",
		],
		[
			fan.curve !== null && fan.filter === null,
			"fan.filter",
			"what a filter takes of the flow; none is counted",
			"pressure drop and face velocity are in its data sheet; of wadding nothing is, so measure the flow with the bag test",
		],
		[
			fan.curve !== null && fan.duct === null && fan.vent === null,
			"fan.duct",
			"what duct and openings take of the flow; none is counted",
			"measure length and diameter, count the bends",
		],
		[
			fan.spinUp.origin.kind === "default",
			"fan.spin-up",
			"what speeding up costs of a burst; nothing is counted",
			"count bursts of two lengths: the loss is what the air of both has less than its seconds promise; soft-start fans take some seconds before they turn",
		],
		[
			fan.duct === null,
			"fan.duct.length",
			"the air in the duct, which comes first in each burst",
			"measure length and diameter",
		],
		[
			fan.voltage === null,
			"fan.voltage",
			"voltages and the flow behind the cable",
			"it is on the fan's label",
		],
		[
			fan.voltageRange === null,
			"fan.window",
			"whether the fan starts at the voltage that reaches it",
			"it is in the data sheet; usual 12 V fans start between 6.5 and 9 V",
		],
		[
			fan.current === null,
			"fan.current",
			"supply, wire, fuse, contact and energy",
			"measure it with a meter in the fan's lead; the label is often too low",
		],
		[
			fan.startingCurrent?.origin.kind === "default",
			"fan.start-current",
			"the true current at the start; 1.5 times the running current is counted",
			"data sheet (locked-rotor or starting current), or a meter that holds its highest reading",
		],
		[
			supply === null,
			"supply",
			"whether the adapter carries the fans",
			"voltage and current are on its label",
		],
		[
			supply !== null && supply.current === null,
			"supply.current",
			"whether the adapter carries the fans",
			"it is on its label, behind OUTPUT",
		],
		[
			wire === null,
			"wire",
			"the voltage lost on the way, and which fuse protects the wire",
			"the size is printed on the jacket or the reel; measure the length one way",
		],
		[
			wire !== null && ampacityOfWireA(wire) === null,
			"wire.ampacity",
			"what so thin a wire may carry",
			"it is in the wire's data sheet",
		],
		[fuse === null, "fuse", "whether the fuse fits load and wire", "it is stamped on its cap"],
		[
			timer === null,
			"timer",
			"contact, wear, power cuts",
			"type, contact rating and power-up are in its data sheet",
		],
		[
			timer !== null && timer.type === null,
			"timer.type",
			"which negatives may be joined; a relay is taken for the wear of the contact",
			"terminals COM, NO, NC: relay; OUT+ and OUT-: negative-switching",
		],
		[
			timer !== null && timer.contactRating === null && timer.resistiveRating === null,
			"timer.contact",
			"whether the contact bears the fans",
			"it is printed on the relay; the figure for motors (inductive) counts",
		],
		[
			timer !== null && timer.ratedOperations === null && timer.type !== "negative-switching",
			"timer.operations",
			"how long the contact lasts at its own rating; 100000 operations are counted, 30000 cautiously",
			"it is in the relay's data sheet: electrical life",
		],
		[
			timer !== null && timer.powerUp === null,
			"timer.power-up",
			"what happens after a power cut",
			"pull the plug for ten seconds, three times, and see whether it begins with the fan on",
		],
		[
			wiring === null,
			"wiring",
			"how it is really wired; the usual wiring is shown where all of its parts are given",
			"write down what each terminal is joined to",
		],
	];
	return rows
		.filter(([missing]) => missing)
		.map(([, path, subject, measure]) => ({ path, subject, measure }));
}
