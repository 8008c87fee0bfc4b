import type { RigFinding, RigReport } from "../../lib/rig/check.ts";
import type { RigVerdict } from "../../lib/rig/finding.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { drawing, ground, lintel, mark, words } from "../charts/section/marks.ts";
import { boxPath, tenth } from "../charts/section/path.ts";
import { ppmScale } from "../charts/section/scale.ts";
import { truncateText } from "../charts/textwidth.ts";
import { type Html, html } from "../page/html.ts";
import { gaugeBar, STATE_OF } from "./gaugebar.ts";
import { type Gauge, gaugeOf } from "./gauges.ts";
import { formatRounded, sayIn } from "./rounding.ts";

/** A part of the rig on the way from the adapter to the crop, with the worst that was found of it. */
interface Part {
	readonly name: string;
	/** Drawn in a square of 44 whose middle is at the origin. */
	readonly icon: string;
	readonly verdict: RigVerdict;
	readonly gauge: Gauge | null;
}

const PARTS: readonly {
	readonly name: string;
	readonly icon: string;
	readonly codes: readonly RigFinding["code"][];
}[] = [
	{
		name: "adapter",
		icon: "M-13 -12H13V14H-13ZM-6 -12V-20M6 -12V-20",
		codes: ["supply", "start", "voltage", "class 2", "mains"],
	},
	{ name: "fuse", icon: "M-21 -8H21V8H-21ZM-13 -8V8M13 -8V8M-13 0H13", codes: ["fuse"] },
	{
		name: "cable",
		icon: "M-22 0H-14L-7 -12L7 12L14 0H22",
		codes: ["drop", "wire", "wiring", "wiring and file"],
	},
	{
		name: "timer",
		icon: "M-17 -17H17V17H-17ZM-10 8H-3L8 0M3 8H10M-10 -9H10",
		codes: ["contact", "contact life", "pulse", "power-up"],
	},
	{
		name: "fan",
		icon: "M20 0A20 20 0 1 1 -20 0A20 20 0 1 1 20 0ZM0 0Q4 -18 14 -12Q9 -4 0 0Q18 4 12 14Q4 9 0 0Q-4 18 -14 12Q-9 4 0 0Q-18 -4 -12 -14Q-4 -9 0 0",
		codes: ["fan", "measured flow"],
	},
	{ name: "filter", icon: "M-11 -22H11V22H-11ZM-11 -18L11 -11L-11 -4L11 4L-11 11L11 18", codes: ["filter"] },
	{ name: "duct", icon: "M-22 -12H22V12H-22ZM-12 -12V12M-2 -12V12M8 -12V12", codes: ["burst", "open duct"] },
];
const SEVERITY: readonly RigVerdict[] = ["stop", "attention", "ok"];

/** The parts of a rig that were checked. */
function partsOf({ findings }: RigReport, units: UnitSystem): readonly Part[] {
	const say = sayIn(units);
	return PARTS.flatMap(({ name, icon, codes }) => {
		const own = codes
			.flatMap((code) => findings.filter((found) => found.code === code))
			.map((found) => ({ verdict: found.verdict, gauge: gaugeOf(found, say) }))
			.toSorted(
				(a, b) =>
					SEVERITY.indexOf(a.verdict) - SEVERITY.indexOf(b.verdict) ||
					Number(a.gauge === null) - Number(b.gauge === null),
			);
		const [worst] = own;
		return worst === undefined ? [] : [{ name, icon, ...worst }];
	});
}

const limitWords = ({ limitWords: words, least, isMinimum }: Gauge): string =>
	isMinimum || least !== undefined ? words : `limit ${words}`;

const VERDICT: Readonly<Record<RigVerdict, string>> = { ok: "", attention: "attention", stop: "stop" };
const COLOUR: Readonly<Record<RigVerdict, string>> = { ok: "i", attention: "td", stop: "tf" };

const glyphAt = (verdict: RigVerdict, x: number, y: number): Html | null =>
	verdict === "ok"
		? null
		: html`<svg x="${tenth(x - 11)}" y="${tenth(y - 16)}" width="22" height="22" viewBox="0 0 24 24"><use href="#g-${STATE_OF[verdict]}"/></svg>`;

const iconAt = (icon: string, x: number, y: number): Html =>
	html`<g transform="translate(${tenth(x)} ${tenth(y)})">${mark("blank", "M-22 -20H22V20H-22Z")}${mark("part", icon)}</g>`;

