import * as z from "zod";
import { DUCT_FRICTION, type FilterKind } from "../../sources/airpath.ts";
import { mapping, nameIn, oneOf, quantity, wholeNumber } from "../text/leaves.ts";
import { eachRising, rule } from "../text/rules.ts";

const highFlow = "1e6 m3/h";
const lag = { min: "0 s", max: "1 h" } as const;
const pressure = (description: string, example: string) =>
	quantity("pressure", description, { above: "0 Pa", max: "100 kPa" }, [example]);
const current = (description: string, example: string) =>
	quantity("current", description, { above: "0 A", max: "100 A" }, [example]);

export const voltage = (description: string, examples: readonly string[] = ["12 V"]) =>
	quantity("voltage", description, { above: "0 V", max: "1000 V" }, examples);

const fanCurvePoint = mapping(
	{
		flow: quantity("flow", "flow at this point", { min: "0 m3/h", max: highFlow }),
		pressure: quantity("pressure", "static pressure at this point", { min: "0 Pa", max: "100 kPa" }, [
			"40 Pa",
		]),
	},
	"a point of the curve",
);

const fanCurve = mapping(
	{
		"free-flow": quantity(
			"flow",
			"catalogue flow at zero pressure (free delivery)",
			{ above: "0 m3/h", max: highFlow },
			["114 cfm"],
		).optional(),
		"shut-off": pressure("catalogue static pressure at zero flow (shut-off)", "85 Pa").optional(),
		shape: oneOf(
			["linear", "parabolic"],
			"between free flow and shut-off pressure: a straight line or a parabola; default linear",
		).optional(),
		points: z
			.array(fanCurvePoint, {
				error: "needs a list such as [{ flow: 0 m3/h, pressure: 85 Pa }, { flow: 194 m3/h, pressure: 0 Pa }]",
			})
			.min(2, { error: "needs at least two points { flow, pressure }" })
			.max(200, { error: "has more than 200 points" })
			.meta({ description: "points by rising flow, the last at 0 Pa, instead of free-flow and shut-off" })
			.optional(),
	},
	"curve of one fan at its rated voltage, from its data sheet; the flow is calculated from it where none is given",
).check(
	rule((given, say, intact) => {
		const { shape, points } = given;
		const ends = ["free-flow", "shut-off"] as const;
		if ("points" in given && points !== undefined) {
			for (const key of ends)
				if (given[key] !== undefined) say(key, "conflicts with points; give one of the two");
			if (shape !== undefined) say("shape", "conflicts with points, which have their own shape");
			eachRising(
				points.map((point) => point?.flow?.value),
				(index) => say(["points", index, "flow"], "the flows must rise from point to point"),
			);
			eachRising(
				points.map((point) => (point?.pressure === undefined ? undefined : -point.pressure.value)),
				(index) =>
					say(
						["points", index, "pressure"],
						"the pressures must fall from point to point; replace a dip of the fan's curve by a falling line below it",
					),
			);
			const last = points.at(-1)?.pressure?.value;
			if (points.length > 1 && last !== undefined && last !== 0)
				say(["points", points.length - 1, "pressure"], "the last point must be at 0 Pa, the free flow");
		} else if (intact) {
			for (const key of ends) {
				const example = key === "free-flow" ? "a flow such as 114 cfm" : "a pressure such as 85 Pa";
				if (given[key] === undefined) say(key, `needs ${example}, or "points" instead of both`);
			}
		}
	}),
);

