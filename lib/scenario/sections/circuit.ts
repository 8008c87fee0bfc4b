import * as z from "zod";
import { EXTRA_LOW_VOLTAGE } from "../../sources/supplies.ts";
import { type Broken, mapping, quantity, reading, wholeNumber } from "../text/leaves.ts";
import { rule } from "../text/rules.ts";
import { voltage } from "./fan.ts";

const ampere = (description: string, examples: readonly string[]) =>
	quantity("current", description, { above: "0 A", max: "1000 A" }, examples);

/** The adapter that feeds fan and timer. */
export const supply = mapping(
	{
		voltage: voltage("supply voltage"),
		current: ampere("rated current", ["2 A"]).optional(),
		rigs: wholeNumber(1, 1000, "timers with fans like these on the same adapter; default 1").optional(),
	},
	"the adapter",
).check(
	rule(({ voltage }, say) => {
		if ((voltage?.high ?? voltage?.value ?? 0) > EXTRA_LOW_VOLTAGE.value)
			say(
				"voltage",
				`is above ${EXTRA_LOW_VOLTAGE.value} V; only low direct voltage behind a listed adapter is judged here, mains belongs to licensed people`,
			);
	}),
);

const size = z
	.string({ error: 'needs a size such as "AWG 20" or "0.5 mm2"' })
	.transform(
		reading((input: string): { readonly awg: number } | { readonly mm2: number } | Broken => {
			const awg = /^(?:awg ?#?(\d+)|(\d+) ?(?:awg|ga|gauge))$/i.exec(input.trim());
			const mm2 = /^(\d+(?:\.\d+)?) ?(?:mm2|mm²|mm\^2|sq\.? ?mm|qmm)$/i.exec(input.trim());
			const gauge = Number(awg?.[1] ?? awg?.[2]);
			const area = Number(mm2?.[1]);
			if (gauge >= 4 && gauge <= 40) return { awg: gauge };
			if (area >= 0.005 && area <= 25) return { mm2: area };
			return awg === null && mm2 === null
				? { rule: 'needs a size such as "AWG 20" or "0.5 mm2"' }
				: { rule: "must be between AWG 4 and 40, or 0.005 and 25 mm2" };
		}),
	)
	.meta({ description: "conductor size, by gauge or cross-section", examples: ["AWG 20", "0.5 mm2"] });

/** The pair of wires from the adapter through the timer to the fans. */
export const wire = mapping(
	{
		gauge: size,
		length: quantity("length", "one way, from the adapter through the timer to the fans", {
			min: "0 m",
			max: "1000 m",
		}),
		bundled: z
			.boolean({ error: "needs true or false" })
			.optional()
			.meta({ description: "whether it lies in a bundle or conduit with others; default false" }),
		ampacity: ampere("current-carrying capacity, from its data sheet; default: from its size", [
			"3 A",
		]).optional(),
	},
	"the cable to the fan",
);

export const fuse = ampere("rating of the fuse", ["0.63 A"]);

/** A wiring as a netlist, plain: what its parts are called and may be is checked where it is judged. */
export const wiring = mapping(
	{
		parts: z
			.record(
				z.string(),
				z.looseObject(
					{ kind: z.string({ error: 'needs a kind such as "fan"' }) },
					{ error: 'needs "key: value" lines such as { kind: fan, v: 12, a: 0.3 }' },
				),
				{ error: "needs parts by name, such as FAN: { kind: fan, v: 12, a: 0.3 }" },
			)
			.meta({ description: "the parts by name, each with its kind and ratings in V and A" }),
		nets: z
			.record(
				z.string(),
				z
					.array(z.string({ error: 'needs a terminal such as "FAN.+"' }), {
						error: 'needs a list of terminals such as ["FAN.+", "TMR.NO"]',
					})
					.max(1000, { error: "joins more than 1000 terminals" }),
				{ error: 'needs nets by name, such as SW: ["TMR.NO", "FAN.+"]' },
			)
			.meta({ description: "the nets by name, each a list of the terminals that it joins" }),
	},
	"how it is wired: parts, and the nets that join their terminals",
);
