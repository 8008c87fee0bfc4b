import type { Scenario } from "../scenario/scenario.ts";
import { ampacityOfWireA } from "./power/wire.ts";
import type { NotAssessedPath } from "./rigtypes.ts";

/** Keys that the file does not give, each of which leaves something unchecked. */
export function listNotAssessed({ fan, supply, wire, fuse, timer, wiring }: Scenario): NotAssessedPath[] {
	const rows: readonly (readonly [missing: boolean, path: NotAssessedPath])[] = [
		[fan.curve === null, "fan.curve"],
		[fan.curve !== null && fan.filter === null, "fan.filter"],
		[fan.curve !== null && fan.duct === null && fan.vent === null, "fan.duct"],
		[fan.spinUp.origin.kind === "default", "fan.spin-up"],
		[fan.duct === null, "fan.duct.length"],
		[fan.voltage === null, "fan.voltage"],
		[fan.voltageRange === null, "fan.window"],
		[fan.current === null, "fan.current"],
		[fan.startingCurrent?.origin.kind === "default", "fan.start-current"],
		[supply === null, "supply"],
		[supply !== null && supply.current === null, "supply.current"],
		[wire === null, "wire"],
		[wire !== null && ampacityOfWireA(wire) === null, "wire.ampacity"],
		[fuse === null, "fuse"],
		[timer === null, "timer"],
		[timer !== null && timer.type === null, "timer.type"],
		[timer !== null && timer.contactRating === null && timer.resistiveRating === null, "timer.contact"],
		[
			timer !== null && timer.ratedOperations === null && timer.type !== "negative-switching",
			"timer.operations",
		],
		[timer !== null && timer.powerUp === null, "timer.power-up"],
		[wiring === null, "wiring"],
	];
	return rows.flatMap(([missing, path]) => (missing ? [path] : []));
}
