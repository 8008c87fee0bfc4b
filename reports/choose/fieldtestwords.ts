import type { FieldTest } from "../../lib/choose/choosetypes.ts";

const FIELD_TESTS: Readonly<Record<FieldTest, string>> = {
	"rise test": "rise test: long purge, fan off, log the rise for 15 to 60 min, day and night",
	"delivered flow": "bag test through the real filter and duct, or counted bursts with a logger",
	"bursts of two lengths":
		"counted bursts of two lengths: the difference shows the on-time lost to spin-up, less what coast-down adds",
	"leak test": "leak test: dose CO₂ in the empty chamber, fan off, log the decay for 1 to 3 h",
	"counted bursts": "counted bursts: compare the share of air replaced with what the flow predicts",
	"log in two places": "log in two places at once through several bursts",
	"inside dimensions": "measure the inside, and subtract the substrate",
	"temperature log": "log the temperature at crop height for a day",
	"intake log": "log the intake air for a day, with people about as usual",
	weighing: "weigh and measure the blocks",
	measurement: "measure it",
};

/** The field test that narrows an input. */
export const fieldTestWords = (test: FieldTest): string => FIELD_TESTS[test];
