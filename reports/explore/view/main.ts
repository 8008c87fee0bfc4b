import { InputError } from "../../../lib/errors.ts";
import type { Schedule } from "../../../lib/model/schedule/schedule.ts";
import { formatDuration } from "../../../lib/units/format.ts";
import { upperFirst } from "../../words/format.ts";
import { inOneBreath } from "../../words/verdict.ts";
import { createExplorer, type Explored, soundState } from "../explored.ts";
import { createEditHistory } from "../history.ts";
import { type Scale, withUnit } from "../scale.ts";
import {
	decodeState,
	type ExploreState,
	encodeState,
	SCHEDULE_NAMES,
	type TimerSettingText,
	withValue,
} from "../state.ts";
import { controlGroups, OFF_SCALE, ON_SCALE, type Shown } from "./controls.ts";
import { byId, hide, later, say } from "./dom.ts";
import { choiceField, type Field, quantityField } from "./fields.ts";
import type { OnOffTimes } from "./handle.ts";
import { heroPlot } from "./heroplot.ts";
import type { PageData } from "./markup.ts";
import { showResults } from "./results.ts";
import { settingPlot } from "./settingplot.ts";
import { copyLink, keepInAddress, saveScenario } from "./share.ts";

const { text, fileName, base, cycles } = JSON.parse(byId("scenario").textContent ?? "") as PageData;
const { read, explore, preview } = createExplorer(text, fileName);
let shown: Explored = preview(base);
const edits = createEditHistory(() => performance.now());

const onOffTimesOf = (schedule: Schedule): OnOffTimes =>
	schedule.kind === "cycle" && schedule.onSeconds > 0 && schedule.offSeconds > 0 ? schedule : null;
const widened = (scale: Scale, seconds = 0): Scale => ({
	...scale,
	low: seconds > 0 ? Math.min(scale.low, seconds) : scale.low,
	high: Math.max(scale.high, seconds),
});
const first = onOffTimesOf(shown.comparison.schedules[0]!.schedule);
const onScale = widened(ON_SCALE, first?.onSeconds);
const offScale = widened(OFF_SCALE, first?.offSeconds);

/** What an error says of an entry: without the place in a file that nobody sees. */
function explainRefusal(error: unknown, path: string): string {
	if (!(error instanceof InputError)) throw error;
	const plain = (place: string) => place.replace(/\[\d+\]/g, "").replace(/\.\d+(?=\.)/g, "");
	return error.faults
		.slice(0, 3)
		.map(({ path: at = "", message }) =>
			plain(at) === plain(path) || at.startsWith("schedules.") ? message : `${at}: ${message}`,
		)
		.map((message) => `${upperFirst(message)}.`)
		.join(" ");
}

/** Goes to another state; returns why that cannot be, and then all stays as it is. */
function go(next: ExploreState, path: string): string | null {
	const before = shown.state;
	try {
		shown = preview(next);
	} catch (error) {
		const why = explainRefusal(error, path);
		announce(why);
		return why;
	}
	edits.record(before, next, path);
	render();
	return null;
}

/** Undoes the last move, or redoes it. */
function step(way: "undo" | "redo"): void {
	const to = edits[way](shown.state);
	if (to === null) return;
	shown = preview(to);
	render();
	forgive();
}

const activePath = (part: "on" | "off"): string => `${SCHEDULE_NAMES[shown.state.activeSchedule]}.${part}`;
const enterAt = (path: string) => (entry: string) => go(withValue(shown.state, path, entry), path);
function goSetting({ on, off }: TimerSettingText): void {
	const next = withValue(withValue(shown.state, activePath("on"), on), activePath("off"), off);
	if (go(next, "schedule") === null) for (const field of timeFields) field.settle();
}
function without(path: string): void {
	const { [path]: _, ...values } = shown.state.values;
	go({ ...shown.state, values }, path);
}

const rootOf = (path: string) => document.querySelector<HTMLElement>(`[data-path="${path}"]`)!;
const fields = controlGroups(shown.scenario)
	.flatMap(({ controls }) => controls)
	.map((control) => {
		const { path } = control;
		const field =
			control.kind === "choice"
				? choiceField(rootOf(path), control, enterAt(path))
				: quantityField(rootOf(path), control, enterAt(path), () => without(path));
		return { path, field };
	});

const duration = (value: number, remark: string | null = null): Shown => ({
	value,
	dimension: "duration",
	range: null,
	remark,
});
const timeField = (name: "on" | "off", scale: Scale): Field => {
	const shownTime = () => {
		const { schedule } = shown.comparison.schedules[shown.state.activeSchedule]!;
		const { kind } = schedule;
		const always = kind === "continuous" ? "on" : kind === "off" ? "off" : null;
		return duration(
			kind === "cycle" ? schedule[`${name}Seconds`] : 0,
			always && `the fan is always ${always}`,
		);
	};
	return quantityField(
		rootOf(name),
		{ scale, shown: shownTime },
		(entry) => enterAt(activePath(name))(entry),
		null,
	);
};
const timeFields = [timeField("on", onScale), timeField("off", offScale)];
const RESPONSE = "sensor.response";
const response = quantityField(
	rootOf(RESPONSE),
	{
		scale: { low: 1, high: 1200, hasZero: false },
		shown: ({ sensor }) => duration(sensor?.response.value ?? 0),
	},
	enterAt(RESPONSE),
	() => without(RESPONSE),
);
/** Takes every wrong entry away. */
function forgive(): void {
	for (const field of [...fields.map((one) => one.field), ...timeFields, response]) field.settle();
}

