import type { InputRow, Quantity, Scenario } from "../scenario/scenario.ts";
import { deliveredFlow } from "./fan/deliveredflow.ts";

type InputEntry = readonly [path: string, label: string, quantity: Quantity | null];

/** What the flow of a fan is calculated from, and what the rig is judged by. */
function* rigInputs({ fan, supply, wire, fuse }: Scenario): Generator<InputEntry> {
	const { curve, filter, duct } = fan;
	if (curve !== null && curve.shape === "points") {
		for (const [index, { flow, pressure }] of curve.points.entries()) {
			yield [`fan.curve.points[${index}].flow`, `fan curve, flow of point ${index + 1}`, flow];
			yield [`fan.curve.points[${index}].pressure`, `fan curve, pressure of point ${index + 1}`, pressure];
		}
	} else if (curve !== null) {
		yield ["fan.curve.free-flow", "flow of one fan at zero pressure (catalogue)", curve.freeDelivery];
		yield ["fan.curve.shut-off", "pressure of one fan at zero flow (catalogue)", curve.shutOff];
	}
	yield ["fan.voltage", "rated voltage of the fan", fan.voltage];
	yield ["fan.current", "running current of one fan", fan.current];
	yield ["fan.start-current", "starting current of one fan", fan.startingCurrent];
	if (filter !== null) {
		yield ["fan.filter.drop", "pressure drop of the clean filter", filter.drop];
		const kind = filter.at.dimension === "flow" ? "flow" : "face velocity";
		yield ["fan.filter.at", `${kind} at that pressure drop`, filter.at];
		yield ["fan.filter.area", "filter face area", filter.area];
		yield ["fan.filter.load", "filter loading (pressure drop over clean)", filter.pressureDropRatio];
	}
	if (duct !== null) {
		yield ["fan.duct.length", "duct length", duct.length];
		yield ["fan.duct.diameter", "duct diameter", duct.diameter];
		yield ["fan.duct.volume", "duct volume", duct.volume];
	}
	yield ["fan.vent", "vent area", fan.vent];
	yield ["fan.flap", "opening pressure of the flap", fan.flap];
	yield ["supply.voltage", "supply voltage", supply?.voltage ?? null];
	yield ["supply.current", "supply current rating", supply?.current ?? null];
	yield ["wire.length", "cable length, one way", wire?.length ?? null];
	yield ["wire.ampacity", "current-carrying capacity of the cable", wire?.ampacity ?? null];
	yield ["fuse", "fuse rating", fuse];
}

/**
 * Every value that a run depends on, in the order of the file format, each with its origin.
 *
 * @param scenario as `parseScenario` gives it
 * @returns rows of path and quantity, in SI
 * @throws never
 *
 * Source: this project.
 * @example listInputs(parseScenario(starterScenario()))[0].path // => "chamber.volume"
 */
