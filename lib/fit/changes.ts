import { freeVolumeM3 } from "../model/build.ts";
import { power } from "../power.ts";
import type { ChangeCorrelations, ScenarioChange } from "../scenario/edit/update.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Fit, FitName, FittedParameter } from "./fittypes.ts";

/** A scenario's spread is read as its 5 % and 95 % ends. */
const Z_RANGE = 1.645;

/**
 * Changes that write what the log told back to the scenario file; what it did not tell stays as it is.
 * @param celsius mean temperature of the log, for which the rate is written [°C]
 * @param given what was fixed by the options: it is written as well, without an error of its own
 */
export function listChanges(
	scenario: Scenario,
	parameters: readonly FittedParameter[],
	rate: Fit["respirationRate"],
	celsius: number,
	given: Given,
): readonly ScenarioChange[] {
	const changes: ScenarioChange[] = [];
	const identifiable = (name: FitName) =>
		parameters.find(
			(one) =>
				one.name === name && (one.status === "fixed" ? given.names.includes(name) : one.isIdentifiable),
		);
	const add = (of: FittedParameter, change: ScenarioChange): void => {
		changes.push(of.status === "fixed" ? { ...change, isGiven: true } : change);
	};
	const flow = identifiable("flow");
	if (flow !== undefined && flow.value > 1e-6)
		add(flow, writeChange("fan.flow", flow.value, flow.standardError, 3600, "m3/h"));
	const leak = identifiable("leak");
	if (leak !== undefined)
		add(
			leak,
			scenario.chamber.leak.dimension === "air changes"
				? writeChange("chamber.leak", leak.value, leak.standardError, 3600 / freeVolumeM3(scenario), "/h")
				: writeChange("chamber.leak", leak.value, leak.standardError, 3.6e6, "L/h"),
		);
	const generation = identifiable("generation");
	const isRateGiven = generation?.status === "fixed";
	if (generation !== undefined && (rate !== null || isRateGiven)) {
		// What the scenario has for the same hours is where the search started.
		const factor = generation.value / (isRateGiven ? given.assumedM3PerS : generation.initial);
		const relative = (generation.standardError ?? 0) / generation.value;
		for (const [index, item] of scenario.substrate.entries()) {
			// The log tells the rate at its own temperature; written for that one, it needs no Q10, whose spread would blur it again.
			const reference = isRateGiven ? item.reference.value : Number(celsius.toFixed(2));
			const warmth = power(item.q10.value, (reference - item.reference.value) / 10);
			// Rates that are written hold for the stage as it is, so a stage's multiplier goes into them.
			const scale = factor * item.stageFactor.value * warmth * 3.6e9;
			for (const [path, value] of item.rates === null
				? [[`substrate[${index}].rate`, item.respirationRate.value] as const]
				: item.rates.map(
						(row, k) => [`substrate[${index}].rates[${k}].rate`, row.respirationRate.value] as const,
					))
				add(generation, writeChange(path, value, value * relative, scale, "mg/(kg h)"));
			if (warmth !== 1) add(generation, { path: `substrate[${index}].reference`, text: `${reference} C` });
		}
	}
	const response = identifiable("response");
	if (response !== undefined)
		add(response, writeChange("sensor.response", response.value, response.standardError, 1, "s"));
	const offset = identifiable("offset");
	if (offset !== undefined)
		add(offset, writeChange("sensor.offset", offset.value, offset.standardError, 1, "ppm"));
	return changes;
}

/** Values that the options fixed, and the CO2 output that the scenario has for the log [m3/s]. */
export interface Given {
	readonly names: readonly string[];
	readonly assumedM3PerS: number;
}

/** Changed values that the balance hangs on, by the parameter that each comes from. */
const PARAMETER_OF = [
	[/^fan\.flow$/, "flow"],
	[/^chamber\.leak$/, "leak"],
	[/^substrate\b/, "generation"],
	[/^fan\.spin-up$/, "lost on-time"],
] as const;

/** How the errors of the changed values go together; null when fewer than two have any. */
export function findChangeCorrelations({
	changes,
	free,
	correlation,
}: Pick<Fit, "changes" | "free" | "correlation">): ChangeCorrelations | null {
	const known = changes.flatMap(({ path, text }) => {
		const name = PARAMETER_OF.find(([start]) => start.test(path))?.[1];
		const place = name === undefined || !text.includes("±") ? -1 : free.indexOf(name);
		return place < 0 ? [] : [{ path, place }];
	});
	if (known.length < 2) return null;
	return {
		between: known.map(({ path }) => path),
		// Rates that one factor scaled are one and the same unknown.
		matrix: known.map((a) => known.map((b) => (a.place === b.place ? 1 : correlation[a.place]![b.place]!))),
	};
}

/** `63.2 m3/h ±1.4 %`; an offset, which may be 0 or less, as `-12 ppm ±4 ppm`. */
export function writeChange(
	path: string,
	value: number,
	standardError: number | null,
	scale: number,
	unit: string,
): ScenarioChange {
	const spread = Z_RANGE * (standardError ?? 0);
	const inUnit = value * scale;
	const error = spread * scale;
	const digits = error > 0 ? Math.min(Math.max(1 - Math.floor(Math.log10(error)), 0), 9) : 6;
	const number = Number(inUnit.toFixed(digits));
	if (!(error > 0)) return { path, text: `${number} ${unit}` };
	if (unit === "ppm") return { path, text: `${number} ppm ±${Number(error.toPrecision(2))} ppm` };
	if (!(number > 0)) return { path, text: `0 ${unit}` };
	// What cannot be negative must not have a spread that says so.
	const percent = Math.min((100 * spread) / value, 99);
	return { path, text: `${number} ${unit} ±${Number(percent.toPrecision(2))} %` };
}
