import * as z from "zod";
import { normalizeText, parseValue } from "../../units/read.ts";
import { type Broken, type Measured, mapping, oneOf, provenance, quantity, reading } from "../text/leaves.ts";

const needs = 'needs an accuracy such as "50 ppm + 3 %", "30 ppm" or "2 %"';

/** What `accuracy` says, as read. */
export interface StatedAccuracy {
	readonly ppm: Measured;
	readonly share: Measured;
}
/** Reads `50 ppm + 3 %`, either part alone, and what data sheets write: `±(50 ppm + 3 % of reading)`, `±30 ppm ±3 %`. */
const readAccuracy = (input: string): StatedAccuracy | Broken => {
	if (input.length > 200) return { rule: needs };
	const bare = normalizeText(input)
		.replace(/^(?:±|\+\/?-) ?/, "")
		.replace(/^\((.*)\)$/, "$1")
		.replace(/(?<=% ?)of (?:the )?(?:reading|measured value|value)$/, "");
	const parts = bare.split(/ ?(?:±|\+\/?-|\+) ?/);
	const found: { ppm?: Measured; share?: Measured } = {};
	for (const part of parts) {
		const dimension = part.trim().endsWith("%") ? "fraction" : "concentration difference";
		const key = dimension === "fraction" ? "share" : "ppm";
		const read = parseValue(part.trim(), [dimension]);
		if ("refused" in read) return { rule: needs, reason: read.refused };
		if (found[key] !== undefined) return { rule: needs };
		if (read.value < 0) return { rule: "must be at least 0" };
		if (read.value > (key === "share" ? 1 : 100_000)) return { rule: "must be at most 100000 ppm + 100 %" };
		found[key] = { value: read.value, low: null, high: null, dimension, text: part.trim() };
	}
	const nothing = { value: 0, low: null, high: null } as const;
	const {
		ppm = { ...nothing, dimension: "concentration difference", text: "0 ppm" },
		share = { ...nothing, dimension: "fraction", text: "0 %" },
	} = found;
	return ppm.value + share.value > 0 ? { ppm, share } : { rule: "must be above 0" };
};

const text = z
	.string({ error: needs })
	.meta({ description: "a part in ppm and a share of the reading", examples: ["50 ppm + 3 %", "2 %"] });

const accuracy = z
	.union([text, mapping({ value: text, source: provenance.source }, "an accuracy and where it comes from")], {
		error: needs,
	})
	.transform(
		reading((input: string | { value: string; source?: string | undefined }): StatedAccuracy | Broken => {
			if (typeof input === "string") return readAccuracy(input);
			const { value, source } = input;
			const read = readAccuracy(value);
			if ("rule" in read) return { ...read, at: "value" };
			return source === undefined ? read : { ppm: { ...read.ppm, source }, share: { ...read.share, source } };
		}),
	)
	.meta({
		description:
			"accuracy in its data sheet, for the verdict on a log: a part in ppm and a share of the reading; default 50 ppm + 3 %",
		examples: ["50 ppm + 3 %", "2 %"],
	});

/** The part of a scenario file about the sensor. */
export const sensor = mapping(
	{
		response: quantity(
			"duration",
			"response time: time to 63 % of a step (t63), from the data sheet; default 0 s",
			{ min: "0 s", unlessZero: "0.01 s", max: "1 d" },
			["60 s"],
		).optional(),
		zone: oneOf(["mixed", "stagnant"], "zone of the sensor; default mixed").optional(),
		offset: quantity(
			"concentration difference",
			"sensor offset, positive where it reads high, for fitting and verifying a log; default 0 ppm",
			{ min: "-100000 ppm", max: "100000 ppm" },
		).optional(),
		accuracy: accuracy.optional(),
	},
	"the CO2 sensor; a slow one smooths the sawtooth",
);