export const listInputs = (scenario: Scenario): readonly InputRow[] => {
	const rows: InputRow[] = [];
	const add = (path: string, label: string, quantity: Quantity | null): void => {
		if (quantity !== null) rows.push({ path, label, quantity });
	};
	const { chamber, intake, substrate, fan, sensor, timer, limits, target } = scenario;

	add("chamber.volume", "chamber volume", chamber.volume);
	add("chamber.leak", "leakage", chamber.leak);
	if (chamber.temperature.amplitude.value === 0) {
		add("chamber.temperature", "chamber temperature", chamber.temperature.mean);
	} else {
		add("chamber.temperature.mean", "mean chamber temperature", chamber.temperature.mean);
		add(
			"chamber.temperature.swing",
			"daily temperature amplitude (± around the mean)",
			chamber.temperature.amplitude,
		);
	}
	add("chamber.humidity", "relative humidity in the chamber", chamber.humidity);
	add("chamber.pressure", "air pressure", chamber.pressure);
	add("chamber.mixing", "mixing efficiency", chamber.mixing);
	if (chamber.stagnant !== null) {
		add("chamber.stagnant.share", "stagnant share of the air", chamber.stagnant.share);
		add("chamber.stagnant.source", "share of the CO₂ source in the stagnant zone", chamber.stagnant.source);
		add("chamber.stagnant.exchange", "exchange between zones", chamber.stagnant.exchange);
	}
	if (intake.room !== null) {
		add("intake.room.volume", "air of the room", intake.room.volume);
		add("intake.room.ventilation", "fresh air of the room", intake.room.ventilation);
		add("intake.room.outdoor.co2", "CO₂ outdoors", intake.co2);
		for (const [i, { met }] of intake.room.people.entries())
			add(`intake.room.people[${i}].met`, "activity of people in the room", met);
	} else if (intake.daily === null) add("intake.co2", "CO₂ of the intake air", intake.co2);
	else if (intake.daily.shape === "swing") {
		add("intake.co2.mean", "mean CO₂ of the intake air", intake.co2);
		add("intake.co2.swing", "daily amplitude of the intake CO₂ (± around the mean)", intake.daily.amplitude);
	} else {
		add("intake.co2.day", "CO₂ of the intake air by day", intake.daily.day);
		add("intake.co2.night", "CO₂ of the intake air by night", intake.daily.night);
	}
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
		add(`${at}.stage`, `stage factor${of}, ${item.stage}`, item.stageFactor);
		add(`${at}.inhibition`, `CO₂ that halves respiration${of}`, item.halfInhibitionPpm);
		add(`${at}.volume`, `volume${of}`, item.volume);
		if (item.flush !== null) {
			add(`${at}.flush.rise`, `rise of the flush${of}`, item.flush.rise);
			add(`${at}.flush.fall`, `fall of the flush${of}`, item.flush.fall);
			add(`${at}.flush.width`, `width of rise and fall${of}`, item.flush.width);
			add(`${at}.flush.low`, `factor outside the flush${of}`, item.flush.low);
			add(`${at}.flush.high`, `factor at the flush peak${of}`, item.flush.high);
		}
	}
	add("fan.flow", "delivered flow", deliveredFlow(scenario));
	add("fan.spin-up", "spin-up time constant", fan.spinUp);
	add("fan.coast-down", "coast-down time constant", fan.coastDown);
	for (const [path, label, quantity] of rigInputs(scenario)) add(path, label, quantity);
	if (sensor !== null) {
		add("sensor.response", "sensor response time (t63)", sensor.response);
		add("sensor.offset", "sensor offset (positive: reads high)", sensor.offset);
		add("sensor.accuracy.ppm", "sensor accuracy, fixed part", sensor.accuracy.ppm);
		add("sensor.accuracy.share", "sensor accuracy, share of the reading", sensor.accuracy.share);
	}
	const { water } = scenario;
	add("water.evaporation", "evaporation (air that would leave saturated)", water?.evaporation ?? null);
	add("water.humidifier.output", "output of the humidifier", water?.humidifier?.output ?? null);
	if (water?.humidifier?.control.kind === "hygrostat") {
		add("water.humidifier.below", "humidity at which the humidifier starts", water.humidifier.control.below);
		add("water.humidifier.until", "humidity at which it stops", water.humidifier.control.until);
	}
	add("water.walls.area", "inner area of the walls", water?.walls?.area ?? null);
	add("water.walls.transmittance", "heat transmittance of the walls", water?.walls?.transmittance ?? null);
	add("water.walls.room", "temperature around the chamber", water?.walls?.room ?? null);
	add("timer.voltage", "timer voltage", timer?.voltage ?? null);
	add("timer.contact", "contact rating for motors", timer?.contactRating ?? null);
	add("timer.resistive", "resistive contact rating", timer?.resistiveRating ?? null);
	add("timer.operations", "rated switching operations", timer?.ratedOperations ?? null);
	add("limits.burst", "minimum on-time", limits.burst);
	add("limits.pause", "minimum off-time", limits.pause);
	add("limits.cycle", "maximum cycle time", limits.cycle);
	add("limits.life", "required contact life", limits.life);
	add("limits.quiet.cycle", "minimum cycle time in quiet hours", limits.quiet?.cycle ?? null);
	add("target.ceiling", "CO₂ ceiling", target.ceiling);
	add("target.floor", "CO₂ floor", target.floor);
	for (const { side, on, level } of target.further)
		add(`target.${side}.${on}`, `CO₂ ${side} of the ${on}`, level);
	add("target.humidity.floor", "humidity floor", target.humidity?.floor ?? null);
	add("target.humidity.ceiling", "humidity ceiling", target.humidity?.ceiling ?? null);
	add("start", "CO₂ at the start", scenario.start);
	return rows;
};
