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
import { browserFor, sidewaysOverflow, violations } from "./visit.ts";

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
		rig: await rigReport(report, sheetsOf(report), options),
		sheets: sheetsPage(sheetsOf(report), report, options),
		wordy: await rigReport(wordy, sheetsOf(wordy, { units: "us", schedule: long }), us),
		"wordy sheets": sheetsPage(sheetsOf(wordy, { units: "us", schedule: long }), wordy, us),
	};
});

test.each([
	["rig", "light", 1280],
	["rig", "dark", 390],
	["wordy", "light", 390],
	["wordy", "dark", 1280],
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

test.each([1280, 390])("at %i px fan chart and wiring are shown once and fit their boxes", async (width) => {
	await visit("rig", { viewport: { width, height: 844 } }, async (page) => {
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

test("the whole report is not more than fourteen pages, for a sheet does not begin a new one", async () => {
	await visit("rig", {}, async (page) => {
		expect(await papers(page, "A4")).toBeLessThanOrEqual(14);
	});
});

test("on paper blank cells have room to write in, and the drawings fit the sheet", async () => {
	await visit("rig", { viewport: { width: 680, height: 960 } }, async (page) => {
		await page.emulateMedia({ media: "print" });
		const heights = await page
			.locator(".record td.blank")
			.evaluateAll((cells) => cells.map((cell) => cell.getBoundingClientRect().height * (25.4 / 96)));
		expect(heights.length).toBeGreaterThan(30);
		expect(Math.min(...heights)).toBeGreaterThan(5.5);
		const figure = (await page.locator("figure").first().boundingBox())!;
		for (const drawing of await page.locator("figure svg[role=img]:visible").all())
			expect((await drawing.boundingBox())!.width).toBeLessThanOrEqual(figure.width);
		expect(await sidewaysOverflow(page)).toBe(0);
	});
});
