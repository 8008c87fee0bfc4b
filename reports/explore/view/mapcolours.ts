import { type ContourGrid, traceContour } from "../../../lib/solve/cycles/contour.ts";
import { colourLimits } from "./colourlimits.ts";
import { draw, hide, pool, say, set } from "./dom.ts";
import { clamp } from "./handle.ts";
import { MAP, type MapScales } from "./mapscales.ts";

/** What the colours of the map depend on beside its scales. */
interface ColourLevels {
	readonly intakePpm: number;
	readonly ceilingPpm: number;
	/** Excess of the chamber over that of its unit model [-]. */
	readonly scale: number;
}

/** The colours of the map, its ceiling line and its legend. */
interface MapColours {
	/** What a click is caught on. */
	readonly area: SVGGElement;
	readonly paint: (grid: ContourGrid, scales: MapScales, levels: ColourLevels) => void;
}

/** A path twice: a pale one under a dark one, readable on any colour. */
export const haloedPath = (parent: Element, className: string, halo = "halo"): readonly SVGPathElement[] => [
	draw(parent, "path", { class: halo }),
	draw(parent, "path", { class: className }),
];

export function drawColours(svg: SVGElement, lines: SVGElement, legend: HTMLElement): MapColours {
	const area = draw(svg, "g", { "clip-path": "url(#map-area)", "aria-hidden": "true" });
	const ground = draw(area, "rect", { class: "step" });
	const steps = pool(area, "path", "step");
	svg.insertBefore(area, lines.parentElement);
	const ceilingLine = haloedPath(lines, "contour");
	const swatches = Array.from({ length: 9 }, () => {
		const item = document.createElement("li");
		const mark = draw(item, "svg", { width: 16, height: 12, "aria-hidden": "true" });
		const colour = draw(mark, "rect", { class: "step", width: 16, height: 12, rx: 2 });
		const words = document.createElement("span");
		item.append(words);
		legend.append(item);
		return { item, colour, words };
	});

	/** Regions of one colour under another: the value rises with the off-time and falls with the on-time. */
	const paint = (grid: ContourGrid, scales: MapScales, levels: ColourLevels): void => {
		const { intakePpm, ceilingPpm, scale } = levels;
		const limits = colourLimits(intakePpm, ceilingPpm);
		const curveOf = (level: number) => {
			const excess = scale > 0 ? (level - intakePpm) / scale : level >= intakePpm ? Number.MAX_VALUE : -1;
			return traceContour(grid, excess);
		};
		const heights = [...grid.onSeconds].map((seconds) => scales.y(seconds).toFixed(1));
		const edge = MAP.left + scales.plot;
		set(ground, {
			x: MAP.left,
			y: MAP.top,
			width: scales.plot,
			height: MAP.height,
			fill: `var(--ramp-${limits.length})`,
		});
		steps(limits.toReversed(), (limit, i) => {
			const curve = curveOf(limit);
			const line = heights.map(
				(y, j) => `${clamp(scales.x(Math.max(curve[j]!, 1e-9)), MAP.left, edge).toFixed(1)} ${y}`,
			);
			return {
				d: `M${line.join("L")}H${MAP.left}V${heights[0]}Z`,
				fill: `var(--ramp-${limits.length - 1 - i})`,
			};
		});
		const d = ceilingPath(curveOf(ceilingPpm), heights, scales);
		for (const path of ceilingLine) set(path, { d });
		swatches.forEach(({ item, colour, words }, i) => {
			hide(item, i > limits.length);
			set(colour, { fill: `var(--ramp-${i})` });
			const limit = limits[i];
			say(words, limit === undefined ? `over ${limits.at(-1)}` : `to ${limit}`);
		});
	};
	return { area, paint };
}

/** The line on which the value is at the ceiling, as far as it lies on the map. */
function ceilingPath(
	offSeconds: Float64Array,
	heights: readonly string[],
	{ off, plot, x }: MapScales,
): string {
	let d = "";
	let isOpen = false;
	heights.forEach((y, j) => {
		const [own, next] = [offSeconds[j]!, offSeconds[j + 1] ?? 0];
		const isInside = own > 0 && Number.isFinite(own);
		// Where it leaves the map, it goes on up to the edge.
		if (isInside || (own === 0 && next > 0 && Number.isFinite(next) && next > off.low)) {
			const at = clamp(x(Math.max(own, off.low)), MAP.left, MAP.left + plot);
			d += `${isOpen ? "L" : "M"}${at.toFixed(1)} ${y}`;
			isOpen = true;
		} else isOpen = false;
	});
	return d === "" ? "M0 0" : d;
}
