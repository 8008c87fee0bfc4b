import type { BrowserContextOptions, Page } from "playwright-core";
import { expect, test } from "vitest";
import { compareReport } from "../../reports/compare/compare.ts";
import { simulateReport } from "../../reports/simulate/simulate.ts";
import { SCHEDULES, sample } from "../reports/sample.ts";
import { browserFor, sidewaysOverflow, violations } from "./visit.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const hostile = "<script>document.title='broken'</script>";

const open = browserFor(async () => {
	const two = sample({ name: hostile });
	const eight = sample({ schedules: SCHEDULES });
	const { comparison } = sample({ schedules: [SCHEDULES[1]!], more: "sensor: { response: 90 s }\n" });
	return {
		two: await compareReport(two.comparison, two.curves, options),
		eight: await compareReport(eight.comparison, eight.curves, options),
		run: await simulateReport(comparison, { durationSeconds: 172_800 }, options),
	};
});

/** Opens a report, its live charts ready where scripts run. */
const visit = (name: string, context: BrowserContextOptions, act: (page: Page) => Promise<void>) =>
	open(name, context, async (page) => {
		if (context.javaScriptEnabled !== false) await page.waitForSelector(".moment");
		await act(page);
	});

test.each([
	["two", "light", 1280],
	["two", "dark", 1280],
	["eight", "light", 390],
	["eight", "dark", 390],
	["run", "light", 390],
	["run", "dark", 1280],
] as const)(
	"report %s in %s at %i px: no noise, no axe violation, no sideways scroll",
	async (name, colorScheme, width) => {
		await visit(name, { colorScheme, viewport: { width, height: 844 } }, async (page) => {
			expect(await violations(page)).toEqual([]);
			expect(await sidewaysOverflow(page)).toBe(0);
			// With the readout open too.
			await page.locator(".moment input").first().focus();
			await page.keyboard.press("ArrowRight");
			expect(await page.locator(".readout").first().isVisible()).toBe(true);
			expect(await violations(page)).toEqual([]);
			expect(await sidewaysOverflow(page)).toBe(0);
		});
	},
);

const readings = async (page: Page): Promise<string[]> =>
	(await page.locator(".readout").first().locator("tbody tr").allInnerTexts()).map((row) =>
		row.replace(/\s+/g, " ").trim(),
	);

test("one readout tells every schedule at the moment under the pointer", async () => {
	await visit("eight", {}, async (page) => {
		const chart = page.locator("figure svg[role=img]").first();
		await chart.scrollIntoViewIfNeeded();
		const box = (await chart.boundingBox())!;
		await page.mouse.move(box.x + box.width / 2, box.y + 150);
		const rows = await readings(page);
		expect(rows.map((row) => row.replace(/ \d+ ppm fan (on|off)$/, ""))).toEqual(
			SCHEDULES.map(([name]) => name),
		);
		await page.mouse.move(box.x + box.width / 4, box.y + 150);
		expect(await readings(page)).not.toEqual(rows);
		await page.keyboard.press("Escape");
		expect(await page.locator(".readout").first().isVisible()).toBe(false);
	});
});

test.each([1280, 720, 500])("the readout never covers the moment it reads at %i px", async (width) => {
	await visit("two", { viewport: { width, height: 900 } }, async (page) => {
		const chart = page.locator("figure svg[role=img]").first();
		await chart.scrollIntoViewIfNeeded();
		for (const share of [0.2, 0.45, 0.55, 0.8]) {
			const box = (await chart.boundingBox())!;
			const at = { x: box.x + box.width * share, y: box.y + 120 };
			await page.mouse.move(at.x, at.y);
			const shown = (await page.locator(".readout").first().boundingBox())!;
			const beside = at.x < shown.x || at.x > shown.x + shown.width;
			expect(beside || shown.y >= box.y + box.height, `${width} px at ${share}`).toBe(true);
		}
	});
});

