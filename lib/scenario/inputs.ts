import type { InputRow, Quantity, Scenario } from "./scenario.ts";

type InputEntry = readonly [path: string, label: string, quantity: Quantity | null];

/** What the flow of a fan is worked out from, and what the rig is judged by. */
function* rigInputs({ fan, supply, wire, fuse }: Scenario): Generator<InputEntry> {
	const { curve, filter, duct } = fan;
	if (curve !== null && curve.shape === "points") {
		for (const [index, { flow, pressure }] of curve.points.entries()) {
			yield [`fan.curve.points[${index}].flow`, `fan curve, flow of point ${index + 1}`, flow];
			yield [`fan.curve.points[${index}].pressure`, `fan curve, pressure of point ${index + 1}`, pressure];
		}
	} else if (curve !== null) {
		yield ["fan.curve.free-flow", "catalogue flow of one fan", curve.freeDelivery];
		yield ["fan.curve.shut-off", "catalogue pressure of one fan", curve.shutOff];
	}
	yield ["fan.voltage", "rated voltage of the fan", fan.voltage];
	yield ["fan.current", "running current of one fan", fan.current];
	yield ["fan.start-current", "current of one fan while it starts", fan.startingCurrent];
	if (filter !== null) {
		yield ["fan.filter.drop", "pressure drop of the clean filter", filter.drop];
		const kind = filter.at.dimension === "flow" ? "flow" : "face velocity";
		yield ["fan.filter.at", `${kind} of that drop`, filter.at];
		yield ["fan.filter.area", "face of the filter", filter.area];
		yield ["fan.filter.load", "load of the filter", filter.pressureDropRatio];
	}
	if (duct !== null) {
		yield ["fan.duct.length", "length of the duct", duct.length];
		yield ["fan.duct.diameter", "diameter of the duct", duct.diameter];
		yield ["fan.duct.volume", "air in the duct", duct.volume];
	}
	yield ["fan.vent", "opening on the other side", fan.vent];
	yield ["fan.flap", "pressure that opens the flap", fan.flap];
	yield ["supply.voltage", "voltage of the supply", supply?.voltage ?? null];
	yield ["supply.current", "rating of the supply", supply?.current ?? null];
	yield ["wire.length", "length of the wire, one way", wire?.length ?? null];
	yield ["wire.ampacity", "what the wire may carry", wire?.ampacity ?? null];
	yield ["fuse", "rating of the fuse", fuse];
}

/** Every value that a run depends on, in the order of the file format, each with its origin. */
export const listInputs = (scenario: Scenario): readonly InputRow[] => {
	const rows: InputRow[] = [];
	const add = (path: string, label: string, quantity: Quantity | null): void => {
		if (quantity !== null) rows.push({ path, label, quantity });
	};
	const { chamber, intake, substrate, fan, sensor, timer, limits, target } = scenario;

	add("chamber.volume", "chamber volume", chamber.volume);
	add("chamber.leak", "leak", chamber.leak);
	if (chamber.temperature.amplitude.value === 0) {
		add("chamber.temperature", "chamber temperature", chamber.temperature.mean);
	} else {
		add("chamber.temperature.mean", "mean chamber temperature", chamber.temperature.mean);
		add("chamber.temperature.swing", "daily temperature swing (half of it)", chamber.temperature.amplitude);
	}
	add("chamber.humidity", "relative humidity in the chamber", chamber.humidity);
	add("chamber.pressure", "air pressure", chamber.pressure);
	add("chamber.mixing", "mixing factor", chamber.mixing);
	if (chamber.stagnant !== null) {
		add("chamber.stagnant.share", "stagnant share of the air", chamber.stagnant.share);
		add("chamber.stagnant.source", "share of the CO2 source in it", chamber.stagnant.source);
		add("chamber.stagnant.exchange", "exchange with the stagnant zone", chamber.stagnant.exchange);
	}
	add("intake.co2", "CO2 of the intake air", intake.co2);
	add("intake.temperature", "intake temperature", intake.temperature);
	add("intake.humidity", "relative humidity of the intake air", intake.humidity);
	for (const [index, item] of substrate.entries()) {
		const at = `substrate[${index}]`;
		const of = substrate.length > 1 ? ` of ${item.species} (${index + 1})` : ` of ${item.species}`;
		add(`${at}.mass`, `fresh mass${of}`, item.mass);
		if (item.rates === null) add(`${at}.rate`, `respiration rate${of}`, item.respirationRate);
		for (const [entry, { respirationRate }] of (item.rates ?? []).entries()) {
			add(`${at}.rates[${entry}].rate`, `respiration rate${of}, entry ${entry + 1}`, respirationRate);
		}
		add(`${at}.reference`, `reference temperature${of}`, item.reference);
		add(`${at}.q10`, `Q10${of}`, item.q10);
		add(`${at}.stage`, `stage multiplier${of}, ${item.stage}`, item.stageFactor);
		add(`${at}.inhibition`, `CO2 that halves respiration${of}`, item.halfInhibitionPpm);
		add(`${at}.volume`, `space taken${of}`, item.volume);
		if (item.flush !== null) {
			add(`${at}.flush.rise`, `rise of the flush${of}`, item.flush.rise);
			add(`${at}.flush.fall`, `fall of the flush${of}`, item.flush.fall);
			add(`${at}.flush.width`, `width of rise and fall${of}`, item.flush.width);
			add(`${at}.flush.low`, `multiplier outside the flush${of}`, item.flush.low);
			add(`${at}.flush.high`, `multiplier at its height${of}`, item.flush.high);
		}
	}
	add("fan.flow", "fan flow", fan.flow);
	add("fan.spin-up", "spin-up time constant", fan.spinUp);
	add("fan.coast-down", "coast-down time constant", fan.coastDown);
	for (const [path, label, quantity] of rigInputs(scenario)) add(path, label, quantity);
	if (sensor !== null) {
		add("sensor.response", "sensor response (t63)", sensor.response);
		add("sensor.offset", "what the sensor reads too high", sensor.offset);
		add("sensor.accuracy.ppm", "sensor accuracy, fixed part", sensor.accuracy.ppm);
		add("sensor.accuracy.share", "sensor accuracy, share of the reading", sensor.accuracy.share);
	}
	add("timer.voltage", "nominal voltage of the timer", timer?.voltage ?? null);
	add("timer.contact", "contact rating", timer?.contactRating ?? null);
	add("timer.resistive", "resistive contact rating", timer?.resistiveRating ?? null);
	add("timer.operations", "rated switching operations", timer?.ratedOperations ?? null);
	add("limits.burst", "shortest on-time considered", limits.burst);
	add("limits.pause", "shortest off-time considered", limits.pause);
	add("limits.cycle", "longest cycle", limits.cycle);
	add("limits.life", "time the contact must last", limits.life);
	add("limits.quiet.cycle", "shortest cycle in quiet hours", limits.quiet?.cycle ?? null);
	add("target.ceiling", "CO2 ceiling", target.ceiling);
	add("target.floor", "CO2 floor", target.floor);
	add("start", "CO2 at the start", scenario.start);
	return rows;
};
