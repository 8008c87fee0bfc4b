import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { displayWidth } from "../../cli/print/print.ts";
import { rigText as printedRig } from "../../cli/print/rigprint.ts";
import { checkRig, parseScenario } from "../../lib/index.ts";
import { fanWith, rigText } from "../rig/rigs.ts";
import { emptyFolder, lullgust } from "./lullgust.ts";
import { cabinet } from "./scenarios.ts";

/** A folder with a rig in which nothing must stop, and one in which much must. */
function folder(): string {
	const cwd = emptyFolder();
	writeFileSync(join(cwd, "rig.yaml"), rigText());
	writeFileSync(join(cwd, "bad.yaml"), rigText({ supply: "{ voltage: 12 V, current: 0.5 A }", fuse: "8 A" }));
	return cwd;
}

test("verdicts come first, then operating point, delivery, power, contact, wiring and what was not assessed", () => {
	const { code, stdout, stderr } = lullgust(["rig", "rig.yaml"], { cwd: folder() });
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	const order = [
		"No faults found in this rig.",
		"✓ OK        Delivered flow",
		"operating point",
		"air of one burst",
		"current and voltage",
		"operations per month",
		"From + of SUPPLY to end 1 of FUSE: red wire, positive.",
		"Not assessed, because the file does not give the values:",
		"caution: Low-voltage side only",
	].map((text) => stdout.indexOf(text));
	expect(order).not.toContain(-1);
	expect(order).toEqual(order.toSorted((a, b) => a - b));
	expect(stdout).not.toContain("\u001b");
	expect(stdout.split("\n").filter((line) => line.length > 100)).toEqual([]);
});

test("no line is wider than the terminal, whatever the schedules are called", () => {
	const wordy = rigText({
		...fanWith(["current: 0.5 A", "count: 3, current: 0.5 A"]),
		schedules: `{ "short and often, as the neighbour does it with the same tent": { on: 10 s, off: 590 s }, b: { on: 1 s, off: 1 h } }`,
		timer: "{ ranges: [1..999 s by 1 s], type: relay, voltage: 12 V, resistive: 10 A, power-up: off }",
	});
	const report = checkRig(parseScenario(wordy));
	for (const units of ["si", "us"] as const)
		for (const columns of [60, 80, 100])
			expect(
				printedRig(report, units, columns)
					.split("\n")
					.filter((line) => displayWidth(line) > columns),
			).toEqual([]);
});

test("exit 1 when something must stop, with reason and remedy; --quiet prints only the verdict", () => {
	const cwd = folder();
	const { code, stdout } = lullgust(["rig", "bad.yaml"], { cwd });
	expect(code).toBe(1);
	expect(stdout).toMatch(/^Stop: do not switch it on like this\. Supply; fuse\./);
	expect(stdout).toContain("✗ stop      Supply");
	expect(stdout).toContain("→ Take an adapter of 0.688 A or more at the same voltage.");
	const quiet = lullgust(["rig", "bad.yaml", "--quiet"], { cwd });
	expect(quiet.code).toBe(1);
	expect(quiet.stdout.split("\n").length).toBeLessThanOrEqual(5);
});

test("report and sheets are written whole, and not over what is there", () => {
	const cwd = folder();
	const words = ["rig", "rig.yaml", "--html", "rig.html", "--sheets", "sheets.html", "--units", "us"];
	const { code, stdout } = lullgust(words, { cwd });
	expect(code).toBe(0);
	expect(stdout).toContain("Wrote rig.html, sheets.html.");
	expect(stdout).toContain("cfm");
	const [page, sheets] = ["rig.html", "sheets.html"].map((name) => readFileSync(join(cwd, name), "utf8"));
	expect(page).toContain('<h1 id="answer-h">');
	expect(page).toContain("lullgust rig rig.yaml --sheets sheets.html");
	expect(sheets).toContain("lullgust fit rise.csv --test rise --scenario rig.yaml");
	expect(sheets).not.toContain('<h1 id="answer-h">');
	expect(sheets!.match(/<section class="sheet"/g)).toHaveLength(8);
	expect(lullgust(words, { cwd })).toEqual({
		code: 2,
		stdout: "",
		stderr:
			"rig.html: exists already; --force replaces it\nsheets.html: exists already; --force replaces it\n",
	});
	expect(lullgust([...words, "--force"], { cwd }).code).toBe(0);
});

test("--json is everything in SI whatever the units, without NaN, and keeps the exit code", () => {
	const cwd = folder();
	const { code, stdout, stderr } = lullgust(["rig", "bad.yaml", "--json", "--units", "us"], { cwd });
	expect({ code, stderr }).toEqual({ code: 1, stderr: "" });
	expect(stdout).not.toMatch(/NaN|Infinity|undefined/);
	const answer = JSON.parse(stdout);
	expect(JSON.stringify([answer.findings, answer.sheets])).not.toContain("cfm");
	expect(answer).toMatchObject({
		format: "lullgust/rig@2",
		scenario: { file: "bad.yaml" },
		verdict: "stop",
		wiring: { origin: "standard" },
		power: { runningAmps: 0.55 },
		commissioning: { schedule: "a", cycle: { onSeconds: 10, offSeconds: 590 } },
	});
	expect(answer.findings[0]).toMatchObject({
		code: expect.any(String),
		verdict: "stop",
		finding: expect.any(String),
		reason: expect.any(String),
		remedy: expect.any(String),
	});
	expect(answer.sheets.map((sheet: { id: string }) => sheet.id)).toEqual([
		"P1",
		"P2",
		"P3",
		"P4",
		"P5",
		"P6",
		"P7",
		"P8",
	]);
});

