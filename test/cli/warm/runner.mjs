// Runs command lines one after another in one process whose modules are loaded once: most of a short run is the start of
// Node. Each run has its own folder, environment, input and captured output, and evaluates the entry file anew.
import { Readable } from "node:stream";
import { pathToFileURL } from "node:url";

const [, , main] = process.argv;
const entry = pathToFileURL(main).href;
let count = 0;

// Every run adds its listeners again.
process.stdout.setMaxListeners(0);
process.stderr.setMaxListeners(0);

function capture(stream) {
	const pieces = [];
	stream.write = (piece, encoding, done) => {
		pieces.push(Buffer.from(piece, typeof encoding === "string" ? encoding : "utf8"));
		(typeof encoding === "function" ? encoding : done)?.();
		return true;
	};
	return () => Buffer.concat(pieces).toString("utf8");
}

/** As a pipe hands it over. */
function* pieces(buffer) {
	for (let start = 0; start < buffer.length; start += 65_536) yield buffer.subarray(start, start + 65_536);
}

process.on("message", async ({ words, cwd, input, env }) => {
	process.chdir(cwd);
	for (const name of Object.keys(process.env)) if (!(name in env)) delete process.env[name];
	Object.assign(process.env, env);
	process.argv = [process.execPath, main, ...words];
	Object.defineProperty(process, "stdin", {
		configurable: true,
		value: Readable.from(pieces(Buffer.from(input, "base64")), { objectMode: false }),
	});
	const stdout = capture(process.stdout);
	const stderr = capture(process.stderr);
	process.exitCode = undefined;
	count += 1;
	await import(`${entry}?run=${count}`);
	const code = process.exitCode ?? 0;
	process.exitCode = undefined;
	process.send({ code, stdout: stdout(), stderr: stderr() });
});
process.on("disconnect", () => process.exit());