const drawHero = heroPlot(byId("hero"), byId("readings"), byId("moment"));
const drawMap = settingPlot(byId("map"), onScale, offScale, (onSeconds, offSeconds) =>
	goSetting({ on: formatDuration(onSeconds), off: formatDuration(offSeconds) }),
);

const announceLater = later(800);
/** Tells a screen reader, when all is quiet. */
const announce = (words: string): void => announceLater(() => say(byId("status"), words));
/** When all is quiet: browsers refuse to change the address at every move. */
const keepLater = later(300);
/** A preview gives way to the full answer when the hand rests. */
const finishLater = later(250);

function render(): void {
	const { comparison, scenario, state, isPreview } = shown;
	const { units, activeSchedule: moved, isSensorShown, values } = state;
	const isPair = state.schedules.length > 1;
	const verdict = showResults(shown);
	drawHero(shown);
	drawMap(
		shown,
		comparison.schedules.map(({ schedule }) => onOffTimesOf(schedule)),
	);

	for (const { path, field } of fields) field.show(scenario, units, path in values);
	for (const field of timeFields) field.show(scenario, units, false);
	hide(byId("response"), !isSensorShown);
	if (scenario.sensor !== null) response.show(scenario, units, RESPONSE in values);
	const check = (id: string, isChecked: boolean): void => {
		byId<HTMLInputElement>(id).checked = isChecked;
	};
	check("sensor", isSensorShown);
	for (const system of ["si", "us"]) check(`units-${system}`, units === system);
	for (const [place, name] of SCHEDULE_NAMES.entries()) check(`move-${name}`, moved === place);
	hide(byId("which"), !isPair);
	say(byId("pin"), isPair ? `Unpin ${SCHEDULE_NAMES[1 - moved]}` : "Pin A and try a second one");
	const can = edits.available();
	for (const way of ["undo", "redo"] as const) byId(way).setAttribute("aria-disabled", String(!can[way]));
	announce(inOneBreath({ answer: verdict.answer, grounds: verdict.grounds }));
	keepLater(() => keepInAddress(shown));
	byId("page").setAttribute("aria-busy", String(isPreview));
	finishLater(() => {
		if (!isPreview) return;
		shown = explore(shown.state);
		render();
	});
}

const onClick = (id: string, act: () => void) => byId(id).addEventListener("click", act);
const onChange = (id: string, act: () => void) =>
	document.getElementById(id)?.addEventListener("change", act);
onClick("pin", () => {
	const { state } = shown;
	const [a, b] = state.schedules;
	go(
		b === undefined
			? { ...state, schedules: [a, a], activeSchedule: 1 }
			: { ...state, schedules: [state.activeSchedule === 0 ? a : b], activeSchedule: 0 },
		"schedule",
	);
});
for (const place of [0, 1] as const)
	onChange(`move-${SCHEDULE_NAMES[place]}`, () => {
		go({ ...shown.state, activeSchedule: place }, "move");
		for (const field of timeFields) field.settle();
	});
for (const units of ["si", "us"] as const)
	onChange(`units-${units}`, () => go({ ...shown.state, units }, "units"));
onChange("sensor", () =>
	go({ ...shown.state, isSensorShown: byId<HTMLInputElement>("sensor").checked }, RESPONSE),
);
onChange("cycles", () => {
	const choice = byId<HTMLSelectElement>("cycles");
	const chosen = cycles[Number(choice.value)];
	if (chosen !== undefined) goSetting(chosen.setting);
	choice.value = "";
});
onClick("reset", () => {
	go({ ...base, units: shown.state.units }, "reset");
	forgive();
});
onClick("undo", () => step("undo"));
onClick("redo", () => step("redo"));
onClick("save", () => saveScenario(shown, fileName));
onClick("copy", () => void copyLink(shown));

/** Whether a value is half typed, so that it is the browser's to take its letters back. */
function isHalfTyped(target: EventTarget | null): boolean {
	if (!(target instanceof HTMLInputElement && target.type === "text") || target.readOnly) return false;
	const path = target.closest<HTMLElement>("[data-path]")?.dataset.path ?? "";
	try {
		const full = path === "on" || path === "off" ? activePath(path) : path;
		read(withValue(shown.state, full, withUnit(target.value, target.dataset.unit ?? "")));
		return false;
	} catch (error) {
		if (error instanceof InputError) return true;
		throw error;
	}
}
addEventListener("keydown", (event) => {
	const { key, ctrlKey, metaKey, shiftKey, altKey, target } = event;
	const letter = key.toLowerCase();
	if (altKey || !(ctrlKey || metaKey) || !"yz".includes(letter) || isHalfTyped(target)) return;
	event.preventDefault();
	step(letter === "y" || shiftKey ? "redo" : "undo");
});
addEventListener("pointerdown", () => edits.setDragging(true), true);
for (const end of ["pointerup", "pointercancel"] as const)
	addEventListener(end, () => edits.setDragging(false), true);

/** Takes the state that a link carries, as far as it makes sense. */
function fromLink(): void {
	const paths = [...fields.map(({ path }) => path), RESPONSE];
	const { sound, refused } = soundState(read, decodeState(location.hash, base, paths), base);
	shown = explore(sound);
	const note = byId("refused");
	hide(note, refused.length === 0);
	say(
		note,
		refused.length === 0
			? ""
			: `The link gives ${refused.join(", ")} a value that is not valid here; it was left out.`,
	);
	render();
	forgive();
}
addEventListener("hashchange", () => {
	if (location.hash === `#${encodeState(shown.state)}`) return;
	const before = shown.state;
	fromLink();
	edits.record(before, shown.state, "link");
	render();
});
byId("page").removeAttribute("data-waiting");
fromLink();
