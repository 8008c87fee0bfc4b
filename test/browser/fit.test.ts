import { expect, test } from "vitest";
import { fitReport } from "../../reports/fit/fit.ts";
import { verifyReport } from "../../reports/verify/verify.ts";
import { sampleFit, sampleTest, sampleVerification } from "../reports/fitsample.ts";
import { browserFor, sidewaysOverflow, violations } from "./visit.ts";

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
	["fit", "light", 1280],
	["fit", "dark", 390],
	["bursts", "light", 390],
	["proof", "light", 390],
	["proof", "dark", 1280],
] as const)(
	"page %s in %s at %i px: no noise, no axe violation, no sideways scroll, no drawing beyond its box",
	async (name, colorScheme, width) => {
		await visit(name, { colorScheme, viewport: { width, height: 844 } }, async (page) => {
			expect(await violations(page)).toEqual([]);
			expect(await sidewaysOverflow(page)).toBe(0);
			const beyond = await page.evaluate(() =>
				[...document.querySelectorAll("figure .scroll")]
					.filter((box) => box.clientWidth > 0)
					.map((box) => box.scrollWidth - box.clientWidth),
			);
			expect(beyond.length).toBeGreaterThan(1);
			expect(beyond.every((px) => px <= 0)).toBe(true);
		});
	},
);

test("on paper the drawings fit the sheet, and no table is wider", async () => {
	await visit("fit", { viewport: { width: 680, height: 960 } }, async (page) => {
		await page.emulateMedia({ media: "print" });
		expect(await sidewaysOverflow(page)).toBe(0);
		const figure = (await page.locator("figure").first().boundingBox())!;
		for (const drawing of await page.locator("figure svg[role=img]:visible").all())
			expect((await drawing.boundingBox())!.width).toBeLessThanOrEqual(figure.width);
	});
});

test("the axis of a log with dates tells its days and hours, and the legend what is excluded", async () => {
	await visit("fit", {}, async (page) => {
		const words = await page
			.locator("figure svg[role=img]:visible")
			.first()
			.locator("text")
			.allTextContents();
		expect(words).toEqual(
			expect.arrayContaining(["11 Mar", "12:00", "fan", "excluded", "excluded: clipped (7)"]),
		);
	});
});
