import { InputError } from "../../../lib/errors.ts";
import type { Schedule } from "../../../lib/model/schedule/schedule.ts";
import { formatDuration } from "../../../lib/units/format.ts";
import { basisWords, formatPpm, inOneBreath, verdictOf } from "../../words/verdict.ts";
import { warningMessage } from "../../words/warnings.ts";
import { createExplorer, type Explored, soundState } from "../explored.ts";
import { createEditHistory } from "../history.ts";
import type { Scale } from "../scale.ts";
import {
	decodeState,
	type ExploreState,
	encodeState,
	SCHEDULE_NAMES,
	type TimerSettingText,
	withValue,
} from "../state.ts";
import { controlGroups, OFF_SCALE, ON_SCALE, type QuantityControl } from "./controls.ts";
import { byId, hide, say } from "./dom.ts";
import { choiceField, type Field, quantityField } from "./fields.ts";
import { resultRows } from "./figures.ts";
import type { OnOffTimes } from "./handle.ts";
import type { PageData } from "./markup.ts";
import { sawtoothPlot } from "./sawtooth.ts";
import { settingPlot } from "./settingplot.ts";

const { text, fileName, base, cycles } = JSON.parse(byId("scenario").textContent ?? "") as PageData;
const { read, explore, preview } = createExplorer(text, fileName);
let shown: Explored = preview(base);
const edits = createEditHistory(() => performance.now());

const onOffTimesOf = (schedule: Schedule): OnOffTimes =>
	schedule.kind === "cycle" && schedule.onSeconds > 0 && schedule.offSeconds > 0 ? schedule : null;
const widened = (scale: Scale, seconds: number): Scale => ({
	...scale,
	low: seconds > 0 ? Math.min(scale.low, seconds) : scale.low,
	high: Math.max(scale.high, seconds),
});
const first = onOffTimesOf(shown.comparison.schedules[0]!.schedule);
const onScale = widened(ON_SCALE, first?.onSeconds ?? 0);
const offScale = widened(OFF_SCALE, first?.offSeconds ?? 0);

