import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import {
	type CommissioningOptions,
	checkRig,
	commissioning,
	parseScenario,
	type RigReport,
} from "../../lib/index.ts";
import { commissioningSheets, rigReport, type SheetOptions, sheetsPage } from "../../reports/rig/rig.ts";
import { fanWith, rigText } from "../rig/rigs.ts";
import { browserFor, drawnWordFaults, sidewaysOverflow, violations, widenWords } from "./visit.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const long = "the way the old timer behind the second shelf was set before it was moved, second try";

const sheetsOf = (report: RigReport, options: CommissioningOptions & SheetOptions = {}) =>
	commissioningSheets(commissioning(report, options), report, options);

const visit = browserFor(async () => {
	const shipped = readFileSync(
		new URL("../../fixtures/scenarios/filtered-cabinet.yaml", import.meta.url),
		"utf8",
	);
	const report = checkRig(parseScenario(shipped, "filtered-cabinet.yaml"));
	const wordyText = `name: The cabinet behind the second shelf\n${rigText({
		...fanWith(["current: 0.5 A", "count: 4, current: 0.5 A"]),
		fuse: "8 A",
		schedules: `{ "${long}": { on: 2 s, off: 58 s }, b: { on: 60 s, off: 59 min } }\nsensor: { response: 3 min }`,
	})}`;
	const wordy = checkRig(parseScenario(wordyText, "rig with a long name.yaml"));
	const us = { ...options, units: "us" } as const;
	return {
		rig: await rigReport(report, options),
		sheets: sheetsPage(sheetsOf(report), report, options),
		wordy: await rigReport(wordy, us),
		"wordy sheets": sheetsPage(sheetsOf(wordy, { units: "us", schedule: long }), wordy, us),
	};
});

const widths = [1280, 1024, 800, 390, 360, 320] as const;

test.each([
	["rig", "light"],
	["wordy", "dark"],
] as const)(
	"page %s in %s at all widths: no noise, no axe violation, no sideways scroll, no word over another",
	async (name, colorScheme) => {
		await visit(name, { colorScheme, bypassCSP: true }, async (page) => {
			for (const width of widths) {
				await page.setViewportSize({ width, height: 844 });
				expect(await sidewaysOverflow(page), `${width} px`).toBe(0);
				expect(await drawnWordFaults(page), `${width} px`).toEqual([]);
				if (width === 1280 || width === 390) expect(await violations(page)).toEqual([]);
			}
			await page.emulateMedia({ media: "print" });
			expect(await drawnWordFaults(page)).toEqual([]);
			await page.emulateMedia({ media: null });
			await widenWords(page);
			for (const width of [1280, 390]) {
				await page.setViewportSize({ width, height: 844 });
				expect(await drawnWordFaults(page, ":not(.chart *)"), `wider words at ${width} px`).toEqual([]);
			}
		});
	},
	60_000,
);

test.each([
	["sheets", "light", 390],
	["sheets", "dark", 1280],
] as const)(
	"page %s in %s at %i px: no noise, no axe violation, no sideways scroll",
	async (name, colorScheme, width) => {
		await visit(name, { colorScheme, viewport: { width, height: 844 } }, async (page) => {
			expect(await violations(page)).toEqual([]);
			expect(await sidewaysOverflow(page)).toBe(0);
		});
	},
	60_000,
);

test("the first screen holds state, answer, both figures and the chain; the page is short, also on paper", async () => {
	await visit("rig", { viewport: { width: 1280, height: 800 } }, async (page) => {
		const isInSight = (selector: string) =>
			page
				.locator(selector)
				.last()
				.evaluate((one) => one.getBoundingClientRect().bottom <= innerHeight);
		for (const selector of [".word", "h1", ".figs dd", ".hero .wide"])
			expect(await isInSight(selector), selector).toBe(true);
		const height = () => page.evaluate(() => document.documentElement.scrollHeight);
		expect(await height()).toBeLessThan(4000);
		expect(await papers(page, "A4")).toBeLessThanOrEqual(5);
		await page.setViewportSize({ width: 390, height: 844 });
		for (const selector of [".word", "h1", ".figs dd"])
			expect(await isInSight(selector), selector).toBe(true);
		expect(await height()).toBeLessThan(6700);
		const overflow = await page.evaluate(() =>
			[...document.querySelectorAll("figure .scroll")]
				.filter((box) => box.clientWidth > 0)
				.map((box) => Math.max(0, box.scrollWidth - box.clientWidth)),
		);
		// One chart, and the wiring in two states.
		expect(overflow).toEqual([0, 0, 0]);
	});
});

const papers = async (page: Page, format: "A4" | "Letter"): Promise<number> =>
	(await page.pdf({ format })).toString("latin1").match(/\/Type\s*\/Page\b/g)!.length;

test.each(["sheets", "wordy sheets"])(
	"of the %s each is a page of its own, on A4 and on Letter",
	async (name) => {
		await visit(name, {}, async (page) => {
			expect(await papers(page, "A4")).toBe(8);
			expect(await papers(page, "Letter")).toBe(8);
		});
	},
);

test("on paper blank cells have room to write in", async () => {
	await visit("sheets", { viewport: { width: 680, height: 960 } }, async (page) => {
		await page.emulateMedia({ media: "print" });
		const heights = await page
			.locator(".record td.blank")
			.evaluateAll((cells) => cells.map((cell) => cell.getBoundingClientRect().height * (25.4 / 96)));
		expect(heights.length).toBeGreaterThan(30);
		expect(Math.min(...heights)).toBeGreaterThan(5.5);
		expect(await sidewaysOverflow(page)).toBe(0);
	});
});
