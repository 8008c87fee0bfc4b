import { parse, type Spec, View } from "vega";
import { expressionInterpreter } from "vega-interpreter";
import { type PackedChartData, unpack } from "../sawtooth/pack.ts";
import { type ChartData, co2At, fanAt } from "../sawtooth/picture.ts";
import { sawtoothRows } from "../sawtooth/sawtooth.ts";
import { PAGE, strokeOf } from "../theme.ts";
import { timeInWords } from "../timewords.ts";

/** Steps of the slider over the whole window. */
const STEPS = 720;
/** Narrowest plot [px]; below this the box scrolls. */
const MIN_WIDTH = 200;

const element = <K extends keyof HTMLElementTagNameMap>(tag: K, className = "", text = "") => {
	const made = document.createElement(tag);
	if (className !== "") made.className = className;
	made.textContent = text;
	return made;
};

const svgElement = (tag: string, attributes: Readonly<Record<string, string>>): Element => {
	const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
	for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
	return made;
};
const swatch = (place: number): Element => {
	const { color, dash } = strokeOf(PAGE, place);
	const svg = svgElement("svg", { width: "24", height: "6", "aria-hidden": "true" });
	const ends = { x2: "24", y1: "3", y2: "3" };
	svg.append(
		svgElement("line", { ...ends, stroke: color, "stroke-width": "2.2", "stroke-dasharray": dash.join(" ") }),
	);
	return svg;
};

const ppmText = (at: ReturnType<typeof co2At>): string => {
	if (at === null) return "no figure";
	const [low, high] = [Math.round(at.low), Math.round(at.high)];
	return low === high ? `${low} ppm` : `${low}–${high} ppm`;
};
const fanText = (state: ReturnType<typeof fanAt>): string => (state === null ? "" : `fan ${state}`);

const refuse = () => Promise.reject(new Error("a report loads and links to nothing"));

/** The table that reads every schedule at one moment. */
function readout(picture: ChartData) {
	const box = element("div", "readout");
	const table = element("table");
	const caption = element("caption");
	const body = element("tbody");
	table.append(caption, body);
	box.append(table);
	box.hidden = true;
	const rows = picture.series.map((series, place) => {
		const row = element("tr");
		const head = element("th");
		head.scope = "row";
		head.append(swatch(place), series.name);
		const ppm = element("td", "number");
		const fan = element("td");
		row.append(head, ppm, fan);
		body.append(row);
		return { ppm, fan };
	});
	const tell = (seconds: number): string => {
		caption.textContent = timeInWords(seconds, picture.isTimeOfDay);
		const parts = picture.series.map((series, place) => {
			const ppm = ppmText(co2At(series, seconds));
			const fan = fanText(fanAt(series, seconds));
			const row = rows[place];
			if (row !== undefined) [row.ppm.textContent, row.fan.textContent] = [ppm, fan];
			return [series.name, ppm, fan].filter((part) => part !== "").join(", ");
		});
		return `${caption.textContent}: ${parts.join("; ")}`;
	};
	return { box, tell };
}

