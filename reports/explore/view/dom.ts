/** Whether the window is as narrow as a phone; paper is wide. */
export const PHONE = matchMedia("screen and (max-width:47.5rem)");

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

export function hide(element: Element, isHidden: boolean): void {
	if (element.hasAttribute("hidden") !== isHidden) element.toggleAttribute("hidden", isHidden);
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
