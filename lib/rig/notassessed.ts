import type { Scenario } from "../scenario/scenario.ts";
import { mainsParts } from "./power/mains.ts";
import { ampacityOfWireA } from "./power/wire.ts";

/** Key of the file that is not given, so that something was not checked. */
export type NotAssessedPath = keyof ReturnType<typeof missingKeys>;

const missingKeys = ({ fan, supply, wire, fuse, timer, wiring }: Scenario) => ({
	"fan.curve": fan.curve === null,
	"fan.filter": fan.curve !== null && fan.filter === null,
	"fan.duct": fan.curve !== null && fan.duct === null && fan.vent === null,
	"fan.spin-up": fan.spinUp.origin.kind === "default",
	"fan.duct.length": fan.duct === null,
	"fan.voltage": fan.voltage === null,
	"fan.window": fan.voltageRange === null,
	"fan.current": fan.current === null,
	"fan.start-current": fan.startingCurrent?.origin.kind === "default",
	supply: supply === null,
	"supply.current": supply?.current === null,
	wire: wire === null,
	"wire.ampacity": wire !== null && ampacityOfWireA(wire) === null,
	fuse: fuse === null,
	timer: timer === null,
	"timer.type": timer?.type === null,
	"timer.contact": timer?.contactRating === null && timer.resistiveRating === null,
	"timer.operations": timer?.ratedOperations === null && timer.type !== "negative-switching",
	"timer.power-up": timer?.powerUp === null,
	wiring: wiring === null,
});

/** What is asked for where nothing electrical is checked. */
const BESIDE_MAINS = /^fan\.(curve|filter|duct|spin-up|duct\.length)$|^timer$|^timer\.(operations|power-up)$/;

/** Keys that the file does not give, each of which leaves something unchecked. */
export const listNotAssessed = (scenario: Scenario): NotAssessedPath[] =>
	Object.entries(missingKeys(scenario)).flatMap(([path, isMissing]) =>
		isMissing && (mainsParts(scenario).length === 0 || BESIDE_MAINS.test(path))
			? [path as NotAssessedPath]
			: [],
	);
