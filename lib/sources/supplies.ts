import { figure } from "./published.ts";

/** Load that a supply carries with a margin, over its rating. */
export const SUPPLY_SHARE = figure(
	0.8,
	"",
	"common practice, no source: load at most 80 % of the rating",
	"read",
	"medium",
);

/** Supply against nominal voltage of fan and timer: always within the value, usually still within the high end. */
export const VOLTAGE_MATCH = figure(
	5,
	"%",
	"regulated adapters: 5 % always, 10 % usually",
	"read",
	"medium",
	5,
	10,
);
/** Beyond this a timer is taken to be of another voltage. */
export const VOLTAGE_MISMATCH = figure(15, "%", "timer board of another voltage", "judgement", "soft");

/** Limits of a class 2 circuit, in which wiring rules are lenient. */
export const CLASS_2_VOLTAGE = figure(30, "V", "NEC article 725, UL 1310 class 2", "read", "medium");
export const CLASS_2_POWER = figure(100, "W", "NEC article 725, UL 1310 class 2: 100 VA", "read", "medium");
/** Above this direct voltage nothing here holds. */
export const EXTRA_LOW_VOLTAGE = figure(60, "V", "extra-low direct voltage", "from memory", "medium");

/** Voltage lost on the way to the fan, over that of the supply: good, and the limit. */
export const GOOD_DROP = figure(3, "%", "common practice, no source", "judgement", "soft");
export const MOST_DROP = figure(5, "%", "common practice, no source", "judgement", "soft");
/** Voltage left at the start, of nominal, under which relays drop out and a timer resets. */
export const LEAST_START = figure(
	75,
	"%",
	"low end of the pull-in voltage of relay data sheets, 75..80 %",
	"judgement",
	"soft",
);
