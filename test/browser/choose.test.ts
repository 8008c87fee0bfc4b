import { expect, test } from "vitest";
import { cardPage, chooseReport } from "../../reports/choose/choose.ts";
import { choiceSample } from "../reports/choicesample.ts";
import { browserFor, drawnWordFaults, pageHeight, sidewaysOverflow, violations } from "./visit.ts";

const options = { units: "si", version: "0.0.0-test", date: "2026-03-14" } as const;
const longName = "The cabinet behind the second shelf, as it was before the old timer was moved, second try";
const MM = 96 / 25.4;

const visit = browserFor(async () => {
	const { feasible, confident, infeasible } = choiceSample();
	const wordy = choiceSample({
		name: longName,
		more: "timer: { ranges: [1..9999 s by 1 s], digits: 4 }\n",
	}).feasible;
	const { setting } = wordy.best;
	const long = { ...setting.off, display: "999.99", range: "100.00 to 99999.99 min in steps of 0.01 min" };
	return {
		choice: await chooseReport(feasible, options),
		sure: await chooseReport(confident, options),
		refusal: await chooseReport(infeasible, options),
		card: cardPage(feasible, options),
		"wordy card": cardPage(
			{
				...wordy,
				best: { ...wordy.best, setting: { on: long, off: long } },
				entryErrors: [0, 1, 2, 3, 4].map(() => ({
					...wordy.entryErrors[0]!,
					onSeconds: 59_987,
					offSeconds: 59_987,
					peakPpm: 123_456,
				})),
			},
			{ ...options, units: "us" },
		),
	};
});

test.each([
	["choice", "light", 1280],
	["sure", "light", 390],
	["choice", "dark", 390],
	["refusal", "light", 390],
	["refusal", "dark", 1280],
	["card", "light", 390],
	["card", "dark", 1280],
] as const)(
	"page %s in %s at %i px: no noise, no axe violation, no sideways scroll",
	async (name, colorScheme, width) => {
		await visit(name, { colorScheme, viewport: { width, height: 844 } }, async (page) => {
			expect(await violations(page)).toEqual([]);
			expect(await sidewaysOverflow(page)).toBe(0);
		});
	},
);

test("no word of the drawings stands over another, and on paper the card is not larger than A6", async () => {
	for (const name of ["sure", "choice", "refusal"] as const)
		await visit(name, { bypassCSP: true }, async (page) => {
			for (const width of [1280, 1024, 800, 390, 320]) {
				await page.setViewportSize({ width, height: 844 });
				expect(await drawnWordFaults(page), `${name} at ${width}`).toEqual([]);
				expect(await sidewaysOverflow(page), `${name} at ${width}`).toBe(0);
				if (width === 1280) expect(await pageHeight(page)).toBeLessThanOrEqual(3800);
				if (width === 390) expect(await pageHeight(page)).toBeLessThanOrEqual(5600);
			}
			await page.setViewportSize({ width: 688, height: 900 });
			await page.emulateMedia({ media: "print" });
			await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
			expect(await sidewaysOverflow(page)).toBe(0);
			if (name !== "refusal") {
				const card = (await page.locator(".card").boundingBox())!;
				expect(card.width / MM).toBeLessThanOrEqual(105.1);
				expect(card.height / MM).toBeLessThanOrEqual(148.1);
			}
		});
});

test.each(["card", "wordy card"])(
	"the %s alone is one sheet of A6, and all of it is on the sheet",
	async (name) => {
		await visit(name, {}, async (page) => {
			await page.emulateMedia({ media: "print" });
			await page.setViewportSize({ width: 397, height: 559 });
			const card = (await page.locator(".card").boundingBox())!;
			expect(card.width / MM).toBeLessThanOrEqual(105.1);
			expect(card.height / MM).toBeLessThanOrEqual(148);
			expect(await page.locator(".card").evaluate((box) => box.scrollWidth - box.clientWidth)).toBe(0);
			const sheet = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
			expect(sheet.match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
			const smallest = await page.evaluate(() =>
				Math.min(
					...[...document.querySelectorAll(".card *")].map((part) =>
						Number.parseFloat(getComputedStyle(part).fontSize),
					),
				),
			);
			// 6.5 pt, in px.
			expect(smallest).toBeGreaterThan(6.5 / 0.75);
		});
	},
);
