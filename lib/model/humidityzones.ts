import { zonesOfChamber } from "./chamberzones.ts";
import type { Humidity } from "./humidity.ts";
import type { Relay, SwitchedZones } from "./relays.ts";
import type { Schedule } from "./schedule/schedule.ts";
import { makeTimeline, type Timeline } from "./schedule/timeline.ts";
import type { Actuator } from "./zones.ts";

/** On for so long after each burst of a fan. */
export function afterBursts(fan: Timeline, seconds: number): Timeline {
	const { segments, periodSeconds, repeatSeconds } = fan;
	const repeats = repeatSeconds < Number.POSITIVE_INFINITY;
	const ends = segments
		.map(({ startSeconds, isOn }, i) => ({
			startSeconds,
			isOn,
			before: (segments[i - 1] ?? segments.at(-1)!).isOn,
		}))
		.filter(({ isOn, before }, i) => !isOn && before && (repeats || i > 0))
		.map(({ startSeconds }) => startSeconds);
	if (ends.length === 0) return makeTimeline({ kind: "off" });
	// Over the end of a period; where one is on until the next begins, it goes on.
	const spans = ends
		.flatMap((from) => [from, ...(repeats && from + seconds > repeatSeconds ? [from - repeatSeconds] : [])])
		.sort((a, b) => a - b);
	const made: { startSeconds: number; durationSeconds: number; isOn: boolean }[] = [];
	let at = 0;
	const put = (to: number, isOn: boolean) => {
		if (to > at) made.push({ startSeconds: at, durationSeconds: to - at, isOn });
		at = Math.max(at, to);
	};
	for (const from of spans) {
		put(Math.min(from, repeatSeconds), false);
		put(Math.min(from + seconds, repeatSeconds), true);
	}
	put(repeatSeconds, false);
	return { kind: "timeline", segments: made, repeatSeconds, periodSeconds };
}

/** The chamber's water in zones, with what the humidifier does and what condenses; levels in % RH. */
export function humidityZones(humidity: Humidity, schedule: Schedule | Timeline): SwitchedZones {
	const { model, saturationGPerM3, dryShare, outputGPerS, wallPercent, wallM3PerS, control } = humidity;
	const fan = makeTimeline(schedule);
	const base = zonesOfChamber(model, fan);
	const volumeM3 = base.zones.reduce((sum, zone) => sum + zone.volumeM3, 0);
	const stores = base.zones.map((zone) => ({
		zone: zone.name,
		saturation: 100,
		surface: Math.min(wallPercent, 100),
		m3PerS: (wallM3PerS * zone.volumeM3) / volumeM3,
	}));
	if (control === null || outputGPerS === 0) return { ...base, stores };
	const name = "humidifier";
	const runs: Schedule | Timeline =
		control.kind === "clock"
			? { kind: "cycle", onSeconds: control.onSeconds, offSeconds: control.offSeconds }
			: control.kind === "after burst"
				? afterBursts(fan, control.seconds)
				: { kind: "off" };
	const mist: Actuator = { name, schedule: runs };
	const relays: Relay[] =
		control.kind === "hygrostat"
			? [
					{
						actuator: name,
						of: base.zones[0]!.name,
						on: 100 * control.below.value,
						off: 100 * control.until.value,
						delaySeconds: control.delaySeconds,
					},
				]
			: [];
	return {
		...base,
		actuators: [...(base.actuators ?? []), mist],
		sources: [
			...(base.sources ?? []),
			{ zone: base.zones[0]!.name, perS: (100 * dryShare * outputGPerS) / saturationGPerM3, by: name },
		],
		stores,
		relays,
	};
}
