import { fanVolts, findFanOperation, flowConditionsOf } from "../../model/fan/deliveredflow.ts";
import type { Scenario } from "../../scenario/scenario.ts";

/** Places of the table, each way: between them the flow is a straight line to a thousandth. */
const PLACES = 17;

/**
 * What a filter of another load and another voltage do to the delivered flow, as a factor: from fan curve and path where they are
 * known, else, of the voltage, in proportion, as the affinity laws have it.
 */
export function makeFlowRatio(scenario: Scenario): (filterLoad: number, voltageFactor: number) => number {
	const { fan, supply, disturbances } = scenario;
	const spanOf = (key: string) => disturbances.find((one) => one.key === key)?.quantity;
	const [load, voltage] = [spanOf("filter"), spanOf("voltage")];
	if (fan.curve === null) return (_, voltageFactor) => (supply === null ? 1 : voltageFactor);
	if (load === undefined && voltage === undefined) return () => 1;
	const conditions = flowConditionsOf(scenario);
	const volts = fanVolts(conditions)?.volts;
	const central = fan.filter?.pressureDropRatio.value ?? 1;
	const flowAt = (filterLoad: number, voltageFactor: number): number => {
		const { filter } = fan;
		const loaded =
			filter === null
				? fan
				: {
						...fan,
						filter: { ...filter, pressureDropRatio: { ...filter.pressureDropRatio, value: filterLoad } },
					};
		const reaching = volts === undefined ? undefined : volts * voltageFactor;
		const point = findFanOperation({ ...conditions, fan: loaded }, "central", reaching)?.operatingPoint;
		return point?.exists === true ? point.flowM3PerS : 0;
	};
	const clean = flowAt(central, 1);
	if (clean === 0) return () => 1;
	// Normal draws go beyond their ends.
	const span = (low: number, high: number, spread: number) => [
		low - spread * (high - low),
		high + spread * (high - low),
	];
	const [fromLoad, toLoad] = span(
		load?.low ?? central,
		load?.high ?? central,
		load?.distribution === "uniform" ? 0 : 1,
	);
	const [fromVolts, toVolts] = span(voltage?.low ?? 1, voltage?.high ?? 1, 1);
	const at = (from: number, to: number, i: number) => from + ((to - from) * i) / (PLACES - 1);
	const table = Array.from({ length: PLACES }, (_, i) =>
		Array.from(
			{ length: PLACES },
			(_, j) => flowAt(Math.max(at(fromLoad!, toLoad!, i), 0), at(fromVolts!, toVolts!, j)) / clean,
		),
	);
	const place = (x: number, from: number, to: number) => {
		const along = to > from ? Math.min(Math.max((x - from) / (to - from), 0), 1) * (PLACES - 1) : 0;
		const below = Math.min(Math.floor(along), PLACES - 2);
		return [below, along - below] as const;
	};
	return (filterLoad, voltageFactor) => {
		const [i, u] = place(filterLoad, fromLoad!, toLoad!);
		const [j, v] = place(voltageFactor, fromVolts!, toVolts!);
		const row = (k: number) => table[k]![j]! * (1 - v) + table[k]![j + 1]! * v;
		return row(i) * (1 - u) + row(i + 1) * u;
	};
}
