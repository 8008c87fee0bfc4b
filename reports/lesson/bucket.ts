import { CHART_FONT, type ChartTheme } from "../charts/theme.ts";
import { escapeContent, escapeHtml } from "../page/html.ts";

/** A bucket into which it drips, with a hole; levels as shares of its height. */
export interface Bucket {
	readonly title: string;
	/** The hole: plugged, always open a little, or opened wide now and then. */
	readonly hole: "shut" | "small" | "wide";
	/** Where the water stands, or swings between. */
	readonly low: number;
	readonly high: number;
	/** What stands beside the levels: of the high one, and of the low one where they differ. */
	readonly highText: string;
	readonly lowText: string | null;
	/** Two lines below it. */
	readonly words: readonly [string, string];
}

/** Of one bucket with its words [px]. */
const CELL = { width: 272, height: 276 };
const BUCKET = { left: 52, top: 62, width: 128, height: 132, taper: 14 };

/** Buckets side by side, or one below the other, as SVG text. */
export function bucketSvg(buckets: readonly Bucket[], columns: number, theme: ChartTheme): string {
	const rows = Math.ceil(buckets.length / columns);
	const [width, height] = [CELL.width * columns, CELL.height * rows];
	const cells = buckets.map(
		(bucket, i) =>
			`<g transform="translate(${(i % columns) * CELL.width},${Math.floor(i / columns) * CELL.height})">${drawn(bucket, theme)}</g>`,
	);
	const paper =
		theme.paper === null ? "" : `<rect width="${width}" height="${height}" fill="${theme.paper}"/>`;
	return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" font-family="${escapeHtml(CHART_FONT)}" font-size="12">${paper}${cells.join("")}</svg>`;
}

function drawn(bucket: Bucket, theme: ChartTheme): string {
	const { title, hole, low, high, highText, lowText, words } = bucket;
	const { left, top, width, height, taper } = BUCKET;
	const [right, bottom] = [left + width, top + height];
	const water = theme.series[0]!;
	const level = (share: number): number => bottom - 6 - share * (height - 22);
	// The walls lean: how far they stand in at a height.
	const lean = (y: number): number => (taper * (y - top)) / height;
	const filled = (from: number, to: number, opacity: number): string => {
		const points = [
			[left + lean(to), to],
			[right - lean(to), to],
			[right - lean(from), from],
			[left + lean(from), from],
		];
		return `<polygon points="${points.map((p) => p.map(tenth).join(",")).join(" ")}" fill="${water}" fill-opacity="${opacity}"/>`;
	};
	const surface = (share: number, dash: string): string => {
		const y = level(share);
		return `<line x1="${tenth(left + lean(y))}" x2="${tenth(right - lean(y))}" y1="${tenth(y)}" y2="${tenth(y)}" stroke="${water}" stroke-width="2"${dash}/>`;
	};
	const beside = (share: number, words: string): string =>
		text(right + 8, level(share) + 4, words, theme.ink);
	const parts = [
		text(left - 40, 18, title, theme.ink, ' font-weight="600" font-size="13"'),
		...[0, 1, 2].map((drop) => droplet(left + width / 2, 34 + drop * 15, water)),
		filled(bottom, level(low), 0.32),
		...(high > low ? [filled(level(low), level(high), 0.13)] : []),
		...(high > low ? [surface(low, "")] : []),
		surface(high, high > low ? ' stroke-dasharray="5 3"' : ""),
		`<polyline points="${left},${top} ${left + taper},${bottom} ${right - taper},${bottom} ${right},${top}" fill="none" stroke="${theme.ink}" stroke-width="2.5" stroke-linejoin="round" stroke-linecap="round"/>`,
		outlet(hole, left + width / 2, bottom, theme),
		beside(high, highText),
		...(lowText === null ? [] : [beside(low, lowText)]),
		...(high > low ? [arrow(left - 16, level(low), level(high), theme, true)] : []),
		...(hole === "shut" ? [arrow(left - 16, level(0.05), level(0.9), theme, false)] : []),
		text(left - 40, bottom + 44, words[0], theme.ink),
		text(left - 40, bottom + 60, words[1], theme.ink),
	];
	return parts.join("");
}

const tenth = (value: number): number => Math.round(value * 10) / 10;

const text = (x: number, y: number, words: string, color: string, more = ""): string =>
	`<text x="${tenth(x)}" y="${tenth(y)}" fill="${color}"${more}>${escapeContent(words)}</text>`;

const droplet = (x: number, y: number, color: string): string =>
	`<path d="M${x} ${y - 6}c3 4 4 5 4 7a4 4 0 0 1-8 0c0-2 1-3 4-7z" fill="${color}"/>`;

/** The hole in the bottom: a plug, a thin trickle, or a gush. */
function outlet(hole: Bucket["hole"], x: number, y: number, theme: ChartTheme): string {
	if (hole === "shut")
		return `<rect x="${x - 9}" y="${y - 4}" width="18" height="9" rx="2" fill="${theme.ink}"/>`;
	const half = hole === "wide" ? 15 : 3;
	const streams = hole === "wide" ? [-10, -5, 0, 5, 10] : [0];
	const gap = `<line x1="${x - half}" x2="${x + half}" y1="${y}" y2="${y}" stroke="${theme.halo}" stroke-width="4"/>`;
	return (
		gap +
		streams
			.map(
				(shift, i) =>
					`<line x1="${x + shift}" x2="${x + shift}" y1="${y - 2}" y2="${y + 24}" stroke="${theme.series[0]}" stroke-width="3"${hole === "wide" ? ` stroke-dasharray="8 4" stroke-dashoffset="${i % 2 === 0 ? 0 : 6}"` : ""}/>`,
			)
			.join("")
	);
}

/** Up, or up and down. */
function arrow(x: number, from: number, to: number, { soft }: ChartTheme, both: boolean): string {
	const head = (y: number, way: number): string =>
		`<path d="M${x - 4} ${tenth(y + 6 * way)}L${x} ${tenth(y)}L${x + 4} ${tenth(y + 6 * way)}" fill="none" stroke="${soft}" stroke-width="1.6"/>`;
	return `<line x1="${x}" x2="${x}" y1="${tenth(from)}" y2="${tenth(to)}" stroke="${soft}" stroke-width="1.6"/>${head(to, 1)}${both ? head(from, -1) : ""}`;
}
