import { published } from "./published.ts";

/** What a relay timer board takes at 12 V [A]: contact energised, and waiting. */
// biome-ignore format: a record reads best on one line
export const TIMER_ON_CURRENT = published(0.05, "A", "data sheets of small relay boards at 12 V", "read", "moderate");
// biome-ignore format: a record reads best on one line
export const TIMER_STANDBY_CURRENT = published(0.02, "A", "data sheets of small relay boards at 12 V", "read", "moderate");

/** Switching operations that the contact of a small relay stands under an electrical load; the low end is the cautious figure. */
// biome-ignore format: a record reads best on one line
export const CONTACT_OPERATIONS = published(100_000, "", "relay data sheets, direct current: 1e5 at a resistive load; 3e4 is a cautious guess for motors", "judgement", "moderate", 30_000, 340_000);

/** A motor on a contact of which only the resistive rating is known: this share of it, at most the high end. */
// biome-ignore format: a record reads best on one line
export const RESISTIVE_SHARE = published(30, "%", "small relays: 7..10 A resistive but 3 A inductive", "judgement", "weak", 30, 40);

/** Currents below this do not keep a power contact clean [A]. */
// biome-ignore format: a record reads best on one line
export const MIN_CONTACT_CURRENT = published(0.1, "A", "relay data sheets: test with the real load", "read", "moderate");

/** Shortest on- or off-time: below it a contact can weld [s]. */
export const MIN_PULSE = published(0.2, "s", "pulses of 0.1 s can weld a contact", "read", "moderate");

/** Supply at which a relay surely pulls in, over its nominal voltage. */
export const PULL_IN = published(80, "%", "relay data sheets: 75..80 %", "read", "moderate", 75, 80);
