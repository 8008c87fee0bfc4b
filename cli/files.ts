import {
	accessSync,
	chmodSync,
	closeSync,
	constants,
	createWriteStream,
	existsSync,
	fstatSync,
	linkSync,
	lstatSync,
	mkdirSync,
	openSync,
	readdirSync,
	readFileSync,
	readSync,
	realpathSync,
	renameSync,
	rmSync,
	statSync,
	writeFileSync,
} from "node:fs";
import { dirname, isAbsolute, join, resolve } from "node:path";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { fileURLToPath } from "node:url";
import { InputError } from "../lib/errors.ts";
import { print } from "./print/print.ts";

/** Longest text that is read [byte]. */
const MAX_INPUT_BYTES = 20_000_000;

const reasons: Record<string, string> = {
	ENOENT: "no such file",
	EACCES: "permission denied",
	EPERM: "permission denied",
	EISDIR: "is a folder, not a file",
	ENOTDIR: "a part of this path is a file, not a folder",
	ELOOP: "too many links in this path",
	ENAMETOOLONG: "the name is too long",
	ENOSPC: "no space left on the disk",
	EROFS: "the disk is read-only",
	EMFILE: "too many open files",
};

/** The fault of a failed file operation; errors that are not of the file system are thrown on. */
export function fileFault(error: unknown, path: string, action = ""): InputError {
	const code = error instanceof Error && "code" in error ? String(error.code) : "";
	if (!/^E[A-Z0-9]+$/.test(code)) throw error;
	return new InputError([{ file: path, message: `${action}${reasons[code] ?? code}` }]);
}

const tooLong = (path: string, bytes: number): InputError =>
	new InputError([
		{
			file: path,
			message: `over ${Math.floor(bytes / 1e6)} MB, and at most 20 MB are read; is it the right file?`,
		},
	]);

function bytesOfFile(path: string): Buffer {
	const file = openSync(path, "r");
	try {
		const { size } = fstatSync(file);
		if (size > MAX_INPUT_BYTES) throw tooLong(path, size);
		const chunks: Buffer[] = [];
		for (let length = 0; ; ) {
			const chunk = Buffer.allocUnsafe(65_536);
			const got = readSync(file, chunk);
			if (got === 0) return Buffer.concat(chunks);
			chunks.push(chunk.subarray(0, got));
			length += got;
			// A pipe or device has no size to be judged by beforehand.
			if (length > MAX_INPUT_BYTES) throw tooLong(path, length);
		}
	} finally {
		closeSync(file);
	}
}

function decode(bytes: Buffer, file: string): string {
	const [first, second] = bytes;
	if ((first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff))
		throw new InputError([{ file, message: "is in UTF-16; save it as UTF-8" }]);
	if (bytes.includes(0)) throw new InputError([{ file, message: "is a binary file, not text" }]);
	try {
		// Lines that end in a carriage return alone, as some editors leave them, are lines.
		return new TextDecoder("utf-8", { fatal: true }).decode(bytes).replace(/\r(?!\n)/g, "\n");
	} catch {
		throw new InputError([{ file, message: "is not UTF-8 text; save it as UTF-8" }]);
	}
}

/** Text of a file. Throws InputError when it cannot be read, is longer than 20 MB or is no text. */
export function readText(path: string): string {
	try {
		return decode(bytesOfFile(path), path);
	} catch (error) {
		throw error instanceof InputError ? error : fileFault(error, path);
	}
}

/** Name under which an input is spoken of. */
export const nameOf = (path: string): string => (path === "-" ? "standard input" : path);

/** As readText; `-` is standard input. */
export async function readInput(path: string): Promise<string> {
	if (path !== "-") return readText(path);
	const chunks: Buffer[] = [];
	let length = 0;
	try {
		for await (const chunk of process.stdin) {
			chunks.push(chunk);
			length += chunk.length;
			if (length > MAX_INPUT_BYTES) throw tooLong(nameOf(path), length);
		}
	} catch (error) {
		throw error instanceof InputError ? error : fileFault(error, nameOf(path));
	}
	return decode(Buffer.concat(chunks), nameOf(path));
}

/** Reads the files that a scenario names, seen from its folder; undefined for one that cannot be read. */
export function readerBeside(scenarioPath: string): (name: string) => string | undefined {
	const folder = scenarioPath === "-" ? "." : dirname(scenarioPath);
	return (name) => {
		try {
			return readText(isAbsolute(name) ? name : join(folder, name));
		} catch (error) {
			if (error instanceof InputError) return undefined;
			throw error;
		}
	};
}

/** A file that is to be written; `-` is standard output. */
export interface Output {
	readonly path: string;
	/** Whole text, or its pieces in order. */
	readonly content: string | Iterable<string>;
}

const statOrNull = (path: string) => statSync(path, { throwIfNoEntry: false }) ?? null;

/**
 * Faults of paths that are to be written, found before any work is done: an existing file without `force`, a folder that is
 * not there or not writable, one path twice, a path that is also read.
 */
export function checkOutputs(paths: readonly string[], force: boolean, inputs: readonly string[] = []): void {
	const faults: { file: string; message: string }[] = [];
	const seen = new Set<string>();
	for (const path of paths) {
		const fault = outputFault(path, force, inputs, seen);
		if (fault !== null) faults.push({ file: path === "-" ? "standard output" : path, message: fault });
	}
	if (faults.length > 0) throw new InputError(faults);
}

