import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, expect, test } from "vitest";
import { browserFor } from "./visit.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const typedoc = join(root, "node_modules", "typedoc", "bin", "typedoc");
const site = mkdtempSync(join(tmpdir(), "lullgust-docs-"));
afterAll(() => rmSync(site, { recursive: true, force: true }));

const visit = browserFor(async () => {
	// The types have been checked before.
	execFileSync(process.execPath, [typedoc, "--skipErrorChecking", "--logLevel", "Error", "--out", site], {
		cwd: root,
		stdio: ["ignore", "inherit", "inherit"],
	});
	return {};
});

/** Where the links of a page lead inside the site: file and anchor. */
function linksOf(page: string, html: string): { readonly file: string; readonly anchor: string }[] {
	const targets = [...html.matchAll(/\s(?:href|src)="([^"]+)"/g)].map(([, target]) => target!);
	return targets
		.filter((target) => !/^(https?|data|mailto):/.test(target))
		.map((target) => {
			const [path, anchor] = decodeURIComponent(target.replaceAll("&amp;", "&")).split("#");
			return {
				file: path === "" ? page : resolve(dirname(page), path!),
				anchor: anchor ?? "",
			};
		});
}

test("every link inside the documentation leads somewhere", () => {
	const files = new Set(
		readdirSync(site, { recursive: true, withFileTypes: true })
			.filter((entry) => entry.isFile())
			.map((entry) => join(entry.parentPath, entry.name)),
	);
	const pages = new Map(
		[...files].filter((file) => file.endsWith(".html")).map((file) => [file, readFileSync(file, "utf8")]),
	);
	const anchors = new Map(
		[...pages].map(([file, html]) => [
			file,
			new Set([...html.matchAll(/\sid="([^"]+)"/g)].map(([, id]) => id!.replaceAll("&amp;", "&"))),
		]),
	);
	const dead: string[] = [];
	let count = 0;
	for (const [page, html] of pages)
		for (const { file, anchor } of linksOf(page, html)) {
			count += 1;
			const there = files.has(file) && (anchor === "" || !pages.has(file) || anchors.get(file)!.has(anchor));
			if (!there) dead.push(`${page.slice(site.length)} → ${file.slice(site.length)}#${anchor}`);
		}
	expect([...new Set(dead)]).toEqual([]);
	// A page without a name has links that nobody sees.
	expect([...pages].filter(([, html]) => /<a href="[^"]*"><\/a>/.test(html)).map(([page]) => page)).toEqual(
		[],
	);
	expect(pages.size).toBeGreaterThan(100);
	expect(count).toBeGreaterThan(1000);
});

test("the documentation opens in a browser, and its links lead from the first page to a function and its types", () =>
	visit(join(site, "modules"), {}, async (page) => {
		await page.getByRole("link", { name: "lullgust", exact: true }).first().click();
		await page
			.locator(".col-content")
			.getByRole("link", { name: "compareSchedules", exact: true })
			.first()
			.click();
		await page.waitForURL(/functions\/.*compareSchedules\.html/);
		expect(await page.locator(".col-content h1").textContent()).toContain("compareSchedules");
		expect(await page.locator(".col-content").textContent()).toContain("Comparison");
		await page.locator(".col-content").getByRole("link", { name: "Comparison", exact: true }).first().click();
		expect(await page.locator(".col-content h1").textContent()).toContain("Comparison");
	}));
