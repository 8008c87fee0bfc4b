import type { FindingOf, RigFinding } from "../../lib/rig/check.ts";
import { SOUND_SHARE } from "../../lib/sources/fans.ts";
import { FUSE_OVER_LOAD } from "../../lib/sources/fuses.ts";
import { GOOD_VOLTAGE_DROP, MAX_SUPPLY_SHARE } from "../../lib/sources/supplies.ts";
import type { Dimension } from "../../lib/units/dimensions.ts";
import { formatMonths } from "./rigwords.ts";
import type { SayValue } from "./rounding.ts";

/** What was found beside its limit. */
export interface Gauge {
	readonly found: number;
	readonly limit: number;
	/** The lower end of a sound range. */
	readonly least?: number;
	/** What was found has to reach the limit, not to keep under it. */
	readonly isMinimum: boolean;
	readonly foundWords: string;
	readonly limitWords: string;
	/** How much is left, or is missing. */
	readonly spareWords: string;
}

type Say = (value: number) => string;

function upTo(found: number, limit: number, say: Say): Gauge {
	const left = limit - found;
	return {
		found,
		limit,
		isMinimum: false,
		foundWords: say(found),
		limitWords: say(limit),
		spareWords: left >= 0 ? say(left) : `${say(-left)} over`,
	};
}

function atLeast(found: number, limit: number, say: Say): Gauge {
	const left = found - limit;
	return {
		found,
		limit,
		isMinimum: true,
		foundWords: say(found),
		limitWords: `at least ${say(limit)}`,
		spareWords: left >= 0 ? say(left) : `${say(-left)} short`,
	};
}

type GaugesOf = {
	readonly [Code in RigFinding["code"]]?: (found: FindingOf<Code>, say: SayValue) => Gauge | null;
};

const inside =
	(say: SayValue, dimension: Dimension): Say =>
	(value) =>
		say(value, dimension);

const GAUGES: GaugesOf = {
	fan(found, say) {
		if (found.outcome === "flow given" || found.outcome === "no operating point") return null;
		const { freeDeliveryShare: share } = found;
		const [low, high] = [SOUND_SHARE.low! / 100, SOUND_SHARE.high! / 100];
		const points: Say = (value) => `${Number((100 * value).toPrecision(2))} points`;
		const nearest = Math.min(share - low, high - share);
		return {
			...upTo(share, high, inside(say, "fraction")),
			least: low,
			foundWords: say(share, "fraction"),
			limitWords: `${SOUND_SHARE.low} to ${SOUND_SHARE.high} %`,
			spareWords: nearest >= 0 ? points(nearest) : `${points(-nearest)} outside`,
		};
	},
	burst: ({ onSeconds, minUsefulSeconds }, say) =>
		atLeast(onSeconds, minUsefulSeconds, inside(say, "duration")),
	ceiling: ({ cleanPpm, loadedPpm, ceilingPpm }, say) =>
		upTo(
			Math.round(Math.max(cleanPpm, loadedPpm ?? 0)),
			Math.round(ceilingPpm),
			inside(say, "concentration"),
		),
	supply: ({ loadAmps, supplyAmps }, say) =>
		upTo(loadAmps, MAX_SUPPLY_SHARE.value * supplyAmps, inside(say, "current")),
	start: ({ startingAmps, supplyAmps }, say) => upTo(startingAmps, supplyAmps, inside(say, "current")),
	wire: ({ runningAmps, ampacityA }, say) => upTo(runningAmps, ampacityA, inside(say, "current")),
	drop: ({ voltageDropShare }, say) =>
		upTo(voltageDropShare, GOOD_VOLTAGE_DROP.value / 100, inside(say, "fraction")),
	fuse({ outcome, fuseAmps, runningAmps, ampacityA }, say) {
		const amps = inside(say, "current");
		if (fuseAmps === null) return null;
		if (outcome === "below the load" || outcome === "little margin")
			return atLeast(fuseAmps, FUSE_OVER_LOAD.value * runningAmps, amps);
		return ampacityA === null ? null : upTo(fuseAmps, ampacityA, amps);
	},
	contact: ({ switchedAmps, usableAmps }, say) => upTo(switchedAmps, usableAmps, inside(say, "current")),
	"contact life": ({ months, wantedMonths }) =>
		wantedMonths === null ? null : atLeast(months, wantedMonths, formatMonths),
};

/** Found and limit of a finding that has both. */
export const gaugeOf = (found: RigFinding, say: SayValue): Gauge | null =>
	(GAUGES[found.code] as ((found: RigFinding, say: SayValue) => Gauge | null) | undefined)?.(found, say) ??
	null;