function outputFault(
	path: string,
	force: boolean,
	inputs: readonly string[],
	seen: Set<string>,
): string | null {
	const key = path === "-" ? "-" : resolve(path);
	if (seen.has(key)) return "is asked for twice; give each output its own file";
	seen.add(key);
	if (path === "-") return null;
	if (path === "") return "an output needs a file name";
	try {
		// The folder first: whether a file "below" a file is an error or merely absent differs between versions of Node.
		const folder = dirname(path);
		const parent = statOrNull(folder);
		if (parent === null) return `the folder "${folder}" does not exist`;
		if (!parent.isDirectory()) return `"${folder}" is a file, not a folder`;
		const found = statOrNull(path);
		if (found?.isDirectory()) return "is a folder; give a file name";
		if (found !== null && inputs.some((input) => input !== "-" && sameFile(input, path)))
			return "is the input itself; give another name";
		if (found?.isFile() && !force) return "exists already; --force replaces it";
		if (found === null || found.isFile()) accessSync(folder, constants.W_OK);
		return null;
	} catch (error) {
		return fileFault(error, path, "cannot be written: ").faults[0]!.message;
	}
}

function sameFile(a: string, b: string): boolean {
	const [one, two] = [statOrNull(a), statOrNull(b)];
	return one !== null && two !== null && one.dev === two.dev && one.ino === two.ino;
}

const temporaries = new Set<string>();
const removeTemporaries = (): void => {
	for (const path of temporaries) rmSync(path, { force: true });
};

/** An interrupted run leaves no half-written file behind. */
function guardTemporaries(): void {
	if (process.listenerCount("exit", removeTemporaries) > 0) return;
	process.on("exit", removeTemporaries);
	for (const [signal, exitCode] of [
		["SIGHUP", 129],
		["SIGINT", 130],
		["SIGTERM", 143],
	] as const)
		process.on(signal, () => process.exit(exitCode));
}

/** A name in a folder that no file has; short, for that of the file itself may be as long as a name can be. */
function temporaryIn(folder: string): string {
	for (let n = 0; ; n++) {
		const path = join(folder, `.lullgust-${process.pid}-${n}.tmp`);
		if (lstatSync(path, { throwIfNoEntry: false }) === undefined) return path;
	}
}

/**
 * Writes a file whole or not at all: into a temporary one beside it, which then takes its name, and the mode of one that was there.
 * Throws InputError when that fails or, without `force`, when the file has come to be meanwhile.
 */
export async function writeOutput({ path, content }: Output, force: boolean): Promise<void> {
	if (path === "-") {
		for (const piece of typeof content === "string" ? [content] : content) if (!(await print(piece))) return;
		return;
	}
	guardTemporaries();
	const found = statOrNull(path);
	// A device or a pipe has no name to take over: it is written in place.
	const inPlace = found !== null && !found.isFile();
	const target = found?.isFile() ? realpathSync(path) : path;
	const temporary = inPlace ? path : temporaryIn(dirname(target));
	try {
		if (!inPlace) temporaries.add(temporary);
		if (typeof content === "string") writeFileSync(temporary, content, { flag: inPlace ? "w" : "wx" });
		else
			await pipeline(Readable.from(content), createWriteStream(temporary, { flags: inPlace ? "w" : "wx" }));
		if (inPlace) return;
		if (found !== null) chmodSync(temporary, found.mode & 0o7777);
		if (force) renameSync(temporary, target);
		else takeNewName(temporary, target);
	} catch (error) {
		if (error instanceof InputError) throw error;
		throw fileFault(error, path, "cannot be written: ");
	} finally {
		if (!inPlace) {
			rmSync(temporary, { force: true });
			temporaries.delete(temporary);
		}
	}
}

/** As rename, but never over a file that is there. */
function takeNewName(temporary: string, target: string): void {
	try {
		linkSync(temporary, target);
	} catch (error) {
		const code = error instanceof Error && "code" in error ? error.code : "";
		if (code === "EEXIST")
			throw new InputError([{ file: target, message: "exists already; --force replaces it" }]);
		// Some file systems have no links.
		if (lstatSync(target, { throwIfNoEntry: false }) !== undefined) throw error;
		renameSync(temporary, target);
	}
}

/** Makes a folder for outputs unless it is there. Throws InputError. */
export function makeFolder(path: string): void {
	try {
		mkdirSync(path, { recursive: true });
	} catch (error) {
		const code = error instanceof Error && "code" in error ? error.code : "";
		if (code === "EEXIST") throw new InputError([{ file: path, message: "is a file, not a folder" }]);
		throw fileFault(error, path, "cannot be made: ");
	}
}

// The folder of package.json: two up from the built file (dist/cli), one up from its source (cli).
const folders = ["../..", ".."].map((up) => fileURLToPath(new URL(up, import.meta.url)));
const packageFolder = folders.find((folder) => existsSync(join(folder, "package.json"))) ?? folders[0]!;

/** Version of this package. */
export function packageVersion(): string {
	const { version } = JSON.parse(readFileSync(join(packageFolder, "package.json"), "utf8")) as {
		version: string;
	};
	return version;
}

/** Paths of the scenarios that come with the package, by name. */
export function shippedScenarios(): string[] {
	const folder = join(packageFolder, "fixtures", "scenarios");
	return readdirSync(folder)
		.filter((name) => name.endsWith(".yaml"))
		.sort()
		.map((name) => join(folder, name));
}
