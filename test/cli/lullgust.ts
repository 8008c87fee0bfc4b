import { existsSync, mkdtempSync, readdirSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { MessageChannel, type MessagePort, receiveMessageOnPort, Worker } from "node:worker_threads";
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

const signal = new Int32Array(new SharedArrayBuffer(4));
let bridge: MessagePort | undefined;

/**
 * Runs the built command as a user would, but for the start of Node: the modules stay loaded from run to run. Tests of
 * memory, signals and pipes start a process of their own.
 */
export function lullgust(
	words: readonly string[],
	options: {
		readonly cwd?: string;
		readonly input?: string | Buffer;
		readonly env?: Record<string, string>;
	} = {},
): Run {
	if (bridge === undefined) {
		const beside = (name: string) => fileURLToPath(new URL(`warm/${name}`, import.meta.url));
		const { port1, port2: port } = new MessageChannel();
		const workerData = { main, runner: beside("runner.mjs"), signal, port };
		new Worker(beside("bridge.mjs"), { workerData, transferList: [port] }).unref();
		bridge = port1;
	}
	// As typed by a person: not through the package runner that started the tests.
	const { npm_config_user_agent, npm_execpath, ...env } = process.env;
	Atomics.store(signal, 0, 0);
	bridge.postMessage({
		words,
		cwd: options.cwd ?? root,
		input: Buffer.from(options.input ?? "").toString("base64"),
		env: { ...env, ...options.env },
	});
	Atomics.wait(signal, 0, 0);
	return (receiveMessageOnPort(bridge) as { message: Run }).message;
}

/** An empty folder that goes when the test is over. */
export function emptyFolder(): string {
	const folder = mkdtempSync(join(tmpdir(), "lullgust-cli-"));
	onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
	return folder;
}