test("a fan without a voltage is judged by what the file gives, and what is missing is listed", () => {
	const cwd = emptyFolder();
	writeFileSync(join(cwd, "plain.yaml"), cabinet);
	const { code, stdout, stderr } = lullgust(["rig", "plain.yaml", "--html", "rig.html"], { cwd });
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).toContain("Delivered flow");
	expect(stdout).toContain(
		"  fan.voltage: voltages and the flow behind the cable (it is on the fan's label)",
	);
	expect(readdirSync(cwd).toSorted()).toEqual(["plain.yaml", "rig.html"]);
	const stalled = "{ curve: { free-flow: 100 m3/h, shut-off: 20 Pa }, flap: 30 Pa }";
	const bare = { fan: stalled, timer: "", supply: "", wire: "", fuse: "" };
	writeFileSync(join(cwd, "stalled.yaml"), rigText(bare));
	expect(lullgust(["rig", "stalled.yaml", "--quiet"], { cwd }).code).toBe(1);
});

test("faults of the file are told all at once, with their places", () => {
	const cwd = emptyFolder();
	writeFileSync(
		join(cwd, "faulty.yaml"),
		rigText({ ...fanWith(["shut-off: 84.9 Pa", "shut-off: 84.9 kg"]), fuse: "much" }),
	);
	const faulty = lullgust(["rig", "faulty.yaml"], { cwd });
	expect(faulty.code).toBe(2);
	expect(faulty.stderr.trim().split("\n")).toHaveLength(2);
});

test("a fan on the mains is judged on its air side; its wiring is left to licensed people", () => {
	const cwd = emptyFolder();
	const { fan } = fanWith(["voltage: 12 V,", "voltage: 230 V,"], ["window: 7.5..13.8 V, ", ""]);
	const timer = "{ ranges: [1..999 s by 1 s], voltage: 230 V, operations: 100000, power-up: off }";
	writeFileSync(join(cwd, "mains.yaml"), rigText({ fan, timer }));
	const { code, stdout } = lullgust(["rig", "mains.yaml", "--json"], { cwd });
	expect(code).toBe(0);
	const { findings, power, wiring, notAssessed, sheets, delivery, contactLife } = JSON.parse(stdout);
	expect(findings.map((one: { code: string }) => one.code).toSorted()).toEqual(
		["burst", "ceiling", "contact life", "fan", "filter", "mains", "power-up"].toSorted(),
	);
	expect(findings[0]).toMatchObject({ code: "mains", verdict: "attention", parts: ["fan", "timer"] });
	expect(findings[0].finding).toContain("Mains wiring belongs to a licensed person");
	expect({ power, wiring }).toEqual({ power: null, wiring: null });
	expect([delivery.length, contactLife.length, sheets.length]).toEqual([1, 1, 8]);
	expect(notAssessed).toEqual([]);
	// The same air as at 12 V of the sound rig without its cable, and nothing to measure or open.
	const [bench] = sheets;
	expect([...bench.steps, ...bench.tools].join(" ")).not.toMatch(/multimeter|[Mm]easure from|link|adapter/);
	expect(bench.cautions[0]).toContain("Mains voltage kills");
	const netlist = { SUP: "{ kind: supply, v: 230, maxA: 2 }" };
	writeFileSync(join(cwd, "net.yaml"), rigText({ wiring: `{ parts: { SUP: ${netlist.SUP} }, nets: {} }` }));
	expect(lullgust(["rig", "net.yaml"], { cwd }).stderr).toContain("never for mains");
});

test("schedules may be left out, and the file come from standard input", () => {
	const { code, stdout } = lullgust(["rig", "-", "--sheets", "-"], { input: rigText({ schedules: "" }) });
	expect(code).toBe(0);
	expect(stdout).toContain("the schedule that you mean to run");
	expect(stdout).toContain("--scenario scenario.yaml");
});

test("--schedule names the one that the sheets are for", () => {
	const cwd = emptyFolder();
	writeFileSync(
		join(cwd, "two.yaml"),
		rigText({ schedules: "{ a: { on: 10 s, off: 590 s }, b: { on: 9 s, off: 291 s } }" }),
	);
	const { stdout } = lullgust(["rig", "two.yaml", "--sheets", "-", "--schedule", "b"], { cwd });
	expect(stdout).toContain("--schedule b");
	expect(lullgust(["rig", "two.yaml", "--schedule", "c"], { cwd })).toEqual({
		code: 2,
		stdout: "",
		stderr: '--schedule: there is no schedule "c"; the file has "a", "b"\n',
	});
});
