/** Lengths of time [s]. */
export const MINUTE = 60;
export const HOUR = 3600;
export const DAY = 86_400;
export const WEEK = 7 * DAY;
/** The mean one of 30.44 days. */
export const MONTH = 2_630_016;

declare const clock: unique symbol;

/**
 * Time by the clock that schedules and sources go by [s]: since the midnight before the first moment of a run, so that 90,000 is
 * 01:00 of the second day. It runs on without a jump: a day is 86,400 s long where the clocks of a zone change, too, for neither the
 * sun nor a timer hears of that.
 *
 * A time since the first moment of a run or a log is a plain number; it must be brought to this clock before a source can be
 * asked for it, and the compiler sees to that.
 */
export type SecondsSinceMidnight = number & { readonly [clock]: "seconds since midnight" };

/** A time that is counted from midnight already: 43,200 is noon of the first day. */
export const sinceMidnight = (seconds: number): SecondsSinceMidnight => seconds as SecondsSinceMidnight;

/** Time of day [s after midnight, below 86,400]. */
export const timeOfDay = (seconds: number): number => ((seconds % DAY) + DAY) % DAY;

/** Midnight itself, where runs begin that nobody says more of. */
export const MIDNIGHT = sinceMidnight(0);
