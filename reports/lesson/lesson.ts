import type { Bench } from "../../lib/lesson/bench.ts";
import type { Lesson } from "../../lib/lesson/lesson.ts";
import { inWords } from "../../lib/model/schedule/inwords.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { type CurvePlot, curvePlotSpec } from "../charts/curveplot.ts";
import { compileChart, drawSvg } from "../charts/svg.ts";
import { type ChartTheme, LIGHT, PAGE } from "../charts/theme.ts";
import { drawnFigure, stillFigure } from "../page/figure.ts";
import { type Html, html } from "../page/html.ts";
import { page, scrollBox, section } from "../page/page.ts";
import {
	assumptionsSection,
	cautionsSection,
	footerLine,
	keepTogether,
	type ReportOptions,
} from "../page/sections.ts";
import { formatPpm, formatTime } from "../words/format.ts";
import { warningMessage } from "../words/warnings.ts";
import { bucketSvg } from "./bucket.ts";
import {
	buckets,
	collapsePlot,
	equalAirPlot,
	formatNumber,
	maxOffTimePlot,
	penaltyPlot,
	sensorPlot,
	washoutPlot,
} from "./lessoncharts.ts";
import { answerMisconceptions, type Misconception } from "./lessonquestions.ts";
import { formatPercent, LESSON_TITLE, leadOf, type PanelWords, panelWords } from "./lessonwords.ts";
import { noteWords } from "./noteswords.ts";

export { infeasibleWords, noteWords } from "./noteswords.ts";
export { worksheetPage } from "./worksheet.ts";
export { answerText, givenRows, questionText, workingText } from "./worksheetwords.ts";

/** Its plots have no words at the right, whose room goes to the plot [px]. */
const ROOM = 40;

/** Every picture of a lesson but the buckets, by the panel that it stands in; null where there is none to draw. */
const plots = (lesson: Lesson, units: UnitSystem): Readonly<Record<string, CurvePlot | null>> => ({
	washout: washoutPlot(lesson),
	"equal-air": equalAirPlot(lesson),
	collapse: collapsePlot(lesson),
	penalty: penaltyPlot(lesson, units),
	"max-off-time": maxOffTimePlot(lesson),
	sensor: sensorPlot(lesson),
});

async function panel(words: PanelWords, number: number, lesson: Lesson, units: UnitSystem): Promise<Html> {
	const { id, heading, text, picture, caption } = words;
	const plot = plots(lesson, units)[id] ?? null;
	const drawing =
		id === "bucket"
			? drawnFigure(
					bucketSvg(buckets(lesson, units), 3, PAGE),
					bucketSvg(buckets(lesson, units), 1, PAGE),
					picture,
					caption,
				)
			: plot !== null
				? await stillFigure(id, (width) => curvePlotSpec(plot, PAGE, width + ROOM), picture, caption)
				: null;
	return html`<section class="panel${plot !== null && " beside"}" aria-labelledby="${id}">
<h2 id="${id}"><span class="count">${number}</span> ${heading}</h2>
<p>${keepTogether(text)}</p>
${drawing}
</section>`;
}

const scheduleTable = ({ schedules, ceilingPpm }: Lesson): Html =>
	scrollBox(
		"Schedules of the lesson",
		html`<table class="small schedules">
<thead><tr><th scope="col">schedule</th><th scope="col" class="number">air changes per burst</th><th scope="col" class="number">replaced</th><th scope="col" class="number">peak<span class="words">ppm</span></th><th scope="col" class="number">mean<span class="words">ppm</span></th><th scope="col">peak under ${formatPpm(ceilingPpm)}</th></tr></thead>
<tbody>${schedules.map(
			({ name, schedule, airChangesPerBurst, replacedFraction, summary }) =>
				html`<tr><th scope="row">${name}<span class="words">${inWords(schedule)}</span></th><td class="number">${formatNumber(airChangesPerBurst)}</td><td class="number">${formatPercent(replacedFraction)}</td><td class="number">${Math.round(summary.peakPpm)}</td><td class="number">${Math.round(summary.meanPpm)}</td><td>${summary.peakPpm <= ceilingPpm ? "✓ yes" : "✗ no"}</td></tr>\n`,
		)}</tbody>
</table>`,
		"The table is wider than the screen",
	);

