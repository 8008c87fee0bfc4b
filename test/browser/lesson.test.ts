import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { lesson } from "../../lib/lesson/lesson.ts";
import { worksheet } from "../../lib/lesson/worksheet.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { lessonReport, worksheetPage } from "../../reports/lesson/lesson.ts";
import { SCHEDULES, scenarioText } from "../reports/sample.ts";
import { browserFor, sidewaysOverflow, violations } from "./visit.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const long = "The cabinet behind the second shelf, as it was before the old timer was moved, second try";

const visit = browserFor(async () => {
	const eight = scenarioText({ name: long, schedules: SCHEDULES }).replace(
		", spin-up: 0.8 s, coast-down: 1.5 s",
		"",
	);
	const sheets = (pupils: number) => Array.from({ length: pupils }, (_, seed) => worksheet({ seed }));
	return {
		lesson: await lessonReport(lesson(), options),
		wordy: await lessonReport(lesson({ scenario: parseScenario(eight, "cabinet.yaml") }), {
			...options,
			units: "us",
		}),
		sheet: worksheetPage(sheets(1), options),
		sheets: worksheetPage(sheets(5), options),
	};
});

test.each([
	["lesson", "light", 1280],
	["lesson", "dark", 390],
	["wordy", "light", 390],
	["wordy", "dark", 1280],
	["sheet", "light", 1280],
	["sheet", "dark", 390],
] as const)(
	"page %s in %s at %i px: no noise, no axe violation, no sideways scroll",
	async (name, colorScheme, width) => {
		await visit(name, { colorScheme, viewport: { width, height: 844 } }, async (page) => {
			await page.evaluate(() => {
				for (const folded of document.querySelectorAll("details")) folded.open = true;
			});
			expect(await violations(page)).toEqual([]);
			expect(await sidewaysOverflow(page)).toBe(0);
		});
	},
);

/** Words of the drawings that are shown and that stick out of their drawing [px]. */
const wordsCutOff = (page: Page): Promise<string[]> =>
	page.evaluate(() =>
		[...document.querySelectorAll("figure svg")]
			.filter((svg) => svg.getBoundingClientRect().width > 0)
			.flatMap((svg) => {
				const frame = svg.getBoundingClientRect();
				return [...svg.querySelectorAll("text")]
					.filter((text) => {
						const box = text.getBoundingClientRect();
						return box.width > 0 && (box.left < frame.left - 2 || box.right > frame.right + 2);
					})
					.map((text) => text.textContent ?? "");
			}),
	);

test.each([
	["lesson", 1280],
	["lesson", 390],
	["wordy", 1280],
	["wordy", 390],
] as const)(
	"in page %s at %i px each picture is shown once, fits its box, and no word is cut off",
	async (name, width) => {
		await visit(name, { viewport: { width, height: 844 } }, async (page) => {
			const overflow = await page.evaluate(() =>
				[...document.querySelectorAll("figure .scroll")]
					.filter((box) => box.clientWidth > 0)
					.map((box) => Math.max(0, box.scrollWidth - box.clientWidth)),
			);
			expect(overflow).toEqual([0, 0, 0, 0, 0, 0, 0]);
			expect(await wordsCutOff(page)).toEqual([]);
		});
	},
);

/** Words of the drawings that are shown and that stand on another word or on a mark. */
const wordsOnWords = (page: Page): Promise<string[]> =>
	page.evaluate(() =>
		[...document.querySelectorAll("figure svg")]
			.filter((svg) => svg.getBoundingClientRect().width > 0)
			.flatMap((svg) => {
				const shrunk = (element: Element) => {
					const { left, right, top, bottom } = element.getBoundingClientRect();
					return { left: left + 1, right: right - 1, top: top + 3, bottom: bottom - 3 };
				};
				const words = [...svg.querySelectorAll("text")].filter((text) => text.textContent !== "");
				const marks = [...svg.querySelectorAll(".mark-symbol path")].filter(
					(mark) => mark.getBoundingClientRect().width > 8,
				);
				return words.flatMap((word) => {
					const own = shrunk(word);
					return [...words, ...marks]
						.filter((other) => {
							const box = shrunk(other);
							return (
								other.textContent !== word.textContent &&
								own.left < box.right &&
								box.left < own.right &&
								own.top < box.bottom &&
								box.top < own.bottom
							);
						})
						.map((other) => `${word.textContent} on ${other.textContent || "a mark"}`);
				});
			}),
	);

test.each([
	["lesson", 1280],
	["lesson", 390],
	["wordy", 390],
] as const)("in page %s at %i px no word stands on another word or on a mark", async (name, width) => {
	await visit(name, { viewport: { width, height: 844 } }, async (page) => {
		expect(await wordsOnWords(page)).toEqual([]);
	});
});

test("answers are folded away, unfold by keyboard, and stand open on paper", async () => {
	await visit("lesson", {}, async (page) => {
		const answers = page.locator("details p");
		expect(await answers.first().isVisible()).toBe(false);
		await page.locator("summary").first().focus();
		await page.keyboard.press("Enter");
		expect(await answers.first().isVisible()).toBe(true);
		await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
		expect(await page.locator("details:not([open])").count()).toBe(0);
		await page.evaluate(() => dispatchEvent(new Event("afterprint")));
		expect(await page.locator("details[open]").count()).toBe(1);
	});
});

const sheetsOfPaper = async (page: Page): Promise<number> =>
	(await page.pdf({ format: "A4" })).toString("latin1").match(/\/Type\s*\/Page\b/g)!.length;

test("on paper a panel is never torn in two, and its picture fits the sheet", async () => {
	await visit("lesson", { viewport: { width: 680, height: 960 } }, async (page) => {
		await page.emulateMedia({ media: "print" });
		expect(
			await page
				.locator(".panel")
				.first()
				.evaluate((panel) => getComputedStyle(panel).breakInside),
		).toBe("avoid");
		const figure = (await page.locator("figure").first().boundingBox())!;
		for (const drawing of await page.locator("figure svg[role=img]:visible").all())
			expect((await drawing.boundingBox())!.width).toBeLessThanOrEqual(figure.width);
		expect(await sidewaysOverflow(page)).toBe(0);
		expect(await sheetsOfPaper(page)).toBeLessThanOrEqual(5);
	});
});

test("a worksheet is one page, its answers another; of five pupils each has a page of their own", async () => {
	await visit("sheet", {}, async (page) => {
		expect(await sheetsOfPaper(page)).toBe(2);
	});
	await visit("sheets", {}, async (page) => {
		const papers = await sheetsOfPaper(page);
		expect(papers).toBeGreaterThan(5);
		expect(papers).toBeLessThanOrEqual(5 + 3);
	});
});
