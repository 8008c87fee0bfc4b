import type { Scenario } from "../../../lib/scenario/scenario.ts";
import { formatQuantity, type UnitSystem } from "../../../lib/units/format.ts";
import { entryText, positionOf, unitOf, valueAtPosition, withUnit } from "../scale.ts";
import type { ChoiceControl, QuantityControl, Shown } from "./controls.ts";
import { hide, say } from "./dom.ts";

/** One control of the page, at work. */
export interface Field {
	readonly show: (scenario: Scenario, units: UnitSystem, changed: boolean) => void;
	/** Shows the value that holds, whatever was typed. */
	readonly settle: () => void;
}

/** Says what a control is to be; returns why not, or null. */
export type Enter = (text: string) => string | null;

/** Time after which a half-typed entry is taken for a wrong one [ms]. */
const PATIENCE = 900;

const complaint = (root: HTMLElement, entry: HTMLElement) => {
	const fault = root.querySelector<HTMLElement>(".fault")!;
	return (why: string | null): void => {
		say(fault, why ?? "");
		hide(fault, why === null);
		if (why === null) entry.removeAttribute("aria-invalid");
		else entry.setAttribute("aria-invalid", "true");
	};
};

/** A value that is typed in with its unit or moved on a slider. */
export function quantityField(
	root: HTMLElement,
	control: Pick<QuantityControl, "scale" | "shown">,
	enter: Enter,
	reset: (() => void) | null,
): Field {
	const entry = root.querySelector<HTMLInputElement>("input[type=text]")!;
	const slider = root.querySelector<HTMLInputElement>("input[type=range]")!;
	const remark = root.querySelector<HTMLElement>(".remark")!;
	const back = root.querySelector<HTMLButtonElement>("button");
	const complain = complaint(root, entry);
	let shownUnits: UnitSystem = "si";
	let good = "";
	let position = "";
	let dimension: Shown["dimension"] = "number";
	let patience: ReturnType<typeof setTimeout> | undefined;

	const take = (now: boolean): void => {
		clearTimeout(patience);
		const typed = entry.value;
		const why = enter(withUnit(typed, entry.dataset.unit ?? ""));
		if (why === null || now) complain(why);
		else
			patience = setTimeout(() => {
				if (entry.value === typed) complain(why);
			}, PATIENCE);
	};
	const settle = (): void => {
		clearTimeout(patience);
		entry.value = good;
		slider.value = position;
		complain(null);
	};
	entry.addEventListener("input", () => take(false));
	entry.addEventListener("change", () => {
		if (entry.value !== good) take(true);
	});
	entry.addEventListener("blur", () => {
		if (!entry.hasAttribute("aria-invalid")) entry.value = good;
	});
	entry.addEventListener("keydown", ({ key }) => {
		if (key === "Escape") settle();
	});
	slider.addEventListener("input", () => {
		complain(enter(entryText(valueAtPosition(control.scale, Number(slider.value)), dimension, shownUnits)));
		entry.value = good;
	});
	back?.addEventListener("click", () => {
		reset?.();
		settle();
		entry.focus();
	});

	return {
		settle,
		show(scenario, units, changed) {
			const shown = control.shown(scenario);
			shownUnits = units;
			dimension = shown.dimension;
			good = formatQuantity(shown.value, shown.dimension, units);
			entry.dataset.unit = unitOf(good);
			if (document.activeElement !== entry && !entry.hasAttribute("aria-invalid") && entry.value !== good)
				entry.value = good;
			// While a hand is on it, it stands where the hand has put it, not where the rounded value is.
			position = String(positionOf(control.scale, shown.value));
			if (document.activeElement !== slider && slider.value !== position) slider.value = position;
			slider.setAttribute("aria-valuetext", good);
			const note = shown.range === null ? (shown.remark ?? "") : `central value of ${shown.range}`;
			say(remark, note);
			hide(remark, note === "");
			if (back !== null) hide(back, !changed);
		},
	};
}

/** One of some words. */
export function choiceField(root: HTMLElement, control: ChoiceControl, enter: Enter): Field {
	const list = root.querySelector<HTMLSelectElement>("select")!;
	const complain = complaint(root, list);
	let chosen = "";
	list.addEventListener("change", () => complain(enter(list.value)));
	return {
		settle() {
			list.value = chosen;
			complain(null);
		},
		show(scenario) {
			chosen = control.chosen(scenario);
			if (list.value !== chosen && !list.hasAttribute("aria-invalid")) list.value = chosen;
		},
	};
}
