import { expect, test } from "vitest";
import { fitReport } from "../../reports/fit/fit.ts";
import { verifyReport } from "../../reports/verify/verify.ts";
import { sampleFit, sampleTest, sampleVerification } from "../reports/fitsample.ts";
import { browserFor, drawnWordFaults, sidewaysOverflow, violations, widenWords } from "./visit.ts";

const options = { units: "si", version: "0.0.0-test", date: "2026-03-14" } as const;
const longName = "the-log-of-the-cabinet-behind-the-second-shelf-from-the-tenth-of-march-second-try.csv";

const visit = browserFor(async () => {
	const day = sampleFit({ days: 1 });
	const named = { ...day.series, log: { ...day.series.log, fileName: longName } };
	return {
		fit: await fitReport({ ...day, series: named }, options),
		bursts: await fitReport(sampleTest("bursts"), { ...options, units: "us" }),
		proof: await verifyReport(sampleVerification({ days: 1 }), options),
	};
});

test.each([
	["fit", "light"],
	["bursts", "dark"],
	["proof", "light"],
] as const)(
	"page %s in %s at all widths: no noise, no axe violation, no sideways scroll, no word over another",
	async (name, colorScheme) => {
		await visit(name, { colorScheme, bypassCSP: true }, async (page) => {
			for (const width of [1280, 1024, 800, 390, 360, 320]) {
				await page.setViewportSize({ width, height: 844 });
				expect(await sidewaysOverflow(page), `${width} px`).toBe(0);
				expect(await drawnWordFaults(page), `${width} px`).toEqual([]);
				if (width === 1280 || width === 390) expect(await violations(page)).toEqual([]);
			}
			await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
			await page.emulateMedia({ media: "print" });
			await page.setViewportSize({ width: 688, height: 960 });
			expect(await sidewaysOverflow(page)).toBe(0);
			for (const drawing of await page.locator("figure svg[role=img]:visible").all())
				expect((await drawing.boundingBox())!.width).toBeLessThanOrEqual(689);
			await page.emulateMedia({ media: null });
			await page.evaluate(() => dispatchEvent(new Event("afterprint")));
			expect(await page.locator("details[open]").count()).toBe(0);
			await widenWords(page);
			for (const width of [1280, 390]) {
				await page.setViewportSize({ width, height: 844 });
				expect(await drawnWordFaults(page, ":not(.chart *)"), `wider words at ${width} px`).toEqual([]);
			}
		});
	},
);

test("the first screen holds state, answer, both figures and the curve; the page is short, also on paper", async () => {
	await visit("fit", { viewport: { width: 1280, height: 800 } }, async (page) => {
		const isInSight = (selector: string) =>
			page
				.locator(selector)
				.last()
				.evaluate((one) => one.getBoundingClientRect().bottom <= innerHeight);
		for (const selector of [".word", "h1", ".figs dd", ".hero .wide"])
			expect(await isInSight(selector), selector).toBe(true);
		const height = () => page.evaluate(() => document.documentElement.scrollHeight);
		expect(await height()).toBeLessThan(3800);
		await page.setViewportSize({ width: 390, height: 844 });
		for (const selector of [".word", "h1", ".figs dd"])
			expect(await isInSight(selector), selector).toBe(true);
		expect(await height()).toBeLessThan(5800);
	});
});

test("the axis of a log with dates tells its days and hours, and the legend what is excluded", async () => {
	await visit("fit", {}, async (page) => {
		await page.locator("summary", { hasText: "The log over time" }).click();
		const words = await page
			.locator("details figure svg[role=img]:visible")
			.first()
			.locator("text")
			.allTextContents();
		expect(words).toEqual(
			expect.arrayContaining(["11 Mar", "12:00", "fan", "excluded", "excluded: clipped (7)"]),
		);
	});
});
