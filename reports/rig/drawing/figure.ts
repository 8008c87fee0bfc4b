import { CHART_FONT, type ChartTheme, PAGE } from "../../charts/theme.ts";
import { escapeContent, escapeHtml, type Html, html, trusted } from "../../page/html.ts";
import { scrollBox } from "../../page/page.ts";
import type { DrawnBox, DrawnLabel, DrawnLink, DrawnWire, Point, WiringDrawing } from "./drawing.ts";

/** Style of the figure, beside that of every report: the two states beside each other, or one below the other on a phone. */
export const WIRING_STYLE = `
.wiring .states{display:flex;flex-wrap:wrap;gap:1.25rem 1rem;justify-content:center}
.wiring .states>div{flex:0 1 auto;max-width:100%}
@media (max-width:40rem){.wiring .states{gap:1.5rem}}
@media print{.wiring svg{max-height:230mm}.wiring .states{flex-wrap:nowrap;gap:4mm}.wiring .states>div{flex:0 1 50%}}
`;

const round = (x: number): string => String(Number(x.toFixed(1)));
const pathData = (points: readonly Point[]): string =>
	points.map(({ x, y }, place) => `${place === 0 ? "M" : "L"}${round(x)} ${round(y)}`).join("");

/** Current in the series colour that comes nearest to the page's accent; that of a short circuit in the red one. */
const currentColour = (theme: ChartTheme, short: boolean): string => theme.series[short ? 7 : 2] ?? theme.ink;

function drawBox({ rect, isActive, isFaulty }: DrawnBox, theme: ChartTheme, current: string): string {
	const at = `x="${round(rect.x)}" y="${round(rect.y)}" width="${round(rect.width)}" height="${round(rect.height)}" rx="6"`;
	const stroke = isFaulty
		? `stroke="${theme.limit}" stroke-width="2" stroke-dasharray="6 4"`
		: `stroke="${isActive ? current : theme.soft}" stroke-width="${isActive ? 2 : 1}"`;
	const fill = isActive ? `fill="${current}" fill-opacity="0.13"` : 'fill="none"';
	return `<rect ${at} ${fill} ${stroke}/>`;
}

function drawWire({ from, to, isLive }: DrawnWire, theme: ChartTheme, current: string): string {
	const look = isLive
		? `stroke="${current}" stroke-width="3.5"`
		: `stroke="${theme.soft}" stroke-width="1.5"`;
	return `<path d="${pathData([from, to])}" ${look}/>`;
}

/** A head half-way along a long piece of wire, pointing where the current goes. */
function drawArrow({ from, to, isLive }: DrawnWire, current: string): string {
	const [dx, dy] = [Math.sign(to.x - from.x), Math.sign(to.y - from.y)];
	if (!isLive || dy === 0 || Math.abs(to.y - from.y) < 26) return "";
	const [x, y] = [(from.x + to.x) / 2, (from.y + to.y) / 2];
	const tip = { x: x + 6 * dx, y: y + 6 * dy };
	const wings = [-5, 5].map((side) => ({ x: x - 4 * dx + side * dy, y: y - 4 * dy + side * dx }));
	return `<path d="${pathData([tip, ...wings])}Z" fill="${current}"/>`;
}

function drawLink({ points, isClosed, isLive }: DrawnLink, theme: ChartTheme, current: string): string {
	const look = isLive
		? `stroke="${current}" stroke-width="3.5"`
		: isClosed
			? `stroke="${theme.soft}" stroke-width="1.5"`
			: `stroke="${theme.soft}" stroke-width="1.5" stroke-dasharray="1.5 3.5"`;
	return `<path d="${pathData(points)}" ${look}/>`;
}

function drawWord({ text, x, y, anchor, sizePx, tone }: DrawnLabel, theme: ChartTheme): string {
	const bold = tone === "strong" ? ' font-weight="600"' : "";
	const colour = tone === "soft" ? theme.soft : theme.ink;
	const at = anchor === "start" ? "" : ` text-anchor="${anchor}"`;
	return `<text x="${round(x)}" y="${round(y)}" font-size="${sizePx}" fill="${colour}"${at}${bold}>${escapeContent(text)}</text>`;
}

/** A drawing of a wiring as SVG text, with a title and a description for those who cannot see it. `id` keeps several apart. */
export function wiringSvg(drawing: WiringDrawing, theme: ChartTheme, id: string): string {
	const { width, height } = drawing;
	const current = currentColour(theme, drawing.isShorted);
	const dot = ({ x, y }: Point, radius: number, fill: string): string =>
		`<circle cx="${round(x)}" cy="${round(y)}" r="${radius}" fill="${fill}"/>`;
	const [idle, live] = [drawing.wires.filter((w) => !w.isLive), drawing.wires.filter((w) => w.isLive)];
	return [
		`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${round(width)} ${round(height)}" width="${round(width)}" height="${round(height)}" role="img" aria-labelledby="${id}-title ${id}-desc" font-family="${escapeHtml(CHART_FONT)}">`,
		`<title id="${id}-title">${escapeContent(drawing.title)}</title><desc id="${id}-desc">${escapeContent(drawing.description)}</desc>`,
		theme.paper === null ? "" : `<rect width="100%" height="100%" fill="${theme.paper}"/>`,
		drawing.boxes.map((one) => drawBox(one, theme, current)).join(""),
		'<g fill="none" stroke-linecap="round" stroke-linejoin="round">',
		...[...idle, ...live].map((one) => drawWire(one, theme, current)),
		...drawing.links
			.toSorted((a, b) => Number(a.isLive) - Number(b.isLive))
			.map((one) => drawLink(one, theme, current)),
		"</g>",
		...live.map((one) => drawArrow(one, current)),
		...drawing.joints.map((at) => dot(at, 4, theme.ink)),
		...drawing.terminals.map((at) => dot(at, 3, theme.ink)),
		...drawing.labels.map((one) => drawWord(one, theme)),
		"</svg>",
	].join("");
}

/** The states of a wiring as a figure of a page; the page needs `WIRING_STYLE`. */
export const wiringFigure = (id: string, drawings: readonly WiringDrawing[]): Html =>
	html`<figure class="chart wiring">
<div class="states">
${drawings.map(
	(drawing) =>
		html`<div>${scrollBox(drawing.title, trusted(wiringSvg(drawing, PAGE, `${id}-${drawing.state}`)))}</div>\n`,
)}</div>
<figcaption>Thick lines with arrows carry current; a dot joins wires, a crossing without a dot does not. A dotted line inside a part is an open contact. Positive and what it feeds stand on the left, negative on the right.${drawings.some(({ boxes }) => boxes.some(({ isFaulty }) => isFaulty)) && " A fault names each dashed box."}</figcaption>
</figure>`;
