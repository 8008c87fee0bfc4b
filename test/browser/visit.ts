import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, expect } from "vitest";
import { findChromium, skipWithout } from "../machine.ts";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

const executablePath = findChromium();

/**
 * A browser for the tests of one file, which are to call this once; pages are opened by the name they were saved under, or
 * by the path of a page that stands elsewhere. Without Chromium the tests of the file are skipped.
 */
export function browserFor(
	pages: () => Promise<Readonly<Record<string, string>>>,
	args: readonly string[] = [],
) {
	let browser: Browser | undefined;
	const folder = mkdtempSync(join(tmpdir(), "lullgust-browser-"));
	beforeEach((context) => {
		if (executablePath === null)
			skipWithout("Chromium", "npx playwright-core install --with-deps chromium", context);
	});
	beforeAll(async () => {
		if (executablePath === null) return;
		for (const [name, html] of Object.entries(await pages()))
			writeFileSync(join(folder, `${name}.html`), html);
		browser = await chromium.launch({
			executablePath,
			args: [
				..."--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync".split(
					" ",
				),
				...args,
			],
		});
	});
	afterAll(async () => {
		await browser?.close();
		rmSync(folder, { recursive: true, force: true });
	});

	/** Opens a page and does something with it; nothing may be said on the console or asked of the network meanwhile. */
	return async (
		name: string,
		context: BrowserContextOptions,
		act: (page: Page) => Promise<void>,
	): Promise<void> => {
		const opened = await browser!.newContext({ viewport: { width: 1280, height: 900 }, ...context });
		try {
			const page = await opened.newPage();
			const noise: string[] = [];
			page.on("console", (message) => noise.push(`console: ${message.text()}`));
			page.on("pageerror", (error) => noise.push(`error: ${error.message}`));
			page.on("request", (request) => {
				if (!/^(file|data):/.test(request.url())) noise.push(`request: ${request.url()}`);
			});
			await page.goto(pathToFileURL(resolve(folder, `${name}.html`)).href);
			await act(page);
			expect(noise).toEqual([]);
		} finally {
			await opened.close();
		}
	};
}

/** What axe finds wrong in a page. */
export const violations = (page: Page): Promise<string[]> =>
	page.evaluate(
		`${axe}; axe.run().then(({ violations }) => violations.map((v) => v.id + ": " + v.nodes.map((n) => n.html.slice(0, 120)).join(" | ")))`,
	);

/** By how much a page is wider than its window [px]. */
export const sidewaysOverflow = (page: Page): Promise<number> =>
	page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
