import type { NotAssessedPath } from "../../lib/rig/notassessed.ts";

/** What could not be checked without a key, and where to read or how to measure it. */
export interface NotAssessedWords {
	readonly subject: string;
	readonly measure: string;
}

const words = (subject: string, measure: string): NotAssessedWords => ({ subject, measure });

/** By the key of the file that is not given. */
export const NOT_ASSESSED: Readonly<Record<NotAssessedPath, NotAssessedWords>> = {
	"fan.curve": words(
		"the operating point of the fan, and what a clogged filter leaves",
		"flow at zero pressure and static pressure are in its data sheet",
	),
	"fan.filter": words(
		"the resistance of a filter; none is counted",
		"pressure drop and face velocity are in its data sheet; wadding has none, so measure the flow with the bag test",
	),
	"fan.duct": words(
		"the resistance of duct and openings; none is counted",
		"measure length and diameter, count the bends",
	),
	"fan.spin-up": words(
		"the on-time that a burst loses to spin-up; none is counted",
		"count bursts of two lengths: the loss is what both deliver less than flow × on-time; soft-start fans take some seconds before they turn",
	),
	"fan.duct.length": words(
		"the air in the duct, which comes first in each burst",
		"measure length and diameter",
	),
	"fan.voltage": words("voltages and the flow behind the cable", "it is on the fan's label"),
	"fan.window": words(
		"whether the fan starts at the voltage that it receives",
		"the voltage range is in the data sheet; usual 12 V fans start between 6.5 and 9 V",
	),
	"fan.current": words(
		"supply, wire, fuse, contact and energy",
		"measure it with a meter in the fan's lead; the label is often too low",
	),
	"fan.start-current": words(
		"the starting current; 1.5 times the running current is counted",
		"data sheet (locked-rotor or starting current), or a meter that keeps its highest reading",
	),
	supply: words("whether the adapter carries the fans", "voltage and current are on its label"),
	"supply.current": words("whether the adapter carries the fans", "it is on its label, behind OUTPUT"),
	wire: words(
		"the voltage drop in the cable, and which fuse protects the wire",
		"the size is printed on the jacket or the reel; measure the length one way",
	),
	"wire.ampacity": words("the current-carrying capacity of so thin a wire", "it is in the wire's data sheet"),
	fuse: words("whether the fuse fits load and wire", "it is stamped on its cap"),
	timer: words("contact, wear and power cuts", "type, contact rating and power-up are in its data sheet"),
	"timer.type": words(
		"which negative leads may be joined; a relay is assumed for the wear of the contact",
		"terminals COM, NO, NC: relay; OUT+ and OUT−: negative-switching",
	),
	"timer.contact": words(
		"whether the contact carries the fans",
		"it is printed on the relay; the figure for motors (inductive) counts",
	),
	"timer.operations": words(
		"how long the contact lasts at its own rating; 100,000 operations are counted, 30,000 cautiously",
		"it is in the relay's data sheet: electrical life",
	),
	"timer.power-up": words(
		"what happens after a power cut",
		"pull the plug for ten seconds, three times, and see whether it begins with the fan on",
	),
	wiring: words(
		"how it is really wired; the usual wiring is shown where all of its parts are given",
		"write down what each terminal is joined to",
	),
};
