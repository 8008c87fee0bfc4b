import type { FanPoint, OperatingPoint } from "../../lib/model/fan/fancurve.ts";
import type { FanReport } from "../../lib/rig/air/fanreport.ts";
import { SOUND_SHARE } from "../../lib/sources/fans.ts";
import { CUBIC_FOOT, INCH_OF_WATER } from "../../lib/units/factors.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { plainAxis } from "./axes.ts";
import type { CurvePlot, PlotPoint } from "./curveplot.ts";

const UNITS = {
	si: { flow: 3600, flowUnit: "m³/h", pressure: 1, pressureUnit: "Pa" },
	us: { flow: 60 / CUBIC_FOOT, flowUnit: "cfm", pressure: 1 / INCH_OF_WATER, pressureUnit: "inH₂O" },
} as const;
const SOUND = [SOUND_SHARE.low!, SOUND_SHARE.high!] as const;

/** The fans' curve, what the path takes with its filter clean and loaded, and where they meet. */
export function fanCurvePlot(fan: FanReport, count: number, units: UnitSystem): CurvePlot {
	const unit = UNITS[units];
	const place = ({ flowM3PerS, pressurePa }: FanPoint): PlotPoint => ({
		x: flowM3PerS * unit.flow,
		y: pressurePa * unit.pressure,
	});
	const free = (fan.curve.at(-1)?.flowM3PerS ?? fan.catalogueM3PerS) * unit.flow;
	const highest = Math.max(...fan.curve.map(({ pressurePa }) => pressurePa), 1e-6) * unit.pressure;
	const [right, top] = [free * 1.04, highest * 1.12];
	const mark = (point: OperatingPoint | null, shape: string, name: string) =>
		point?.exists
			? [
					{
						...place(point),
						shape,
						name: `${name} ${Number((point.flowM3PerS * unit.flow).toPrecision(3))} ${unit.flowUnit}`,
					},
				]
			: [];
	const path =
		fan.loadedSystemCurve === null
			? "resistance of duct and openings"
			: "resistance of filter and duct, filter clean";
	return {
		x: { ...plainAxis(0, right, 6), title: `flow (${unit.flowUnit})` },
		y: { ...plainAxis(0, top, 5), title: `static pressure (${unit.pressureUnit})` },
		curves: [
			{ name: count > 1 ? `all ${count} fans` : "fan", place: 0, points: fan.curve.map(place) },
			{ name: path, place: 2, points: fan.cleanSystemCurve.map(place) },
			...(fan.loadedSystemCurve === null
				? []
				: [{ name: "the same with a loaded filter", place: 1, points: fan.loadedSystemCurve.map(place) }]),
		],
		rules: SOUND.map((percent) => ({
			along: "y",
			at: (free * percent) / 100,
			name: `${percent} %`,
			dash: [2, 4],
		})),
		marks: [
			...mark(fan.operatingPoint, "circle", fan.loadedSystemCurve === null ? "" : "clean"),
			...mark(fan.loadedOperatingPoint, "diamond", "loaded"),
		].map((one) => ({ ...one, name: one.name.trim() })),
	};
}