/** The chamber at the end of the chain, with the worst of its schedules, filter clean and loaded. */
function chamberAt(report: RigReport, left: number, right: number, top: number, bottom: number): Html | null {
	const ceilings = report.findings.filter((found) => found.code === "ceiling");
	const worst = ceilings.toSorted((a, b) => (b.loadedPpm ?? b.cleanPpm) - (a.loadedPpm ?? a.cleanPpm))[0];
	if (worst === undefined) return null;
	const { cleanPpm, loadedPpm, ceilingPpm } = worst;
	const intakePpm = report.scenario.intake.co2.value;
	const scale = ppmScale(
		{ ceilingPpm, intakePpm, levels: [cleanPpm, loadedPpm ?? cleanPpm] },
		{ top, bottom },
	);
	const [inner, outer] = [left + 7, right - 7];
	const highest = Math.max(cleanPpm, loadedPpm ?? 0);
	const [clean, loaded, roof] = [scale.y(cleanPpm), scale.y(highest), scale.y(ceilingPpm)];
	return html`${ground(bottom, left - 12, right)}${mark("fill1", boxPath(inner, Math.max(clean, roof), outer, bottom))}${
		highest > cleanPpm &&
		mark("fillhatch", boxPath(inner, Math.max(loaded, roof), outer, Math.max(clean, roof)))
	}${highest > ceilingPpm && html`${mark("over", boxPath(inner, loaded, outer, roof - 7))}${mark("overhatch", boxPath(inner, loaded, outer, roof - 7))}`}${mark("wall", boxPath(left, roof, inner, bottom - 88) + boxPath(left, bottom - 44, inner, bottom) + boxPath(outer, roof, right, bottom))}${lintel(scale, left, right, 7)}${words("b", [left, top - 26], `${worst.statistic} ${Math.round(highest)} ppm`)}${words("l", [left, top - 10], `ceiling ${Math.round(ceilingPpm)} ppm`)}`;
}

function wide(parts: readonly Part[], report: RigReport, id: string, title: string, desc: string): Html {
	const pitch = Math.min(134, 900 / parts.length);
	const y = 96;
	const at = (k: number): number => pitch * (k + 0.5);
	const end = pitch * parts.length;
	const fan = parts.findIndex(({ name }) => name === "fan");
	const share = flowShare(report);
	const [from, half] = [fan < 0 ? end : at(fan), 22];
	return drawing(
		{ id: `${id}-w`, className: "wide", width: 1120, height: 226, title, desc },
		mark("cable", `M${tenth(at(0))} ${y}H${tenth(from)}`),
		share !== null &&
			html`${mark("ghost", `M${tenth(from)} ${y - half}H944M${tenth(from)} ${y + half}H944`)}${mark("fill1", boxPath(from, y - half * share, 930, y + half * share))}${mark("fill1", `M930 ${y - half * share - 6}L948 ${y}L930 ${y + half * share + 6}Z`)}`,
		parts.map(({ name, icon, verdict, gauge }, k) => {
			const [x, left] = [at(k), at(k) - pitch / 2 + 8];
			const room = pitch - 12;
			return html`${iconAt(icon, x, y)}${glyphAt(verdict, left + 11, 44)}${verdict !== "ok" && words(`b ${COLOUR[verdict]}`, [left + 28, 44], VERDICT[verdict])}${words("b2", [left, 150], name)}${
				gauge !== null &&
				html`${gaugeBar(gauge, verdict, { left, top: 162, width: room - 10, height: 12 })}${words(COLOUR[verdict], [left, 196], truncateText(gauge.foundWords, 13.5, false, room))}${words("l", [left, 214], truncateText(limitWords(gauge), 13.5, false, room))}`
			}`;
		}),
		chamberAt(report, 964, 1120, 52, 200),
	);
}

/** Delivered over catalogue flow; null where there is no curve or no operating point. */
const flowShare = ({ fan }: RigReport): number | null =>
	fan?.operatingPoint.exists === true && fan.catalogueM3PerS > 0
		? Math.min(1, fan.operatingPoint.flowM3PerS / fan.catalogueM3PerS)
		: null;

const narrow = (parts: readonly Part[], id: string, title: string, desc: string): Html =>
	drawing(
		{ id: `${id}-n`, className: "narrow", width: 358, height: 62 * parts.length, title, desc },
		mark("cable", `M24 30V${62 * parts.length - 30}`),
		parts.map(({ name, icon, verdict, gauge }, k) => {
			const y = 62 * k + 30;
			return html`${iconAt(icon, 24, y)}${words("b2", [62, y - 8], name)}${glyphAt(verdict, 160, y - 8)}${verdict !== "ok" && words(`b ${COLOUR[verdict]}`, [176, y - 8], VERDICT[verdict])}${
				gauge !== null &&
				html`${gaugeBar(gauge, verdict, { left: 62, top: y + 2, width: 130, height: 12 })}${words(COLOUR[verdict], [204, y + 4], truncateText(gauge.foundWords, 13.5, false, 154))}${words("l", [204, y + 21], truncateText(limitWords(gauge), 13.5, false, 154))}`
			}`;
		}),
	);

/** The way of the air, from the adapter to the crop: each part with what was found of it and its limit. */
export function chain(id: string, report: RigReport, units: UnitSystem): Html | null {
	const parts = partsOf(report, units);
	if (parts.length === 0) return null;
	const { fan } = report;
	const desc = [
		...parts.map(
			({ name, verdict, gauge }) =>
				`${name}: ${verdict === "ok" ? "OK" : verdict}${gauge === null ? "" : `, ${gauge.foundWords}, ${limitWords(gauge)}`}`,
		),
		...(fan?.operatingPoint.exists
			? [
					`${formatRounded(fan.operatingPoint.flowM3PerS, "flow", units)} of the catalogue's ${formatRounded(fan.catalogueM3PerS, "flow", units)} arrive`,
				]
			: []),
	].join("; ");
	const title = "The rig from the adapter to the crop";
	return html`<figure>${wide(parts, report, id, title, `${desc}.`)}${narrow(parts, id, title, `${desc}.`)}</figure>`;
}
