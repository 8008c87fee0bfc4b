import { type Html, html } from "../../page/html.ts";
import { drawing, mark, words } from "../section/marks.ts";
import { boxPath, tenth } from "../section/path.ts";
import { truncateText } from "../textwidth.ts";

/** What uncertain inputs do to the peak: a bar each across the ceiling, the largest first. */
export interface Decides {
	readonly id: string;
	readonly title: string;
	readonly desc: string;
	readonly inputs: readonly {
		readonly name: string;
		readonly share: string;
		readonly lowPpm: number;
		readonly highPpm: number;
	}[];
	readonly ceilingPpm: number;
}

const ROW = 44;

function draw({ id, title, desc, inputs, ceilingPpm }: Decides, isWide: boolean): Html {
	const [left, right, width] = isWide ? [70, 760, 834] : [48, 300, 358];
	const ends = [ceilingPpm, ...inputs.flatMap(({ lowPpm, highPpm }) => [lowPpm, highPpm])];
	const [low, high] = [Math.min(...ends), Math.max(...ends)];
	// A runaway end is cut, lest the others be pressed flat.
	const top = Math.min(high, ceilingPpm + 2 * Math.max(ceilingPpm - low, 1));
	const x = (ppm: number): number =>
		left + ((Math.min(ppm, top) - low) / Math.max(top - low, 1)) * (right - left);
	const ceilingX = x(ceilingPpm);
	const bottom = 30 + ROW * inputs.length;
	return drawing(
		{
			id: `${id}-${isWide ? "w" : "n"}`,
			className: isWide ? "wide" : "narrow",
			width,
			height: bottom + 4,
			title,
			desc,
		},
		inputs.map(({ name, share, lowPpm, highPpm }, row) => {
			const y = 30 + ROW * row;
			const [from, to] = [Math.min(lowPpm, highPpm), Math.max(lowPpm, highPpm)];
			const text = truncateText(`${name}: ${share}`, 13.5, true, width / 1.25);
			return html`${words("b hal", [0, y + 14], text)}${mark("bar-d", boxPath(x(from), y + 21, Math.max(x(to), x(from) + 1), y + 37))}${to > ceilingPpm && mark("overhatch", boxPath(Math.max(ceilingX, x(from)), y + 21, x(to), y + 37))}${words("l", [x(from) - 6, y + 34], String(Math.round(from)), "end")}${words(to > ceilingPpm ? "tf" : "l", [x(to) + 6, y + 34], String(Math.round(to)))}`;
		}),
		inputs.map((_, row) => mark("lintel", `M${tenth(ceilingX - 3)} ${44 + ROW * row + 3}h6v24h-6Z`)),
		words(
			"b",
			[Math.min(Math.max(ceilingX, 70), width - 70), 14],
			`ceiling ${Math.round(ceilingPpm)} ppm`,
			"middle",
		),
	);
}

export const decidesDrawings = (of: Decides): Html => html`${draw(of, true)}${draw(of, false)}`;
