import { type Html, html } from "../../page/html.ts";
import { truncateText, wrapText } from "../textwidth.ts";
import { type ChamberFigures, chamber } from "./chamber.ts";
import { type Burst, fanStrip, fullHeightPercent, isDutyStrip } from "./fanstrip.ts";
import { drawing, ground, lintel, mark, measure, ppmRules, words } from "./marks.ts";
import { breakMark, doubtBand, readingTrace, sawtooth, type Trace } from "./sawtooth.ts";
import { extremes, type PpmScale, ppmScale, type TimeScale, timeScale } from "./scale.ts";
import { timeLabels } from "./timemarks.ts";

/** A line of words beside a curve; `colour`: of a state, else soft. */
export interface CurveLine {
	readonly text: string;
	readonly colour?: "th" | "td" | "tf" | "tl" | "i";
}

/** One schedule in the drawing at the head of a page. */
export interface HeroCurve {
	readonly name: string;
	/** "4 s on, 3 min 56 s off" */
	readonly setting: string;
	readonly trace: Trace;
	readonly bursts: readonly Burst[];
	readonly cycleSeconds: number | null;
	/** Share of time on, in words. */
	readonly share: string;
	readonly peakPpm: number;
	/** Below its name. */
	readonly lines: readonly CurveLine[];
	/** The same in one short line, for a phone. */
	readonly inShort: string;
}

/** The drawing at the head of a page: a section through the chamber, and CO2 over time on the same scale. */
export interface Hero {
	readonly id: string;
	readonly title: string;
	readonly desc: string;
	/** In ink; its distance to the ceiling is measured. */
	readonly subject: HeroCurve;
	/** In grey, for comparison. */
	readonly rival: HeroCurve | null;
	/** From the low to the high end of what is uncertain, of the subject. */
	readonly band: { readonly low: Trace; readonly high: Trace } | null;
	/** What the sensor shows of the subject, in violet. */
	readonly shown: Trace | null;
	/** The edges of the band are drawn too. */
	readonly isBandSubject: boolean;
	/** The judged value, its distance to the ceiling in words. */
	readonly valuePpm: number;
	readonly spare: string;
	readonly ceilingPpm: number;
	readonly floorPpm: number | null;
	readonly intakePpm: number;
	readonly windowSeconds: number;
	readonly isTimeOfDay: boolean;
	readonly chamber: ChamberFigures;
	/** What the scale is to hold beside what is drawn [ppm]; default: nothing. */
	readonly levels?: readonly number[];
}

const LINE = 17;

const levelsOf = ({ subject, rival, band, chamber: figures, levels = [] }: Hero): number[] => [
	...levels,
	figures.peakPpm,
	figures.troughPpm,
	...[
		subject.trace,
		...(rival === null ? [] : [rival.trace]),
		...(band === null ? [] : [band.low, band.high]),
	].flatMap(({ co2Ppm }) => [...extremes(co2Ppm)]),
];

/** Curves, band, ceiling and floor of a hero, in the order they cover each other. */
function curves(hero: Hero, time: TimeScale, scale: PpmScale, thickness: number, left: number): Html {
	const { subject, rival, band, floorPpm } = hero;
	const cut = [subject, ...(rival === null ? [] : [rival])].filter(
		({ peakPpm }) => peakPpm > 1.01 * scale.topPpm,
	);
	const ofSubject = { className: "cu", thickness, cycleSeconds: subject.cycleSeconds } as const;
	return html`${
		band !== null &&
		doubtBand(band, time, scale, { cycleSeconds: subject.cycleSeconds, isSubject: hero.isBandSubject })
	}${floorPpm !== null && mark("dash", `M${left} ${scale.y(floorPpm).toFixed(1)}H${time.right}`)}${lintel(scale, left, time.right, thickness)}${
		rival !== null &&
		sawtooth(rival.trace, time, scale, { className: "cu2", thickness, cycleSeconds: rival.cycleSeconds })
	}${sawtooth(subject.trace, time, scale, ofSubject)}${hero.shown !== null && readingTrace(hero.shown, time, scale, subject.cycleSeconds)}${cut.length > 0 && breakMark((time.left + time.right) / 2, scale.top)}`;
}

interface Block {
	/** Middle of its first line [px]. */
	y: number;
	readonly lines: readonly { readonly text: string; readonly classes: string }[];
}