const grams = (kg: number): string =>
	kg < 1 ? `${Number((kg * 1000).toPrecision(2))} g` : `${formatNumber(kg)} kg`;
const millilitres = (m3: number): string => `${formatNumber(m3 * 1e6)}\u00a0mL`;

function benchSection({ water, jar, doses, room }: Bench, units: UnitSystem): Html {
	const [rare, often] = water.scoopings;
	const volume = (m3: number) => keepTogether(formatQuantity(m3, "volume", units));
	const sentences = [
		`Let ${millilitres(60 * water.dripM3PerS)} of water per minute drip into a beaker with a scale. Scoop out ${formatPercent(rare.share)} of what is there every ${rare.everySeconds} s: in the end it varies between ${millilitres(rare.troughM3)} and ${millilitres(rare.peakM3)}. Now scoop out ${formatPercent(often.share)} (about a sixth) every ${often.everySeconds} s, which leaves as much of any water after a minute: ${millilitres(often.troughM3)} to ${millilitres(often.peakM3)}. A hole that lets the same share out all the time keeps it at ${millilitres(water.holeM3)}.`,
		`Fill a glass with dyed water, pour out half, fill it up with clear water, and do it again. After one such exchange half the dye is left, after two a quarter, never none. Then let clear water run in while mixed water runs over: after one glassful ${formatPercent(Math.exp(-1))} is left.`,
		`Put a CO₂ sensor and a small guarded fan with an inlet and an outlet on a box of ${volume(jar.volumeM3)}. Breathe into it until it stands some ${jar.beforePpm} ppm above the room; one breath gives about ${formatPpm(doses[0]!.risePpm / doses[0]!.breaths)}. Wait for the sensor, run one burst of ${formatTime(jar.burstSeconds)}, wait again. If the fan really moves ${formatQuantity(jar.deliveredM3PerS, "flow", units)}, that is ${formatNumber(jar.airChangesPerBurst)} air changes: ${formatPercent(jar.replacedFraction)} is replaced and ${formatPpm(jar.afterPpm)} above the room is left. Turn it round: from your two readings find out what the fan moves. One burst of a minute and ten of six seconds leave the same in a box without a crop; what differs with a crop is what comes in meanwhile.`,
	];
	return section(
		"bench",
		"On the bench",
		html`<h3>Drip and scoop</h3>
<p>${keepTogether(sentences[0]!)}</p>
<h3>Wash out a dye</h3>
<p>${keepTogether(sentences[1]!)}</p>
<h3>A box, a fan and a breath</h3>
<p>${keepTogether(sentences[2]!)}</p>
<h3>Doses</h3>
<p>What raises the CO₂ of a box by ${formatPpm(doses[0]!.risePpm)}, at 20 °C and sea level. Breath is the safest; a breath at rest counts as half a litre with 4 % of CO₂ (textbook values, from memory).</p>`,
		scrollBox(
			"Doses of CO₂",
			html`<table class="small">
<thead><tr><th scope="col">box</th><th scope="col" class="number">pure CO₂</th><th scope="col" class="number">breaths</th><th scope="col" class="number">baking soda in vinegar</th><th scope="col" class="number">dry ice (adults only)</th></tr></thead>
<tbody>${doses.map(
				({ volumeM3, co2M3, breaths, bakingSodaKg, dryIceKg }) =>
					html`<tr><th scope="row">${volume(volumeM3)}</th><td class="number">${millilitres(co2M3)}</td><td class="number">${formatNumber(breaths)}</td><td class="number">${grams(bakingSodaKg)}</td><td class="number">${grams(dryIceKg)}</td></tr>\n`,
			)}</tbody>
</table>`,
		),
		html`<h3>Cautions for the bench</h3>
<ul>
<li><strong>No closed vessel, ever.</strong> Soda in vinegar and dry ice make gas that bursts a closed bottle, jar or bag. Use an open cup, and wear goggles.</li>
<li><strong>Dry ice is for adults only</strong>, with insulating gloves or tongs and goggles, in a vented container, never in a car or a small room: ${grams(room.kg)} of it raises a closed room of ${volume(room.volumeM3)} by some ${formatNumber(room.risePpm)} ppm, far above the limit of 5000 ppm at work over 8 h. Follow the supplier's safety sheet and local rules. Schools take breath or soda.</li>
<li>Work in a ventilated room, and never put your head into a chamber that was dosed.</li>
<li>Guard the fan and unplug it before you reach in. Use a listed plug-in adapter, and keep water away from it.</li>
<li>A mouthpiece is for one person. Spores of a ripe crop do not belong in a classroom.</li>
</ul>`,
	);
}

