import { expect, test } from "vitest";
import { head } from "../../reports/page/head.ts";
import { DARK_TOKENS, LIGHT_TOKENS, type Tokens } from "../../reports/page/tokens.ts";

type Rgb = readonly [red: number, green: number, blue: number];

/** Red, green and blue of a colour, linear in light. */
const linear = (hex: string): Rgb =>
	[1, 3, 5].map((at) => {
		const channel = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
		return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
	}) as unknown as Rgb;
const luminance = ([r, g, b]: Rgb): number => 0.2126 * r + 0.7152 * g + 0.0722 * b;
const contrast = (a: string, b: string): number => {
	const [dark, light] = [luminance(linear(a)), luminance(linear(b))].toSorted((x, y) => x - y);
	return (light! + 0.05) / (dark! + 0.05);
};
/** As one without the middle cones sees it: a plane through white and blue in the response of the cones (Viénot, Brettel and Mollon, 1999; from memory). */
const deuteranopia = (colour: Rgb): Rgb => {
	const [r, g, b] = colour;
	const [long, , short] = [
		17.8824 * r + 43.5161 * g + 4.11935 * b,
		0,
		0.0299566 * r + 0.184309 * g + 1.46709 * b,
	];
	const middle = 0.494207 * long + 1.24827 * short;
	return [
		0.080944 * long - 0.130504 * middle + 0.116721 * short,
		-0.0102485 * long + 0.0540194 * middle - 0.113615 * short,
		-0.000365294 * long - 0.00412163 * middle + 0.693513 * short,
	];
};
/** Place in OKLab, in which equal distances look equal. */
const oklab = ([r, g, b]: Rgb): readonly number[] => {
	const [l, m, s] = [
		Math.cbrt(Math.max(0, 0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b)),
		Math.cbrt(Math.max(0, 0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b)),
		Math.cbrt(Math.max(0, 0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b)),
	];
	return [
		0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s,
		1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s,
		0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s,
	];
};
const apart = (a: Rgb, b: Rgb): number => Math.hypot(...oklab(a).map((x, k) => x - oklab(b)[k]!));

const STATES = ["holds", "doubt", "fails"] as const;

test.each([
	["light", LIGHT_TOKENS],
	["dark", DARK_TOKENS],
] as const)("every word of a page stands out from its ground, in the %s", (_, tokens: Tokens) => {
	const of = (name: string): string => tokens[name]!;
	for (const ground of ["paper", "sheet", "holdswash", "doubtwash", "failswash"])
		for (const word of ["ink", "soft"])
			expect(contrast(of(word), of(ground)), `${word} on ${ground}`).toBeGreaterThanOrEqual(4.5);
	for (const word of ["holds", "doubtink", "fails", "log", "fan"])
		expect(contrast(of(word), of("paper")), word).toBeGreaterThanOrEqual(4.5);
	for (const [word, ground] of [
		["holds", "holdswash"],
		["doubtink", "doubtwash"],
		["fails", "failswash"],
		["onholds", "holds"],
		["ondoubt", "doubt"],
		["onfails", "fails"],
		["barink", "bar"],
	])
		expect(contrast(of(word!), of(ground!)), `${word} on ${ground}`).toBeGreaterThanOrEqual(4.5);
});

test.each([
	["light", LIGHT_TOKENS],
	["dark", DARK_TOKENS],
] as const)(
	"the three states differ without red and green, and their signs without any colour, in the %s",
	(_, tokens: Tokens) => {
		for (const a of STATES)
			for (const b of STATES)
				if (a !== b)
					expect(
						apart(deuteranopia(linear(tokens[a]!)), deuteranopia(linear(tokens[b]!))),
						`${a} and ${b}`,
					).toBeGreaterThan(0.13);
		const heads = STATES.map(
			(state) => head({ state, word: "A", what: ["", ""], answer: "", figures: [] }).html,
		);
		expect(new Set(heads.map((html) => html.match(/href="(#plate-[a-z]+)"/)![1])).size).toBe(3);
	},
);
