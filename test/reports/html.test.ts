import { expect, test } from "vitest";
import { html } from "../../reports/page/html.ts";

test("a name from right to left is isolated in content and left alone in attributes", () => {
	const name = "חדר 2 קטן";
	expect(html`<p title="${name}">${name} is open</p>`.html).toBe(
		`<p title="${name}">\u2068${name}\u2069 is open</p>`,
	);
	expect(html`<b>${["a ", "سجل", " b"]}</b>`.html).toBe("<b>a \u2068سجل\u2069 b</b>");
	expect(html`<b>${"Gärschrank №2 · 20 °C"}</b>`.html).toBe("<b>Gärschrank №2 · 20 °C</b>");
});

test("a character that turns the direction is shown, not obeyed", () => {
	expect(html`<p>${"a\u202egnp.exe"}</p>`.html).toBe("<p>a\\u202egnp.exe</p>");
});
