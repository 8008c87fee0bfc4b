import { expect, test } from "vitest";
import { lullgust } from "./lullgust.ts";

test("next says the step with its command, what is open and what is told; --json has the format mark", () => {
	const path = "fixtures/scenarios/two-shelf-cabinet.yaml";
	const { code, stdout, stderr } = lullgust(["next", path]);
	expect([code, stderr]).toEqual([0, ""]);
	expect(stdout).toMatch(/\n {2}lullgust \w+ /);
	expect(stdout).toMatch(/\nOpen:\n- /);
	const answer = JSON.parse(lullgust(["next", path, "--json"]).stdout);
	expect(answer.format).toBe("lullgust/next@1");
	expect(answer.step.command).toContain(path);
	expect(stdout.replaceAll(/\s+/g, " ")).toContain(answer.step.message);
	expect(lullgust(["next", path, "--quiet"]).stdout.split("\n").length).toBeLessThan(6);
});
