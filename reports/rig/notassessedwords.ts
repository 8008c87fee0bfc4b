import type { NotAssessedPath } from "../../lib/rig/rigtypes.ts";

/** What could not be checked without a key, and where to read or how to measure it. */
export interface NotAssessedWords {
	readonly subject: string;
	readonly measure: string;
}

/** By the key of the file that is not given. */
export const NOT_ASSESSED: Readonly<Record<NotAssessedPath, NotAssessedWords>> = {
	"fan.curve": {
		subject: "the operating point of the fan, and what a clogged filter leaves",
		measure: "flow at zero pressure and static pressure are in its data sheet",
	},
	"fan.filter": {
		subject: "the resistance of a filter; none is counted",
		measure:
			"pressure drop and face velocity are in its data sheet; wadding has none, so measure the flow with the bag test",
	},
	"fan.duct": {
		subject: "the resistance of duct and openings; none is counted",
		measure: "measure length and diameter, count the bends",
	},
	"fan.spin-up": {
		subject: "the on-time that a burst loses to spin-up; none is counted",
		measure:
			"count bursts of two lengths: the loss is what both deliver less than flow × on-time; soft-start fans take some seconds before they turn",
	},
	"fan.duct.length": {
		subject: "the air in the duct, which comes first in each burst",
		measure: "measure length and diameter",
	},
	"fan.voltage": {
		subject: "voltages and the flow behind the cable",
		measure: "it is on the fan's label",
	},
	"fan.window": {
		subject: "whether the fan starts at the voltage that it receives",
		measure: "the voltage range is in the data sheet; usual 12 V fans start between 6.5 and 9 V",
	},
	"fan.current": {
		subject: "supply, wire, fuse, contact and energy",
		measure: "measure it with a meter in the fan's lead; the label is often too low",
	},
	"fan.start-current": {
		subject: "the starting current; 1.5 times the running current is counted",
		measure: "data sheet (locked-rotor or starting current), or a meter that keeps its highest reading",
	},
	supply: {
		subject: "whether the adapter carries the fans",
		measure: "voltage and current are on its label",
	},
	"supply.current": {
		subject: "whether the adapter carries the fans",
		measure: "it is on its label, behind OUTPUT",
	},
	wire: {
		subject: "the voltage drop in the cable, and which fuse protects the wire",
		measure: "the size is printed on the jacket or the reel; measure the length one way",
	},
	"wire.ampacity": {
		subject: "the current-carrying capacity of so thin a wire",
		measure: "it is in the wire's data sheet",
	},
	fuse: { subject: "whether the fuse fits load and wire", measure: "it is stamped on its cap" },
	timer: {
		subject: "contact, wear and power cuts",
		measure: "type, contact rating and power-up are in its data sheet",
	},
	"timer.type": {
		subject: "which negative leads may be joined; a relay is assumed for the wear of the contact",
		measure: "terminals COM, NO, NC: relay; OUT+ and OUT−: negative-switching",
	},
	"timer.contact": {
		subject: "whether the contact carries the fans",
		measure: "it is printed on the relay; the figure for motors (inductive) counts",
	},
	"timer.operations": {
		subject:
			"how long the contact lasts at its own rating; 100,000 operations are counted, 30,000 cautiously",
		measure: "it is in the relay's data sheet: electrical life",
	},
	"timer.power-up": {
		subject: "what happens after a power cut",
		measure: "pull the plug for ten seconds, three times, and see whether it begins with the fan on",
	},
	wiring: {
		subject: "how it is really wired; the usual wiring is shown where all of its parts are given",
		measure: "write down what each terminal is joined to",
	},
};