/** Pushes blocks of words apart, and into the drawing. */
function settle(blocks: Block[], top: number, bottom: number): Block[] {
	const sorted = blocks.toSorted((a, b) => a.y - b.y);
	const height = ({ lines }: Block): number => lines.length * LINE + 7;
	let floor = bottom;
	for (const block of sorted.toReversed()) {
		block.y = Math.min(block.y, floor - height(block) + LINE);
		floor = block.y - LINE;
	}
	let ceiling = top;
	for (const block of sorted) {
		block.y = Math.max(block.y, ceiling);
		ceiling = block.y + height(block);
	}
	return sorted;
}

const LABELS = { left: 954, width: 166 };

function sideLabels(hero: Hero, scale: PpmScale): Html[] {
	const { subject, rival, spare, valuePpm } = hero;
	const room = LABELS.width / 1.18;
	const block = (y: number, { name, lines }: HeroCurve): Block => {
		const named = wrapText(name, 16 * 1.1, room);
		const kept =
			named.length > 2 ? [named[0]!, truncateText(`${named[1]} ${named[2]}`, 17.6, false, room)] : named;
		return {
			y,
			lines: [
				...kept.map((text) => ({ text, classes: "b2" })),
				...lines.map(({ text, colour = "l" }) => ({
					text: truncateText(text, 13.5, colour !== "l", LABELS.width),
					classes: colour,
				})),
			],
		};
	};
	const isAbove = valuePpm > scale.ceilingPpm;
	const middle = (scale.y(scale.ceilingPpm) + scale.y(valuePpm)) / 2;
	const peakY = (curve: HeroCurve): number => scale.y(curve.peakPpm) + 6;
	const blocks: Block[] = [
		{ y: middle + 5, lines: [{ text: spare, classes: isAbove ? "tf" : "th" }] },
		block(Math.max(peakY(subject), middle + 6) + (isAbove ? 0 : 20), subject),
		...(rival === null ? [] : [block(peakY(rival), rival)]),
	];
	if (hero.floorPpm !== null)
		blocks.push({
			y: scale.y(hero.floorPpm) + 5,
			lines: [{ text: `floor ${Math.round(hero.floorPpm)} ppm`, classes: "i" }],
		});
	return settle(blocks, 30, scale.bottom + 12).flatMap(({ y, lines }) =>
		lines.map(({ text, classes }, place) => words(classes, [LABELS.left, y + place * LINE], text)),
	);
}

/** The wide one: the chamber, the curve, and words at its right. */
export function wideHero(hero: Hero): Html {
	const { subject, rival, chamber: figures, isTimeOfDay } = hero;
	const time = timeScale(390, 926, 0, hero.windowSeconds);
	const scale = ppmScale({ ...hero, levels: levelsOf(hero) }, { top: 28, bottom: 316 });
	const strips = [subject, ...(rival === null ? [] : [rival])];
	const full = fullHeightPercent(
		strips.map(({ bursts }) => bursts),
		time,
	);
	const ceilingY = scale.y(hero.ceilingPpm);
	const foot = 330 + 44 * strips.length;
	return drawing(
		{
			id: `${hero.id}-w`,
			className: "wide",
			width: 1120,
			height: foot + 24,
			title: hero.title,
			desc: hero.desc,
		},
		ppmRules(scale, 352, 926, [scale.bottom - 22]),
		chamber(figures, scale, { left: 62, right: 266, out: 330, edge: 376, thickness: 7 }),
		curves(hero, time, scale, 7, 62),
		words("b2 hal", [62, ceilingY - 14], `ceiling ${Math.round(hero.ceilingPpm)} ppm`),
		words("i", [80, 340], `intake air ${Math.round(hero.intakePpm)} ppm`),
		measure(scale, 940, hero.valuePpm),
		sideLabels(hero, scale),
		strips.map((strip, k) => {
			const top = 346 + 44 * k;
			const isDuty = isDutyStrip(strip.bursts, time);
			return html`${fanStrip(strip.bursts, time, top, top + 28, full)}${words("b", [378, top + 11], truncateText(strip.name, 13.5, true, 315), "end")}${words("l", [378, top + 28], truncateText(`fan ${strip.setting}`, 13.5, false, 315), "end")}${words("l", [LABELS.left - 14, top + 12], strip.share)}${isDuty && words("l", [LABELS.left - 14, top + 29], `full height ${full} %`)}`;
		}),
		timeLabels(time, foot + 18, 5, isTimeOfDay),
		html`<path class="cursor" data-x="390 926" d="M0 14V${foot}"/>`,
	);
}

