import { type Html, html } from "../../page/html.ts";
import { ground, mark, words } from "./marks.ts";
import { boxPath, tenth } from "./path.ts";
import type { PpmScale } from "./scale.ts";

/** What a section through the chamber shows. */
export interface ChamberFigures {
	readonly peakPpm: number;
	readonly troughPpm: number;
	/** Fresh air through the fan, and leakage, as words: "36.9 m³". */
	readonly fan: string;
	readonly leakage: string;
	/** Their sizes in one unit. */
	readonly fanFlow: number;
	readonly leakageFlow: number;
	readonly hasSensor: boolean;
}

/** Where its walls stand and how wide the arrows reach [px]. */
export interface ChamberPlace {
	readonly left: number;
	readonly right: number;
	/** End of the arrow that leaves. */
	readonly out: number;
	/** Where words about the leakage must end. */
	readonly edge: number;
	readonly thickness: number;
}

const WALL = 7;

/** A block with two caps, its lower left corner at the origin. */
const block = (x: number, y: number, height: number): Html => {
	const cap = (at: number, width: number, stalk: number): string => {
		const top = y - height - stalk;
		return `M${tenth(at)} ${tenth(y - height)}V${tenth(top)}M${tenth(at - width)} ${tenth(top)}c${tenth(width * 0.1)} ${tenth(-width)} ${tenth(1.9 * width)} ${tenth(-width)} ${tenth(2 * width)} 0q${-width} ${tenth(width / 3)} ${tenth(-2 * width)} 0Z`;
	};
	return html`${mark("block", `M${tenth(x)} ${tenth(y)}v${tenth(4 - height)}q0 -4 4 -4h36q4 0 4 4v${tenth(height - 4)}Z`)}${mark("crop", cap(x + 12, 5.6, 3.5) + cap(x + 26, 7.2, 4.5))}`;
};

/** An arrow of air between two places, as thick as its flow. */
const arrow = (className: string, from: number, to: number, y: number, thickness: number): Html => {
	const [half, head] = [thickness / 2, Math.min(16, (to - from) / 3)];
	return mark(
		className,
		`M${tenth(from)} ${tenth(y - half)}H${tenth(to - head)}V${tenth(y - half - 4)}L${tenth(to)} ${tenth(y)}L${tenth(to - head)} ${tenth(y + half + 4)}V${tenth(y + half)}H${tenth(from)}Z`,
	);
};

const rotor = (x: number, y: number): Html => {
	const blade = (turn: number): string => {
		const at = (angle: number, radius: number): string =>
			`${tenth(x + radius * Math.cos(angle))} ${tenth(y + radius * Math.sin(angle))}`;
		return `M${tenth(x)} ${tenth(y)}Q${at(turn - 0.8, 16.6)} ${at(turn, 17)}Q${at(turn + 0.3, 8.5)} ${tenth(x)} ${tenth(y)}Z`;
	};
	return html`<g class="rotor"><circle cx="${tenth(x)}" cy="${tenth(y)}" r="19"/><path d="${[0, 2.09, 4.19].map(blade).join("")}"/></g>`;
};

/** A section through the chamber on the scale of the curve beside it: filled to the trough, hatched up to the peak. */
export function chamber(
	{ peakPpm, troughPpm, fan, leakage, fanFlow, leakageFlow, hasSensor }: ChamberFigures,
	scale: PpmScale,
	{ left, right, out, edge, thickness }: ChamberPlace,
): Html {
	const roof = scale.y(scale.ceilingPpm) - thickness;
	const { bottom } = scale;
	const [inner, outer] = [left + WALL, right - WALL];
	const [full, peak] = [scale.y(troughPpm), scale.y(peakPpm)];
	const room = bottom - roof;
	// The openings keep clear of roof, blocks and ground, also in a low room.
	const fanY = roof + Math.min(0.46 * room, room - 44);
	const outY = roof + Math.min(0.25 * room, 30);
	const thick = Math.max(8, Math.min(30, 0.24 * room));
	const leak = Math.max(2, Math.min(12, thick * Math.sqrt(leakageFlow / Math.max(fanFlow, 1e-12)) * 0.5));
	const leakY = bottom - 16;
	const high = Math.min(24, Math.max(12, room * 0.2));
	const pitch = (outer - inner - 3 * 44) / 4;
	const blocks = [0, 1, 2].map((k) => block(inner + pitch + k * (44 + pitch), bottom - 3, high));
	return html`${ground(bottom, 0, right)}${mark("fill1", boxPath(inner, full, outer, bottom))}${mark("fill2", boxPath(inner, peak, outer, full))}${mark("fillhatch", boxPath(inner, peak, outer, Math.max(full, peak)))}${
		peakPpm > scale.ceilingPpm &&
		html`${mark("over", boxPath(inner, peak, outer, roof))}${mark("overhatch", boxPath(inner, peak, outer, roof))}`
	}${blocks}${mark("wall", boxPath(left, roof, inner, fanY - 22) + boxPath(left, fanY + 22, inner, bottom))}${mark(
		"wall",
		boxPath(outer, roof, right, outY - thick / 2) +
			boxPath(outer, outY + thick / 2, right, leakY - 4) +
			boxPath(outer, leakY + 4, right, bottom),
	)}${arrow("air", 0, left - 8, fanY, thick)}${rotor(left + WALL / 2, fanY)}${arrow("air", outer, out, outY, thick)}${
		leakageFlow > 0 && arrow("air air2", outer - 5, out - 8, leakY, leak)
	}${mark("level", `M${tenth(inner)} ${tenth(peak)}H${tenth(outer)}`)}${
		hasSensor &&
		html`${mark("wire", `M${tenth(outer - 30)} ${tenth(roof + thickness)}V${tenth(bottom - high - 26)}`)}<circle class="sensor" cx="${tenth(outer - 30)}" cy="${tenth(bottom - high - 22)}" r="5"/>`
	}${words("b hal", [0, fanY - 24], fan)}${words("l hal", [0, fanY + thick / 2 + 19], "per day")}${leakageFlow > 0 && words("l hal", [edge, leakY - 10], `leak ${leakage}`, "end")}`;
}