async function enliven(figure: HTMLElement): Promise<void> {
	const canvas = figure.querySelector<HTMLElement>(".scroll");
	const data = document.getElementById(figure.dataset.chart ?? "");
	const drawing = canvas?.querySelector("svg");
	if (!canvas || !drawing || data?.textContent == null) return;
	const { chart, picture: packed } = JSON.parse(data.textContent) as {
		chart: Spec;
		picture: PackedChartData;
	};
	const picture = unpack(packed);
	const { windowSeconds } = picture;

	const stage = element("div");
	const view = new View(parse(chart, undefined, { ast: true }), {
		renderer: "svg",
		hover: false,
		expr: expressionInterpreter,
		tooltip: () => undefined,
		loader: { load: refuse, sanitize: refuse, http: refuse, file: refuse },
	});
	const draw = (width: number): void => {
		view.width(width);
		for (const [name, rows] of Object.entries(sawtoothRows(picture, width))) view.data(name, rows);
	};
	const room = (): number => canvas.clientWidth;
	/** What stands left and right of the plot [px]. */
	let margins = 140;
	const resize = async (): Promise<void> => {
		draw(Math.max(MIN_WIDTH, room() - margins));
		await view.runAsync();
		const whole = stage.querySelector("svg")?.width.baseVal.value ?? room();
		margins = Math.ceil(whole - view.width());
		if (whole !== room() && view.width() > MIN_WIDTH) {
			draw(Math.max(MIN_WIDTH, room() - margins));
			await view.runAsync();
		}
		const svg = stage.querySelector("svg");
		svg?.setAttribute("role", "img");
		svg?.setAttribute("aria-label", drawing.getAttribute("aria-label") ?? "");
	};
	view.initialize(stage);
	for (const name of stage.getAttributeNames())
		if (name.startsWith("aria-") || name === "role") stage.removeAttribute(name);
	await resize();
	canvas.replaceChildren(stage);

	const { box, tell } = readout(picture);
	const label = element("label", "moment");
	const slider = element("input");
	slider.type = "range";
	slider.max = String(STEPS);
	slider.value = "0";
	slider.setAttribute("aria-valuetext", "choose a moment with the arrow keys");
	label.append("Read the curves at", slider);
	canvas.after(label, box);

	const show = (seconds: number): void => {
		const share = seconds / windowSeconds;
		slider.value = String(Math.round(share * STEPS));
		slider.setAttribute("aria-valuetext", tell(seconds));
		box.hidden = false;
		const x = canvas.offsetLeft + view.origin()[0] + share * view.width() - canvas.scrollLeft;
		// Where there is no room beside the moment, the table stands below the chart and covers nothing.
		box.classList.remove("below");
		if (Math.max(x, figure.clientWidth - x) < box.offsetWidth + 14) box.classList.add("below");
		const left = share < 0.5 ? x + 14 : x - 14 - box.offsetWidth;
		box.style.left = `${Math.max(0, Math.min(left, figure.clientWidth - box.offsetWidth))}px`;
		view.data(
			"moment",
			picture.series.flatMap((series, place) => {
				const at = co2At(series, seconds);
				return (at === null ? [null] : [...new Set([at.low, at.high])]).map((c) => ({
					key: String(place),
					t: seconds,
					c,
				}));
			}),
		);
		void view.runAsync();
	};
	const hide = (): void => {
		box.hidden = true;
		view.data("moment", []);
		void view.runAsync();
	};
	const point = (event: PointerEvent): void => {
		const left = stage.querySelector("svg")?.getBoundingClientRect().left ?? 0;
		const share = (event.clientX - left - view.origin()[0]) / view.width();
		if (share >= -0.02 && share <= 1.02) show(Math.max(0, Math.min(1, share)) * windowSeconds);
	};
	stage.addEventListener("pointermove", point);
	stage.addEventListener("pointerdown", point);
	slider.addEventListener("input", () => show((Number(slider.value) / STEPS) * windowSeconds));
	slider.addEventListener("focus", () => show((Number(slider.value) / STEPS) * windowSeconds));
	document.addEventListener("keydown", (event) => {
		if (event.key === "Escape" && !box.hidden) hide();
	});

	let drawnFor = room();
	new ResizeObserver(() => {
		if (Math.abs(room() - drawnFor) < 2) return;
		drawnFor = room();
		hide();
		void resize();
	}).observe(canvas);

	// Paper has another width than the window: it gets the drawing that the page came with.
	window.addEventListener("beforeprint", () => canvas.replaceChildren(drawing));
	window.addEventListener("afterprint", () => canvas.replaceChildren(stage));
}

for (const figure of document.querySelectorAll<HTMLElement>("figure[data-chart]")) void enliven(figure);
