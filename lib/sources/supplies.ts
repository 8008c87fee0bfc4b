import { published } from "./published.ts";

/** Load that a supply carries with a margin, over its rating. */
// biome-ignore format: a record reads best on one line
export const MAX_SUPPLY_SHARE = published(0.8, "", "common practice, no source: load at most 80 % of the rating", "read", "moderate");

/** Supply against nominal voltage of fan and timer: always within the value, usually still within the high end. */
// biome-ignore format: a record reads best on one line
export const VOLTAGE_MATCH = published(5, "%", "regulated adapters: 5 % always, 10 % usually", "read", "moderate", 5, 10);
/** Beyond this a timer is taken to be of another voltage. */
export const VOLTAGE_MISMATCH = published(15, "%", "timer board of another voltage", "judgement", "weak");

/** Limits of a class 2 circuit, in which wiring rules are lenient. */
export const CLASS_2_VOLTAGE = published(30, "V", "NEC article 725, UL 1310 class 2", "read", "moderate");
// biome-ignore format: a record reads best on one line
export const CLASS_2_POWER = published(100, "W", "NEC article 725, UL 1310 class 2: 100 VA", "read", "moderate");
/** Above this direct voltage nothing here holds. */
export const EXTRA_LOW_VOLTAGE = published(60, "V", "extra-low direct voltage", "from memory", "moderate");

/** Voltage lost on the way to the fan, over that of the supply: good, and the limit. */
export const GOOD_VOLTAGE_DROP = published(3, "%", "common practice, no source", "judgement", "weak");
export const MAX_VOLTAGE_DROP = published(5, "%", "common practice, no source", "judgement", "weak");
/** Voltage left at the start, of nominal, under which relays drop out and a timer resets. */
// biome-ignore format: a record reads best on one line
export const MIN_START_VOLTAGE = published(75, "%", "low end of the pull-in voltage of relay data sheets, 75..80 %", "judgement", "weak");