/** What an error says of an entry: without the place in a file that nobody sees. */
function explainRefusal(error: unknown, path: string): string {
	if (!(error instanceof InputError)) throw error;
	const plain = (place: string) => place.replace(/\[\d+\]/g, "").replace(/\.\d+(?=\.)/g, "");
	return error.faults
		.slice(0, 3)
		.map(({ path: at = "", message }) =>
			plain(at) === plain(path) || at.startsWith("schedules.") ? message : `${at}: ${message}`,
		)
		.map((message) => `${message.charAt(0).toUpperCase()}${message.slice(1)}.`)
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

/** Time without a move after which a preview gives way to the full answer [ms]. */
const REST = 250;
let resting: ReturnType<typeof setTimeout> | undefined;
/** Takes the place of a preview when the hand rests. */
function finish(): void {
	clearTimeout(resting);
	byId("page").setAttribute("aria-busy", String(shown.isPreview));
	if (!shown.isPreview) return;
	resting = setTimeout(() => {
		shown = explore(shown.state);
		render();
	}, REST);
}

/** Undoes the last move, or redoes it. */
function step(way: "undo" | "redo"): void {
	const to = edits[way](shown.state);
	if (to === null) return;
	shown = preview(to);
	render();
	forgive();
}

const enterAt = (path: string) => (entry: string) => go(withValue(shown.state, path, entry), path);
const activePath = (part: "on" | "off"): string => `${SCHEDULE_NAMES[shown.state.activeSchedule]}.${part}`;
const goSetting = ({ on, off }: TimerSettingText): void => {
	const { state } = shown;
	const next = withValue(
		withValue(state, `${SCHEDULE_NAMES[state.activeSchedule]}.on`, on),
		`${SCHEDULE_NAMES[state.activeSchedule]}.off`,
		off,
	);
	if (go(next, "schedule") === null) for (const field of timeFields) field.settle();
};

function without(path: string): void {
	const { [path]: _, ...values } = shown.state.values;
	go({ ...shown.state, values }, path);
}

const fields: { readonly path: string; readonly field: Field }[] = [];
for (const { controls } of controlGroups(shown.scenario))
	for (const control of controls) {
		const root = document.querySelector<HTMLElement>(`[data-path="${control.path}"]`)!;
		const field =
			control.kind === "choice"
				? choiceField(root, control, enterAt(control.path))
				: quantityField(root, control, enterAt(control.path), () => without(control.path));
		fields.push({ path: control.path, field });
	}

const timeField = (name: "on" | "off", scale: Scale): Field => {
	const control: QuantityControl = {
		kind: "quantity",
		path: name,
		label: name,
		scale,
		shown: () => {
			const { schedule } = shown.comparison.schedules[shown.state.activeSchedule]!;
			return {
				value: schedule.kind === "cycle" ? schedule[`${name}Seconds`] : 0,
				dimension: "duration",
				range: null,
				remark:
					schedule.kind === "continuous"
						? "the fan is always on"
						: schedule.kind === "off"
							? "the fan is always off"
							: null,
			};
		},
	};
	const root = document.querySelector<HTMLElement>(`[data-path="${name}"]`)!;
	return quantityField(root, control, (entry) => enterAt(activePath(name))(entry), null);
};
const timeFields = [timeField("on", onScale), timeField("off", offScale)];

const response = quantityField(
	document.querySelector<HTMLElement>('[data-path="sensor.response"]')!,
	{
		kind: "quantity",
		path: "sensor.response",
		label: "response",
		scale: { low: 1, high: 1200, hasZero: false },
		shown: ({ sensor }) => ({
			value: sensor?.response.value ?? 0,
			dimension: "duration",
			range: null,
			remark: null,
		}),
	},
	enterAt("sensor.response"),
	() => without("sensor.response"),
);

const drawSawtooth = sawtoothPlot(byId("sawtooth"));
const drawMap = settingPlot(byId("map"), byId("legend"), onScale, offScale, (onSeconds, offSeconds) =>
	goSetting({ on: formatDuration(onSeconds), off: formatDuration(offSeconds) }),
);

let announcing: ReturnType<typeof setTimeout> | undefined;
/** Tells a screen reader, when all is quiet. */
function announce(words: string): void {
	clearTimeout(announcing);
	announcing = setTimeout(() => say(byId("status"), words), 800);
}

let keeping: ReturnType<typeof setTimeout> | undefined;
/** Puts the state into the address, when all is quiet: browsers refuse to do that at every move. */
function keep(): void {
	clearTimeout(keeping);
	keeping = setTimeout(() => {
		const fragment = `#${encodeState(shown.state)}`;
		if (location.hash !== fragment) history.replaceState(null, "", fragment);
		byId<HTMLInputElement>("link").value = location.href;
	}, 300);
}

function render(): void {
	const { comparison, scenario, state } = shown;
	const { units, activeSchedule: moved, isSensorShown } = state;
	const verdict = verdictOf(comparison, units);
	say(byId("answer"), `${verdict.answer}.`);
	say(byId("grounds"), verdict.grounds);
	say(byId("more"), (verdict.more ?? []).join(" "));
	for (const [place, name] of SCHEDULE_NAMES.entries()) {
		const one = comparison.schedules[place];
		hide(byId(`strip-${name}`), one === undefined);
		if (one === undefined) continue;
		const { criterion } = one.summary;
		say(
			byId(`strip-${name}`),
			`${name} ${criterion.isMet ? "✓" : "✗"} ${criterion.statistic} ${Math.round(criterion.valuePpm)} of ${formatPpm(criterion.ceilingPpm)}`,
		);
	}

	drawSawtooth(shown);
	drawMap(
		shown,
		comparison.schedules.map(({ schedule }) => onOffTimesOf(schedule)),
	);
	for (const { id, cells } of resultRows(shown)) {
		const row = byId(`figure-${id}`);
		hide(row, id.startsWith("sensor-") && !isSensorShown);
		SCHEDULE_NAMES.forEach((_, place) => {
			say(row.children[place + 1]!, cells[place] ?? "");
		});
	}
	const two = state.schedules.length > 1;
	for (const cell of document.querySelectorAll(".of-b")) hide(cell, !two);

	for (const { path, field } of fields) field.show(scenario, units, path in state.values);
	for (const field of timeFields) field.show(scenario, units, false);
	hide(byId("response"), !isSensorShown);
	if (scenario.sensor !== null) response.show(scenario, units, "sensor.response" in state.values);
	byId<HTMLInputElement>("sensor").checked = isSensorShown;
	hide(byId("sensor-key"), !isSensorShown);
	hide(byId("steady-key"), comparison.model.source === undefined);
	// A preview does not ask whether anything repeats.
	if (!shown.isPreview) {
		const basis = basisWords(comparison.schedules[moved]!.summary);
		say(byId("basis"), `The chart shows ${basis}.`);
		list(byId("warnings"), comparison.warnings.map(warningMessage));
	}
	for (const system of ["si", "us"] as const)
		byId<HTMLInputElement>(`units-${system}`).checked = units === system;
	for (const [place, name] of SCHEDULE_NAMES.entries())
		byId<HTMLInputElement>(`move-${name}`).checked = moved === place;
	hide(byId("which"), !two);
	say(byId("pin"), two ? `Unpin ${SCHEDULE_NAMES[1 - moved]}` : "Pin A and try a second one");
	const can = edits.available();
	byId("undo").setAttribute("aria-disabled", String(!can.undo));
	byId("redo").setAttribute("aria-disabled", String(!can.redo));
	announce(inOneBreath({ answer: verdict.answer, grounds: verdict.grounds }));
	keep();
	finish();
}

/** Words as the items of a list. */
function list(root: HTMLElement, words: readonly string[]): void {
	while (root.children.length < words.length) root.append(document.createElement("li"));
	[...root.children].forEach((item, i) => {
		hide(item, i >= words.length);
		say(item, words[i] ?? "");
	});
}

byId("pin").addEventListener("click", () => {
	const { state } = shown;
	const [a, b] = state.schedules;
	go(
		b === undefined
			? { ...state, schedules: [a, a], activeSchedule: 1 }
			: { ...state, schedules: [state.activeSchedule === 0 ? a : b], activeSchedule: 0 },
		"schedule",
	);
});
SCHEDULE_NAMES.forEach((name, place) => {
	byId(`move-${name}`).addEventListener("change", () => {
		go({ ...shown.state, activeSchedule: place as 0 | 1 }, "move");
		for (const field of timeFields) field.settle();
	});
});
for (const units of ["si", "us"] as const)
	byId(`units-${units}`).addEventListener("change", () => {
		go({ ...shown.state, units }, "units");
	});
byId<HTMLInputElement>("sensor").addEventListener("change", ({ currentTarget }) => {
	go({ ...shown.state, isSensorShown: (currentTarget as HTMLInputElement).checked }, "sensor.response");
});
document.getElementById("cycles")?.addEventListener("change", ({ currentTarget }) => {
	const list = currentTarget as HTMLSelectElement;
	const chosen = cycles[Number(list.value)];
	if (chosen !== undefined) goSetting(chosen.setting);
	list.value = "";
});
/** Takes every wrong entry away. */
function forgive(): void {
	for (const field of [...fields.map((one) => one.field), ...timeFields, response]) field.settle();
}
byId("reset").addEventListener("click", () => {
	go({ ...base, units: shown.state.units }, "reset");
	forgive();
});
byId("undo").addEventListener("click", () => step("undo"));
byId("redo").addEventListener("click", () => step("redo"));

/** Whether a value is half typed, so that it is the browser's to take its letters back. */
function isHalfTyped(target: EventTarget | null): boolean {
	if (!(target instanceof HTMLInputElement && target.type === "text") || target.readOnly) return false;
	const path = target.closest<HTMLElement>("[data-path]")?.dataset.path ?? "";
	try {
		read(withValue(shown.state, path === "on" || path === "off" ? activePath(path) : path, target.value));
		return false;
	} catch (error) {
		if (error instanceof InputError) return true;
		throw error;
	}
}
addEventListener("keydown", (event) => {
	const { key, ctrlKey, metaKey, shiftKey, altKey, target } = event;
	if (altKey || !(ctrlKey || metaKey) || isHalfTyped(target)) return;
	const letter = key.toLowerCase();
	if (letter !== "z" && letter !== "y") return;
	event.preventDefault();
	step(letter === "y" || shiftKey ? "redo" : "undo");
});
addEventListener("pointerdown", () => edits.setDragging(true), true);
for (const end of ["pointerup", "pointercancel"] as const)
	addEventListener(end, () => edits.setDragging(false), true);
byId("save").addEventListener("click", () => {
	const link = document.createElement("a");
	link.href = `data:text/yaml;charset=utf-8,${encodeURIComponent(shown.text)}`;
	link.download = `${fileName.replace(/^.*[\\/]/, "").replace(/\.(ya?ml|json)$/i, "")}-explored.yaml`;
	link.click();
	const wrong = document.querySelector("[aria-invalid=true]") !== null;
	say(
		byId("done"),
		`Saved as ${link.download}: lullgust compare gives the same values.${wrong ? " The wrong entry is not in it, but the last valid one." : ""}`,
	);
});
byId("copy").addEventListener("click", async () => {
	const link = byId<HTMLInputElement>("link");
	history.replaceState(null, "", `#${encodeState(shown.state)}`);
	link.value = location.href;
	link.select();
	try {
		await navigator.clipboard.writeText(link.value);
		say(byId("done"), "The link is copied. It works wherever this file is.");
	} catch (error) {
		// A browser may forbid it: the link is selected, and the reader copies it.
		if (!(error instanceof DOMException)) throw error;
		say(byId("done"), "Copy the link that is selected.");
	}
});

/** Takes the state that a link carries, as far as it makes sense. */
function fromLink(): void {
	const paths = [...fields.map(({ path }) => path), "sensor.response"];
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
