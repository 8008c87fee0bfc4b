import { type Html, html } from "../page/html.ts";
import { type Burst, fanStrip } from "./section/fanstrip.ts";
import { drawing, ground, lintel, mark, niceStep, ppmRules, words } from "./section/marks.ts";
import { linePath, type Point, tenth, thinCurve } from "./section/path.ts";
import { sawtooth, type Trace } from "./section/sawtooth.ts";
import { extremes, ppmScale, timeScale } from "./section/scale.ts";
import { timeLabels } from "./section/timemarks.ts";

/** CO2 above, humidity below, on one time axis, with the bursts of the fan and of the humidifier. */
export interface AirAndWater {
	readonly id: string;
	readonly title: string;
	readonly desc: string;
	readonly co2: Trace;
	readonly humidity: { readonly timesSeconds: readonly number[]; readonly percent: readonly number[] };
	readonly bursts: readonly Burst[];
	/** null: no humidifier. */
	readonly mist: readonly Burst[] | null;
	readonly fromSeconds: number;
	readonly toSeconds: number;
	readonly intakePpm: number;
	readonly ceilingPpm: number;
	/** The humidity that is wanted at least [%]. */
	readonly floorPercent: number;
}

const PANEL = { wide: 150, narrow: 120 } as const;

function airAndWater(of: AirAndWater, isWide: boolean): Html {
	const [left, right] = isWide ? [40, 630] : [40, 358];
	const height = isWide ? PANEL.wide : PANEL.narrow;
	const time = timeScale(left, right, of.fromSeconds, of.toSeconds);
	const { ceilingPpm, intakePpm, floorPercent } = of;
	const scale = ppmScale(
		{ ceilingPpm, intakePpm, levels: extremes(of.co2.co2Ppm) },
		{ top: 24, bottom: 24 + height },
	);
	const fanTop = scale.bottom + 36;
	const [top, bottom] = [fanTop + 62, fanTop + 62 + height];
	const points = of.humidity.timesSeconds.flatMap((t, i): Point[] =>
		t >= of.fromSeconds && t <= of.toSeconds ? [[time.x(t), of.humidity.percent[i]!]] : [],
	);
	const [low, high] = extremes([...points.map(([, percent]) => percent), floorPercent]);
	const step = niceStep(Math.max(high - low, 2) / 4);
	const base = Math.max(0, Math.floor(low / step - 0.5) * step);
	const end = Math.min(100, Math.ceil(high / step + 0.5) * step);
	const y = (percent: number) => bottom - ((percent - base) / (end - base)) * (bottom - top);
	const rules: Html[] = [];
	for (let percent = base; percent <= end + 1e-9; percent += step) {
		const at = y(percent);
		rules.push(mark("rule", `M0 ${tenth(at)}H${right}`));
		if (Math.abs(at - y(floorPercent)) > 18)
			rules.push(words("n hal", [2, at - 4], `${Number(percent.toFixed(6))} %`));
	}
	const last = bottom + (of.mist === null ? 0 : 30);
	return drawing(
		{
			id: `${of.id}-${isWide ? "w" : "n"}`,
			className: isWide ? "wide" : "narrow",
			width: isWide ? 834 : 358,
			height: last + 26,
			title: of.title,
			desc: of.desc,
		},
		ppmRules(scale, 0, right),
		ground(scale.bottom, 0, right),
		lintel(scale, 0, right, 6),
		sawtooth(of.co2, time, scale, { className: "cu", thickness: 6, cycleSeconds: null }),
		words("b hal", [0, scale.y(ceilingPpm) - 11], `ceiling ${Math.round(ceilingPpm)} ppm`),
		words("i", [0, scale.bottom + 24], `CO₂; intake air ${Math.round(intakePpm)} ppm`),
		fanStrip(of.bursts, time, fanTop, fanTop + 16),
		words("l", [0, fanTop + 13], "fan"),
		words("i", [0, top - 25], "relative humidity"),
		rules,
		mark("ext", `M0 ${tenth(y(floorPercent))}H${right}`),
		words("b hal", [right, y(floorPercent) - 5], `floor ${Number(floorPercent.toPrecision(3))} %`, "end"),
		mark("cu2", linePath(thinCurve(points.map(([x, percent]): Point => [x, y(percent)])))),
		of.mist !== null && fanStrip(of.mist, time, bottom + 12, bottom + 28),
		of.mist !== null && words("l", [0, bottom + 25], "mist"),
		timeLabels(time, last + 20, isWide ? 5 : 2, false),
	);
}

export const airAndWaterDrawings = (of: AirAndWater): Html =>
	html`${airAndWater(of, true)}${airAndWater(of, false)}`;
