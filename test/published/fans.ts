import { parseScenario } from "../../lib/index.ts";
import { findFanOperation, flowConditionsOf, systemCurveOf } from "../../lib/model/fan/deliveredflow.ts";
import { atSpeed, findOperatingPoint, flowRange, powerAtSpeed } from "../../lib/model/fan/fancurve.ts";
import { NO_RESISTANCE, systemPressurePa } from "../../lib/model/fan/systemcurve.ts";
import type { Dimension } from "../../lib/units/dimensions.ts";
import { parseValue } from "../../lib/units/read.ts";
import type { Answer, Inputs } from "./check.ts";

const read = (text: string, dimension: Dimension): number => {
	const reading = parseValue(text, [dimension]);
	return "value" in reading ? reading.value : Number.NaN;
};

/** How a scenario's fan delivers; its keys as in the file, the air that of data sheets, 1.2 kg/m3. */
const fanOf = (keys: string) =>
	flowConditionsOf(
		parseScenario(
			`chamber: { volume: 1 m3 }\nsubstrate: { mass: 1 kg }\nschedules: { a: continuous }\nintake: { temperature: 21 C }\nfan: { ${keys} }`,
		),
	);

/** Per cent of its free flow that a fan of 114 cfm and 84.9 Pa delivers through something. */
function share(what: string, through: string): Answer {
	const point = findFanOperation(
		fanOf(`curve: { free-flow: 114 cfm, shut-off: 84.9 Pa }, ${through}`),
	)?.operatingPoint;
	return {
		what: `per cent of a fan's free flow through ${what}`,
		ours: point?.exists === true ? 100 * point.freeDeliveryShare : null,
	};
}

/** Affinity laws, and what filter and duct leave of a fan. */
export function fans(id: string, { one }: Inputs): Record<string, Answer> | undefined {
	switch (id) {
		case "FAN-01": {
			const fan = { shape: "linear", freeDeliveryM3PerS: 0.05, shutOffPa: 80 } as const;
			const faster = atSpeed(fan, one("n_ratio"));
			return {
				Q: { what: "free flow at 1.1 times the speed", ours: flowRange(faster)[1] / flowRange(fan)[1] },
				p: {
					what: "shut-off pressure at 1.1 times the speed",
					ours: faster.shape === "linear" ? faster.shutOffPa / fan.shutOffPa : Number.NaN,
				},
				P: { what: "power at 1.1 times the speed", ours: powerAtSpeed(one("n_ratio")) },
			};
		}
		case "FAN-03": {
			const point = findOperatingPoint(
				{ shape: "parabolic", freeDeliveryM3PerS: one("Qmax_m3_s"), shutOffPa: one("p0_Pa") },
				{ ...NO_RESISTANCE, ductPaS2PerM6: one("k") },
			);
			return {
				Q_m3_s: {
					what: "flow of a parabolic fan through a duct",
					ours: point.exists ? point.flowM3PerS : null,
				},
				p_Pa: { what: "its pressure there", ours: point.exists ? point.pressurePa : null },
			};
		}
		case "FAN-SHARE": {
			const small = "area: 225 cm2";
			const duct = "duct: { length: 2 m, diameter: 100 mm }";
			return {
				merv8_pct: share("a MERV 8 filter", `filter: { kind: MERV 8, ${small} }`),
				merv13_pct: share("a MERV 13 filter", `filter: { kind: MERV 13, ${small} }`),
				hepa_pct: share("a HEPA filter", `filter: { kind: HEPA, ${small} }`),
				hepa_300_pct: share("a HEPA filter of four times the face", "filter: { kind: HEPA, area: 900 cm2 }"),
				duct_pct: share("a duct", duct),
				merv13_duct_pct: share("a MERV 13 filter and a duct", `filter: { kind: MERV 13, ${small} }, ${duct}`),
			};
		}
		case "FAN-05": {
			const inch = read("1 inH2O", "pressure");
			const cfm = read("1 cfm", "flow");
			const duct = {
				...NO_RESISTANCE,
				ductPaS2PerM6: (one("SP1_inwg") * inch) / (one("Q1_cfm") * cfm) ** 2,
			};
			return {
				SP2_inwg: {
					what: "inches of water that a duct takes at 0.8 of its flow",
					ours: systemPressurePa(duct, one("Q2_cfm") * cfm) / inch,
				},
			};
		}
		case "FAN-06": {
			const delivery = fanOf(
				`curve: { free-flow: 200 m3/h, shut-off: 400 Pa }, filter: { drop: ${one("dp_rated_inwg")} inH2O, at: 100 m3/h }`,
			);
			const pascal = systemPressurePa(systemCurveOf(delivery), one("Q_ratio") * read("100 m3/h", "flow"));
			return {
				dp_inwg: {
					what: "inches of water that a filter takes at half its rated flow",
					ours: pascal / read("1 inH2O", "pressure"),
				},
				dp_Pa: { what: "Pa that it takes", ours: pascal },
			};
		}
	}
	return undefined;
}
