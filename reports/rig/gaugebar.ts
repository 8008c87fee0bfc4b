import type { RigVerdict } from "../../lib/rig/finding.ts";
import { mark } from "../charts/section/marks.ts";
import { boxPath } from "../charts/section/path.ts";
import type { State } from "../charts/section/states.ts";
import { type Html, html } from "../page/html.ts";
import type { Gauge } from "./gauges.ts";

export const STATE_OF: Readonly<Record<RigVerdict, State>> = {
	ok: "holds",
	attention: "doubt",
	stop: "fails",
};
const FILL: Readonly<Record<RigVerdict, string>> = { ok: "fill1", attention: "bar-d", stop: "broken" };

/** Where the limit stands on the bar; what is found is cut where the bar ends. */
const LIMIT_SHARE = 0.64;

/** A room on its side: the black bar is the limit, and what was found runs towards it. */
export function gaugeBar(
	{ found, limit, least, isMinimum }: Gauge,
	verdict: RigVerdict,
	{
		left,
		top,
		width,
		height,
	}: { readonly left: number; readonly top: number; readonly width: number; readonly height: number },
): Html {
	const [foot, right] = [top + height, left + width];
	const x = (value: number): number =>
		left + width * LIMIT_SHARE * (limit > 0 ? Math.max(0, value) / limit : 2);
	const [end, at] = [Math.min(x(found), right), x(limit)];
	const isCut = x(found) > right + 0.5;
	return html`${mark("track", boxPath(left, top, right, foot))}${mark(FILL[verdict], boxPath(left, top, end, foot))}${
		!isMinimum && end > at + 0.5 && verdict === "attention" && mark("overhatch", boxPath(at, top, end, foot))
	}${isCut && mark("cut", `M${right - 12} ${foot + 2}l5 ${-height - 4}M${right - 5} ${foot + 2}l5 ${-height - 4}`)}${[
		...(least === undefined ? [] : [x(least)]),
		at,
	].map((place) => mark("lintel", boxPath(place - 3, top - 3, place + 3, foot + 3)))}`;
}
