import { wideHero } from "../../charts/section/hero.ts";
import { readingLine } from "../../charts/section/readingline.ts";
import { compareHead } from "../../compare/comparewords.ts";
import { head } from "../../page/head.ts";
import { type Html, html } from "../../page/html.ts";
import type { Explored } from "../explored.ts";
import { SLIDER_STEPS } from "../scale.ts";
import { type ExploreState, SCHEDULE_NAMES, type TimerSettingText } from "../state.ts";
import { type Control, type ControlGroup, controlGroups } from "./controls.ts";
import { resultRows } from "./figures.ts";
import { liveHero, SIGNS } from "./livehero.ts";

/** What the page carries for its script. */
export interface PageData {
	readonly text: string;
	readonly fileName: string;
	readonly base: ExploreState;
	/** Cycles of the file, to begin with. */
	readonly cycles: readonly { readonly name: string; readonly setting: TimerSettingText }[];
}

const idOf = (path: string): string => `control-${path.replaceAll(".", "-").replaceAll(" ", "-")}`;

const quantityControl = (path: string, label: string, reset: boolean): Html => {
	const id = idOf(path);
	return html`<div class="control" data-path="${path}">
<label for="${id}">${label}</label>${reset && html`<button type="button" class="back" hidden aria-label="${label}: back to the value of the file">↺</button>`}
<input type="text" id="${id}" autocomplete="off" spellcheck="false" aria-describedby="${id}-remark ${id}-fault">
<input type="range" min="0" max="${SLIDER_STEPS}" aria-label="${label}, slider">
<p class="remark" id="${id}-remark" hidden></p><p class="fault" id="${id}-fault" hidden></p>
</div>`;
};

const control = (one: Control): Html => {
	if (one.kind === "quantity") return quantityControl(one.path, one.label, true);
	const id = idOf(one.path);
	return html`<div class="control" data-path="${one.path}">
<label for="${id}">${one.label}</label>
<select id="${id}" aria-describedby="${id}-fault">${one.options.map((option) => html`<option value="${option}">${option}</option>`)}</select>
<p class="fault" id="${id}-fault" hidden></p>
</div>`;
};

const group = ({ title, controls }: ControlGroup): Html => html`<fieldset>
<legend>${title}</legend>
${controls.map((one) => html`${control(one)}\n`)}</fieldset>`;

const radio = (name: string, id: string, label: string): Html =>
	html`<label class="radio" for="${id}"><input type="radio" name="${name}" id="${id}">${label}</label>`;

const scheduleGroup = (cycles: PageData["cycles"]): Html => html`<fieldset class="schedule">
<legend>Schedule</legend>
<div id="which" class="radios" role="radiogroup" aria-label="schedule that the controls move" hidden><span>Move</span>${SCHEDULE_NAMES.map((name, place) => radio("move", `move-${name}`, `${SIGNS[place]} ${name}`))}</div>
${quantityControl("on", "on-time", false)}
${quantityControl("off", "off-time", false)}
<div class="buttons"><button type="button" id="pin"></button>${
	cycles.length > 0 &&
	html`<select id="cycles" aria-label="take a schedule from the file"><option value="">Take one from the file …</option>${cycles.map(({ name }, place) => html`<option value="${place}">${name}</option>`)}</select>`
}</div>
</fieldset>`;

const sensorGroup = (): Html => html`<fieldset>
<legend>Sensor</legend>
<label class="check" for="sensor"><input type="checkbox" id="sensor">as the sensor shows it</label>
<div id="response">${quantityControl("sensor.response", "response time (t63)", true)}</div>
</fieldset>`;

const controls = (groups: readonly ControlGroup[], cycles: PageData["cycles"]): Html =>
	html`<section class="controls" aria-labelledby="controls">
<h2 id="controls" class="unseen">Controls</h2>
<div class="tools">
<div class="radios" role="radiogroup" aria-label="units"><span>Units</span>${radio("units", "units-si", "m³, kg")}${radio("units", "units-us", "ft³, lb")}</div>
<button type="button" id="reset">Back to the file</button>
</div>
${scheduleGroup(cycles)}
${groups.map((one) => html`${group(one)}\n`)}
${sensorGroup()}
</section>`;

const resultsTable = (explored: Explored): Html => html`<table class="figures">
<thead><tr><th scope="col">value</th>${SCHEDULE_NAMES.map((name, place) => html`<th scope="col" class="number${place === 1 && " of-b"}"><span aria-hidden="true">${SIGNS[place]!} </span>${name}</th>`)}</tr></thead>
<tbody>${resultRows(explored).map(
	({ id, label, unit }) =>
		html`<tr id="figure-${id}"><th scope="row">${label}${unit !== "" && html` <span class="unit">${unit}</span>`}</th>${SCHEDULE_NAMES.map((_, place) => html`<td class="number${place === 1 && " of-b"}"></td>`)}</tr>\n`,
)}</tbody>
</table>`;

/** What a reader takes along. */
export const shareBody = (): Html => html`<div class="share">
<div class="buttons"><button type="button" id="save">Save as scenario file</button><button type="button" id="copy">Copy link</button></div>
<p><label for="link">Link to this state, which works wherever this file is</label><input type="text" id="link" readonly></p>
<p id="done" role="status"></p>
</div>`;

/** The live page before its script fills it: head and drawing of the file stand there already. */
export function exploreBody(explored: Explored, cycles: PageData["cycles"]): Html {
	const { comparison, state, scenario } = explored;
	const hero = liveHero(explored);
	return html`<div id="head">${head(compareHead(comparison, state.units))}</div>
<div id="page" class="in explore" data-waiting>
<div class="bar">
<p class="strip" aria-hidden="true">${SCHEDULE_NAMES.map((name) => html`<span id="strip-${name}"></span> `)}</p>
<div class="buttons"><button type="button" id="undo" aria-keyshortcuts="Control+Z">Undo</button><button type="button" id="redo" aria-keyshortcuts="Control+Shift+Z">Redo</button></div>
</div>
<section class="curve hero" aria-labelledby="curve">
<h2 id="curve" class="unseen">Verdict and sawtooth</h2>
<noscript><p class="fault">This page computes with a script, which this browser does not run. The command lullgust compare writes a report that needs none.</p></noscript>
<p class="fault" id="refused" role="alert" hidden></p>
<p class="fault stale">An entry is wrong, so the results below belong to the last valid one.</p>
<figure><div id="hero">${wideHero(hero)}</div>${readingLine()}</figure>
<p class="lead"><span id="grounds"></span> <span id="more"></span></p>
<p class="say" id="basis"></p>
<p class="unseen" id="status" role="status"></p>
</section>
<section class="settings" aria-labelledby="settings">
<h2 id="settings" class="unseen">Map of all settings</h2>
<figure><div id="map"></div>
<figcaption class="say">Drag the filled or the open point, or click. Above and left of the thick line the judged value holds. Along the dashed line the fresh air per day is the same.<span id="steady-key" hidden> The map uses the highest respiration of the run throughout.</span></figcaption></figure>
</section>
${controls(controlGroups(scenario), cycles)}
<section class="numbers" aria-labelledby="numbers">
<h2 id="numbers" class="unseen">Results</h2>
${resultsTable(explored)}
</section>
</div>`;
}
