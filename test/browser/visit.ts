import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { isAbsolute, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import {
	type Browser,
	type BrowserContextOptions,
	type ConsoleMessage,
	chromium,
	type Page,
	type Request,
} from "playwright-core";
import { afterAll, beforeAll, beforeEach, expect } from "vitest";
import { findChromium, skipWithout } from "../machine.ts";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

const executablePath = findChromium();

const ARGS =
	"--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync --allow-file-access-from-files";

/** One browser and one page for all files of a worker: a process for each page costs more than what the page does. */
let browser: Promise<Browser> | undefined;
let shared: Promise<Page> | undefined;

async function openBrowser(): Promise<Browser> {
	browser ??= chromium.launch({ executablePath: executablePath!, args: ARGS.split(" ") });
	return browser;
}

/** The page of the worker, as a new one would be: what a test has emulated is gone, the pointer is away. */
async function sharedPage({ viewport, colorScheme }: BrowserContextOptions): Promise<Page> {
	shared ??= openBrowser().then((opened) => opened.newPage());
	const page = await shared;
	await page.goto("about:blank");
	await page.setViewportSize(viewport ?? WINDOW);
	await page.emulateMedia({ media: null, colorScheme: colorScheme ?? null, reducedMotion: null });
	await page.mouse.move(0, 0);
	return page;
}

const WINDOW = { width: 1280, height: 900 };

/**
 * A browser for the tests of one file; pages are opened by the name they were saved under, or by the path of a page that
 * stands elsewhere. Without Chromium the tests of the file are skipped.
 */
export function browserFor(pages: () => Promise<Readonly<Record<string, string>>>) {
	const folder = mkdtempSync(join(tmpdir(), "lullgust-browser-"));
	beforeEach((context) => {
		if (executablePath === null)
			skipWithout("Chromium", "npx playwright-core install --with-deps chromium", context);
	});
	beforeAll(async () => {
		if (executablePath === null) return;
		for (const [name, html] of Object.entries(await pages()))
			writeFileSync(join(folder, `${name}.html`), html);
	});
	afterAll(() => rmSync(folder, { recursive: true, force: true }));

	/**
	 * Opens a page and does something with it; nothing may be said on the console or asked of the network meanwhile. A window
	 * that differs from the shared one in more than size and colours has a context of its own.
	 */
	return async (
		name: string,
		context: BrowserContextOptions,
		act: (page: Page) => Promise<void>,
	): Promise<void> => {
		const { viewport, colorScheme, ...rest } = context;
		const own =
			Object.keys(rest).length > 0
				? await (await openBrowser()).newContext({ viewport: WINDOW, ...context })
				: undefined;
		const page = own === undefined ? await sharedPage(context) : await own.newPage();
		const noise: string[] = [];
		const listeners = {
			console: (message: ConsoleMessage) => noise.push(`console: ${message.text()}`),
			pageerror: (error: Error) => noise.push(`error: ${error.message}`),
			request: (request: Request) => {
				// A page of ours stands alone; a site may ask for its own files.
				const isOwn =
					/^(data|about):/.test(request.url()) || request.isNavigationRequest() || isAbsolute(name);
				if (!isOwn || !/^(file|data|about):/.test(request.url())) noise.push(`request: ${request.url()}`);
			},
		};
		page
			.on("console", listeners.console)
			.on("pageerror", listeners.pageerror)
			.on("request", listeners.request);
		try {
			await page.goto(pathToFileURL(resolve(folder, `${name}.html`)).href);
			await act(page);
			expect(noise).toEqual([]);
		} catch (error) {
			// What a failed test leaves behind is nobody else's.
			if (own === undefined) {
				shared = undefined;
				await page.close();
			}
			throw error;
		} finally {
			page
				.off("console", listeners.console)
				.off("pageerror", listeners.pageerror)
				.off("request", listeners.request);
			await own?.close();
		}
	};
}

/** What axe finds wrong in a page. */
export async function violations(page: Page): Promise<string[]> {
	if (!(await page.evaluate("typeof axe === 'object'"))) await page.evaluate(`${axe};undefined`);
	return page.evaluate(
		`axe.run({ resultTypes: ["violations"] }).then(({ violations }) => violations.map((v) => v.id + ": " + v.nodes.map((n) => n.html.slice(0, 120)).join(" | ")))`,
	);
}

/** By how much a page is wider than its window [px]. */
export const sidewaysOverflow = (page: Page): Promise<number> =>
	page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

/** Words of the drawings in sight, of those that a selector keeps, that lie over one another, or leave their drawing. */
export const drawnWordFaults = (page: Page, filter = ""): Promise<string[]> =>
	page.evaluate((which) => {
		const faults: string[] = [];
		for (const drawing of document.querySelectorAll(`svg[role=img]${which}`)) {
			const frame = drawing.getBoundingClientRect();
			if (frame.width === 0 || !drawing.checkVisibility()) continue;
			const words = [...drawing.querySelectorAll("text")].flatMap((text) => {
				const { left, right, top, bottom } = text.getBoundingClientRect();
				// A line box is taller than its letters.
				const slack = (bottom - top) * 0.2;
				return right - left < 1
					? []
					: [{ said: text.textContent, left, right, top: top + slack, bottom: bottom - slack }];
			});
			words.forEach((one, place) => {
				if (one.left < frame.left - 1 || one.right > frame.right + 1)
					faults.push(`${one.said} leaves its drawing`);
				for (const other of words.slice(place + 1))
					if (
						// A haloed word is drawn twice.
						!(one.said === other.said && Math.abs(one.left - other.left) < 1 && one.top === other.top) &&
						Math.min(one.right, other.right) - Math.max(one.left, other.left) > 1 &&
						Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top) > 1
					)
						faults.push(`${one.said} lies over ${other.said}`);
			});
		}
		return faults;
	}, filter);

/** Makes the words of drawings a fifth wider, as another reader's font may be; the page is to be opened with `bypassCSP`. */
export const widenWords = (page: Page): Promise<unknown> =>
	page.addStyleTag({ content: "svg text{letter-spacing:.1em}" });

/** Height of a page [px]. */
export const pageHeight = (page: Page): Promise<number> =>
	page.evaluate(() => document.documentElement.scrollHeight);

/** Sheets of paper that a page needs. */
export const printedPages = async (page: Page): Promise<number> =>
	(
		(await page.pdf({ preferCSSPageSize: true, printBackground: true }))
			.toString("latin1")
			.match(/\/Type\s*\/Page[^s]/g) ?? []
	).length;
