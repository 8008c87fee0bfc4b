type Attributes = Readonly<Record<string, string | number>>;

/** An SVG element under a parent. */
export function draw<K extends keyof SVGElementTagNameMap>(
	parent: Element,
	tag: K,
	attributes: Attributes = {},
	text = "",
): SVGElementTagNameMap[K] {
	const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
	set(made, attributes);
	if (text !== "") made.textContent = text;
	parent.append(made);
	return made;
}

/** Sets what differs: most attributes stay from one move to the next. */
export function set(element: Element, attributes: Attributes): void {
	for (const [name, value] of Object.entries(attributes)) {
		const text = typeof value === "number" ? String(Math.round(value * 10) / 10) : value;
		if (element.getAttribute(name) !== text) element.setAttribute(name, text);
	}
}

export function say(element: Element, text: string): void {
	const { firstChild } = element;
	if (firstChild instanceof Text) {
		if (firstChild.data !== text) firstChild.data = text;
	} else if (text !== "") element.textContent = text;
}

/** Width of a box [px], kept from its last change: to ask for it between changes of the page would lay the page out each time. */
export function watchWidth(box: HTMLElement, changed: () => void): () => number {
	let width = box.clientWidth;
	new ResizeObserver(() => {
		if (box.clientWidth === width) return;
		width = box.clientWidth;
		changed();
	}).observe(box);
	return () => width;
}

export function hide(element: Element, isHidden: boolean): void {
	if (element.hasAttribute("hidden") !== isHidden) element.toggleAttribute("hidden", isHidden);
}

/** Shows an element of a kind for each of some items, made anew only where they lack, with its attributes and its text. */
export function pool<K extends keyof SVGElementTagNameMap>(
	parent: Element,
	tag: K,
	className: string,
): <T>(
	items: readonly T[],
	attributes: (item: T, place: number) => Attributes,
	text?: (item: T, place: number) => string,
) => void {
	const made: SVGElementTagNameMap[K][] = [];
	return (items, attributes, text) => {
		while (made.length < items.length) made.push(draw(parent, tag, { class: className }));
		made.forEach((element, place) => {
			hide(element, place >= items.length);
			if (place >= items.length) return;
			set(element, attributes(items[place]!, place));
			if (text !== undefined) say(element, text(items[place]!, place));
		});
	};
}

/** Of labels along an axis which have room beside the one before; the others say nothing. */
export function roomyLabels<T extends { readonly at: number; readonly text: string }>(
	labels: readonly T[],
	room: (label: T) => number,
	gap: number,
): readonly T[] {
	let taken = Number.NEGATIVE_INFINITY;
	return labels.map((label) => {
		const half = room(label) / 2;
		if (label.at - half < taken + gap) return { ...label, text: "" };
		taken = label.at + half;
		return label;
	});
}

/** Does the last of what was asked for once that is so long ago [ms]. */
export function later(milliseconds: number): (act: () => void) => void {
	let waiting: ReturnType<typeof setTimeout> | undefined;
	return (act) => {
		clearTimeout(waiting);
		waiting = setTimeout(act, milliseconds);
	};
}

/** The element of the page with this id. */
export function byId<T extends Element = HTMLElement>(id: string): T {
	const found = document.getElementById(id);
	if (found === null) throw new Error(`the page has no element "${id}"`);
	return found as unknown as T;
}
