import { type Html, html } from "../../page/html.ts";
import { type Burst, fanStrip } from "./fanstrip.ts";
import { cutLine, drawing, ground, lintel, measure, ppmRules, words } from "./marks.ts";
import { sawtooth, type Trace } from "./sawtooth.ts";
import { extremes, type PpmScale, ppmScale, timeScale } from "./scale.ts";
import { timeLabels } from "./timemarks.ts";

/** A close view of a stretch of a run: so near that every burst is seen. */
export interface Lens {
	readonly id: string;
	readonly title: string;
	readonly desc: string;
	readonly trace: Trace;
	readonly bursts: readonly Burst[];
	readonly fromSeconds: number;
	readonly toSeconds: number;
	readonly intakePpm: number;
	readonly ceilingPpm: number;
	readonly peakPpm: number;
	/** "77 ppm above" */
	readonly spare: string;
}

/** The scale of a lens: where the curve fills less than a third of the room, the floor is cut away. */
function lensScale(
	{ trace, intakePpm, ceilingPpm }: Lens,
	bottom: number,
): { scale: PpmScale; isCut: boolean } {
	const levels = extremes(trace.co2Ppm);
	const whole = ppmScale({ ceilingPpm, intakePpm, levels }, { top: 30, bottom });
	const [low, high] = [Math.min(levels[0], ceilingPpm), Math.max(levels[1], ceilingPpm)];
	if (high - low > (high - intakePpm) / 3) return { scale: whole, isCut: false };
	const base = low - 0.35 * (high - low);
	return { scale: ppmScale({ ceilingPpm, intakePpm: base, levels }, { top: 30, bottom }), isCut: true };
}

function lens(of: Lens, isWide: boolean): Html {
	const [left, right, bottom] = isWide ? [40, 630, 240] : [40, 358, 200];
	const time = timeScale(left, right, of.fromSeconds, of.toSeconds);
	const { scale, isCut } = lensScale(of, bottom);
	const top = bottom + (isCut ? 18 : 36);
	const isAbove = of.peakPpm > of.ceilingPpm;
	const middle = (scale.y(of.ceilingPpm) + scale.y(of.peakPpm)) / 2 + 5;
	return drawing(
		{
			id: `${of.id}-${isWide ? "w" : "n"}`,
			className: isWide ? "wide" : "narrow",
			width: isWide ? 834 : 358,
			height: top + 44,
			title: of.title,
			desc: of.desc,
		},
		ppmRules(scale, 0, right),
		isCut ? cutLine(bottom, 0, right) : ground(bottom, 0, right),
		!isCut && words("i", [0, bottom + 24], `intake air ${Math.round(of.intakePpm)} ppm`),
		lintel(scale, 0, right, 6),
		sawtooth(of.trace, time, scale, { className: "cu", thickness: 6, cycleSeconds: null }),
		words("b hal", [0, scale.y(of.ceilingPpm) - 11], `ceiling ${Math.round(of.ceilingPpm)} ppm`),
		isWide && measure(scale, 646, of.peakPpm),
		isWide
			? words(isAbove ? "tf" : "th", [660, middle], of.spare)
			: words(isAbove ? "tf hal" : "th hal", [358, 16], of.spare, "end"),
		fanStrip(of.bursts, time, top, top + 20),
		timeLabels(time, top + 38, isWide ? 5 : 2, false),
	);
}

export const lensDrawings = (of: Lens): Html => html`${lens(of, true)}${lens(of, false)}`;
