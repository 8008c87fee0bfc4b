import { published } from "./published.ts";

/** Density of the air for which fan curves are printed [kg/m3]. */
// biome-ignore format: a record reads best on one line
export const STANDARD_AIR_DENSITY = published(1.2, "kg/m3", "standard air of fan catalogues", "from memory", "moderate");

/** Start current over running current where the data sheet gives none; fans without a limiter reach 2 to 3. */
// biome-ignore format: a record reads best on one line
export const STARTING_CURRENT_FACTOR = published(1.5, "", "allowance unless the data sheet says otherwise; 2..3 for fans without a limiter (from memory)", "judgement", "weak", 1, 3);

/** Sound part of a fan curve, as delivered flow over free flow; the value is its middle. */
// biome-ignore format: a record reads best on one line
export const SOUND_SHARE = published(50, "%", "ventilation handbook: middle of the curve", "read", "moderate", 30, 70);

/** Shortest burst that is worth its start: so long, and so many time constants of the spin-up. Below it only a bag or decay test tells the air. */
// biome-ignore format: a record reads best on one line
export const MIN_USEFUL_BURST = published(3, "s", "useful burst: common practice, no source", "judgement", "weak");
// biome-ignore format: a record reads best on one line
export const MIN_USEFUL_SPIN_UPS = published(5, "", "useful burst, in time constants of the spin-up", "judgement", "weak");
