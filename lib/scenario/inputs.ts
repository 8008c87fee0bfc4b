import type { InputRow, Quantity, Scenario } from "./scenario.ts";

/** Every value that a run depends on, in the order of the file format, each with its origin. */
export const listInputs = (scenario: Scenario): readonly InputRow[] => {
	const rows: InputRow[] = [];
	const add = (path: string, label: string, quantity: Quantity | null): void => {
		if (quantity !== null) rows.push({ path, label, quantity });
	};
	const { chamber, intake, substrate, fan, sensor, timer, limits, target } = scenario;

	add("chamber.volume", "chamber volume", chamber.volume);
	add("chamber.leak", "leak", chamber.leak);
	if (chamber.temperature.swing.value === 0) {
		add("chamber.temperature", "chamber temperature", chamber.temperature.mean);
	} else {
		add("chamber.temperature.mean", "mean chamber temperature", chamber.temperature.mean);
		add("chamber.temperature.swing", "daily temperature swing (half of it)", chamber.temperature.swing);
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
		if (item.rates === null) add(`${at}.rate`, `respiration rate${of}`, item.rate);
		for (const [entry, { rate }] of (item.rates ?? []).entries()) {
			add(`${at}.rates[${entry}].rate`, `respiration rate${of}, entry ${entry + 1}`, rate);
		}
		add(`${at}.reference`, `reference temperature${of}`, item.reference);
		add(`${at}.q10`, `Q10${of}`, item.q10);
		add(`${at}.stage`, `stage multiplier${of}, ${item.stage}`, item.stageFactor);
		add(`${at}.inhibition`, `CO2 that halves respiration${of}`, item.inhibition);
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
	if (sensor !== null) add("sensor.response", "sensor response (t63)", sensor.response);
	add("timer.contact", "contact rating", timer?.contact ?? null);
	add("timer.operations", "rated switching operations", timer?.operations ?? null);
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