/** The one for a phone: the curve alone. */
export function narrowHero(hero: Hero): Html {
	const { subject, rival, isTimeOfDay } = hero;
	const time = timeScale(40, 358, 0, hero.windowSeconds);
	const scale = ppmScale({ ...hero, levels: levelsOf(hero) }, { top: 30, bottom: 222 });
	const strips = [subject, ...(rival === null ? [] : [rival])];
	const full = fullHeightPercent(
		strips.map(({ bursts }) => bursts),
		time,
	);
	const ceilingY = scale.y(hero.ceilingPpm);
	const low = scale.y(extremes(subject.trace.co2Ppm)[0]);
	const room = 300;
	// Below its curve where there is room, else below the ground line's words.
	const labelY = low + 19 < scale.bottom - 3 ? low + 19 : scale.y(subject.peakPpm) - 8;
	const isClear = Math.abs(labelY - (ceilingY - 11)) > 16 && labelY > 30;
	return drawing(
		{
			id: `${hero.id}-n`,
			className: "narrow",
			width: 358,
			height: 240 + 42 * strips.length + 34,
			title: hero.title,
			desc: hero.desc,
		},
		ppmRules(scale, 0, 358, [labelY - 4]),
		ground(scale.bottom, 0, 358, 7),
		curves(hero, time, scale, 6, 0),
		words("b hal", [0, ceilingY - 11], `ceiling ${Math.round(hero.ceilingPpm)} ppm`),
		rival !== null && words("b hal", [358, 14], truncateText(rival.inShort, 13.5, true, 320), "end"),
		isClear && words("b hal", [44, labelY], truncateText(subject.inShort, 13.5, true, room)),
		words(
			"i",
			[0, 244],
			`intake air ${Math.round(hero.intakePpm)} ppm${hero.floorPpm === null ? "" : `, floor ${Math.round(hero.floorPpm)} ppm (dashed)`}`,
		),
		strips.map((strip, k) => {
			const top = 275 + 42 * k;
			const share = isDutyStrip(strip.bursts, time)
				? `${strip.share.replace(/ of the time$/, "")}, full height ${full} %`
				: strip.share;
			const text = `${truncateText(strip.name, 13.5, false, 125)}: fan ${share}`;
			return html`${words("l", [0, top - 6], truncateText(text, 13.5, false, 310))}${fanStrip(strip.bursts, time, top, top + 18, full)}`;
		}),
		timeLabels(time, 240 + 42 * strips.length + 29, 2, isTimeOfDay),
		html`<path class="cursor" data-x="40 358" d="M0 14V${251 + 42 * strips.length}"/>`,
	);
}

export const heroDrawings = (hero: Hero): Html => html`${wideHero(hero)}${narrowHero(hero)}`;

/** The chamber on its own, for a phone. */
export function chamberDrawing(hero: Hero): Html {
	const { chamber: figures, ceilingPpm, intakePpm, id } = hero;
	const scale = ppmScale(
		{ ceilingPpm, intakePpm, levels: [figures.peakPpm, figures.troughPpm] },
		{ top: 22, bottom: 150 },
	);
	return drawing(
		{
			id: `${id}-c`,
			className: "narrow",
			width: 358,
			height: 180,
			title: `Section of the chamber: ${figures.fan} of fresh air per day by the fan, ${figures.leakage} by leakage; CO₂ up to ${Math.round(figures.peakPpm)} ppm under a ceiling of ${Math.round(ceilingPpm)} ppm`,
		},
		chamber(figures, scale, { left: 62, right: 256, out: 350, edge: 358, thickness: 7 }),
		lintel(scale, 62, 256, 7),
		words("b hal", [62, scale.y(ceilingPpm) - 14], `ceiling ${Math.round(ceilingPpm)} ppm`),
		words("i", [0, 174], `intake air ${Math.round(intakePpm)} ppm`),
		words("b", [358, 174], `up to ${Math.round(figures.peakPpm)} ppm`, "end"),
	);
}
