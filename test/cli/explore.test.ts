import { readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { ComparisonJson } from "../../cli/json.ts";
import { browserFor } from "../browser/visit.ts";
import { emptyFolder, lullgust } from "./lullgust.ts";
import { cabinet } from "./scenarios.ts";

const visit = browserFor(async () => ({
	starter: lullgust(["explore", "--html", "-"]).stdout,
	cabinet: lullgust(["explore", "-", "--html", "-", "--units", "us"], { input: cabinet }).stdout,
}));

test("writes a page with the starter where no scenario is named", () => {
	const folder = emptyFolder();
	const { code, stdout, stderr } = lullgust(["explore"], { cwd: folder });
	expect({ code, stdout, stderr }).toEqual({
		code: 0,
		stdout: "Wrote explore.html. Open it in a browser.\n",
		stderr: "",
	});
	const path = join(folder, "explore.html");
	expect(statSync(path).size).toBeLessThanOrEqual(420_000);
	expect(readFileSync(path, "utf8")).toContain("<b>My first cabinet</b>");
	expect(lullgust(["explore"], { cwd: folder })).toMatchObject({
		code: 2,
		stderr: "explore.html: exists already; --force replaces it\n",
	});
	expect(lullgust(["explore", "--force"], { cwd: folder }).code).toBe(0);
});

test("tells the faults of a scenario and writes nothing", () => {
	const folder = emptyFolder();
	const { code, stdout, stderr } = lullgust(["explore", "-"], {
		cwd: folder,
		input: cabinet.replace("420 L", "420 kg"),
	});
	expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
	expect(stderr).toMatch(/^standard input:2:20 chamber\.volume: needs a volume/);
	expect(() => statSync(join(folder, "explore.html"))).toThrow();
});

test("takes a scenario without schedules", () => {
	const input = cabinet.replace(/schedules:[\s\S]*$/, "");
	expect(lullgust(["explore", "-", "--html", "-"], { input })).toMatchObject({ code: 0, stderr: "" });
});

test.each([
	["starter", "si"],
	["cabinet", "us"],
] as const)("what the page of the %s saves, compare judges with the same figures", async (name, units) => {
	await visit(name, {}, async (page) => {
		const entry = (path: string) => `[data-path="${path}"] input[type=text]`;
		await page.fill(entry("fan.flow"), "33 cfm");
		await page.fill(entry("substrate.0.mass"), "5.5 kg");
		await page.selectOption('[data-path="target.on"] select', "worst hour");
		await page.click("#pin");
		await page.fill(entry("on"), "40 s");
		await page.fill(entry("off"), "25 min");
		await page.check("#sensor");
		const [download] = await Promise.all([page.waitForEvent("download"), page.click("#save")]);
		const path = join(emptyFolder(), download.suggestedFilename());
		writeFileSync(path, readFileSync(await download.path()));

		const { stdout, stderr } = lullgust(["compare", path, "--json"]);
		expect(stderr).toBe("");
		const { schedules, best } = JSON.parse(stdout) as ComparisonJson;
		const ppm = (value: number) => `${Math.round(value)} ppm`;
		const cells = (id: string) => page.locator(`#figure-${id} td`).allTextContents();
		for (const [id, figure] of [
			["peak", "peakPpm"],
			["mean", "meanPpm"],
			["trough", "troughPpm"],
			["worst-hour", "maxHourlyMeanPpm"],
		] as const)
			expect(await cells(id)).toEqual(schedules.map((one) => ppm(one[figure])));
		expect(await cells("sensor-peak")).toEqual(schedules.map(({ sensor }) => ppm(sensor!.peakPpm)));
		expect(await page.locator("#answer .word").textContent()).toMatch(best === null ? /^FAILS$/ : /^HOLDS/);
		const said = (await page.locator("#grounds").textContent())!;
		const printed = lullgust(["compare", path, "--quiet", "--units", units]).stdout.replace(/\s+/g, " ");
		expect(printed).toContain(said);
	});
});
