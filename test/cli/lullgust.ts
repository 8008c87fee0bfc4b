import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { onTestFinished } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));
export const main = join(root, "dist", "bin", "main.js");

const newest = Math.max(
	...["lib", "cli", "reports"].flatMap((top) =>
		readdirSync(join(root, top), { recursive: true, encoding: "utf8" })
			.filter((name) => name.endsWith(".ts"))
			.map((name) => statSync(join(root, top, name)).mtimeMs),
	),
);
if (!existsSync(main) || statSync(main).mtimeMs < newest)
	throw new Error("dist is older than its sources: run `npm run build` first (`npm test` does)");

export interface Run {
	readonly code: number | null;
	readonly stdout: string;
	readonly stderr: string;
}

/** Runs the built command as a user would. */
export function lullgust(
	words: readonly string[],
	options: {
		readonly cwd?: string;
		readonly input?: string | Buffer;
		readonly env?: Record<string, string>;
	} = {},
): Run {
	const { status, stdout, stderr } = spawnSync(process.execPath, [main, ...words], {
		encoding: "utf8",
		cwd: options.cwd ?? root,
		input: options.input ?? "",
		// As typed by a person: not through the package runner that started the tests.
		env: { ...process.env, npm_config_user_agent: undefined, npm_execpath: undefined, ...options.env },
		maxBuffer: 200e6,
	});
	return { code: status, stdout, stderr };
}

/** An empty folder that goes when the test is over. */
export function emptyFolder(): string {
	const folder = mkdtempSync(join(tmpdir(), "lullgust-cli-"));
	onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
	return folder;
}
