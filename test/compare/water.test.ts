import { describe, expect, it } from "vitest";
import { waterBalance } from "../../lib/compare/humidity.ts";
import { airAfterBurst } from "../../lib/model/air/moistair.ts";
import { buildModel } from "../../lib/model/build.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { summarize } from "../../lib/solve/summary.ts";

const tenthly: Schedule = { kind: "cycle", onSeconds: 6, offSeconds: 594 };

const scenario = ({
	chamber = "volume: 100 L, leak: 0 m3/h, temperature: 20 C, humidity: 95 %",
	intake = "temperature: 20 C, humidity: 50 %",
	substrate = "mass: 1 kg, rate: 100 mg/(kg h), reference: 20 C",
} = {}) =>
	parseScenario(
		`
chamber: { ${chamber} }
intake: { ${intake} }
substrate: { ${substrate} }
fan: { flow: 60 m3/h }`,
		"box.yaml",
		{ schedules: "optional" },
	);
const cost = (changes?: Parameters<typeof scenario>[0], schedule: Schedule = tenthly) => {
	const read = scenario(changes);
	return waterBalance(read, buildModel(read), schedule);
};

describe("the moisture that a schedule costs", () => {
	it("is 4.7 g/h for 100 L at six exchanges an hour, 95 % inside and 50 % outside at 20 °C", () => {
		// Worked with vapour densities, printed to 0.1 g/h; counting dry air moves it by 1.2 %.
		expect(Math.abs(cost().moistureLossGPerDay / 24 - 4.7)).toBeLessThan(0.1);
	});

	it("takes off the water of respiration, 0.409 g for each gram of CO2", () => {
		const { metabolicWaterGPerDay, moistureLossGPerDay, humidificationGPerDay, humidificationShare } = cost();
		// 2.4 g of CO2 a day; glucose: 6 × 18.0153 g of water beside 6 × 44.0095 g of CO2.
		expect(metabolicWaterGPerDay).toBeCloseTo(2.4 * 0.40935, 4);
		expect(humidificationGPerDay).toBeCloseTo(moistureLossGPerDay - metabolicWaterGPerDay, 12);
		expect(humidificationShare).toBeCloseTo(humidificationGPerDay / moistureLossGPerDay, 12);
	});

	it("asks for none where respiration makes more than the air takes", () => {
		const made = cost({ substrate: "mass: 40 kg, rate: 400 mg/(kg h), reference: 20 C" });
		expect(made.metabolicWaterGPerDay).toBeGreaterThan(made.moistureLossGPerDay);
		expect(made).toMatchObject({ humidificationGPerDay: 0, humidificationShare: 0 });
	});

	it("is a gain where the intake air is the moister and warmer, and the mix is then warmer, not saturated", () => {
		const gained = cost({ intake: "temperature: 30 C, humidity: 80 %" });
		expect(gained.moistureLossGPerDay).toBeLessThan(0);
		expect(gained).toMatchObject({
			humidificationGPerDay: 0,
			humidificationShare: null,
			fogAfterBurstGPerKg: 0,
		});
		expect(gained.celsiusAfterBurst).toBeGreaterThan(25);
		expect(gained.relativeHumidityAfterBurst).toBeLessThan(0.95);
	});

	it("counts the leak, and of the fan's air only what mixes in", () => {
		const whole = cost().moistureLossGPerDay;
		const chamber = (extra: string) => `volume: 100 L, temperature: 20 C, humidity: 95 %, ${extra}`;
		expect(cost({ chamber: chamber("leak: 0 m3/h, mixing: 50 %") }).moistureLossGPerDay).toBeCloseTo(
			whole / 2,
			9,
		);
		// Six changes an hour by the leak as well.
		expect(cost({ chamber: chamber("leak: 6 /h") }).moistureLossGPerDay).toBeCloseTo(2 * whole, 9);
		const still = cost({ chamber: chamber("leak: 6 /h") }, { kind: "off" });
		expect(still.moistureLossGPerDay).toBeCloseTo(whole, 9);
		expect(still.relativeHumidityAfterBurst).toBeNull();
	});

	it("counts the air changes of a burst as the summary does", () => {
		const read = scenario({
			chamber: "volume: 100 L, temperature: 20 C, humidity: 95 %, mixing: 80 %",
		});
		const model = { ...buildModel(read), spinUpTauSeconds: 1, coastDownTauSeconds: 2 };
		const daily: Schedule = {
			kind: "daily",
			parts: [
				{ fromSeconds: 25_200, schedule: { kind: "cycle", onSeconds: 5, offSeconds: 175 } },
				{ fromSeconds: 79_200, schedule: { kind: "cycle", onSeconds: 9, offSeconds: 591 } },
			],
		};
		for (const schedule of [tenthly, daily]) {
			const { airChangesPerBurst } = summarize(model, schedule, { ceilingPpm: 1000 });
			const after = airAfterBurst(
				airChangesPerBurst!,
				{ celsius: 20, relativeHumidity: 0.95 },
				{ celsius: 20, relativeHumidity: 0.5 },
				read.chamber.pressure.value,
			).relativeHumidity;
			expect(waterBalance(read, model, schedule).relativeHumidityAfterBurst).toBeCloseTo(after, 12);
		}
	});

	it("averages respiration that changes", () => {
		// A straight rise from 0 to 200 mg/(kg h) over two days has the mean of 100.
		const rates = "rates: [{ at: 0 d, rate: 0 mg/(kg h) }, { at: 2 d, rate: 200 mg/(kg h) }]";
		expect(cost({ substrate: `mass: 1 kg, reference: 20 C, ${rates}` }).metabolicWaterGPerDay).toBeCloseTo(
			cost().metabolicWaterGPerDay,
			9,
		);
	});

	it("counts respiration at the level that the air allows where CO2 slows it down", () => {
		// Half an air change an hour of leak alone: some 1100 ppm above the intake, against an inhibition of 1000 ppm.
		const slowed = cost({
			substrate: "mass: 1 kg, rate: 100 mg/(kg h), reference: 20 C, inhibition: 1000 ppm",
		});
		expect(slowed.metabolicWaterGPerDay).toBeLessThan(0.8 * cost().metabolicWaterGPerDay);
		expect(slowed.metabolicWaterGPerDay).toBeGreaterThan(0.4 * cost().metabolicWaterGPerDay);
	});
});
