import type { Model } from "../model/chamber.ts";
import type { FittedTogether, ScenarioChange } from "../scenario/edit/update.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Fit, FittedParameter } from "./fittypes.ts";

/** A scenario's spread is read as its 5 % and 95 % ends. */
const SPREAD = 1.645;

/** Changes that write what the log told back to the scenario file; what it did not tell stays as it is. */
export function changesOf(
	scenario: Scenario,
	base: Model,
	parameters: readonly FittedParameter[],
	rate: Fit["rate"],
): readonly ScenarioChange[] {
	const changes: ScenarioChange[] = [];
	const told = (name: string) =>
		parameters.find((one) => one.name === name && one.status !== "fixed" && one.told);
	const flow = told("flow");
	if (flow !== undefined && flow.value > 1e-6)
		changes.push(change("fan.flow", flow.value, flow.standardError, 3600, "m3/h"));
	const leak = told("leak");
	if (leak !== undefined)
		changes.push(
			scenario.chamber.leak.dimension === "air changes"
				? change("chamber.leak", leak.value, leak.standardError, 3600 / base.volumeM3, "/h")
				: change("chamber.leak", leak.value, leak.standardError, 3.6e6, "L/h"),
		);
	const respiration = told("respiration");
	if (respiration !== undefined && rate !== null && base.generationM3PerS > 0) {
		const factor = respiration.value / base.generationM3PerS;
		const relative = respiration.standardError! / respiration.value;
		for (const [index, item] of scenario.substrate.entries()) {
			// The log tells the rate at its own temperature; written for that one, it needs no Q10, whose spread would blur it again.
			const celsius = Number(scenario.chamber.temperature.mean.value.toFixed(2));
			const warmth = item.q10.value ** ((celsius - item.reference.value) / 10);
			// Rates that are written hold for the stage as it is, so a stage's multiplier goes into them.
			const scale = factor * item.stageFactor.value * warmth * 3.6e9;
			for (const [path, value] of item.rates === null
				? [[`substrate[${index}].rate`, item.rate.value] as const]
				: item.rates.map((row, k) => [`substrate[${index}].rates[${k}].rate`, row.rate.value] as const))
				changes.push(change(path, value, value * relative, scale, "mg/(kg h)"));
			if (warmth !== 1) changes.push({ path: `substrate[${index}].reference`, text: `${celsius} C` });
		}
	}
	const lag = told("lag");
	if (lag !== undefined) changes.push(change("sensor.response", lag.value, lag.standardError, 1, "s"));
	const offset = told("offset");
	if (offset !== undefined)
		changes.push(change("sensor.offset", offset.value, offset.standardError, 1, "ppm"));
	return changes;
}

/** Changed values that the balance hangs on, by the parameter that each comes from. */
const PARAMETER_OF = [
	[/^fan\.flow$/, "flow"],
	[/^chamber\.leak$/, "leak"],
	[/^substrate\b/, "respiration"],
	[/^fan\.spin-up$/, "spin-up loss"],
] as const;

/** How the errors of the changed values go together; null when fewer than two have any. */
export function togetherOf({
	changes,
	free,
	correlation,
}: Pick<Fit, "changes" | "free" | "correlation">): FittedTogether | null {
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
export function change(
	path: string,
	value: number,
	standardError: number | null,
	scale: number,
	unit: string,
): ScenarioChange {
	const spread = SPREAD * (standardError ?? 0);
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
