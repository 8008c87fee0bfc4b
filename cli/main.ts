#!/usr/bin/env node
import { InputError } from "../lib/errors.ts";
import { fileFault, packageVersion } from "./files.ts";
import { complain, guardStandardStreams, print } from "./print/print.ts";

/** Exit codes: 0 done and the target is met, 1 done but the answer is no, 2 usage or input, 70 our own fault. */
async function main(words: readonly string[]): Promise<number> {
	try {
		if (words.length === 1 && words[0] === "--version") {
			await print(`${packageVersion()}\n`);
			return 0;
		}
		const { run } = await import("./commands.ts");
		return await run(words);
	} catch (error) {
		if (isInputError(error)) {
			complain(error.faults.map((fault) => new InputError([fault]).message));
			return 2;
		}
		const what = error instanceof Error ? error.message : String(error);
		complain([
			error instanceof Error && error.name === "SolverError"
				? `no answer: ${what}`
				: `internal error: ${what.split("\n")[0]}`,
		]);
		if (process.env.LULLGUST_DEBUG && error instanceof Error) process.stderr.write(`${error.stack}\n`);
		return 70;
	}
}

/** By name, since reports bring their own copy of the library along. */
const isInputError = (error: unknown): error is InputError =>
	error instanceof Error && error.name === "InputError" && "faults" in error;

guardStandardStreams((error) => {
	complain([fileFault(error, "standard output", "cannot be written: ").message]);
	process.exit(2);
});
process.exitCode = await main(process.argv.slice(2));
