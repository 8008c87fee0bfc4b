import { power } from "../../../lib/power.ts";
import { formatDuration } from "../../../lib/units/format.ts";
import { type Html, html } from "../../page/html.ts";
import { drawing, mark, words } from "../section/marks.ts";
import { boxPath, linePath, type Point, tenth, thinCurve } from "../section/path.ts";
import { textWidth } from "../textwidth.ts";
import { LINE, makePlacing, roomOf } from "./placing.ts";

/** The judged value over on- and off-time round an answer, as lines of equal value. */
export interface SettingMapDrawing {
	readonly id: string;
	readonly title: string;
	readonly desc: string;
	readonly onSeconds: ArrayLike<number>;
	readonly offFromSeconds: number;
	readonly offToSeconds: number;
	/** Longest off-time at or below a level, by on-time [s]. */
	readonly lineAt: (ppm: number) => ArrayLike<number>;
	readonly intakePpm: number;
	readonly ceilingPpm: number;
	/** Longest possible off-time with any fan [s]; null: none. */
	readonly maxOffSeconds: number | null;
	readonly marks: readonly {
		readonly name: string;
		readonly note: string;
		readonly onSeconds: number;
		readonly offSeconds: number;
	}[];
}

/** Levels between the fields of a map [ppm]: three below the ceiling's field, three above it. */
export function mapLevels(intakePpm: number, ceilingPpm: number): readonly number[] {
	const room = ceilingPpm - intakePpm;
	const round = (ppm: number): number => Number(ppm.toPrecision(2));
	const below = [0.35, 0.7]
		.map((share) => round(intakePpm + share * room))
		.filter((ppm) => ppm < ceilingPpm && ppm > intakePpm);
	const above = [1.35, 2, 3]
		.map((share) => round(intakePpm + share * room))
		.filter((ppm) => ppm > ceilingPpm);
	return [...new Set([...below, ceilingPpm, ...above])];
}

const TIMES = [
	0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 3600, 7200, 18_000, 43_200, 86_400, 259_200,
	864_000,
];

/** Where on- and off-times stand on a map; both axes are logarithmic. */
export function mapFrame(
	isWide: boolean,
	[onFrom, onTo]: readonly [number, number],
	[offFrom, offTo]: readonly [number, number],
) {
	const [width, left, right, top, bottom] = isWide ? [834, 66, 826, 18, 360] : [358, 66, 352, 18, 290];
	const share = (value: number, from: number, to: number): number =>
		Math.log(Math.min(Math.max(value, from), to) / from) / Math.log(to / from);
	const within = (at: number): number => Math.min(1, Math.max(0, at));
	return {
		...{ width, left, right, top, bottom, height: bottom + 52 },
		x: (off: number): number => left + share(off, offFrom, offTo) * (right - left),
		y: (on: number): number => bottom - share(on, onFrom, onTo) * (bottom - top),
		/** The setting at a place of the drawing, held within the map [s]. */
		settingAt: (x: number, y: number) => ({
			onSeconds: onFrom * power(onTo / onFrom, within((bottom - y) / (bottom - top))),
			offSeconds: offFrom * power(offTo / offFrom, within((x - left) / (right - left))),
		}),
	};
}