test("on a phone the table of figures says that it scrolls, and on paper it does not", async () => {
	await visit("eight", { viewport: { width: 390, height: 844 } }, async (page) => {
		const hint = page.locator(".sideways").first();
		expect(await hint.textContent()).toMatch(/^Scroll sideways: there are \d schedules side by side/);
		await page.emulateMedia({ media: "print" });
		expect(await hint.isVisible()).toBe(false);
	});
});

test("arrow keys move the moment, and say what they read", async () => {
	await visit("two", {}, async (page) => {
		const slider = page.locator(".moment input").first();
		await slider.focus();
		await page.keyboard.press("End");
		const atEnd = await slider.getAttribute("aria-valuetext");
		expect(atEnd).toMatch(
			/^2 h 00 min 00 s: rare and long, \d+ ppm, fan (on|off); short and often, \d+ ppm, fan (on|off)$/,
		);
		await page.keyboard.press("ArrowLeft");
		expect(await slider.getAttribute("aria-valuetext")).not.toBe(atEnd);
		await page.keyboard.press("Home");
		const start = sample().curves.pattern.map((curve) => Math.round(curve.co2Ppm[0]!));
		expect((await readings(page)).map((row) => Number(row.match(/(\d+) ppm/)![1]))).toEqual(start);
	});
});

test("the live chart takes the place of the drawing and follows the width of the window", async () => {
	await visit("two", {}, async (page) => {
		const chart = page.locator("figure svg[role=img]").first();
		const wide = (await chart.boundingBox())!.width;
		expect(await page.locator("figure").first().locator(".scroll svg").count()).toBe(1);
		await page.setViewportSize({ width: 500, height: 900 });
		await expect.poll(async () => (await chart.boundingBox())!.width).toBeLessThan(500);
		expect(wide).toBeGreaterThan(800);
		expect(await sidewaysOverflow(page)).toBe(0);
	});
});

test("without scripts the drawings, the tables and the legend are all there", async () => {
	await visit("two", { javaScriptEnabled: false, viewport: { width: 390, height: 844 } }, async (page) => {
		expect(await page.locator("figure svg[role=img]").count()).toBe(2);
		expect(
			await page.locator("figure").first().locator("svg text", { hasText: "short and often:" }).count(),
		).toBe(1);
		expect(await page.locator("h2").count()).toBe(9);
		expect(await page.locator(".moment").count()).toBe(0);
	});
});

test("a script in a name is shown as text", async () => {
	await visit("two", {}, async (page) => {
		expect(await page.locator("h1").textContent()).toBe(hostile);
		expect(await page.title()).not.toBe("broken");
	});
});

test("on paper the drawings fit the sheet and the controls are gone", async () => {
	await visit("eight", { viewport: { width: 680, height: 960 } }, async (page) => {
		await page.emulateMedia({ media: "print" });
		await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
		const figure = (await page.locator("figure").first().boundingBox())!;
		const drawing = (await page.locator("figure svg[role=img]").first().boundingBox())!;
		expect(drawing.width).toBeLessThanOrEqual(figure.width);
		expect(await page.locator(".moment").first().isVisible()).toBe(false);
		expect(await sidewaysOverflow(page)).toBe(0);
		expect((await page.pdf()).length).toBeGreaterThan(10_000);
	});
});

test("the keyboard reaches the skip link first and every box that scrolls", async () => {
	await visit("eight", { viewport: { width: 390, height: 844 } }, async (page) => {
		await page.keyboard.press("Tab");
		expect(await page.locator(":focus").textContent()).toBe("Skip to the report");
		const unreachable = await page.evaluate(
			() =>
				[...document.querySelectorAll<HTMLElement>("*")]
					.filter(
						(box) => box.scrollWidth > box.clientWidth + 1 && getComputedStyle(box).overflowX === "auto",
					)
					.filter((box) => box.tabIndex < 0).length,
		);
		expect(unreachable).toBe(0);
	});
});
