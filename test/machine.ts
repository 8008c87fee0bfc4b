import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { chromium } from "playwright-core";
import type { TestContext } from "vitest";

/** Where a program of this machine stands; null where it is not installed. */
const found = (name: string): string | null =>
	spawnSync("sh", ["-c", 'command -v "$1"', "sh", name], { encoding: "utf8" }).stdout.trim() || null;

/** The browser that CHROMIUM names, else one on the path, else the one that playwright-core has brought; null: none. */
export function findChromium(): string | null {
	if (process.env.CHROMIUM) return process.env.CHROMIUM;
	const installed = ["chromium", "chromium-browser", "google-chrome"]
		.map(found)
		.find((path) => path !== null);
	return installed ?? (existsSync(chromium.executablePath()) ? chromium.executablePath() : null);
}

export const findZsh = (): string | null => found("zsh");

/**
 * Skips a test for want of a program and says which command brings it; `npm test` repeats that at its end. Where CI is set,
 * nothing is skipped: the test fails.
 */
export function skipWithout(program: string, command: string, { skip, task }: TestContext): never {
	const reason = `${program} is not installed; ${command} brings it`;
	if (process.env.CI) throw new Error(reason);
	(task.meta as { skipped?: string }).skipped = reason;
	return skip(reason);
}
