import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { compareReport } from "../../reports/compare/compare.ts";
import { simulateReport } from "../../reports/simulate/simulate.ts";
import { SCHEDULES, sample } from "../reports/sample.ts";
import {
	browserFor,
	drawnWordFaults,
	pageHeight,
	printedPages,
	sidewaysOverflow,
	violations,
	widenWords,
} from "./visit.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const hostile = "<script>document.title='broken'</script>";

const visit = browserFor(async () => {
	const two = sample({ name: hostile });
	const four = sample({ schedules: [...SCHEDULES.slice(0, 3), ["always", "continuous"]] });
	const eight = sample({ schedules: SCHEDULES });
	const fails = sample({ schedules: SCHEDULES.slice(0, 1), target: "{ ceiling: 800 ppm, floor: 600 ppm }" });
	const { comparison } = sample({ schedules: [SCHEDULES[1]!], more: "sensor: { response: 90 s }\n" });
	return {
		two: compareReport(two.comparison, two.curves, options),
		four: compareReport(four.comparison, four.curves, options),
		eight: compareReport(eight.comparison, eight.curves, options),
		fails: compareReport(fails.comparison, fails.curves, options),
		run: simulateReport(comparison, { durationSeconds: 604_800 }, options),
	};
});

const looksRight = async (page: Page): Promise<void> => {
	expect(await drawnWordFaults(page)).toEqual([]);
	expect(await sidewaysOverflow(page)).toBe(0);
};

test.each([
	["two", "light", 1280],
	["four", "dark", 390],
	["fails", "dark", 1280],
	["run", "light", 390],
] as const)(
	"%s in %s at %i px: no noise, no axe violation, no word over another, the answer and its curve at first sight",
	async (name, colorScheme, width) => {
		const height = width === 390 ? 844 : 800;
		await visit(name, { colorScheme, viewport: { width, height } }, async (page) => {
			expect(await violations(page)).toEqual([]);
			await looksRight(page);
			expect(await pageHeight(page)).toBeLessThanOrEqual(width === 390 ? 5600 : 3800);
			const first = page.locator(`.hero .${width === 390 ? "narrow" : "wide"}`).first();
			const curve = (await first.boundingBox())!;
			expect(curve.y + curve.height).toBeLessThanOrEqual(height);
			// With the slider moved, too.
			await page.locator("#moment").focus();
			await page.keyboard.press("End");
			expect(await violations(page)).toEqual([]);
			expect(await sidewaysOverflow(page)).toBe(0);
		});
	},
);

test("no width, no wider font and no print makes words clash or the page scroll sideways", async () => {
	for (const name of ["four", "eight", "fails", "run"] as const)
		await visit(name, { bypassCSP: true }, async (page) => {
			for (const width of [1280, 1024, 800, 390, 360, 320]) {
				await page.setViewportSize({ width, height: 844 });
				expect(await drawnWordFaults(page), `${name} at ${width}`).toEqual([]);
				expect(await sidewaysOverflow(page), `${name} at ${width}`).toBe(0);
			}
			await page.emulateMedia({ media: "print" });
			await page.setViewportSize({ width: 688, height: 900 });
			await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
			await looksRight(page);
			const smallest = await page.evaluate(() =>
				Math.min(
					...[...document.querySelectorAll<SVGTextElement>("svg[role=img] text")]
						.filter((text) => text.getBoundingClientRect().width > 0)
						.map(
							(text) => Number.parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM()!.a * 0.75,
						),
				),
			);
			expect(smallest).toBeGreaterThanOrEqual(7);
			if (name !== "eight") expect(await printedPages(page)).toBeLessThanOrEqual(name === "four" ? 5 : 4);
			await page.emulateMedia({ media: "screen" });
			await widenWords(page);
			for (const width of [1280, 390]) {
				await page.setViewportSize({ width, height: 844 });
				expect(await drawnWordFaults(page), `${name}, wider, at ${width}`).toEqual([]);
			}
		});
});

test("the slider lies over the time axis, and says what it reads", async () => {
	await visit("two", {}, async (page) => {
		const slider = page.locator("#moment");
		await slider.focus();
		await page.keyboard.press("End");
		expect(await slider.getAttribute("aria-valuetext")).toMatch(/^At 2 h: short and often \d+ ppm$/);
		expect(await page.locator(".read output").textContent()).toBe(
			await slider.getAttribute("aria-valuetext"),
		);
		for (const [key, edge] of [
			["Home", 390],
			["End", 926],
		] as const) {
			await page.keyboard.press(key);
			const sheet = (await page.locator(".hero .wide").first().boundingBox())!;
			const box = (await slider.boundingBox())!;
			const thumb = key === "Home" ? box.x + 8 : box.x + box.width - 8;
			expect(Math.abs(thumb - (sheet.x + (edge / 1120) * sheet.width))).toBeLessThan(1.5);
			const cursor = await page.evaluate(
				() => document.querySelector(".hero .wide .cursor")!.getBoundingClientRect().x,
			);
			expect(Math.abs(cursor - thumb)).toBeLessThan(2.5);
		}
		await page.keyboard.press("Home");
		const start = Math.round(sample().curves.pattern[1]!.co2Ppm[0]!);
		expect(await slider.getAttribute("aria-valuetext")).toBe(`At 0 s: short and often ${start} ppm`);
	});
});

test("without scripts the drawings and tables are all there, and details open", async () => {
	await visit("two", { javaScriptEnabled: false, viewport: { width: 390, height: 844 } }, async (page) => {
		expect(await page.locator(".hero svg[role=img]").count()).toBe(3);
		expect(await page.locator(".stack tbody tr").count()).toBe(2);
		await page.locator("summary").first().click();
		expect(await page.locator("table.figures").first().isVisible()).toBe(true);
	});
});

test("a script in a name is shown as text", async () => {
	await visit("two", {}, async (page) => {
		expect(await page.locator(".what b").textContent()).toBe(hostile);
		expect(await page.title()).not.toBe("broken");
	});
});

test("the keyboard reaches the skip link first and every box that scrolls", async () => {
	await visit("eight", { viewport: { width: 390, height: 844 } }, async (page) => {
		await page.keyboard.press("Tab");
		expect(await page.locator(":focus").textContent()).toBe("Skip to the report");
		await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
		const unreachable = await page.evaluate(
			() =>
				[...document.querySelectorAll<HTMLElement>("main *")]
					.filter(
						(box) => box.scrollWidth > box.clientWidth + 1 && getComputedStyle(box).overflowX === "auto",
					)
					.filter((box) => box.tabIndex < 0).length,
		);
		expect(unreachable).toBe(0);
	});
});