/** The map for a wide screen or paper, or for a phone. */
export function settingMapDrawing(of: SettingMapDrawing, isWide: boolean): Html {
	const { onSeconds, offFromSeconds, offToSeconds, intakePpm, ceilingPpm, maxOffSeconds } = of;
	const rows = onSeconds.length;
	const [onFrom, onTo] = [onSeconds[0]!, onSeconds[rows - 1]!];
	const frame = mapFrame(isWide, [onFrom, onTo], [offFromSeconds, offToSeconds]);
	const { width, left, right, top, bottom, x, y } = frame;
	const levels = mapLevels(intakePpm, ceilingPpm);
	const lines = levels.map((ppm): Point[] => {
		const off = of.lineAt(ppm);
		return Array.from({ length: rows }, (_, i): Point => [x(off[i]!), y(onSeconds[i]!)]);
	});
	const at = levels.indexOf(ceilingPpm);
	// From the highest level down, each field covers what lies left of its line.
	const fields = lines
		.map((line, place) => ({
			name: place <= at ? `m-h${Math.min(3, 1 + at - place)}` : `m-f${Math.min(3, place - at)}`,
			path: `${linePath(thinCurve(line))}H${left}V${bottom}Z`.replace(
				/H[\d.]+V[\d.]+Z$/,
				`L${left} ${top}L${left} ${bottom}Z`,
			),
		}))
		.reverse();
	const ceiling = lines[at]!;
	const inside = (line: readonly Point[]): readonly Point[] =>
		line.filter(([px]) => px > left + 1 && px < right - 1);
	const over = `${linePath(thinCurve(ceiling))}L${right} ${top}L${right} ${bottom}Z`;
	const placing = makePlacing(width, bottom + 44);
	// The words of both axes.
	placing.take({ left: 0, right: left + 4, top: 0, bottom: bottom + 44 });
	placing.take({ left: 0, right, top: bottom, bottom: bottom + 44 });
	const said: Html[] = [];
	const say = (
		lines: readonly (readonly [classes: string, text: string])[],
		spots: readonly Point[],
	): boolean => {
		const sizeOf = (classes: string): number =>
			classes.startsWith("b3") ? 21 : classes.startsWith("b2") ? 16 : 13.5;
		const spot = placing.place(
			lines.map(([classes, text]) => [text, sizeOf(classes)]),
			spots,
		);
		if (spot === null) return false;
		lines.forEach(([classes, text], row) => {
			said.push(words(classes, [spot[0], spot[1] + row * LINE], text));
		});
		return true;
	};
	for (const { onSeconds: on, offSeconds: off } of of.marks) {
		const [px, py] = [x(off), y(on)];
		placing.take({ left: px - 9, right: px + 9, top: py - 9, bottom: py + 9 });
	}
	for (const { name, note, onSeconds: on, offSeconds: off } of of.marks) {
		const [px, py] = [x(off), y(on)];
		const wide = Math.max(roomOf(name, 16), roomOf(note, 13.5));
		const spots = [-4, 22, -30, 46, -54, 72, -80, 98, -106].flatMap((dy): Point[] => [
			[px + 13, py + dy],
			[px - wide - 10, py + dy],
			[px - wide / 2, py + dy],
		]);
		const isSaid = say(
			[
				["b2 hal2", name],
				["i hal2", note],
			],
			spots,
		);
		if (!isSaid) say([["b2 hal2", name]], spots);
	}
	const corner = right - roomOf("FAILS", 21) - 8;
	say(
		[["b3 hal2", "HOLDS"]],
		[
			[left + 14, top + 30],
			[left + 14, top + 60],
			[left + 14, bottom - 20],
		],
	);
	say(
		[["b3 hal2", "FAILS"]],
		[
			[corner, bottom - 16],
			[corner, top + 30],
		],
	);
	const [cx, cy] = inside(ceiling)[Math.floor(inside(ceiling).length * 0.72)] ?? [left, top];
	const name = `ceiling ${Math.round(ceilingPpm)} ppm`;
	const wideName = roomOf(name, 13.5);
	say(
		[["b hal2", name]],
		[
			[cx - wideName - 14, cy],
			[cx + 14, cy + 14],
			[cx - wideName - 30, cy - 30],
			[left + 10, top + 60],
		],
	);
	levels.forEach((ppm, place) => {
		if (place === at) return;
		const line = inside(lines[place]!);
		const text = String(ppm);
		const spots = [0.5, 0.35, 0.65, 0.2, 0.8].flatMap((share): Point[] => {
			const spot = line[Math.floor(line.length * share)];
			return spot === undefined ? [] : [[spot[0] - textWidth(text, 13.5, false) / 2, spot[1] + 5]];
		});
		say([["i hal2", text]], spots);
	});
	const wall =
		maxOffSeconds !== null && maxOffSeconds > offFromSeconds && maxOffSeconds < offToSeconds
			? x(maxOffSeconds)
			: null;
	if (wall !== null) {
		const lines = ["no pause over", formatDuration(Math.floor(maxOffSeconds!)), "with any fan"] as const;
		const spots = [16, 60, 120, 180].flatMap((dy): Point[] => [
			[wall + 8, top + dy],
			[wall - roomOf(lines[0], 13.5) - 8, top + dy],
		]);
		say(
			lines.map((text) => ["i hal2", text]),
			spots,
		);
	}
	const gap = isWide ? 60 : 62;
	const ticks = (from: number, to: number, toPx: (t: number) => number, apart: number): number[] => {
		const kept: number[] = [];
		for (const t of TIMES)
			if (t >= from && t <= to && (kept.length === 0 || Math.abs(toPx(t) - toPx(kept.at(-1)!)) >= apart))
				kept.push(t);
		return kept;
	};
	return drawing(
		{
			id: `${of.id}-${isWide ? "w" : "n"}`,
			className: isWide ? "wide" : "narrow",
			width,
			height: frame.height,
			title: of.title,
			desc: of.desc,
		},
		mark("m-f4", boxPath(left, top, right, bottom)),
		fields.map(({ name: field, path }) => mark(field, path)),
		mark("overhatch mh", over),
		wall !== null && mark("wallline", `M${tenth(wall)} ${top}V${bottom}`),
		mark("lintel-l", linePath(thinCurve(inside(ceiling)))),
		ticks(offFromSeconds, offToSeconds, x, gap).map((t) => {
			const px = x(t);
			return html`${mark("tick", `M${tenth(px)} ${bottom}v6`)}${words("l", [px, bottom + 22], formatDuration(t), px > right - 24 ? "end" : px < left + 24 ? "start" : "middle")}`;
		}),
		ticks(onFrom, onTo, y, 26)
			.filter((t) => y(t) > top + 14)
			.map(
				(t) =>
					html`${mark("tick", `M${left} ${tenth(y(t))}h-6`)}${words("l", [left - 9, y(t) + 4], formatDuration(t), "end")}`,
			),
		words("b", [right, bottom + 44], "off-time →", "end"),
		words("b", [0, 12], "on-time ↑"),
		said,
		of.marks.map(({ onSeconds: on, offSeconds: off }) => {
			const [px, py] = [x(off), y(on)];
			return mark(
				"mark-d",
				`M${tenth(px)} ${tenth(py - 7)}L${tenth(px + 7)} ${tenth(py)}L${tenth(px)} ${tenth(py + 7)}L${tenth(px - 7)} ${tenth(py)}Z`,
			);
		}),
	);
}

export const mapDrawings = (of: SettingMapDrawing): Html =>
	html`${settingMapDrawing(of, true)}${settingMapDrawing(of, false)}`;