// A name is looked up in lower case.
const filterNames: Readonly<Record<FilterKind, readonly string[]>> = {
	"MERV 8": ["merv 8", "merv8"],
	"MERV 13": ["merv 13", "merv13"],
	HEPA: ["hepa"],
};
const filter = mapping(
	{
		kind: nameIn(
			"filter",
			filterNames,
			"filter class, for its typical pressure drop, instead of drop and at",
		).optional(),
		drop: pressure("pressure drop of the clean filter", "67 Pa").optional(),
		at: quantity(["velocity", "flow"], "face velocity or flow at which it has this drop", { above: "0" }, [
			"2.54 m/s",
			"500 fpm",
			"190 m3/h",
		]).optional(),
		area: quantity("area", "face area of the filter, needed where the drop is given at a velocity", {
			above: "0 cm2",
			max: "100 m2",
		}).optional(),
		load: quantity(
			"number",
			"loading: pressure drop over that when clean, 1 when clean, 2 when due for replacement; default 1",
			{ min: "1", max: "50" },
			["1..2"],
		).optional(),
	},
	"the filter, with its pressure drop when clean",
).check(
	rule((given, say, intact) => {
		const { kind, drop, at, area } = given;
		if (kind !== undefined) {
			if (drop !== undefined) say("drop", "conflicts with kind; give one of the two");
			if (at !== undefined) say("at", "conflicts with kind; give one of the two");
		} else if (intact) {
			if (drop === undefined) say("drop", 'needs a pressure such as "67 Pa", or "kind" instead');
			else if (at === undefined)
				say("at", 'needs a velocity such as "2.54 m/s" or a flow such as "190 m3/h"');
		}
		const byFlow = at?.dimension === "flow";
		if (byFlow && area !== undefined) say("area", "conflicts with a drop at a flow, which needs no area");
		if (intact && !byFlow && area === undefined && (kind !== undefined || at !== undefined))
			say("area", 'needs an area such as "225 cm2"');
	}),
);

const duct = mapping(
	{
		length: quantity("length", "length of all ducts", { min: "0 m", max: "1000 m" }, ["2 m"]),
		diameter: quantity("length", "inner diameter", { above: "0 mm", max: "5 m" }, ["100 mm", "4 in"]),
		bends: wholeNumber(0, 100, "bends of 90 degrees; default 0").optional(),
		kind: oneOf(
			Object.keys(DUCT_FRICTION) as ["rigid", "flexible", "sagging"],
			"wall of the duct; default flexible (and stretched)",
		).optional(),
		volume: quantity("volume", "volume of the duct and boxes on it; default: length times cross-section", {
			min: "0 L",
			max: "10000 m3",
		}).optional(),
	},
	"the duct",
);

/** What moves the air, and what the air has to get through. */
export const fan = mapping(
	{
		flow: quantity(
			"flow",
			"delivered flow while on, of all fans, with filter and ducts fitted; it takes precedence over a curve",
			{ above: "0 m3/h", max: highFlow },
		).optional(),
		curve: fanCurve.optional(),
		"spin-up": quantity("duration", "spin-up time constant; default 0 s", lag, ["0.8 s"]).optional(),
		"coast-down": quantity("duration", "coast-down time constant; default 0 s", lag, ["1.5 s"]).optional(),
		count: wholeNumber(1, 1000, "identical fans on this timer; default 1").optional(),
		arrangement: oneOf(
			["parallel", "series"],
			"air flow through several fans: side by side, or one after the other (they are always wired in parallel); default parallel",
		).optional(),
		voltage: voltage(
			"rated voltage; above 60 V a fan on the mains, of which the air side is judged and the wiring is not",
			["12 V", "230 V"],
		).optional(),
		window: voltage("voltage range in which the fan starts and runs, from its data sheet", [
			"7.5..13.8 V",
		]).optional(),
		current: current("running current of one fan", "0.3 A").optional(),
		"start-current": current(
			"starting current of one fan; default 1.5 times the running current",
			"0.45 A",
		).optional(),
		filter: filter.optional(),
		duct: duct.optional(),
		vent: quantity(
			"area",
			"vent: free area of the opening through which the air leaves (or enters) opposite the fan",
			{ above: "0 cm2", max: "1000 m2" },
		).optional(),
		flap: pressure("pressure at which a flap or shutter opens", "10 Pa").optional(),
	},
	"the fan",
).check(
	rule((given, say, intact) => {
		const { flow, curve, voltage, window, current, "start-current": start, count, arrangement } = given;
		if (intact && flow === undefined && curve === undefined)
			say("flow", 'needs a flow such as "70 m3/h" or "40 cfm", or "curve" instead');
		if (window !== undefined && (window.low === null || window.high === null))
			say("window", "needs two voltages such as 7.5..13.8 V");
		else if (window !== undefined && voltage !== undefined) {
			if (voltage.value < (window.low ?? 0) || voltage.value > (window.high ?? Number.POSITIVE_INFINITY))
				say("window", `does not contain the rated voltage (${voltage.text})`);
		}
		if (current !== undefined && start !== undefined && start.value < current.value)
			say("start-current", `is below the running current (${current.text})`);
		if (arrangement === "series" && (count ?? 1) < 2) say("arrangement", "needs a count of at least 2");
	}),
);