const misconception = ({ question, answer }: Misconception): Html => html`<details>
<summary>${question}</summary>
<p>${keepTogether(answer)}</p>
</details>`;

/** Opens the folded answers for the printer, and folds those again that were. */
const UNFOLD = `(()=>{let folded=[];addEventListener("beforeprint",()=>{folded=[...document.querySelectorAll("details:not([open])")];for(const d of folded)d.open=true});addEventListener("afterprint",()=>{for(const d of folded)d.open=false})})();`;

const LESSON_STYLE = `
.count{display:inline-block;min-width:1.6em;color:var(--accent)}
.panel p{max-width:68ch}
details{border-bottom:1px solid var(--line);max-width:68ch}
summary{padding:.6rem 0;cursor:pointer;font-weight:600}
details p{margin:0 0 .8rem;padding-left:1.1rem}
.small thead th{vertical-align:bottom}
.schedules tbody th{min-width:10.5rem}
@media (min-width:40rem){.schedules tbody th{min-width:19rem}.schedules thead th{max-width:8rem}}
@media print{
.panel{break-inside:avoid}
.beside{display:grid;grid-template-columns:1fr 64mm;grid-template-rows:auto auto 1fr;column-gap:8mm}
.beside h2{grid-column:1/-1}
.beside .wide{display:none}
.beside .narrow{display:block;grid-column:2;grid-row:2/span 2}
.beside figure{display:contents}
.beside .chart svg{max-height:none;width:100%}
.beside>p{margin-top:0}
details{break-inside:avoid;max-width:none}
summary{padding:.35rem 0 .1rem;list-style:none}
summary::-webkit-details-marker{display:none}
.panel p,details p{max-width:none}
}
`;

/** The lesson as one HTML file. */
export async function lessonReport(lesson: Lesson, options: ReportOptions): Promise<string> {
	const { units } = options;
	const words = panelWords(lesson, units);
	const panels = await Promise.all(words.map((one, i) => panel(one, i + 1, lesson, units)));
	return page({
		title: LESSON_TITLE,
		kind: "Lesson",
		lead: keepTogether(leadOf(lesson, units)),
		body: [
			scheduleTable(lesson),
			...panels,
			benchSection(lesson.bench, units),
			section(
				"misconceptions",
				"What do you think?",
				html`<p>Decide first, then unfold the answer.</p>`,
				...answerMisconceptions(lesson, units).map(misconception),
			),
			assumptionsSection([...lesson.notes.map(noteWords), ...lesson.warnings.map(warningMessage)]),
			cautionsSection(),
		],
		footer: footerLine(options),
		script: UNFOLD,
		style: LESSON_STYLE,
	});
}

/** Pictures of a lesson as SVG files of their own, by the name of their panel. */
export async function lessonPictures(
	lesson: Lesson,
	units: UnitSystem,
	theme: ChartTheme = LIGHT,
): Promise<Readonly<Record<string, string>>> {
	const drawn = Object.entries(plots(lesson, units)).flatMap(([name, plot]) =>
		plot === null
			? []
			: [
					compileChart(curvePlotSpec(plot, theme, 760 + ROOM)).then(async (chart) => [
						name,
						await drawSvg(chart, {}, name),
					]),
				],
	);
	return Object.fromEntries([
		["bucket", bucketSvg(buckets(lesson, units), 3, theme)],
		...(await Promise.all(drawn)),
	]);
}
